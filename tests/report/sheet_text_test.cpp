// The printed run sheet: pages that fit the paper, cells that a pencil fits, words that are there.
#include "report/sheet_text.h"

#include "report/layout.h"
#include "report/sheet_grid.h"
#include "report/sheet_lines.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <array>
#include <cctype>
#include <set>

using namespace coldbag;

namespace {

const Words& catalogue() {
  static const Words words = Words::read(TableFiles::built_in(), "en");
  return words;
}

const std::vector<Treatment>& built_in_treatments() {
  static const std::vector<Treatment> treatments =
      read_treatments("treatments.toml", TableFiles::built_in().bytes("treatments.toml"));
  return treatments;
}

const CautionTables& caution_tables() {
  static const CautionTables tables = read_caution_tables(TableFiles::built_in());
  return tables;
}

// Invented.
std::string site_with(const std::string& vessel) {
  return "[site]\nname = \"invented farm\"\naltitude = \"1150 m\"\n" + vessel +
         "[bags.brick]\nmass = \"2.3 kg\"\nmoisture = \"62 %\"\nfilm = \"ldpe\"\n";
}

RunSheet made(const SheetAsked& asked, const std::string& site_toml = "") {
  if (site_toml.empty()) return blank_run_sheet(asked, nullptr, built_in_treatments(), caution_tables());
  const Site site = read_site("farm.toml", site_toml);
  return blank_run_sheet(asked, &site, built_in_treatments(), caution_tables());
}

SheetAsked asking(std::size_t probes = 3) {
  SheetAsked asked;
  for (std::size_t i = 1; i < probes; ++i)
    asked.probes.push_back("Core " + std::to_string(i));
  asked.probes.emplace_back("Vessel");
  return asked;
}

SheetStart at(int hour, int minute, int day = 1, bool has_date = false) {
  CalendarTime parts;
  if (has_date) parts.year = 2026, parts.month = 3, parts.day = day;
  parts.hour = hour;
  parts.minute = minute;
  return {*wall_time(parts), has_date};
}

std::vector<PrintedLines> pages_of(const std::string& text) {
  std::vector<PrintedLines> pages;
  for (std::size_t from = 0; from <= text.size();) {
    const std::size_t end = std::min(text.find('\f', from), text.size());
    pages.push_back(lines_of_text(text.substr(from, end - from)));
    from = end + 1;
  }
  return pages;
}

struct Printed {
  RunSheet sheet;
  std::string text;
};

/// Every kind of sheet there is: treatments, vessels, probes, with a clock and without, in both units.
std::vector<Printed> print_all() {
  const std::array<std::string, 4> sites{
      "", site_with("[vessels.room]\nkind = \"vented\"\n"),
      site_with("[vessels.retort]\nkind = \"pressure-rated\"\nrating = \"22 psi gauge\"\n"),
      site_with("[vessels.retort]\nkind = \"pressure-rated\"\n")};
  std::vector<std::string> keys{""};
  for (const Treatment& treatment : built_in_treatments())
    keys.push_back(treatment.key);
  std::vector<Printed> all;
  for (const std::string& key : keys)
    for (std::size_t i = 0; i < sites.size(); ++i) {
      if (key == "sterilize" && i == 1) continue; // refused
      for (const std::size_t probes : {1U, 4U, 7U, 8U})
        for (const bool has_clock : {false, true}) {
          SheetAsked asked = asking(probes);
          asked.treatment = key;
          asked.for_s = 20 * 3600;
          if (has_clock) asked.start = at(18, 30);
          RunSheet sheet = made(asked, sites[i]);
          all.push_back({sheet, sheet_text(sheet, catalogue())});
          sheet.units = UnitSystem::us;
          all.push_back({sheet, sheet_text(sheet, catalogue())});
        }
    }
  return all;
}

const std::vector<Printed>& all_sheets() {
  static const std::vector<Printed> all = print_all();
  return all;
}

bool holds(const std::string& text, const std::string& part) {
  return text.find(part) != std::string::npos;
}

std::string joined(const PrintedLines& lines) {
  std::string text;
  for (const std::string& line : lines)
    text += line + "\n";
  return text;
}

/// The lines from the row of this time on.
std::vector<std::string>::const_iterator row_of(const PrintedLines& lines, const std::string& time) {
  return std::ranges::find_if(lines, [&](const std::string& line) { return line.starts_with(time + " |"); });
}

} // namespace

TEST_CASE("whatever is asked, no page is longer than the paper and no line wider than 80 columns") {
  std::size_t most = 0;
  for (const auto& [sheet, text] : all_sheets()) {
    const auto pages = pages_of(text);
    CHECK(pages.size() >= 2);
    std::size_t widest = 0;
    for (const PrintedLines& page : pages) {
      most = std::max(most, page.size());
      for (const std::string& line : page)
        widest = std::max(widest, screen_length(line));
    }
    CHECK(widest <= (sheet.probes.size() < 8 ? columns_of_sheet : 80));
  }
  CHECK(all_sheets().size() > 500);
  CHECK(most == lines_of_sheet_page);
}

TEST_CASE("every key that a sheet says has its words") {
  std::set<std::string> keys;
  for (const auto& [sheet, text] : all_sheets())
    for (const auto* all : {&sheet.requirements, &sheet.reminders, &sheet.cautions, &sheet.if_it_happens})
      for (const Said& said : *all)
        keys.insert(said.key);
  CHECK(keys.size() > 25);
  for (const std::string& key : keys)
    CHECK_MESSAGE(catalogue().has(key), key);
}

TEST_CASE("no sheet promises what heat cannot, or speaks like a program") {
  for (const auto& [sheet, text] : all_sheets()) {
    std::string words = text;
    for (char& c : words)
      c = std::isalpha(static_cast<unsigned char>(c)) != 0
              ? static_cast<char>(std::tolower(static_cast<unsigned char>(c)))
              : ' ';
    for (const char* word :
         {"sterile", "safe", "killed", "guaranteed", "validated", "alarm", "acknowledge", "channel",
          "session", "study", "qualification", "profile", "template", "dashboard", "batch", "cycle"})
      if (holds(words, " " + std::string(word) + " ")) FAIL_CHECK(word);
  }
}

TEST_CASE("a cell takes 118.4 by hand, and fewer probes have more room") {
  for (std::size_t probes = 1; probes <= most_sheet_probes; ++probes) {
    SheetAsked asked = asking(probes);
    for (const auto& start : {std::optional<SheetStart>(), std::optional(at(18, 30))}) {
      asked.start = start;
      for (const SheetColumn& column : sheet_columns(made(asked), catalogue()))
        if (!column.unit.empty()) CHECK(column.width >= (probes < 6 ? 7 : 6));
    }
  }
  CHECK(sheet_columns(made(asking(3)), catalogue())[2].width == 9);
}

TEST_CASE("a row is written between two rules, two lines apart") {
  SheetAsked asked = asking();
  asked.start = at(18, 30);
  asked.every_s = 1800;
  for (const PrintedLines& page : pages_of(sheet_text(made(asked), catalogue())))
    for (std::size_t i = 0; i < page.size(); ++i)
      if (page[i].size() > 6 && page[i][6] == '|' &&
          std::isdigit(static_cast<unsigned char>(page[i][0])) != 0) {
        CHECK(page[i - 1].find("+---------+") != std::string::npos);
        CHECK(page[i + 1].find("+---------+") != std::string::npos);
      }
}

TEST_CASE("every reading stands on the sheet once, in its order") {
  SheetAsked asked = asking();
  asked.start = at(18, 30);
  asked.every_s = 1800;
  asked.for_s = 14 * 3600;
  std::vector<std::string> times;
  for (const PrintedLines& page : pages_of(sheet_text(made(asked), catalogue())))
    for (const std::string& line : page)
      if (line.size() > 6 && line[2] == ':' && line.substr(5, 2) == " |") times.push_back(line.substr(0, 5));
  REQUIRE(times.size() == 29);
  CHECK(times.front() == "18:30");
  CHECK(times[11] == "00:00");
  CHECK(times.back() == "08:30");
}

TEST_CASE("midnight is marked, by its date where there is one") {
  SheetAsked asked = asking();
  asked.start = at(23, 30);
  asked.every_s = 1800;
  const std::string by_day = sheet_text(made(asked), catalogue());
  CHECK(holds(by_day, "day 2-+"));
  asked.start = at(23, 30, 8, true);
  const std::string by_date = sheet_text(made(asked), catalogue());
  CHECK(holds(by_date, "03-09-+"));
  CHECK(holds(by_date, "Date (steam on) 2026-03-08"));
  CHECK_FALSE(holds(by_date, "day 2"));
}

TEST_CASE("without a clock there are minutes since steam on, and room for the clock") {
  SheetAsked asked = asking();
  asked.every_s = 1800;
  const RunSheet sheet = made(asked);
  const auto columns = sheet_columns(sheet, catalogue());
  CHECK(columns[0] == SheetColumn{"Elapsed", "min", 7});
  CHECK(columns[1].name == "Clock");
  const std::string text = sheet_text(sheet, catalogue());
  CHECK(holds(text, "\n0      |"));
  CHECK(holds(text, "\n90     |"));
  CHECK_FALSE(holds(text, "--first"));
}

TEST_CASE("numbers are asked in the units of the sheet") {
  SheetAsked asked = asking();
  auto columns = sheet_columns(made(asked), catalogue());
  CHECK(columns[2].unit == "kPa gauge");
  CHECK(columns[3].unit == "C");
  CHECK(holds(sheet_text(made(asked), catalogue()), "_ kg "));
  asked.units = UnitSystem::us;
  columns = sheet_columns(made(asked), catalogue());
  CHECK(columns[2].unit == "psi gauge");
  CHECK(columns[3].unit == "F");
  const std::string text = sheet_text(made(asked), catalogue());
  CHECK(holds(text, "_ lb "));
  CHECK(holds(text, "--unit F"));
}

TEST_CASE("what is known stands in the head, what is not is a line to write on") {
  SheetAsked asked = asking();
  asked.treatment = "atmospheric_steam";
  const std::string blank = joined(pages_of(sheet_text(made(asked), catalogue()))[0]);
  for (const char* part :
       {"Run ____", "Vessel ____", "Operator ____", "Bags, kind ____", "Lot ____", "How many ____",
        "Mass of one ____", "Moisture ____", "Height above the sea ____", "Treatment: atmospheric steam"})
    CHECK_MESSAGE(holds(blank, part), part);
  asked.bag_count = 240;
  const std::string site = site_with("[vessels.room]\nkind = \"vented\"\n");
  const std::string filled = joined(pages_of(sheet_text(made(asked, site), catalogue()))[0]);
  for (const char* part : {"invented farm", "Vessel room", "Vented. 1,150 m: water boils at 96.1 C",
                           "Bags, kind brick", "How many 240", "Mass of one 2.3 kg", "Moisture 62 %"})
    CHECK_MESSAGE(holds(filled, part), part);
  CHECK_FALSE(holds(filled, "Height above the sea"));
}

TEST_CASE("a plan fills the sheet: names, and what it expects by a reading") {
  SheetAsked asked = asking();
  asked.start = at(18, 30);
  RunSheet sheet = made(asked);
  sheet.run_name = "2026-03-08 north";
  sheet.operator_name = "A";
  sheet.bags.push_back({"sleeve", 12, 12.0, 0.72, "L7"});
  sheet.lines[1].remark = Said{"sheet_mind_setpoint", {{"setpoint_degC", 118.0}}};
  const std::string text = sheet_text(sheet, catalogue());
  const auto pages = pages_of(text);
  CHECK(holds(text, "Run 2026-03-08 north"));
  CHECK(holds(text, "Operator A\n"));
  CHECK(holds(text, "Lot L7"));
  for (const PrintedLines& page : pages) {
    CHECK(page.size() <= lines_of_sheet_page);
    const auto row = row_of(page, "18:45");
    if (row != page.end()) CHECK(*(row + 1) == "       Hot from 118 C (244 F).");
  }
  CHECK(holds(text, "Hot from 118 C"));
}

TEST_CASE("the back says what to do, what became of the bags, and what a signature means") {
  SheetAsked asked = asking();
  asked.for_s = 10 * 3600;
  asked.treatment = "atmospheric_steam";
  const auto pages =
      pages_of(sheet_text(made(asked, site_with("[vessels.room]\nkind = \"vented\"\n")), catalogue()));
  const std::string back = joined(pages[1]);
  for (const char* part :
       {"licensed people come first", "STEAM LOST", "WATER LOW", "POWER CUT", "VENTED", "PROBE DEAD",
        "BAG BURST", "BEFORE YOU OPEN", "UNLOADING", "held ____", "released ____", "released as a trial ____",
        "re-steamed ____", "discarded ____", "Corrective action", "Operator: I took these readings",
        "Reviewer, someone else", "Signature ____", "coldbag type sheet.csv"})
    CHECK_MESSAGE(holds(back, part), part);
  CHECK_FALSE(holds(back, "rating")); // a vented vessel has none
  CHECK(holds(joined(pages[0]), "page 1 of 3"));
  CHECK(holds(joined(pages[0]), "page 3"));
  CHECK(holds(joined(pages[2]), "Run ____"));
}

TEST_CASE("a long name is broken within its cell and cut after four lines, and stays whole in the command") {
  SheetAsked asked = asking(7);
  asked.probes.emplace_back("autoclave_steam_lower_drain_side");
  const std::string text = sheet_text(made(asked), catalogue());
  CHECK(holds(text, "|autocl|"));
  CHECK(holds(text, "|wer_d~|"));
  CHECK(holds(text, "autoclave_steam_lower_drain_side\""));
}

TEST_CASE("a sheet too full for its front goes on on the third page") {
  RunSheet sheet = made(asking(8));
  for (int i = 0; i < 12; ++i)
    sheet.cautions.push_back(sheet.cautions.front());
  const auto pages = pages_of(sheet_text(sheet, catalogue()));
  for (const PrintedLines& page : pages)
    CHECK(page.size() <= lines_of_sheet_page);
  CHECK(holds(joined(pages[0]), "The readings are on page 3"));
  CHECK(holds(joined(pages[2]), "Where each probe sits"));
  // Names of any length are cut, not wrapped into the next field.
  sheet.run_name = sheet.vessel = sheet.site_name = sheet.operator_name = std::string(100, 'x');
  sheet.bags.front().kind = sheet.bags.front().lot = sheet.probes.front().position = sheet.run_name;
  for (const PrintedLines& page : pages_of(sheet_text(sheet, catalogue())))
    for (const std::string& line : page)
      CHECK_MESSAGE(screen_length(line) <= 80, line);
}

TEST_CASE("a text is broken into cells at blanks, and within words that are wider") {
  CHECK(sheet_cell("kPa gauge", 9) == PrintedLines{"kPa gauge"});
  CHECK(sheet_cell("kPa gauge", 8) == PrintedLines{"kPa", "gauge"});
  CHECK(sheet_cell("a abcdefgh", 3) == PrintedLines{"a", "abc", "def", "gh"});
  CHECK(sheet_cell("abcdef", 3) == PrintedLines{"abc", "def"});
  CHECK(sheet_cell("", 3).empty());
  CHECK(sheet_cell("áéíóú", 2) == PrintedLines{"áé", "íó", "ú"});
}

TEST_CASE("a field is a value, or a line to write on that long in all") {
  CHECK(sheet_field("Lot", "L7", 10) == "Lot L7    ");
  CHECK(sheet_field("Lot", "L7 and L8", 10) == "Lot L7 an~");
  CHECK(sheet_field("Lot", "", 10) == "Lot ______");
  CHECK(sheet_field("Mass", "", 12, "kg") == "Mass ____ kg");
  CHECK(sheet_field("Height above", "", 5) == "Height above ");
}

TEST_CASE("control characters of a name never reach the paper") {
  RunSheet sheet = made(asking());
  sheet.site_name = "a\x1b[2Jb";
  sheet.vessel = sheet.run_name = sheet.site_name;
  sheet.probes[0].position = "x\fy";
  const std::string text = sheet_text(sheet, catalogue());
  CHECK_FALSE(holds(text, "\x1b"));
  CHECK(pages_of_sheet(text) == pages_of(text).size());
  CHECK(holds(text, "x?y"));
}
