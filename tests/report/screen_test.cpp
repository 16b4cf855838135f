// Blocks laid out for an 80-column screen: each kind, what fits and what does not.
#include "report/screen.h"

#include "report/layout.h"

#include <doctest/doctest.h>

#include <sstream>
#include <string>

using namespace coldbag;

namespace {

Table two_columns() {
  Table table;
  table.columns = {{"", 8, true}, {"hold"}};
  table.rows = {{{"core", "2 h"}, ""}};
  return table;
}

std::string of_row(const Table& table) {
  const std::string text = screen_text({table});
  return text.substr(text.find('\n') + 1);
}

} // namespace

TEST_CASE("nothing to lay out gives nothing") {
  CHECK(screen_text({}).empty());
}

TEST_CASE("a space is one empty line") {
  CHECK(screen_text({Item{"a"}, Space{}, Item{"b"}}) == "- a\n\n- b\n");
}

TEST_CASE("a heading of a part makes the empty line before it, the name of the whole makes none") {
  CHECK(screen_text({Heading{"run 7", 1}, Heading{"Cautions"}, Heading{"core", 3}}) ==
        "run 7\n\nCautions\n\ncore\n");
}

TEST_CASE("the verdict stands before its sentence, and its second line is indented by two") {
  const std::string sentence = "sterilize: " + std::string(60, 'a') + " second";
  CHECK(screen_text({VerdictSentence{"PASS", sentence}}) ==
        "PASS sterilize: " + std::string(60, 'a') + "\n  second\n");
}

TEST_CASE("only the verdict's word stands out, and only where colour is wanted") {
  const Blocks blocks{VerdictSentence{"FAIL", "sterilize"}, Paragraph{"FAIL once more"}};
  CHECK(screen_text(blocks, true) == "\x1b[1mFAIL\x1b[0m sterilize\nFAIL once more\n");
  CHECK(screen_text(blocks) == "FAIL sterilize\nFAIL once more\n");
}

TEST_CASE("a paragraph hangs as far as it says, with its first line where it says") {
  const std::string text = std::string(70, 'a') + " " + std::string(20, 'b');
  CHECK(screen_text({Paragraph{text, 5, Tone::reason}}) ==
        std::string(70, 'a') + "\n     " + std::string(20, 'b') + "\n");
  CHECK(screen_text({Paragraph{text, 4, Tone::plain, 2}}) ==
        "  " + std::string(70, 'a') + "\n    " + std::string(20, 'b') + "\n");
}

TEST_CASE("an item begins with a dash and goes on under its text") {
  CHECK(screen_text({Item{std::string(70, 'a') + " " + std::string(20, 'b')}}) ==
        "- " + std::string(70, 'a') + "\n  " + std::string(20, 'b') + "\n");
}

TEST_CASE("cells stand under their titles, and no line ends in blanks") {
  Table table = two_columns();
  CHECK(screen_text({table}) == "        hold\ncore    2 h\n");
  table.rows[0].cells[1] = "";
  CHECK(of_row(table) == "core\n");
  table.indent = 3;
  CHECK(screen_text({table}) == "           hold\n   core\n");
}

TEST_CASE("a cell wider than its column is cut or keeps a blank behind it") {
  Table table = two_columns();
  table.rows[0].cells[0] = "upper_core";
  CHECK(of_row(table) == "upper_~ 2 h\n");
  table.rows[0].cells[0] = "cámara7";
  CHECK(of_row(table) == "cámara7 2 h\n");
  table.columns[0].cuts_long = false;
  table.rows[0].cells[0] = "eight_in";
  CHECK(of_row(table) == "eight_in 2 h\n");
}

TEST_CASE("a mark is not cut away with what stands before it") {
  Table table = two_columns();
  table.columns[0].mark = " *";
  table.rows = {{{"upper_core *", "1"}, ""}, {{"upper_core", "2"}, ""}, {{"core *", "3"}, ""}};
  CHECK(of_row(table) == "uppe~ * 1\nuppe~   2\ncore *  3\n");
}

TEST_CASE("a note stands under its row, two further in") {
  Table table = two_columns();
  table.indent = 2;
  table.rows[0].note = std::string(70, 'a') + " second";
  CHECK(of_row(table) == "  core    2 h\n    " + std::string(70, 'a') + "\n    second\n");
}

TEST_CASE("the last cell goes under its row where it has no room beside it") {
  Table table = two_columns();
  table.columns[1].goes_under = true;
  table.rows[0].cells[1] = std::string(72, 'a');
  CHECK(of_row(table) == "core    " + std::string(72, 'a') + "\n");
  table.rows[0].cells[1] = std::string(73, 'a');
  CHECK(of_row(table) == "core\n    " + std::string(73, 'a') + "\n");
}

TEST_CASE("a table without rows still shows its titles") {
  Table table = two_columns();
  table.rows.clear();
  CHECK(screen_text({table}) == "        hold\n");
}

TEST_CASE("a command breaks between its parts, with a backslash") {
  CHECK(screen_text({Command{{"coldbag check log.csv", "--explain"}}}) ==
        "  coldbag check log.csv --explain\n");
  std::stringstream lines(screen_text({Command{{std::string(60, 'a'), std::string(20, 'b')}}}));
  std::string line;
  std::getline(lines, line);
  CHECK(line == "  " + std::string(60, 'a') + " \\");
  std::getline(lines, line);
  CHECK(line == "    " + std::string(20, 'b'));
}

TEST_CASE("what is for paper alone is left out") {
  CHECK(screen_text({ChartPlace{}, TickBoxes{"opened", {"yes", "no"}}, WritingLine{{"by", "date"}}}).empty());
}
