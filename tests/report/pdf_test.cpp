// A report as a PDF, read back by other people's programs.
#include "report/pdf.h"

#include "report/pdf_table.h"
#include "support/approx.h"
#include "support/pdf_read.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <set>

using namespace coldbag;
using namespace coldbag::test;

namespace {

const Words& catalogue() {
  static const Words words = Words::read(TableFiles::built_in(), "en");
  return words;
}

const PdfAbout& about() {
  static const PdfAbout one{.title = "An invented report",
                            .run_name = "invented-run-7",
                            .author = "A",
                            .subject = "heat of a load",
                            .language = "en",
                            .made_at = "2026-03-08T18:30:00+01:00"};
  return one;
}

std::string made(const Blocks& blocks, Paper paper = Paper::a4, const DrawChart& chart = {}) {
  return pdf_bytes(blocks, about(), catalogue(), paper, chart);
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

/// Every word stands where a printer prints.
void check_within_margins(const std::string& bytes, Paper paper) {
  constexpr double margin_pt = 15 * pt_per_mm;
  const PaperSize size = paper_size(paper);
  const auto boxes = boxes_of_words(bytes);
  CHECK(!boxes.empty());
  for (const WordBox& box : boxes)
    if (box.left < margin_pt || box.top < margin_pt || box.right > size.width_pt - margin_pt ||
        box.bottom > size.height_pt - margin_pt)
      FAIL_CHECK("page " << box.page << ": " << box.text << " " << box.left << " " << box.top << " "
                         << box.right << " " << box.bottom);
}

std::string filler(int lines) {
  std::string text;
  for (int i = 0; i < lines; ++i)
    text += "Words of no meaning that take about one line of the paper from left to right. ";
  return text;
}

Table made_table(std::size_t rows) {
  Table table;
  table.columns = {{"Probe", 0, false}, {"Hot by", 0, false}, {"Stayed", 0, false}, {"Remark", 0, false}};
  for (std::size_t i = 0; i < rows; ++i) {
    const std::string n = std::to_string(i);
    table.rows.push_back(
        {{"probe_" + n, "22:10", "12 h " + n + " min", "remark" + n}, i % 3 == 0 ? "note" + n : ""});
  }
  return table;
}

/// One of each block, all texts of which are in `said`.
Blocks one_of_each() {
  return {Heading{"Invented run", 1},
          VerdictSentence{"PASS", "atmospheric steam: 12 h 20 min in every probed bag", Mark::pass},
          Paragraph{"Film over its limit stands before everything else.", 2, Tone::warning},
          Paragraph{"Why: the coldest bag stayed hot for long.", 2, Tone::reason},
          Space{},
          Heading{"What to do next", 2},
          Item{"Keep the load apart until it is released."},
          Item{"Read the gauge before anything is opened."},
          Heading{"Probes", 3},
          made_table(5),
          ChartPlace{},
          Command{{"coldbag check log.csv", "--treatment atmospheric_steam"}},
          TickBoxes{"Disposition", {"held", "released", "released as a trial", "re-steamed", "discarded"}},
          WritingLine{{"Name", "Signature", "Date, time"}}};
}

const std::vector<std::string>& hostile_texts() {
  static const std::vector<std::string> texts{
      "",
      " ",
      std::string(5000, 'x'),
      std::string(3000, '9'),
      "\xD7\xA9\xD7\x9C\xD7\x95\xD7\x9D right to left \xD9\x85\xD8\xB1\xD8\xAD\xD8\xA8\xD8\xA7 and back",
      "\xF0\x9F\x8D\x84\xF0\x9F\x91\xA9\xE2\x80\x8D\xF0\x9F\x94\xAC emoji",
      "e\xCC\x81\xCC\x82\xCC\x83 marks over one letter",
      "<b>bold</b> & <i>not</i> closed < > &amp; %s {name}",
      "line\none\r\nline\ttwo",
      std::string("control \x01\x1B[31m \x7F and nul ") + '\0' + " behind",
      "not UTF-8 \xFF\xFE\xC3 \xE2\x82 end",
      "\xE2\x80\xAE turned \xE2\x80\xA8 line \xE2\x80\xA9 paragraph",
      "\xC2\xA0\xC2\xA0\xEF\xBF\xBF\xF4\x8F\xBF\xBF"};
  return texts;
}

} // namespace

TEST_CASE("a report is a PDF with the pages it says, on the paper that was asked for") {
  Blocks blocks = one_of_each();
  blocks.emplace_back(Paragraph{filler(200)});
  const std::string bytes = made(blocks);
  CHECK(bytes.starts_with("%PDF-1.5"));
  const auto pages = texts_of_pages(bytes);
  CHECK(pages.size() >= 3);
  const std::string info = PdfFile(bytes).said_by("pdfinfo {}");
  CHECK(holds(without_blanks(info), "Pages:" + std::to_string(pages.size()) + "Encrypted"));
  CHECK(holds(info, "595.276 x 841.89 pts (A4)"));
  CHECK(holds(PdfFile(made(blocks, Paper::letter)).said_by("pdfinfo {}"), "612 x 792 pts (letter)"));
  for (std::size_t i = 0; i < pages.size(); ++i) {
    CHECK(holds(pages[i], "page " + std::to_string(i + 1) + " of " + std::to_string(pages.size())));
    CHECK(holds(pages[i], "invented-run-7"));
  }
}

TEST_CASE("the file says what it is, and no time but the one it was given") {
  const std::string bytes = made(one_of_each());
  const std::string info = PdfFile(bytes).said_by("pdfinfo -isodates {}");
  for (const char* part : {"An invented report", "heat of a load", "coldbag", "Tagged:          yes"})
    CHECK_MESSAGE(holds(info, part), part);
  CHECK(holds(bytes, "/CreationDate (20260308183000+01'00"));
  PdfAbout timeless = about();
  timeless.made_at = "";
  const std::string without = pdf_bytes(one_of_each(), timeless, catalogue(), Paper::a4, {});
  CHECK_FALSE(holds(without, "20260308"));
  CHECK_FALSE(holds(PdfFile(without).said_by("pdfinfo {}"), "CreationDate:    "));
}

TEST_CASE("the same report gives the same bytes") {
  const std::string first = made(one_of_each());
  (void)made({Paragraph{"Something else in between, with letters of its own: \xC3\x9F\xC3\xA6"}});
  CHECK(made(one_of_each()) == first);
  CHECK(made(one_of_each(), Paper::letter) != first);
}

TEST_CASE("fonts are in the file, and letters can be read back") {
  const std::string fonts = PdfFile(made(one_of_each())).said_by("pdffonts {}");
  std::size_t embedded = 0;
  for (std::size_t at = 0; (at = fonts.find(" yes yes yes ", at)) != std::string::npos; ++at)
    ++embedded;
  CHECK(embedded == static_cast<std::size_t>(std::ranges::count(fonts, '\n')) - 2);
  CHECK(embedded >= 3);
}

TEST_CASE("every text stands in the file, in the order of the report") {
  Blocks blocks = one_of_each();
  const std::string text = without_blanks(all_text(made(blocks)));
  std::size_t at = 0;
  for (const char* part : {"Invented run",
                           "PASS",
                           "atmospheric steam: 12 h 20 min in every probed bag",
                           "Film over its limit stands before everything else.",
                           "Why: the coldest bag stayed hot for long.",
                           "What to do next",
                           "Keep the load apart until it is released.",
                           "Read the gauge before anything is opened.",
                           "Probes",
                           "Probe",
                           "Hot by",
                           "Stayed",
                           "Remark",
                           "probe_0",
                           "22:10",
                           "12 h 0 min",
                           "remark0",
                           "note0",
                           "probe_4",
                           "remark4",
                           "coldbag check log.csv",
                           "--treatment atmospheric_steam",
                           "Disposition",
                           "held",
                           "released as a trial",
                           "re-steamed",
                           "discarded",
                           "Name",
                           "Signature",
                           "Date, time"}) {
    const std::size_t found = text.find(without_blanks(part), at);
    CHECK_MESSAGE(found != std::string::npos, part);
    if (found != std::string::npos) at = found;
  }
}

TEST_CASE("no word leaves the margins, whatever was written") {
  for (const Paper paper : {Paper::a4, Paper::letter}) {
    check_within_margins(made(one_of_each(), paper), paper);
    Blocks blocks;
    Table table;
    for (const std::string& text : hostile_texts()) {
      append(blocks,
             {Heading{text, 1}, Heading{text, 2}, Heading{text, 3}, VerdictSentence{text, text, Mark::fail},
              Paragraph{text}, Paragraph{text, 2, Tone::warning}, Paragraph{text, 2, Tone::reason},
              Item{text}, Command{{text, text}}, TickBoxes{text, {text, text}}, WritingLine{{text, text}}});
      table.columns.push_back({text.substr(0, 40), 0, false});
      table.rows.push_back({{text, "1", text}, text});
    }
    blocks.emplace_back(table);
    blocks.emplace_back(Table{{{"one", 0, false}, {"two", 0, false}}, table.rows, 40});
    const std::string bytes = pdf_bytes(blocks,
                                        {.title = hostile_texts()[9] + hostile_texts()[10],
                                         .run_name = std::string(400, 'r'),
                                         .author = hostile_texts()[4],
                                         .subject = hostile_texts()[5],
                                         .language = "",
                                         .made_at = ""},
                                        catalogue(), paper, {});
    check_within_margins(bytes, paper);
    const std::string text = without_blanks(all_text(bytes));
    CHECK(holds(text, "<b>bold</b>&<i>not</i>closed<>&amp;%s{name}"));
    CHECK(holds(text, "notUTF-8\xEF\xBF\xBD\xEF\xBF\xBD\xEF\xBF\xBD"));
    CHECK(static_cast<std::size_t>(std::ranges::count(text, 'x')) > 12 * 5000);
    CHECK(holds(text, std::string(2500, 'x'))); // no hyphen where a name is broken
  }
}

TEST_CASE("a long name of a run is shortened at the foot, and can still be searched for") {
  PdfAbout long_name = about();
  long_name.run_name = "begins" + std::string(300, 'n') + "ends";
  const std::string bytes = pdf_bytes({Paragraph{filler(200)}}, long_name, catalogue(), Paper::a4, {});
  for (const std::string& page : texts_of_pages(bytes))
    CHECK(holds(page, long_name.run_name));
  double name_ends = 1e9, number_begins = 0;
  for (const WordBox& box : boxes_of_words(bytes)) {
    if (holds(box.text, "beginsnnn")) name_ends = box.right;
    if (box.text == "page") number_begins = box.left;
  }
  CHECK(name_ends < number_begins);
}

TEST_CASE("a heading never stands last on its page") {
  std::set<std::size_t> pages;
  for (int lines = 30; lines < 62; ++lines) {
    Blocks blocks;
    for (int i = 0; i < lines; ++i)
      blocks.emplace_back(Item{"item"});
    append(blocks, {Heading{"Part", 2}, Heading{"Below", 3}});
    if (lines % 2 == 0)
      blocks.emplace_back(Paragraph{"follows. " + filler(4)});
    else
      blocks.emplace_back(Table{{{"head", 0, false}}, {{{"follows."}, ""}}, 0});
    std::size_t heading = 0, follows = 0;
    for (const WordBox& box : boxes_of_words(made(blocks))) {
      if (box.text == "Part") heading = box.page;
      if (box.text == "follows.") follows = box.page;
    }
    CHECK(heading == follows);
    CHECK(heading > 0);
    pages.insert(heading);
  }
  CHECK(pages.size() == 2); // the place where it would have stood last was passed
}

TEST_CASE("no line of a paragraph is alone on a page") {
  for (int before = 30; before < 62; ++before) {
    Blocks blocks;
    for (int i = 0; i < before; ++i)
      blocks.emplace_back(Item{"item"});
    blocks.emplace_back(Paragraph{filler(7)});
    for (const std::string& page : texts_of_pages(made(blocks))) {
      std::size_t lines = 0;
      for (std::size_t at = 0; at < page.size();) {
        const std::size_t end = std::min(page.find('\n', at), page.size());
        const std::string line = page.substr(at, end - at);
        if (!line.empty() && !holds(line, "item") && !holds(line, "invented-run-7") && !holds(line, "page "))
          ++lines;
        at = end + 1;
      }
      CHECK(lines != 1);
    }
  }
}

TEST_CASE("a table repeats its head on every page, and a row stays whole with its note") {
  const std::string bytes = made({made_table(150)});
  const auto pages = texts_of_pages(bytes);
  CHECK(pages.size() >= 3);
  for (const std::string& page : pages)
    CHECK(holds(page, "Probe"));
  std::vector<std::size_t> seen(150, 0);
  for (const std::string& page : pages)
    for (std::size_t i = 0; i < seen.size(); ++i) {
      const std::string n = std::to_string(i);
      if (!holds(page, "probe_" + n + " ")) continue;
      ++seen[i];
      CHECK(holds(page, "12 h " + n + " min"));
      CHECK(holds(page, "remark" + n));
      if (i % 3 == 0) CHECK(holds(page, "note" + n));
    }
  CHECK(seen == std::vector<std::size_t>(150, 1));
}

TEST_CASE("a short table stands on one page, and so does what is signed") {
  for (const int lines : {5, 15, 25, 32, 36, 40, 44, 48, 52}) {
    CAPTURE(lines);
    const auto tables = texts_of_pages(made({Paragraph{filler(lines)}, made_table(5)}));
    CHECK(std::ranges::any_of(
        tables, [](const std::string& page) { return holds(page, "probe_0") && holds(page, "probe_4"); }));
    const auto signed_pages = texts_of_pages(
        made({Paragraph{filler(lines)}, Heading{"Decided", 2}, TickBoxes{"What", {"held"}},
              WritingLine{{"Which"}}, Paragraph{"I saw it:"}, WritingLine{{"Name", "Signature"}},
              Heading{"Figures", 2}, Paragraph{filler(60)}}));
    CHECK(std::ranges::any_of(signed_pages, [](const std::string& page) {
      return holds(page, "Decided") && holds(page, "Which") && holds(page, "Signature");
    }));
  }
}

TEST_CASE("a row higher than a page goes on on the next, under the head") {
  std::string words;
  for (int i = 0; i < 3000; ++i)
    words += "w" + std::to_string(i) + "w ";
  const std::string bytes =
      made({Table{{{"Key", 0, false}, {"Long", 0, false}}, {{{"k", words}, "the note"}}, 0}});
  const auto pages = texts_of_pages(bytes);
  CHECK(pages.size() >= 3);
  for (const std::string& page : pages)
    CHECK(holds(page, "Long"));
  const std::string text = without_blanks(all_text(bytes));
  for (int i = 0; i < 3000; i += 7)
    CHECK(holds(text, "w" + std::to_string(i) + "w"));
  CHECK(holds(text, "thenote"));
  check_within_margins(bytes, Paper::a4);
}

TEST_CASE("numbers are never broken, however many columns there are") {
  for (const std::size_t columns : {3U, 8U, 12U, 20U, 45U}) {
    Table table;
    std::set<std::string> numbers;
    for (std::size_t i = 0; i < columns; ++i) {
      table.columns.push_back({"A title of some words " + std::to_string(1000 + i), 0, false});
      numbers.insert(std::to_string(1000 + i));
    }
    for (int row = 0; row < 4; ++row) {
      TableRow one;
      for (std::size_t i = 0; i < columns; ++i) {
        const std::string number = "123" + std::to_string(row) + std::to_string(100 + i) + ".25";
        numbers.insert(number);
        one.cells.push_back(i == 1 ? "many words that may be wrapped around " + number : number + " min");
      }
      table.rows.push_back(one);
    }
    const std::string bytes = made({table});
    check_within_margins(bytes, Paper::a4);
    for (const WordBox& box : boxes_of_words(bytes))
      numbers.erase(box.text);
    CHECK(numbers.empty());
  }
}

TEST_CASE("cells of neighbouring columns do not touch") {
  Table table = made_table(3);
  table.rows[1].cells[3] = filler(3);
  table.rows[2].cells[0] = "a_name_of_a_probe_that_is_far_too_long_for_any_column_of_a_table_of_four";
  const auto boxes = boxes_of_words(made({table}));
  for (const WordBox& one : boxes)
    for (const WordBox& other : boxes)
      if (&one != &other)
        CHECK_FALSE((one.left < other.right && other.left < one.right && one.top + 2 < other.bottom &&
                     other.top + 2 < one.bottom));
}

TEST_CASE("headings lead there from the outline, and the parts are told apart for reading aloud") {
  const std::string bytes = made(one_of_each(), Paper::a4, [](_cairo*, double, double) {});
  for (const char* title : {"/Title (Invented run)", "/Title (What to do next)", "/Title (Probes)"})
    CHECK_MESSAGE(holds(bytes, title), title);
  const std::string tree =
      without_blanks(PdfFile(bytes).said_by("pdfinfo -struct {} | sed 's/^ */</; s/ .*//; s/$/>/'"));
  for (const char* tag : {"H1", "H2", "H3", "P", "L", "LI", "Table", "TR", "TH", "TD", "Figure"})
    CHECK_MESSAGE(holds(tree, "<" + std::string(tag) + ">"), tag);
}

TEST_CASE("the chart is as wide as the text and is never broken") {
  for (int before = 20; before < 60; before += 3) {
    int drawn = 0;
    Blocks blocks;
    for (int i = 0; i < before; ++i)
      blocks.emplace_back(Item{"item"});
    append(blocks, {Heading{"Temperatures", 2}, ChartPlace{}, Paragraph{"behind"}});
    const std::string bytes = made(blocks, Paper::a4, [&](_cairo*, double width_pt, double height_pt) {
      ++drawn;
      CHECK(width_pt > 160 * pt_per_mm);
      CHECK(test::within(height_pt, 110 * pt_per_mm, 0.01));
    });
    CHECK(drawn == 1);
    double above = 0, below = 0;
    for (const WordBox& box : boxes_of_words(bytes)) {
      if (box.text == "Temperatures") above = box.bottom + static_cast<double>(box.page) * 10000;
      if (box.text == "behind") below = box.top + static_cast<double>(box.page) * 10000;
    }
    CHECK(below - above > 110 * pt_per_mm);
  }
}

TEST_CASE("a verdict is told by its shape too") {
  std::set<std::string> files;
  for (const Mark mark : {Mark::pass, Mark::fail, Mark::unproven, Mark::none})
    files.insert(made({VerdictSentence{"WORD", "sentence", mark}}));
  CHECK(files.size() == 4);
}

TEST_CASE("lines to write on are 9 mm apart at least") {
  const auto boxes = boxes_of_words(made({WritingLine{{"first"}}, WritingLine{{"second"}}}));
  REQUIRE(boxes.size() >= 2);
  CHECK(boxes[1].top - boxes[0].bottom > 9 * pt_per_mm - 2);
}

TEST_CASE("a report of nothing is a page") {
  CHECK(texts_of_pages(made({})).size() == 1);
}
