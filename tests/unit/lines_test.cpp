// Text for 80 columns.
#include "host/lines.hpp"

#include <gtest/gtest.h>

#include <sstream>

namespace leafhunger::lines {
namespace {

TEST(Lines, CountsCharactersNotBytes) {
  EXPECT_EQ(width("Bananas"), 7u);
  EXPECT_EQ(width("£3.20"), 5u);
  EXPECT_EQ(width(""), 0u);
}

TEST(Lines, PadsToColumns) {
  EXPECT_EQ(padded("ab", 4), "ab  ");
  EXPECT_EQ(padded("£", 3), "£  ");
  EXPECT_EQ(padded("abcdef", 4), "abcdef");
  EXPECT_EQ(right("ab", 4), "  ab");
  EXPECT_EQ(right("£1", 4), "  £1");
  EXPECT_EQ(right("abcdef", 4), "abcdef");
}

TEST(Lines, WrapsAtBlanks) {
  EXPECT_EQ(wrapped("- ", "one two three", 2, 9), "- one two\n  three\n");
  EXPECT_EQ(wrapped("", "one", 0, 80), "one\n");
  EXPECT_EQ(wrapped("", "", 0, 80), "\n");
  EXPECT_EQ(wrapped("> ", "a  b", 2, 80), "> a b\n") << "blanks in a row are one";
}

TEST(Lines, AWordThatIsTooLongStandsAlone) {
  const std::string text = wrapped("", "a verylongwordindeed b", 0, 10);
  EXPECT_EQ(text, "a\nverylongwordindeed\nb\n");
}

TEST(Lines, NeverPassTheWidthWhereTheWordsFit) {
  std::string text;
  for (int k = 0; k < 200; ++k) text += std::string(static_cast<std::size_t>(1 + k % 9), 'x') + (k % 5 == 0 ? "£ " : " ");
  std::istringstream in(wrapped("  ! ", text, 4));
  int lines = 0;
  for (std::string line; std::getline(in, line); ++lines) {
    EXPECT_LE(width(line), k_width);
    EXPECT_TRUE(line.starts_with(lines == 0 ? "  ! " : "    "));
    EXPECT_NE(line.back(), ' ');
  }
  EXPECT_GT(lines, 10);
}

TEST(Lines, FixesDigitsWithoutAMinusBeforeNought) {
  EXPECT_EQ(fixed(1.005, 1), "1.0");
  EXPECT_EQ(fixed(-0.04, 1), "0.0");
  EXPECT_EQ(fixed(-0.06, 1), "-0.1");
  EXPECT_EQ(fixed(0, 0), "0");
  EXPECT_EQ(fixed(-1e-12, 2), "0.00");
  EXPECT_EQ(fixed(12.5, 2), "12.50");
}

}  // namespace
}  // namespace leafhunger::lines
