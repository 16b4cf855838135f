// One run written in every form of time: the same instants and the same cells as its ISO form.
#include "logs/samples.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <array>
#include <cstdio>
#include <string>
#include <vector>

namespace coldbag {
namespace {

constexpr int rows = 300;                    // five hours from 20:10, over a midnight
constexpr std::int64_t start_s = 1772914200; // 2026-03-07T20:10:00 (GNU date)

struct Form {
  std::string name;
  std::string header;
  std::string (*time)(const CalendarTime& at, std::int64_t second);
  bool has_date = true;
  LogOptions options = {};
};

template <class... Args>
std::string print(const char* format, Args... args) {
  std::array<char, 128> text{};
  (void)std::snprintf(text.data(), text.size(), format, args...);
  return text.data();
}

int twelve(int hour) {
  return hour % 12 == 0 ? 12 : hour % 12;
}

std::string in_12_hours(const CalendarTime& at, const char* am, const char* pm) {
  return print("%d:%02d:00 %s", twelve(at.hour), at.minute, at.hour < 12 ? am : pm);
}

LogOptions with(void (*set)(LogOptions&)) {
  LogOptions options;
  set(options);
  return options;
}

std::vector<Form> forms() {
  using C = const CalendarTime&;
  const LogOptions day_first = with([](LogOptions& o) { o.date_order = DateOrder::day_first; });
  return {
      {"iso", "Time", [](C, std::int64_t s) { return print_iso_wall({s * 1'000'000}); }},
      {"dots", "Time",
       [](C t, std::int64_t) {
         return print("%02d.%02d.%d %02d:%02d:00", t.day, t.month, t.year, t.hour, t.minute);
       }},
      {"day first", "Time",
       [](C t, std::int64_t) {
         return print("%02d/%02d/%d %02d:%02d", t.day, t.month, t.year, t.hour, t.minute);
       }},
      {"month first", "Time",
       [](C t, std::int64_t) { return print("%d/%d/%d %d:%02d", t.month, t.day, t.year, t.hour, t.minute); }},
      {"dashes, order given", "Time",
       [](C t, std::int64_t) {
         return print("%02d-%02d-%d %02d:%02d", t.day, t.month, t.year, t.hour, t.minute);
       },
       true, day_first},
      {"two-digit years", "Time",
       [](C t, std::int64_t) {
         return print("%02d/%02d/%02d %02d:%02d", t.month, t.day, t.year % 100, t.hour, t.minute);
       }},
      {"two-digit years in front", "Time",
       [](C t, std::int64_t) {
         return print("%02d-%02d-%02d %02d:%02d", t.year % 100, t.month, t.day, t.hour, t.minute);
       }},
      {"points in clock and date", "Time",
       [](C t, std::int64_t) {
         return print("%02d.%02d.%d %02d.%02d.00", t.day, t.month, t.year, t.hour, t.minute);
       }},
      {"an h in the clock", "Time",
       [](C t, std::int64_t) { return print("%d mars %d %02dh%02d", t.day, t.year, t.hour, t.minute); }},
      {"clock with points in its own column", "Day,Logged",
       [](C t, std::int64_t) {
         return print("%d.%d.%d,%02d.%02d.00", t.day, t.month, t.year, t.hour, t.minute);
       }},
      {"clock of two parts with a point in its own column", "Day,Time",
       [](C t, std::int64_t) {
         return print("%d.%d.%d,%02d.%02d", t.day, t.month, t.year, t.hour, t.minute);
       }},
      {"as asctime writes it", "Time",
       [](C t, std::int64_t) {
         return print("Sat Mar %2d %02d:%02d:00 %d", t.day, t.hour, t.minute, t.year);
       }},
      {"midnight as 24:00", "Time",
       [](C t, std::int64_t) {
         return t.hour == 0 && t.minute == 0
                    ? print("%d-%02d-%02d 24:00:00", t.year, t.month, t.day - 1)
                    : print("%d-%02d-%02d %02d:%02d:00", t.year, t.month, t.day, t.hour, t.minute);
       }},
      {"seconds of 60", "Time",
       [](C, std::int64_t s) {
         const CalendarTime before = calendar_time({(s - 60) * 1'000'000});
         return print("%d-%02d-%02d %02d:%02d:60", before.year, before.month, before.day, before.hour,
                      before.minute);
       }},
      {"German", "Time",
       [](C t, std::int64_t) {
         return print("%d. M\u00E4rz %d %02d:%02d", t.day, t.year, t.hour, t.minute);
       }},
      {"year first", "Time",
       [](C t, std::int64_t) {
         return print("%d/%02d/%02d %02d:%02d", t.year, t.month, t.day, t.hour, t.minute);
       }},
      {"month by name", "Time",
       [](C t, std::int64_t) { return print("%02d-Mar-%d %02d:%02d:00", t.day, t.year, t.hour, t.minute); }},
      {"Spanish", "Fecha",
       [](C t, std::int64_t) {
         return print("%d de marzo de %d ", t.day, t.year) + in_12_hours(t, "a. m.", "p. m.");
       }},
      {"quoted, month in front", "Time",
       [](C t, std::int64_t) {
         return print("\"Mar %d, %d ", t.day, t.year) + in_12_hours(t, "AM", "PM") + "\"";
       }},
      {"two columns", "Date,Clock",
       [](C t, std::int64_t) {
         return print("%d/%d/%d,", t.month, t.day, t.year) + in_12_hours(t, "am", "pm");
       }},
      {"epoch", "Timestamp", [](C, std::int64_t s) { return std::to_string(s); }},
      {"epoch in ms", "Timestamp", [](C, std::int64_t s) { return std::to_string(s * 1000); }},
      {"spreadsheet", "Time",
       [](C, std::int64_t s) { return print("%.6f", static_cast<double>(s) / 86400 + 25569); }},
      {"spreadsheet from 1904", "Time",
       [](C, std::int64_t s) { return print("%.10f", static_cast<double>(s) / 86400 + 24107); }, true,
       with([](LogOptions& o) { o.time_form = TimeRule::Form::serial_1904; })},
      {"clock with its date given", "Time",
       [](C t, std::int64_t) { return print("%02d:%02d", t.hour, t.minute); }, true,
       with([](LogOptions& o) { o.date = parse_iso_time("2026-03-07")->wall; })},
      {"clock alone", "Time", [](C t, std::int64_t) { return print("%02d:%02d:00", t.hour, t.minute); },
       false},
      {"elapsed s", "elapsed (s)", [](C, std::int64_t s) { return std::to_string(s - start_s); }, false},
      {"elapsed h:mm:ss", "elapsed",
       [](C, std::int64_t s) {
         const int e = static_cast<int>(s - start_s);
         return print("%d:%02d:%02d", e / 3600, e / 60 % 60, e % 60);
       },
       false},
      {"elapsed days", "elapsed (d)",
       [](C, std::int64_t s) { return print("%.12f", static_cast<double>(s - start_s) / 86400); }, false},
  };
}

std::string text_of(const Form& form, bool newest_first) {
  std::vector<std::string> lines;
  for (int i = 0; i < rows; ++i) {
    const std::int64_t second = start_s + 60 * i;
    lines.push_back(form.time(calendar_time({second * 1'000'000}), second) + "," +
                    std::to_string(20 + i % 80) + ".5\n");
  }
  if (newest_first) std::reverse(lines.begin(), lines.end());
  std::string text = form.header + ",Core 1 (C)\n";
  for (const std::string& line : lines)
    text += line;
  return text;
}

} // namespace

TEST_CASE("every form of time gives the instants and cells of the ISO form, either way round") {
  const auto all_forms = forms();
  const test::AllRows iso = test::all_rows(test::open_text(text_of(all_forms[0], false)));
  REQUIRE(iso.rows.time_s.size() == rows);
  for (const Form& form : all_forms)
    for (const bool newest_first : {false, true}) {
      CAPTURE(form.name);
      CAPTURE(newest_first);
      const ProbeLog log = test::open_text(text_of(form, newest_first), form.options);
      const test::AllRows all = test::all_rows(log);
      CHECK(all.rows.time_s == iso.rows.time_s);
      CHECK(all.rows.value == iso.rows.value);
      CHECK(all.tally.empty());
      CHECK(log.survey().start_wall.has_value() == form.has_date);
      if (form.has_date) CHECK(print_iso_wall(*log.survey().start_wall) == "2026-03-07T20:10:00");
    }
}

TEST_CASE("what settles the order of day and month is said") {
  const auto order_of = [](const std::string& text, const LogOptions& options = {}) {
    return test::open_text("Time,Core 1 (C)\n" + text, options).understanding().time.date_order.value();
  };
  CHECK(order_of("08/03/2026 14:00,96\n13/03/2026 14:00,96\n") ==
        Choice<DateOrder>{DateOrder::day_first, How::found,
                          "line 3, 13/03/2026 14:00, is no date month first"});
  CHECK(order_of("08/03/2026 23:59,96\n08/04/2026 00:00,96\n") ==
        Choice<DateOrder>{DateOrder::month_first, How::found,
                          "line 3, 08/04/2026 00:00, would be a jump of weeks day first"});
  CHECK(order_of("26/03/04 23:59,96\n26/03/05 00:00,96\n")
            .evidence.starts_with("line 3, 26/03/05 00:00, would be a jump of weeks day first; line 2, "
                                  "26/03/04 23:59, is no date month first"));
  LogOptions given;
  given.date_order = DateOrder::month_first;
  CHECK(order_of("08/03/2026 14:00,96\n", given) ==
        Choice<DateOrder>{DateOrder::month_first, How::given, "--date-order"});
  CHECK(order_of("05/05/2026 14:00,96\n").evidence == "day and month are the same number in every date");
}

TEST_CASE("the date that settles the order may stand anywhere in the log") {
  std::string text = "Time,Core 1 (C)\n";
  for (int day = 1; day <= 28; ++day)
    for (int minute = 0; minute < 1440; ++minute)
      if (day == 12 || day == 13)
        text += print("03/%02d/2026 %02d:%02d,96.5\n", day, minute / 60, minute % 60);
  const ProbeLog log = test::open_text(text);
  CHECK(log.understanding().time.date_order->value == DateOrder::month_first);
  CHECK(print_iso_wall(*log.survey().start_wall) == "2026-03-12T00:00:00");
}

TEST_CASE("each reading of two-digit years says where they turn") {
  const ProbeLog log = test::open_text("Time,Core 1 (C)\n13/03/26 23:59,96\n14/03/26 00:00,96\n");
  CHECK(log.understanding().time.date_order->evidence.find("69 to 99 are 1969 to 1999") != std::string::npos);
}

} // namespace coldbag
