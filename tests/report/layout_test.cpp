// Laying out text: lines that fit, names that cannot reach the terminal as commands.
#include "report/layout.h"

#include <doctest/doctest.h>

#include <sstream>

using namespace coldbag;

TEST_CASE("no wrapped line is wider than the screen, and none loses a word") {
  std::string text;
  for (int i = 0; i < 60; ++i)
    text += (i > 0 ? " word" : "word") + std::to_string(i);
  std::stringstream lines(wrapped(text, 2));
  std::string joined;
  for (std::string line; std::getline(lines, line);) {
    CHECK(screen_length(line) <= 80);
    CHECK(screen_length(line) > 70 - (lines.peek() == EOF ? 70 : 0));
    if (!joined.empty()) CHECK(line.substr(0, 2) == "  ");
    joined += (joined.empty() ? "" : " ") + line.substr(joined.empty() ? 0 : 2);
  }
  CHECK(joined == text);
}

TEST_CASE("a word that just fits stays on its line and one column more goes to the next") {
  const std::string first(70, 'a');
  CHECK(wrapped(first + " " + std::string(9, 'b'), 0) == first + " " + std::string(9, 'b') + "\n");
  CHECK(wrapped(first + " " + std::string(10, 'b'), 0) == first + "\n" + std::string(10, 'b') + "\n");
}

TEST_CASE("a number keeps its percent sign") {
  const std::string first(76, 'a');
  CHECK(wrapped(first + " 95 %", 0) == first + "\n95 %\n");
}

TEST_CASE("a figure keeps its unit where others break the lines") {
  CHECK(with_units_kept("hold 2 h 7 min, 95 % at 121.1 C") ==
        "hold 2\u00A0h 7\u00A0min, 95\u00A0% at 121.1\u00A0C");
  CHECK(with_units_kept("88.3 kPa (12.8 psi)") == "88.3\u00A0kPa (12.8\u00A0psi)");
  CHECK(with_units_kept("2 probes of Core 1 minus 3") == "2 probes of Core 1 minus 3");
  CHECK(with_units_kept("1 ").ends_with(" "));
  CHECK(with_units_kept("").empty());
}

TEST_CASE("nothing to wrap gives nothing") {
  CHECK(wrapped("", 2).empty());
  CHECK(wrapped("   ", 2).empty());
}

TEST_CASE("letters of two bytes take one column") {
  CHECK(screen_length("\u00e1rbol") == 5);
  CHECK(padded("\u00e1", 3) == "\u00e1  ");
  CHECK(cut("\u00e1\u00e9\u00ed\u00f3", 3) == "\u00e1\u00e9~");
  CHECK(cut("\u00e1\u00e9\u00ed", 3) == "\u00e1\u00e9\u00ed");
}

TEST_CASE("control characters of a name never reach the terminal") {
  CHECK(clean("a\x1b[2Jb\x7f\n") == "a?[2Jb??");
  CHECK(clean("N\u00facleo 1") == "N\u00facleo 1");
  CHECK(clean("a\u009b2Jb\x9b"
              "c") == "a?2Jb?c"); // C1 as a character and as a byte
  CHECK(clean("\u202Eevil\u2066 \u200Fname\u2028") == "evil name");
  CHECK(clean("\xf0\x9f\x8d\x84 \xf0\x9f") == "\xf0\x9f\x8d\x84 ??");
}

TEST_CASE("a command is broken between its parts, where a shell takes it up again") {
  CHECK(command_lines({"coldbag check a.csv", "--run 2"}) == "  coldbag check a.csv --run 2\n");
  const std::string part = "--in-bag \"" + std::string(30, 'x') + "\"";
  CHECK(command_lines({"coldbag check a.csv", part, part, "--vented"}) ==
        "  coldbag check a.csv " + part + " \\\n    " + part + " --vented\n");
  // What is wider than the screen by itself is left whole.
  CHECK(command_lines({std::string(100, 'x')}) == "  " + std::string(100, 'x') + "\n");
}

TEST_CASE("a command that just fits is one line, and one column more breaks it") {
  const std::string head = "coldbag check a.csv";
  for (std::size_t length = 1; length < 120; ++length) {
    std::stringstream lines(command_lines({head, std::string(length, 'x'), "--vented"}));
    for (std::string line; std::getline(lines, line);)
      CHECK((screen_length(line) <= 80 || length > 70));
  }
}
