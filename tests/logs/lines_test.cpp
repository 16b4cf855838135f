// Bytes to lines and cells.
#include "logs/lines.h"

#include "logs/cell.h"
#include "logs/dialect.h"
#include "logs/encoding.h"
#include "logs/source.h"

#include <doctest/doctest.h>

#include <string>
#include <tuple>
#include <vector>

namespace coldbag {
namespace {

std::vector<std::string> lines_of(const std::string& bytes, std::int64_t* marked = nullptr) {
  Lines lines(Source::memory("run.csv", bytes));
  std::vector<std::string> all;
  for (Line line; lines.next(line);) {
    CHECK(line.number == static_cast<int>(all.size()) + 1);
    if (marked != nullptr) *marked += line.marked_characters;
    all.emplace_back(line.view());
  }
  return all;
}

using Cells = std::vector<std::string>;

} // namespace

TEST_CASE("lines end in LF or CR LF, and the last one needs no end") {
  const Cells expected{"a", "", "b"};
  CHECK(lines_of("a\n\nb\n") == expected);
  CHECK(lines_of("a\r\n\r\nb\r\n") == expected);
  CHECK(lines_of("a\n\nb") == expected);
  CHECK(lines_of("\xEF\xBB\xBF"
                 "a\n\nb") == expected);
  CHECK(lines_of("").empty());
}

TEST_CASE("lines may end in a carriage return alone, and ends may be mixed") {
  const Cells expected{"a", "", "b", "c"};
  CHECK(lines_of("a\r\rb\rc\r") == expected);
  CHECK(lines_of("a\r\n\rb\nc") == expected);
  CHECK(lines_of("a\n\r\nb\rc\r\n") == expected);
}

TEST_CASE("NUL and SUB at the end of lines are left out and counted, however many") {
  for (const std::size_t count : {std::size_t{1}, std::size_t{5000}, std::size_t{3} << 20U}) {
    std::int64_t marked = 0;
    const Cells lines = lines_of("a\x1a\nb\n" + std::string(count, '\0'), &marked);
    CAPTURE(count);
    CHECK(marked == static_cast<std::int64_t>(count) + 1);
    REQUIRE(lines.size() >= 3);
    CHECK(lines[0] == "a");
    CHECK(lines[1] == "b");
    for (std::size_t i = 2; i < lines.size(); ++i)
      CHECK(lines[i].empty());
  }
}

TEST_CASE("UTF-16 and Windows-1252 become UTF-8, and what is no character is marked") {
  struct Sample {
    TextEncoding encoding;
    std::string bytes;
    std::string text;
  };
  using enum TextEncoding;
  // Code points and their forms: the Unicode standard, table 3-4 (U+10302 of its example), from memory; the
  // euro sign of Windows-1252 is 0x80, and 0x81 is nothing.
  for (const Sample& sample : std::vector<Sample>{
           {utf16_le, std::string("\xB0\0C\0", 4), "\u00B0C"},
           {utf16_be, std::string("\0\xB0\0C", 4), "\u00B0C"},
           {utf16_le,
            std::string("\xFF\xFE"
                        "C\0",
                        4),
            "C"},
           {utf16_be, std::string("\xD8\0\xDF\x02", 4), "\U00010302"},
           {utf16_be, std::string("\xD8\0\0C", 4),
            "\x1a"
            "C"},
           {utf16_be, std::string("\xDF\x02\0C", 4),
            "\x1a"
            "C"},
           {utf16_le, "C", "\x1a"},
           {utf16_be, std::string("\xD8\0", 2), "\x1a"},
           {windows_1252,
            "\xB0"
            "C \x80",
            "\u00B0C \u20AC"},
           {windows_1252, "\x81", "\x1a"},
       }) {
    const auto reader = in_utf8(Source::memory("run.csv", sample.bytes), sample.encoding).open();
    std::string text(64, '\0');
    text.resize(reader->read(text.data(), text.size()));
    CHECK(text == sample.text);
  }
}

TEST_CASE("a log over several buffers of the line reader is read whole") {
  // The line reader's buffer is 16 MiB; lines lie across its borders.
  std::string bytes;
  const std::string line(999, 'x');
  while (bytes.size() < (std::size_t{40} << 20U))
    bytes += line + "\n";
  Lines lines(Source::memory("run.csv", bytes));
  std::size_t count = 0;
  std::size_t whole = 0;
  for (Line read; lines.next(read); ++count)
    if (read.view() == line) ++whole;
  CHECK(count == bytes.size() / 1000);
  CHECK(whole == count);
}

TEST_CASE("bytes that are no UTF-8 are marked one by one and counted") {
  // Ill-formed sequences: overlong, surrogate, beyond U+10FFFF, cut short (RFC 3629, section 3 and 4).
  struct Sequence {
    std::string bytes;
    std::int64_t marked;
  };
  for (const Sequence& sequence : std::vector<Sequence>{{"\xC3\xA9", 0},
                                                        {"\xE2\x82\xAC", 0},
                                                        {"\xF0\x9F\x8D\x84", 0},
                                                        {"\xB0", 1},
                                                        {"\xC0\xAF", 2},
                                                        {"\xE0\x80\xAF", 3},
                                                        {"\xED\xA0\x80", 3},
                                                        {"\xF4\x90\x80\x80", 4},
                                                        {"\xE2\x82", 2},
                                                        {std::string("\0", 1), 1}}) {
    std::int64_t marked = 0;
    const Cells lines = lines_of("longer than eight bytes " + sequence.bytes + "\nnext\n", &marked);
    CAPTURE(lines[0]);
    CHECK(marked == sequence.marked);
    CHECK(lines.size() == 2);
    // A NUL at the end of a line is padding.
    CHECK(lines[0].size() == 24 + (sequence.bytes[0] == '\0' ? 0 : sequence.bytes.size()));
  }
}

TEST_CASE("shown text is cut between characters and has no control characters") {
  CHECK(shown("caf\xC3\xA9", 4) == "caf");
  CHECK(shown("caf\xC3\xA9", 5) == "caf\xC3\xA9");
  CHECK(shown("a\x1a\tb") == "a??b");
}

TEST_CASE("cells are cut at the delimiter, outside quotes") {
  CHECK(cells_of("a, b ,,c", ',') == Cells{"a", "b", "", "c"});
  CHECK(cells_of("\"a,b\",\"say \"\"hi\"\"\" ,c", ',') == Cells{"a,b", "say \"hi\"", "c"});
  CHECK(cells_of("a\t\tb\t", '\t') == Cells{"a", "", "b", ""});
  CHECK(cells_of("", ';') == Cells{""});
  CHECK(cells_of("\"never closed,b", ',') == Cells{"never closed,b"});
  CHECK(cells_of("5\" pipe,b", ',') == Cells{"5\" pipe", "b"});
  CHECK(cells_of("a | b||c|", '|') == Cells{"a", "b", "", "c", ""});
}

TEST_CASE("runs of blanks and tabs part cells, and none is empty") {
  CHECK(cells_of("  a  b\t \tc  ", blanks_delimiter) == Cells{"a", "b", "c"});
  CHECK(cells_of("\"a b\"\tc \"d\"", blanks_delimiter) == Cells{"a b", "c", "d"});
  CHECK(cells_of("a\"b c", blanks_delimiter) == Cells{"a\"b", "c"});
  CHECK(cells_of("", blanks_delimiter) == Cells{""});
  CHECK(cells_of(" \t ", blanks_delimiter) == Cells{""});
}

TEST_CASE("cells of readings") {
  struct Reading {
    const char* cell;
    char mark;
    CellKind kind;
    double value;
  };
  for (const Reading& reading : std::vector<Reading>{
           {"98.4", '.', CellKind::number, 98.4},
           {"+98.4", '.', CellKind::number, 98.4},
           {"-0.5", '.', CellKind::number, -0.5},
           {"98,4", ',', CellKind::number, 98.4},
           {"1.0e2", '.', CellKind::number, 100},
           {"9,84e1", ',', CellKind::number, 98.4},
           {"98.4 C", '.', CellKind::number, 98.4},
           {"98.4\u00B0C", '.', CellKind::number, 98.4},
           {"98,4", '.', CellKind::text, 0},
           {"98.4", ',', CellKind::text, 0},
           {"98.4 F", '.', CellKind::wrong_unit, 0},
           {"98.4 V", '.', CellKind::text, 0},
           {"", '.', CellKind::empty, 0},
           {"-", '.', CellKind::empty, 0},
           {"---", '.', CellKind::empty, 0},
           {"NaN", '.', CellKind::not_a_number, 0},
           {"n/a", '.', CellKind::not_a_number, 0},
           {"inf", '.', CellKind::not_a_number, 0},
           {"-inf", '.', CellKind::not_a_number, 0},
           {"ERR", '.', CellKind::not_a_number, 0},
           {"OL", '.', CellKind::not_a_number, 0},
           {"+-5", '.', CellKind::text, 0},
           {"0x10", '.', CellKind::text, 0},
           {"1.2.3", '.', CellKind::text, 0},
           {".", '.', CellKind::empty, 0},
           {"1e999", '.', CellKind::impossible, 0},
           {"-273.16", '.', CellKind::impossible, 0},
           {"-273.15", '.', CellKind::number, -273.15},
           {"300", '.', CellKind::number, 300},
           {"850", '.', CellKind::fault_value, 0},
           {"-999", '.', CellKind::fault_value, 0},
           {"-127.00", '.', CellKind::fault_value, 0},
           {"32767", '.', CellKind::fault_value, 0},
           {"6553,5", ',', CellKind::fault_value, 0},
           {"85.0", '.', CellKind::number, 85},
           {"-126.9", '.', CellKind::number, -126.9},
           {"301", '.', CellKind::impossible, 0},
           {"1,234.5", '.', CellKind::impossible, 0},
           {"1,234", '.', CellKind::text, 0},
           {"12,34.5", '.', CellKind::text, 0},
           {"0,096.1", '.', CellKind::text, 0},
           {"///", '.', CellKind::empty, 0},
           {"--.-", '.', CellKind::empty, 0},
           {"open", '.', CellKind::not_a_number, 0},
       }) {
    CAPTURE(reading.cell);
    const CellReading read = read_value(reading.cell, reading.mark, ColumnUnit::degC, PressureBasis::none);
    CHECK(kind_key(read.kind) == kind_key(reading.kind));
    if (reading.kind == CellKind::number) CHECK(read.value == reading.value);
  }
}

TEST_CASE("thousands marks are read where they can be nothing else") {
  for (const auto& [cell, mark, expected] : std::vector<std::tuple<const char*, char, double>>{
           {"101,325.0", '.', 101325},
           {"1,013,250", '.', 1013250},
           {"101.325,5", ',', 101325.5},
           {"101 325", '.', 101325},
           {"101\u00A0325,5", ',', 101325.5},
           {"101\u202F325.5", '.', 101325.5},
           {"-1,000.5", '.', -1000.5},
           {"101'325.5 Pa", '.', 101325.5},
       }) {
    CAPTURE(cell);
    const CellReading read = read_value(cell, mark, ColumnUnit::Pa, PressureBasis::gauge);
    CHECK(read.kind == CellKind::number);
    CHECK(read.value == expected);
  }
  for (const char* cell : {"101,325", "1,013,25", "1013,250.0", "1,013.250,0"}) {
    CAPTURE(cell);
    CHECK(read_value(cell, '.', ColumnUnit::Pa, PressureBasis::gauge).kind != CellKind::number);
  }
}

TEST_CASE("a pressure is a fault value only where it is impossible") {
  const auto kind = [](const char* cell, ColumnUnit unit, PressureBasis basis) {
    return kind_key(read_value(cell, '.', unit, basis).kind);
  };
  CHECK(kind("999", ColumnUnit::hPa, PressureBasis::absolute) == "number");
  CHECK(kind("850", ColumnUnit::mbar, PressureBasis::absolute) == "number");
  CHECK(kind("-999", ColumnUnit::kPa, PressureBasis::gauge) == "fault_value");
  CHECK(kind("32767", ColumnUnit::kPa, PressureBasis::absolute) == "fault_value");
  CHECK(kind("-111", ColumnUnit::kPa, PressureBasis::gauge) == "impossible");
  CHECK(kind("5.1", ColumnUnit::MPa, PressureBasis::absolute) == "impossible");
}

TEST_CASE("elapsed times") {
  CHECK(read_elapsed_us("1:05:09.5", '.', ColumnUnit::none) == 3'909'500'000);
  CHECK(read_elapsed_us("100:00:00", '.', ColumnUnit::none) == 360'000'000'000);
  CHECK(read_elapsed_us("1:30", '.', ColumnUnit::hours) == 5'400'000'000);
  CHECK(read_elapsed_us("1:30", '.', ColumnUnit::minutes) == 90'000'000);
  CHECK(read_elapsed_us("0,5", ',', ColumnUnit::minutes) == 30'000'000);
  CHECK(read_elapsed_us("90 s", '.', ColumnUnit::seconds) == 90'000'000);
  for (const char* text :
       {"1:30", "1:60:00", "1:00:60", "-1:00:00", "1::2", ":", "1:2:3:4", "1:00:+5", "5", ""}) {
    CAPTURE(text);
    CHECK_FALSE(read_elapsed_us(text, '.', ColumnUnit::none));
  }
  CHECK_FALSE(read_elapsed_us("90 s", '.', ColumnUnit::minutes));
  CHECK_FALSE(read_elapsed_us("1e300", '.', ColumnUnit::hours));
}

} // namespace coldbag
