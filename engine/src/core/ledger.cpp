#include "leafhunger/ledger.hpp"

namespace leafhunger {
namespace {

constexpr double Ledger::*k_terms[] = {&Ledger::given,   &Ledger::from_soil,   &Ledger::start_mineral, &Ledger::start_plant,
                                       &Ledger::fixed,   &Ledger::plant,       &Ledger::reserve,       &Ledger::litter,
                                       &Ledger::mineral, &Ledger::unfreed,     &Ledger::microbes,      &Ledger::humus,
                                       &Ledger::leached, &Ledger::volatilised, &Ledger::denitrified,   &Ledger::taken};

}  // namespace

Ledger& Ledger::operator+=(const Ledger& other) {
  for (const auto term : k_terms) this->*term += other.*term;
  return *this;
}

Ledger Ledger::scaled(double factor) const {
  Ledger l = *this;
  for (const auto term : k_terms) l.*term *= factor;
  return l;
}

}  // namespace leafhunger
