// A paper sheet as it is typed off, row by row, and the log it becomes.
#include "errors/user_error.h"
#include "logs/paper_sheet.h"
#include "logs/rows.h"

#include <doctest/doctest.h>

#include <string>
#include <vector>

using namespace coldbag;

namespace {

constexpr SheetRange range{-30, 160};
const std::vector<std::string> above{"98", "", "97.1"};

std::vector<SheetCell> cells(const std::string& line) {
  const auto typed = typed_cells(line, above, false, range);
  REQUIRE_MESSAGE(typed.value, typed.problem);
  return *typed.value;
}

std::string problem(const std::string& line) {
  return typed_cells(line, above, false, range).problem;
}

WallTime at(int day, int hour, int minute) {
  return *wall_time({2026, 3, day, hour, minute, 0});
}

const PaperSheet sheet{{"Core 1", "Core, 2"}, false, 1800, "A"};

std::string log_text() {
  return sheet_head(sheet, Instant{}) + sheet_line(sheet, {at(8, 23, 30), {{"98.4", ""}, {"", "97"}}, ""}) +
         sheet_line(sheet, {at(9, 0, 0), {{"96", "99.9"}, {"97.1", ""}}, "said \"wet\", looked at"});
}

std::string refusal(const std::string& bytes) {
  try {
    (void)read_begun_sheet("s.csv", bytes);
  } catch (const UserError& error) {
    return error.what();
  }
  return "";
}

} // namespace

TEST_CASE("readings, blanks, ditto marks and crossed-out values") {
  CHECK(cells("98,4") == std::vector<SheetCell>{{"98.4", ""}});
  CHECK(cells("") == std::vector<SheetCell>{{"", ""}});
  CHECK(cells("-") == std::vector<SheetCell>{{"", ""}});
  CHECK(cells("\"") == std::vector<SheetCell>{{"98", ""}});
  CHECK(cells("98.4>97,1") == std::vector<SheetCell>{{"97.1", "98.4"}});
  CHECK(cells("98.4 > 97.1 C") == std::vector<SheetCell>{{"97.1", "98.4"}});
  CHECK(cells("98.4>") == std::vector<SheetCell>{{"", "98.4"}});
  CHECK(cells("984>98.4") == std::vector<SheetCell>{{"98.4", "984"}});
  CHECK(cells("985!") == std::vector<SheetCell>{{"985", ""}});
}

TEST_CASE("one line may hold several readings") {
  CHECK(cells("96 - \"") == std::vector<SheetCell>{{"96", ""}, {"", ""}, {"97.1", ""}});
  CHECK(cells("96,5; 95,5;94 C") == std::vector<SheetCell>{{"96.5", ""}, {"95.5", ""}, {"94", ""}});
  CHECK(cells("96, 95") == std::vector<SheetCell>{{"96", ""}, {"95", ""}});
}

TEST_CASE("what is no reading is said and not guessed") {
  CHECK(problem("abc").find("no reading") != std::string::npos);
  CHECK(problem("98.4.1").find("no reading") != std::string::npos);
  CHECK(problem("98.4 F").find("not the unit") != std::string::npos);
  CHECK(problem("985").find("hardly a temperature") != std::string::npos);
  CHECK(problem("-31").find("hardly a temperature") != std::string::npos);
  CHECK(problem("96 \"").find("no reading above") != std::string::npos);
  CHECK(problem(">97").find("before") != std::string::npos);
  CHECK(problem("98>985").find("hardly") != std::string::npos);
}

TEST_CASE("a clock is the next one after the row above, over midnight too") {
  for (const char* text : {"14:30", "1430", "14h30", "2:30 pm", "2:30 P.M.", "0230pm"}) {
    CAPTURE(text);
    CHECK(typed_time(text, at(8, 14, 0), at(8, 14, 30)).value == at(8, 14, 30));
  }
  CHECK(typed_time("0030", at(8, 23, 45), at(9, 0, 15)).value == at(9, 0, 30));
  CHECK(typed_time("12:05 am", at(8, 23, 45), at(9, 0, 15)).value == at(9, 0, 5));
  CHECK(typed_time("930", std::nullopt, at(8, 0, 0)).value == at(8, 9, 30));
  CHECK(typed_time("2026-03-09 00:30", at(8, 23, 45), at(9, 0, 15)).value == at(9, 0, 30));
}

TEST_CASE("a clock that goes back is a slip, unless its date says otherwise") {
  CHECK(typed_time("13:30", at(8, 14, 0), at(8, 14, 30)).problem.find("12 h") != std::string::npos);
  CHECK(typed_time("14:00", at(8, 14, 0), at(8, 14, 30)).problem.find("12 h") != std::string::npos);
  CHECK(typed_time("2026-03-09 13:30", at(8, 14, 0), at(8, 14, 30)).value == at(9, 13, 30));
  CHECK(typed_time("2026-03-08 13:30", at(8, 14, 0), at(8, 14, 30)).problem.find("not after") !=
        std::string::npos);
  for (const char* text : {"98.4", "20,5", "25:00", "14:7", "1460", "abc", "14", "13:00 pm", "12345"}) {
    CAPTURE(text);
    CHECK_FALSE(typed_time(text, at(8, 14, 0), at(8, 14, 30)).value.has_value());
  }
}

TEST_CASE("the log is read back by hand, and what was crossed out is no probe") {
  const ProbeLog log = ProbeLog::open(Source::memory("s.csv", log_text()), {});
  const Understanding& u = log.understanding();
  CHECK(u.by_hand.value);
  CHECK(u.by_hand.evidence.find("Transcribed by: A") != std::string::npos);
  REQUIRE(u.columns.size() == 4);
  CHECK(u.columns[2].name == "Core, 2");
  CHECK(u.columns[3].kind.value == ColumnKind::ignored);
  CHECK(log.value_columns().size() == 2);
  CHECK(log.survey().interval_s == 1800);
  CHECK(log.survey().start_wall == at(8, 23, 30));
  std::vector<double> first;
  log.for_each_block([&](const RowBlock& block) {
    first = block.value[0];
    CHECK(block.has[1][0] == 0);
    CHECK(block.value[1][1] == 97.1);
  });
  CHECK(first == std::vector<double>{98.4, 96});
  CHECK(log_text().find("Core 1: 99.9 crossed out; said") != std::string::npos);
}

TEST_CASE("a log that nobody transcribed is not by hand") {
  const std::string bare = "Time,T1 (C)\n2026-03-08 14:00,20\n2026-03-08 14:30,30\n";
  CHECK_FALSE(ProbeLog::open(Source::memory("l", bare), {}).understanding().by_hand.value);
}

TEST_CASE("a begun sheet is taken up where it stopped") {
  const BegunSheet begun = read_begun_sheet("s.csv", log_text());
  CHECK(begun.sheet == sheet);
  CHECK(begun.last_time == at(9, 0, 0));
  CHECK(begun.last_values == std::vector<std::string>{"96", "97.1"});
  CHECK(begun.row_count == 2);
}

TEST_CASE("what is no begun sheet, or was cut off, is not gone on with") {
  CHECK(refusal(log_text()).empty());
  CHECK(refusal(log_text().substr(0, log_text().size() - 3)).find("cut off") != std::string::npos);
  CHECK(refusal("Time,T1 (C)\n2026-03-08 14:00,20\n").find("no sheet") != std::string::npos);
  CHECK(refusal(log_text() + "2026-03-09 00:30,1\n").find("s.csv:9: this is no row") != std::string::npos);
  CHECK(refusal("").find("cut off") != std::string::npos);
}
