// The run sheet as a PDF, read back by other people's programs: it says what the text says, and has room to
// write.
#include "report/sheet_pdf.h"

#include "report/sheet_text.h"
#include "support/pdf_read.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <cctype>

using namespace coldbag;
using namespace coldbag::test;

namespace {

const Words& catalogue() {
  static const Words words = Words::read(TableFiles::built_in(), "en");
  return words;
}

// Invented.
const Site& site() {
  static const Site one =
      read_site("farm.toml", "[site]\nname = \"invented farm\"\naltitude = \"1150 m\"\n"
                             "[vessels.room]\nkind = \"vented\"\n"
                             "[vessels.retort]\nkind = \"pressure-rated\"\nrating = \"22 psi gauge\"\n"
                             "[bags.brick]\nmass = \"2.3 kg\"\nmoisture = \"62 %\"\nfilm = \"ldpe\"\n");
  return one;
}

RunSheet made(const SheetAsked& asked, const Site* of_site = nullptr) {
  static const auto treatments =
      read_treatments("treatments.toml", TableFiles::built_in().bytes("treatments.toml"));
  static const CautionTables tables = read_caution_tables(TableFiles::built_in());
  return blank_run_sheet(asked, of_site, treatments, tables);
}

SheetAsked asking(std::size_t probes = 3) {
  SheetAsked asked;
  for (std::size_t i = 1; i < probes; ++i)
    asked.probes.push_back("Core " + std::to_string(i));
  asked.probes.emplace_back("Vessel");
  return asked;
}

SheetStart at_half_past_six(bool has_date) {
  CalendarTime parts;
  if (has_date) parts.year = 2026, parts.month = 3, parts.day = 8;
  parts.hour = 18;
  parts.minute = 30;
  return {*wall_time(parts), has_date};
}

/// Blank and filled, vented and rated, few probes and many, with a clock and without, in both units.
std::vector<RunSheet> all_sheets() {
  std::vector<RunSheet> sheets{made(asking())};
  for (const char* vessel : {"room", "retort"})
    for (const std::size_t probes : {1U, 8U})
      for (const bool is_us : {false, true}) {
        SheetAsked asked = asking(probes);
        asked.vessel = vessel;
        asked.treatment = vessel == std::string("retort") ? "sterilize" : "atmospheric_steam";
        asked.run_name = "invented-7";
        asked.bag_count = 240;
        asked.for_s = 20 * 3600;
        if (is_us) asked.units = UnitSystem::us;
        if (probes == 8) asked.start = at_half_past_six(is_us);
        sheets.push_back(made(asked, &site()));
      }
  sheets.back().lines[2].remark = Said{"sheet_mind_setpoint", {{"setpoint_degC", 118.0}}};
  return sheets;
}

bool holds(const std::string& text, const std::string& part) {
  return text.find(part) != std::string::npos;
}

std::string all_text(const std::string& bytes) {
  std::string all;
  for (const std::string& page : texts_of_pages(bytes))
    all += page + "\n";
  return all;
}

/// Words of a sheet as text, without rules and lines to write on, and without the number of pages.
std::vector<std::string> words_of(std::string text) {
  for (char& c : text)
    if (c == '|' || c == '_' || c == '+' || c == '\f' || c == '\n' || c == '\\') c = ' ';
  std::vector<std::string> words;
  for (std::size_t at = 0; at < text.size();) {
    const std::size_t end = std::min(text.find(' ', at), text.size());
    const std::string word = text.substr(at, end - at);
    const bool has_letter =
        std::ranges::any_of(word, [](char c) { return std::isalpha(static_cast<unsigned char>(c)) != 0; });
    if (has_letter) words.push_back(word);
    at = end + 1;
  }
  return words;
}

} // namespace

TEST_CASE("the sheet as a PDF says what its text says") {
  for (const RunSheet& sheet : all_sheets()) {
    const std::string drawn = without_blanks(all_text(sheet_pdf(sheet, catalogue(), Paper::a4).bytes));
    const auto words = words_of(sheet_text(sheet, catalogue()));
    CHECK(words.size() > 300);
    for (const std::string& word : words)
      if (!holds(drawn, word)) FAIL_CHECK(word);
  }
}

TEST_CASE("the second page is the back, and every page names its run and its number") {
  for (const RunSheet& sheet : all_sheets())
    for (const Paper paper : {Paper::a4, Paper::letter}) {
      const PrintedPdf pdf = sheet_pdf(sheet, catalogue(), paper);
      const auto pages = texts_of_pages(pdf.bytes);
      REQUIRE(pages.size() == pdf.pages);
      REQUIRE(pages.size() >= 3);
      CHECK(holds(pages[0], "Where each probe sits"));
      CHECK(holds(pages[0], "page 3"));
      CHECK(holds(pages[1], "When something goes wrong"));
      CHECK(holds(pages[1], "Reviewer"));
      CHECK(holds(pages[1], "coldbag type"));
      for (std::size_t i = 0; i < pages.size(); ++i) {
        CHECK(holds(pages[i], "page " + std::to_string(i + 1) + " of " + std::to_string(pages.size())));
        CHECK(holds(pages[i], sheet.run_name));
        CHECK(holds(pages[i], "Date (steam on)"));
        if (i > 1) CHECK(holds(without_blanks(pages[i]), "Water:enoughuntilthenextreading."));
      }
    }
}

TEST_CASE("no word of a sheet leaves the margins") {
  constexpr double margin_pt = 15 * pt_per_mm;
  auto sheets = all_sheets();
  RunSheet hostile = sheets.back();
  hostile.run_name = hostile.vessel = hostile.operator_name = hostile.site_name = std::string(300, 'w');
  hostile.treatment = "\xFF \xF0\x9F\x8D\x84 " + std::string(200, 't');
  for (SheetProbe& probe : hostile.probes)
    probe.column = std::string(60, 'c'), probe.position = std::string(300, 'p');
  sheets.push_back(hostile);
  for (const RunSheet& sheet : sheets)
    for (const Paper paper : {Paper::a4, Paper::letter}) {
      const PaperSize size = paper_size(paper);
      for (const WordBox& box : boxes_of_words(sheet_pdf(sheet, catalogue(), paper).bytes))
        if (box.left < margin_pt || box.top < margin_pt || box.right > size.width_pt - margin_pt ||
            box.bottom > size.height_pt - margin_pt)
          FAIL_CHECK(box.page << " " << box.text << " " << box.left << " " << box.bottom);
    }
}

TEST_CASE("every reading stands once and in its order, over 8 mm below the one before") {
  SheetAsked asked = asking();
  asked.start = at_half_past_six(true);
  asked.every_s = 1800;
  asked.for_s = 14 * 3600;
  const auto boxes = boxes_of_words(sheet_pdf(made(asked), catalogue(), Paper::a4).bytes);
  std::vector<WordBox> times;
  for (const WordBox& box : boxes)
    if (box.text.size() == 5 && box.text[2] == ':' && box.left < 60) times.push_back(box);
  REQUIRE(times.size() == 29);
  CHECK(times.front().text == "18:30");
  CHECK(times[11].text == "00:00");
  CHECK(times.back().text == "08:30");
  for (std::size_t i = 1; i < times.size(); ++i)
    if (times[i].page == times[i - 1].page) CHECK(times[i].bottom - times[i - 1].bottom > 8 * pt_per_mm);
  CHECK(std::ranges::any_of(boxes, [](const WordBox& box) { return box.text == "03-09"; }));
}

TEST_CASE("the same sheet gives the same bytes, without a time of its own") {
  const RunSheet sheet = made(asking());
  const PrintedPdf first = sheet_pdf(sheet, catalogue(), Paper::a4);
  CHECK(sheet_pdf(sheet, catalogue(), Paper::a4).bytes == first.bytes);
  CHECK_FALSE(holds(PdfFile(first.bytes).said_by("pdfinfo {}"), "CreationDate:    "));
}

TEST_CASE("a front that overflows goes on behind the back") {
  RunSheet sheet = made(asking(8));
  for (int i = 0; i < 30; ++i)
    sheet.cautions.push_back(sheet.cautions.front());
  const auto pages = texts_of_pages(sheet_pdf(sheet, catalogue(), Paper::letter).bytes);
  CHECK(holds(pages[0], "The readings are on page 3"));
  CHECK(holds(pages[1], "When something goes wrong"));
  CHECK(holds(pages[2], "Where each probe sits"));
}
