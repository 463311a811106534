// `leafhunger topup`: its sentences, and what it says of options at fault.
#include <gtest/gtest.h>

#include <limits>
#include <nlohmann/json.hpp>

#include "leafhunger/report.hpp"
#include "support/command.hpp"
#include "support/garden.hpp"

namespace leafhunger {
namespace {

using testing::Answer;
using testing::command;
using testing::garden_of;

std::string one_bed() { return std::string(LEAFHUNGER_SOURCE_DIR) + "/scenarios/one-bed.json"; }

TEST(TopUpOptions, EachSaysInASentenceWhatIsWrong) {
  struct Case {
    std::vector<std::string> words;
    std::string said;
  };
  for (const Case& c : std::vector<Case>{
           {{"--material", "dried-bloot"}, "--material: found \"dried-bloot\"; allowed is "},
           {{"--material", "dried-blood,moon-dust"}, "--material: found \"moon-dust\"; allowed is "},
           {{"--plantings", "Banana"}, "did you mean \"Bananas\"?"},
           {{"--intervals", "14,x"}, "--intervals: found \"x\"; allowed is whole numbers of days, 1 to 365; such as --intervals 28 42 56."},
           {{"--intervals", "0"}, "--intervals: found 0; allowed is 1 to 365 days"},
           {{"--intervals", "14.5"}, "--intervals: found \"14.5\"; allowed is whole numbers of days"},
           {{"--doses", "much"}, "--doses: found \"much\"; allowed is grams a plant, more than 0; such as --doses 20 40 60."},
           {{"--doses", "-3"}, "--doses"},
           {{"--first-after", "soon"}, "--first-after: found \"soon\"; allowed is whole numbers of days, 1 to 365"},
           {{"--first-after", "366"}, "--first-after: found 366; allowed is 1 to 365 days"},
           {{"--until", "31-08"}, "--until: found \"31-08\"; allowed is a day as MM-DD, such as 08-31"},
           {{"--until", "03-01"},
            "--until: found no day on which to top up \"Bananas\"; allowed is a last day that comes after the first top-up"},
           {{"--prefer", "price"}, "--prefer: found \"price\"; allowed is cost, trips and leached, what matters most first"},
           {{"--prefer", "cost,trips,cost"}, "--prefer: found \"cost\" a second time; allowed is each of cost, trips and leached once"},
           {{"--years", "11/10"}, "--years: found \"11/10\"; allowed is years of years such as 9/10, or a share above 0 and at most 1"},
           {{"--years", "0"}, "--years: found \"0\""},
           {{"--years", "most"}, "--years: found \"most\""},
           {{"--leached-at-most", "few"},
            "--leached-at-most: found \"few\"; allowed is 0 or more g of nitrogen a square metre in a season"},
           {{"--leached-at-most", "nan"}, "--leached-at-most: found \"nan\""},
           {{"--out", "schedules.txt"}, "schedules.txt, --out: found the ending \".txt\"; allowed is .csv for a table of the schedules"},
           {{"--out", "schedules"}, "schedules, --out: found a name without an ending"}}) {
    std::vector<std::string> words{"topup", one_bed()};
    if (c.words[0] != "--material") words.insert(words.end(), {"--material", "dried-blood"});
    words.insert(words.end(), c.words.begin(), c.words.end());
    const Answer a = command(words);
    EXPECT_EQ(a.status, 2) << c.said;
    EXPECT_EQ(a.out, "") << c.said;
    EXPECT_NE(a.err.find(c.said), std::string::npos) << "wanted: " << c.said << "\nfound: " << a.err;
  }
}

TEST(TopUpOptions, AMaterialIsWhatPeopleCallIt) {
  const auto asked = [](const std::vector<std::string>& materials) {
    std::vector<std::string> words{"topup", one_bed(), "--intervals", "42", "--doses", "30", "--material"};
    words.insert(words.end(), materials.begin(), materials.end());
    return command(words);
  };
  const Answer by_id = asked({"dried-blood"});
  ASSERT_EQ(by_id.status, 0) << by_id.err;
  EXPECT_EQ(asked({"dried blood"}).out, by_id.out);
  EXPECT_EQ(asked({"Dried Blood", "dried-blood"}).out, by_id.out) << "one material, however often it is named";
  const Answer several = asked({"chicken"}), none = asked({"dryed blod"});
  EXPECT_EQ(several.status, 2);
  EXPECT_NE(several.err.find("--material: found \"chicken\", which may be any of "), std::string::npos) << several.err;
  EXPECT_NE(several.err.find("\"poultry-manure-pellets\""), std::string::npos) << several.err;
  EXPECT_NE(none.err.find("allowed is a material of the catalogue; the nearest is \"dried-blood\""), std::string::npos) << none.err;
}

TEST(TopUpOptions, AFileIsNotOverwrittenUnasked) {
  const testing::TempFolder folder;
  const std::vector<std::string> words{"topup", one_bed(), "--material", "dried-blood", "--intervals",
                                       "42",    "--doses", "30",         "--out",       folder.at("schedules.csv")};
  ASSERT_EQ(command(words).status, 0);
  const std::string first = testing::read_all(folder.at("schedules.csv"));
  EXPECT_EQ(first.rfind("planting,material,interval_d,dose_g_per_plant,", 0), 0u);
  EXPECT_EQ(command(words).status, 2);
  auto forced = words;
  forced.push_back("--force");
  EXPECT_EQ(command(forced).status, 0);
  EXPECT_EQ(testing::read_all(folder.at("schedules.csv")), first);
}

TEST(YearsShare, IsReadAsPeopleWriteIt) {
  for (const auto& [text, of, in] : std::vector<std::tuple<std::string, int, int>>{
           {"9/10", 9, 10}, {"0.9", 9, 10}, {"18/20", 9, 10}, {"1", 1, 1}, {"1.0", 1, 1}, {".5", 0, 0}, {"0.95", 19, 20}, {"2/3", 2, 3}}) {
    const auto share = parse_years_share(text);
    if (of == 0) {
      EXPECT_FALSE(share) << text;
      continue;
    }
    ASSERT_TRUE(share) << text;
    EXPECT_EQ(share->of, of) << text;
    EXPECT_EQ(share->in, in) << text;
  }
  for (const char* text : {"", "/", "9/", "/10", "0/10", "10/9", "-1/2", "1.5", "0", "0.0", "nine", "9/10/2", "1e-1", "0.1234567"})
    EXPECT_FALSE(parse_years_share(text)) << text;
  for (int n = 1; n <= 100; ++n) EXPECT_EQ(YearsShare{}.years(n), nine_in_ten(n));
  EXPECT_EQ((YearsShare{1, 1}.years(14)), 14);
  EXPECT_EQ((YearsShare{2, 3}.years(14)), 10);
}

void expect_fits(const std::string& text) {
  std::size_t begin = 0;
  while (begin < text.size()) {
    const std::size_t end = std::min(text.find('\n', begin), text.size());
    std::size_t columns = 0;
    for (std::size_t i = begin; i < end; ++i) columns += (static_cast<unsigned char>(text[i]) & 0xC0) != 0x80;
    EXPECT_LE(columns, 80u) << text.substr(begin, end - begin);
    begin = end + 1;
  }
}

TEST(TopUpWords, SayTheScheduleAndTheCustom) {
  TopUpQuestion q;
  q.materials = {"dried-blood"}, q.intervals_d = {28, 41, 56}, q.doses_g_per_plant = {20, 55};
  const TopUpResult r = tune_top_ups(garden_of(testing::one_bed(4)), q);
  const std::string text = in_words(r);
  ASSERT_TRUE(r.plantings[0].best) << text;
  for (const char* part :
       {"a plant, ", " trips: ", " a season. Keeps it in ", " Every six weeks, the", "fewest trips first, then lowest cost"})
    EXPECT_NE(text.find(part), std::string::npos) << part << "\n" << text;
  EXPECT_NE(in_words(r, true).find("Of 6 schedules (3 intervals x 2 doses"), std::string::npos) << in_words(r, true);
  for (const bool more : {false, true}) expect_fits(in_words(r, more));
}

TEST(TopUpWords, CallCustomEnoughOnlyWhereItIs) {
  TopUpQuestion q;
  q.materials = {"dried-blood"}, q.intervals_d = {28, 56}, q.doses_g_per_plant = {20, 55};
  TopUpResult r = tune_top_ups(garden_of(testing::one_bed(4)), q);
  ASSERT_TRUE(r.plantings[0].best) << in_words(r);
  const auto flat = [&] {
    std::string text = in_words(r);
    for (std::size_t at; (at = text.find("\n  ")) != std::string::npos;) text.replace(at, text.find_first_not_of("\n ", at) - at, " ");
    return text;
  };
  PlantingTopUp& p = r.plantings[0];
  p.best->interval_d = 21, p.custom_interval_d = 28, p.custom_kept = r.years_wanted - 1;
  EXPECT_NE(
      flat().find("Every four weeks, the nearer custom, would keep it in " + std::to_string(r.years_wanted - 1) + ", which is too few."),
      std::string::npos)
      << flat();
  p.custom_kept = r.years_wanted;
  EXPECT_NE(flat().find("Every four weeks, the nearer custom, would keep it in " + std::to_string(r.years_wanted) + " too."),
            std::string::npos)
      << flat();
  p.best->interval_d = 42, p.custom_interval_d = 42;
  EXPECT_NE(flat().find("Every six weeks is a custom."), std::string::npos) << flat();
  EXPECT_NE(flat().find("Custom is every four weeks or every six. Weather of "), std::string::npos) << flat();
}

TEST(TopUpWords, CountTheSeasonsOfTheGridAlone) {
  for (const std::vector<double>& doses : {std::vector<double>{0.01}, {55}, {20, 55}, {20, 40, 55}})
    for (const int interval_d : {21, 28, 35, 56})
      for (const double leached : {std::numeric_limits<double>::infinity(), 0.0}) {
        TopUpQuestion q;
        q.materials = {"dried-blood"}, q.intervals_d = {interval_d}, q.doses_g_per_plant = doses, q.leached_at_most_g_n_m2 = leached;
        const TopUpResult r = tune_top_ups(garden_of(testing::one_bed(4)), q);
        EXPECT_LE(r.searched.seasons_run, r.searched.seasons_asked) << doses.size() << " doses every " << interval_d << " days";
        const std::string text = in_words(r, true);
        if (doses.size() > 1) continue;
        EXPECT_NE(text.find("Of 1 schedule (1 interval x 1 dose, for each"), std::string::npos) << text;
        EXPECT_EQ(text.find("1 are "), std::string::npos) << text;
        EXPECT_EQ(text.find("1 fall "), std::string::npos) << text;
      }
}

TEST(TopUpWords, WarnOfNitrogenInAutumn) {
  TopUpQuestion q;
  q.materials = {"dried-blood"}, q.intervals_d = {56}, q.doses_g_per_plant = {55};
  const auto warns = [&](MonthDay until, MonthDay carry_to) {
    q.until = {until};
    Scenario s = testing::one_bed(4);
    s.question.carry_to = carry_to;
    const TopUpResult r = tune_top_ups(garden_of(std::move(s)), q);
    EXPECT_TRUE(r.plantings[0].best);
    const bool late = (month_day_of(make_date(2006, r.plantings[0].best->last)) > MonthDay{8, 31});
    const bool told = std::any_of(r.cautions.begin(), r.cautions.end(), [](const Caution& c) { return c.key == "late-nitrogen"; });
    EXPECT_EQ(told, late);
    return told;
  };
  EXPECT_FALSE(warns({8, 31}, {8, 31}));
  EXPECT_FALSE(warns({10, 15}, {8, 31})) << "past the date asked about none is advised";
  EXPECT_TRUE(warns({10, 15}, {10, 15}));
}

// By hand: what the bed is given by the square metre, and so many doses of so many plants over the ground that they feed from.
TEST(TopUpWords, WarnWhereFeedAndTopUpsTogetherAreMuch) {
  int warned = 0;
  for (const auto& [fed_g_m2, interval_d] : {std::pair{50.0, 70}, {100.0, 14}, {200.0, 14}}) {
    Scenario s = testing::one_bed(4);
    s.feedings[0].amount.value = fed_g_m2;
    const double fed = fed_g_m2 * s.catalogue.materials.at(s.feedings[0].material).n_percent / 100;
    TopUpQuestion q;
    q.materials = {"dried-blood"}, q.intervals_d = {interval_d}, q.doses_g_per_plant = {110};
    const double n_percent = s.catalogue.materials.at("dried-blood").n_percent;
    const TopUpResult r = tune_top_ups(garden_of(std::move(s)), q);
    double most = 0;
    for (const PlantingTopUp& p : r.plantings)
      if (p.best) most = std::max(most, fed + p.best->top_ups * p.best->dose_g_per_plant * p.count / p.area_m2 * n_percent / 100);
    const auto told = std::find_if(r.cautions.begin(), r.cautions.end(), [](const Caution& c) { return c.key == "yearly-limit"; });
    EXPECT_EQ(told != r.cautions.end(), most > 25) << fed_g_m2 << ": " << most;
    if (told != r.cautions.end()) {
      ++warned;
      EXPECT_NE(told->words.find("would get " + std::to_string(std::lround(most)) + " g of nitrogen"), std::string::npos) << told->words;
    }
  }
  EXPECT_GT(warned, 0);
  EXPECT_LT(warned, 3);
}

TEST(TopUpWords, SayWhatWouldHaveToGive) {
  TopUpQuestion q;
  q.materials = {"dried-blood"}, q.intervals_d = {28, 56};
  const auto ask = [&](TopUpGives gives) {
    const TopUpResult r = tune_top_ups(garden_of(testing::one_bed(3)), q);
    EXPECT_FALSE(r.plantings[0].best);
    EXPECT_EQ(r.plantings[0].gives, gives);
    for (const bool more : {false, true}) expect_fits(in_words(r, more));
    EXPECT_TRUE(nlohmann::json::accept(in_json(r)));
    return in_words(r);
  };
  q.doses_g_per_plant = {0.01};
  EXPECT_NE(ask(TopUpGives::years).find("nothing tried keeps it in "), std::string::npos);
  q.doses_g_per_plant = {0.01, 5000};
  EXPECT_NE(ask(TopUpGives::scorch).find("only doses that could scorch keep it in "), std::string::npos);
  q.doses_g_per_plant = {5000};
  EXPECT_NE(ask(TopUpGives::scorch).find("Split them"), std::string::npos);
  q.doses_g_per_plant = {30, 60}, q.leached_at_most_g_n_m2 = 0;
  EXPECT_NE(ask(TopUpGives::leached).find("0 is allowed"), std::string::npos);
}

TEST(TopUpWords, OfOneCalendarForAll) {
  Scenario s = testing::one_bed(3);
  s.beds[0].plantings.push_back(testing::planting(s, "Cannas", "canna", 3));
  TopUpQuestion q;
  q.materials = {"dried-blood", "sulphate-of-ammonia"}, q.intervals_d = {28, 42}, q.doses_g_per_plant = {10, 30, 60}, q.together = true;
  q.until = {{7, 31}, {8, 31}}, q.first_after_d = {21, 30};
  const TopUpResult r = tune_top_ups(garden_of(std::move(s)), q);
  for (const bool more : {false, true}) expect_fits(in_words(r, more));
  ASSERT_TRUE(r.together && r.together->best) << in_words(r);
  EXPECT_EQ(r.together->calendars + r.plantings[0].searched.same_dates / 6, 8u) << "first days x last days x intervals";
}

}  // namespace
}  // namespace leafhunger
