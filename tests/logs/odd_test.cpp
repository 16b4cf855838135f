// Every file of odd/ is legal, if unusual, and is read in full.
#include "logs/samples.h"
#include "support/approx.h"

#include <doctest/doctest.h>

#include <filesystem>
#include <map>
#include <set>
#include <string>
#include <vector>

namespace coldbag {
namespace {

struct Odd {
  std::string file;
  std::vector<double> time_s;
  std::vector<std::vector<double>> degC; ///< by column handed on; below absolute zero: no reading
  std::map<std::string, std::int64_t> tally;
};

constexpr double none = -1000;

std::vector<Odd> odd_logs() {
  const std::vector<double> two{0, 60};
  const std::vector<std::vector<double>> one_core{{96.1, 96.2}};
  const std::vector<std::vector<double>> two_cores{{96.1, 96.2}, {95.0, 95.1}};
  return {
      {"mark-and-crlf", two, one_core, {}},
      {"no-last-newline", two, one_core, {}},
      {"preamble-with-unit-and-zone", two, {{(205.0 - 32) / 1.8, (205.2 - 32) / 1.8}}, {}},
      {"semicolons-and-decimal-commas", two, two_cores, {}},
      {"quoted-decimal-commas", two, one_core, {}},
      {"tabs", two, one_core, {}},
      {"offset-in-times", two, one_core, {}},
      {"elapsed-minutes", {0, 30, 60}, {{96.1, 96.2, 96.3}}, {}},
      {"elapsed-durations", {0, 30, 60}, {{96.1, 96.2, 96.3}}, {}},
      {"one-byte-degree-sign", two, one_core, {}},
      {"units-in-cells", two, one_core, {}},
      {"trailing-delimiters", two, one_core, {}},
      {"rows-ragged",
       {0, 60, 120},
       {{96.1, 96.2, 96.3}, {95.0, none, 95.2}},
       {{"too_few_cells", 1}, {"too_many_cells", 1}}},
      {"footer-of-text", two, one_core, {{"footer", 1}}},
      {"header-names-are-numbers", two, two_cores, {}},
      {"columns-that-are-no-probes",
       two,
       {{96.1, 96.2}, {1.5 * 6894.757293168361, 1.6 * 6894.757293168361}},
       {}},
      {"nul-bytes", {0, 60, 120}, {{96.1, none, 96.3}}, {{"text", 1}, {"invalid_bytes", 1}}},
      {"carriage-returns-alone", two, one_core, {}},
      {"pipes", two, one_core, {}},
      {"utf-16-le-with-mark", two, one_core, {}},
      {"utf-16-be-with-mark", two, one_core, {}},
      {"utf-16-le-without-mark", two, one_core, {}},
      {"utf-16-be-without-mark", two, one_core, {}},
      {"windows-1252-spanish", two, {{96.1, 96.2}, {95.0, 95.1}, {10500, 10600}}, {}},
      {"line-ends-mixed", two, one_core, {}},
      {"padding-at-the-end", two, one_core, {{"invalid_bytes", 62}}},
      {"padding-behind-the-last-row", two, one_core, {{"invalid_bytes", 8}}},
      {"blanks-fixed-width", two, two_cores, {}},
      {"blanks-single-with-unit-words", two, two_cores, {}},
      {"blanks-and-decimal-commas", two, two_cores, {}},
      {"blanks-with-a-cell-missing",
       {0, 60, 120},
       {{96.1, none, 96.3}, {95.0, none, 95.2}},
       {{"too_few_cells", 1}}},
      {"thousands-points", two, {{96.1, 96.2}, {101325, 1013250}}, {}},
      {"thousands-commas", two, {{96.1, 96.2}, {101325, 101325}}, {}},
      {"preamble-of-forty-lines", two, {{100, 100}, {95, 95}}, {}},
      {"header-of-two-rows", two, {{96.1, 96.2}, {95.0, 95.1}, {10500, 10600}}, {}},
      {"header-of-three-rows", two, two_cores, {}},
      {"header-with-places-above", two, two_cores, {}},
      {"header-repeats", two, one_core, {{"header_repeats", 1}}},
      {"second-table", two, two_cores, {{"other_table", 3}}},
      {"second-table-then-the-first-again", two, two_cores, {{"other_table", 2}, {"header_repeats", 1}}},
      {"footer-of-totals", two, two_cores, {{"footer", 3}}},
      {"footer-of-one-number", two, two_cores, {{"footer", 1}}},
      {"names-twice", two, two_cores, {}},
      {"no-header-with-row-numbers", {0, 60, 120}, {{96.1, 96.2, 96.3}, {95.0, 95.1, 95.2}}, {}},
      {"unit-columns", two, two_cores, {}},
      {"unit-columns-before-values", two, two_cores, {}},
      {"unit-columns-that-change", {0, 60, 120, 180}, {{100, 100, none, none}}, {{"wrong_unit", 2}}},
      {"unit-column-against-header", two, {{96.1, none}}, {{"wrong_unit", 1}}},
      {"units-in-cells-that-change", {0, 60, 120}, {{100, 100, 100}}, {}},
      {"fault-values",
       {0, 60, 120, 180, 240},
       {{none, none, none, 85.0, none}, {none, none, none, none, 85.0}},
       {{"fault_value", 8}}},
      {"marks-of-nothing",
       {0, 60, 120, 180},
       {{none, none, none, 96.4}, {none, none, none, 95.3}},
       {{"empty", 3}, {"not_a_number", 3}}},
      {"numbers-in-other-forms", two, two_cores, {}},
      {"rows-without-time-first", two, two_cores, {{"bad_time", 1}}},
      {"preamble-of-numbers-elapsed", {0, 60, 120}, {{96.1, 96.2, 96.3}, {95.0, 95.1, 95.2}}, {}},
      {"pressures", two, {{96.1, 96.2}, {99900, 150000}}, {}},
      {"minus-signs-and-wide-blanks",
       {0, 60, 120, 180},
       {{-1.5, 96.2, none, -2.5}, {101325, 101325, none, 101325.5}},
       {{"empty", 2}}},
      {"blank-lines-between-rows", two, one_core, {}},
      {"missing-readings-first", {0, 60, 120}, {{none, none, 96.2}}, {{"not_a_number", 1}, {"empty", 1}}},
  };
}

ProbeLog open_odd(const Odd& odd) {
  LogOptions options;
  const bool lacks_unit = odd.file == "header-names-are-numbers" || odd.file == "no-header-with-row-numbers";
  if (lacks_unit) options.temperature_unit = ColumnUnit::degC;
  return ProbeLog::open(test::sample_file("odd/" + odd.file + ".csv"), options);
}

} // namespace

TEST_CASE("odd but legal logs are read in full") {
  for (const Odd& odd : odd_logs()) {
    CAPTURE(odd.file);
    const ProbeLog log = open_odd(odd);
    const test::AllRows all = test::all_rows(log);
    CHECK(all.rows.time_s == odd.time_s);
    REQUIRE(all.rows.value.size() == odd.degC.size());
    for (std::size_t c = 0; c < odd.degC.size(); ++c) {
      for (std::size_t r = 0; r < odd.degC[c].size(); ++r) {
        CAPTURE(r);
        const bool expected = odd.degC[c][r] > none;
        CHECK((all.rows.has[c][r] != 0) == expected);
        // A psi is 6894.757 Pa (NIST SP 811, table B.8, from memory), here to more digits.
        if (expected) CHECK(test::within(all.rows.value[c][r], odd.degC[c][r], 0, 1e-12));
      }
    }
    std::map<std::string, std::int64_t> counts;
    for (const CellTally& tally : all.tally)
      counts[tally.kind] = tally.count;
    CHECK(counts == odd.tally);
  }
}

TEST_CASE("every file of odd/ is read by the test") {
  std::set<std::string> told;
  for (const Odd& odd : odd_logs())
    told.insert(odd.file + ".csv");
  std::set<std::string> there;
  for (const auto& entry :
       std::filesystem::directory_iterator(std::string(COLDBAG_SOURCE_DIR) + "/tests/logs/odd"))
    there.insert(entry.path().filename().string());
  CHECK(told == there);
}

} // namespace coldbag
