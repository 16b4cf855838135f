// Every file of odd_times/ writes its times in an unusual but legal way, and is read as the ISO form would
// be.
#include "logs/samples.h"

#include <doctest/doctest.h>

#include <filesystem>
#include <set>
#include <string>
#include <vector>

namespace coldbag {
namespace {

struct Odd {
  std::string file;
  std::string start; ///< ISO; "" where there is no date
  TimeRule::Form form;
  std::size_t rows = 2;
};

std::vector<Odd> odd_logs() {
  using Form = TimeRule::Form;
  return {
      {"month-names", "2026-03-08T14:00:00", Form::written},
      {"twelve-hour-clock", "2026-03-08T14:00:00", Form::written},
      {"clock-without-date", "", Form::clock},
      {"twelve-hours-without-date", "", Form::clock},
      {"month-names-in-spanish", "2026-03-08T14:05:00", Form::written},
      {"month-name-first", "2026-03-08T23:59:00", Form::written},
      {"twelve-hours-over-noon", "2026-03-13T11:59:30", Form::written},
      {"settled-by-a-later-date", "2026-03-09T23:59:00", Form::written},
      {"two-digit-years", "2026-03-13T23:59:00", Form::written},
      {"two-digit-years-in-front", "2026-03-04T23:59:00", Form::written},
      {"year-first-with-slashes", "2026-03-08T09:05:00", Form::written},
      {"fractions-with-comma", "2026-03-08T14:05:09.25", Form::written},
      // GNU date: date -u -d @1772978700.
      {"epoch-seconds", "2026-03-08T14:05:00", Form::epoch},
      {"epoch-milliseconds", "2026-03-08T14:05:00", Form::epoch},
      {"spreadsheet-days", "2026-03-08T14:05:00", Form::serial_1900},
      {"elapsed-days", "", Form::elapsed},
      {"newest-row-first", "2026-03-08T14:00:00", Form::iso, 4},
      {"clock-across-midnight", "2026-03-08T23:59:00", Form::clock},
      {"hours-past-a-day", "", Form::elapsed},
      {"offset-behind-a-twelve-hour-clock", "2026-03-08T14:05:00", Form::written},
      {"clock-before-the-date", "2026-03-08T14:05:00", Form::written},
  };
}

} // namespace

TEST_CASE("odd but legal times are read as their ISO form would be") {
  for (const Odd& odd : odd_logs()) {
    CAPTURE(odd.file);
    const ProbeLog log = ProbeLog::open(test::sample_file("odd_times/" + odd.file + ".csv"), {});
    const test::AllRows all = test::all_rows(log);
    CHECK(log.understanding().time.form.value == odd.form);
    CHECK_FALSE(log.understanding().time.form.evidence.empty());
    CHECK((log.survey().start_wall ? print_iso_wall(*log.survey().start_wall) : "") == odd.start);
    REQUIRE(all.rows.time_s.size() == odd.rows);
    for (std::size_t row = 0; row < odd.rows; ++row) {
      CHECK(all.rows.time_s[row] == static_cast<double>(row) * 60);
      CHECK(all.rows.value[0][row] == (961 + static_cast<double>(row)) / 10);
    }
    CHECK(all.tally.empty());
  }
}

TEST_CASE("every file of odd_times/ is read by the test") {
  std::set<std::string> told;
  for (const Odd& odd : odd_logs())
    told.insert(odd.file + ".csv");
  std::set<std::string> there;
  for (const auto& entry :
       std::filesystem::directory_iterator(std::string(COLDBAG_SOURCE_DIR) + "/tests/logs/odd_times"))
    there.insert(entry.path().filename().string());
  CHECK(told == there);
}

} // namespace coldbag
