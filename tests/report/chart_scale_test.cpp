#include "report/chart_scale.h"

#include <doctest/doctest.h>

#include <algorithm>

using namespace coldbag;

namespace {

RunClock clock_in(const char* zone, const char* start_utc) {
  RunClock clock;
  const auto time = parse_iso_time(start_utc);
  clock.start = Instant(std::chrono::microseconds(time->wall.us));
  clock.zone = zone;
  return clock;
}

} // namespace

TEST_CASE("an axis has round marks that hold both ends") {
  const ValueAxis axis = value_axis(21.7, 121.9, 8);
  CHECK(axis.low <= 21.7);
  CHECK(axis.high >= 121.9);
  CHECK(axis.marks.front() == axis.low);
  CHECK(axis.marks.back() == axis.high);
  CHECK(axis.marks[1] - axis.marks[0] == 20);
  CHECK(axis.decimals == 0);
  CHECK(value_axis(0, 0.35, 4).decimals > 0);
}

TEST_CASE("two equal values still have an axis") {
  const ValueAxis axis = value_axis(96, 96, 5);
  CHECK(axis.high > axis.low);
  CHECK(axis.marks.size() >= 2);
}

TEST_CASE("marks of time stand at round times of the site's clock, days where they begin") {
  const auto marks = time_marks(clock_in("America/Bogota", "2026-03-04T23:37:20Z"), 0, 8 * 3600, 9);
  REQUIRE(marks.size() >= 4);
  CHECK(marks.front().text == "19:00");
  CHECK(marks.front().day == "2026-03-04");
  const auto midnight = std::ranges::find(marks, "00:00", &TimeMark::text);
  REQUIRE(midnight != marks.end());
  CHECK(midnight->day == "2026-03-05");
  for (const TimeMark& mark : marks)
    CHECK(mark.text.ends_with(":00"));
}

TEST_CASE("where clocks are put on or back within a run its marks are still at round times") {
  // Summer time began in New York on 2026-03-08 at 02:00 and ends on 2026-11-01 (tz database, from memory).
  for (const char* start : {"2026-03-08T04:10:00Z", "2026-11-01T03:10:00Z"}) {
    const auto marks = time_marks(clock_in("America/New_York", start), 0, 12 * 3600, 13);
    CHECK(marks.size() >= 11);
    for (std::size_t i = 0; i < marks.size(); ++i) {
      CHECK(marks[i].text.ends_with(":00"));
      if (i > 0) CHECK(marks[i].at_s > marks[i - 1].at_s);
    }
  }
}

TEST_CASE("without a clock hours are counted") {
  const auto marks = time_marks(RunClock{}, 0, 3 * 3600, 4);
  REQUIRE(marks.size() == 4);
  CHECK(marks[1].text == "1:00");
  CHECK(marks[1].day.empty());
}

TEST_CASE("labels are moved apart in their order, and none leaves its ends") {
  const std::vector<double> wanted{50, 50, 51, 10, 99.5, 99};
  const auto at = spread_labels(wanted, 10, 0, 100);
  for (std::size_t i = 0; i < at.size(); ++i) {
    CHECK(at[i] >= 5);
    CHECK(at[i] <= 95);
    for (std::size_t j = 0; j < i; ++j)
      CHECK(std::abs(at[i] - at[j]) >= 10 - 1e-9);
  }
  CHECK(at[3] == 10);
  CHECK(at[5] < at[4]);
}

TEST_CASE("more labels than there is room for lie close, within the ends") {
  const auto at = spread_labels(std::vector<double>(24, 40), 11, 0, 120);
  CHECK(*std::ranges::min_element(at) >= 5.5 - 1e-9);
  CHECK(*std::ranges::max_element(at) <= 114.5 + 1e-9);
}

TEST_CASE("labels side by side go to a row of their own where they would touch") {
  CHECK(rows_of_labels({0, 5, 20, 21, 22}, std::vector<double>(5, 10), 1) == std::vector<int>{0, 1, 0, 1, 2});
}
