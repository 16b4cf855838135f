// One run, written in many layouts, is read as the same values, cell for cell.
#include "logs/encoding.h"
#include "logs/samples.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <memory>
#include <string>
#include <utility>
#include <vector>

namespace coldbag {
namespace {

struct Row {
  std::string date;
  std::string clock;
  std::vector<std::string> degC; ///< with a point; "" where there is no reading
};

std::string two_digits(int n) {
  return (n < 10 ? "0" : "") + std::to_string(n);
}

/// An invented run: 40 rows a minute apart over an hour's end, with cells missing.
std::vector<Row> run() {
  std::vector<Row> rows;
  for (int i = 0; i < 40; ++i) {
    const int minute = 45 + i;
    Row row{"2026-03-08", two_digits(14 + minute / 60) + ":" + two_digits(minute % 60) + ":00", {}};
    for (int core = 0; core < 3; ++core)
      row.degC.push_back(std::to_string(20 + 2 * i - core) + "." + std::to_string((7 * i + core) % 10));
    if (i % 9 == 5) row.degC[1] = "";
    rows.push_back(row);
  }
  return rows;
}

std::string with_mark(std::string number, char mark) {
  for (char& c : number)
    if (c == '.') c = mark;
  return number;
}

/// How a row is written.
struct Style {
  std::string delimiter = ",";
  char decimal_mark = '.';
  std::string line_end = "\n";
  std::string between_date_and_clock = " ";
  std::string missing;
  std::string before_number;
  std::string after_number;
  std::string end_of_row;
};

std::string cell_text(const Style& style, const std::string& degC) {
  if (degC.empty()) return style.missing;
  return style.before_number + with_mark(degC, style.decimal_mark) + style.after_number;
}

std::string row_text(const Style& style, const Row& row) {
  std::string text = row.date + style.between_date_and_clock + row.clock;
  for (const std::string& degC : row.degC)
    text += style.delimiter + cell_text(style, degC);
  return text + style.end_of_row + style.line_end;
}

std::string rows_text(const Style& style) {
  std::string text;
  for (const Row& row : run())
    text += row_text(style, row);
  return text;
}

const std::string plain_header = "Time,Core 1 (C),Core 2 (C),Core 3 (C)\n";

std::string utf16(const std::string& ascii, bool little_end_first) {
  std::string bytes;
  for (const char c : ascii)
    bytes += little_end_first ? std::string{c, '\0'} : std::string{'\0', c};
  return bytes;
}

std::string replaced(std::string text, const std::string& what, const std::string& with) {
  for (std::size_t at = text.find(what); at != std::string::npos; at = text.find(what, at + with.size()))
    text.replace(at, what.size(), with);
  return text;
}

struct Layout {
  std::string name;
  std::string text;
};

std::string preamble() {
  std::string text = "Serial: A-17\nInterval,60,s\nCalibration,0.1,0.2,0.1\n\n";
  for (int i = 0; i < 30; ++i)
    text += "Remark " + std::to_string(i) + ", nothing of note\n";
  return text + "\n";
}

std::string with_header_in_the_middle() {
  std::string text = plain_header;
  int i = 0;
  for (const Row& row : run())
    text += (i++ == 20 ? plain_header : "") + row_text({}, row);
  return text;
}

std::string fixed_width() {
  std::string text = "Date        Clock      Core 1 (C)  Core 2 (C)  Core 3 (C)\n";
  for (const Row& row : run()) {
    text += row.date + "  " + row.clock;
    for (const std::string& degC : row.degC) {
      const std::string cell = degC.empty() ? "---" : degC;
      text += std::string(12 - cell.size(), ' ') + cell;
    }
    text += "\r\n";
  }
  return text;
}

std::vector<Layout> layouts() {
  const std::string plain = plain_header + rows_text({});
  Style semicolons;
  semicolons.delimiter = ";";
  semicolons.decimal_mark = ',';
  Style tabs = semicolons;
  tabs.delimiter = "\t";
  Style pipes;
  pipes.delimiter = " | ";
  Style quoted;
  quoted.decimal_mark = ',';
  quoted.before_number = quoted.after_number = "\"";
  Style units_in_cells;
  units_in_cells.after_number = " °C";
  Style unit_columns;
  unit_columns.after_number = ",C";
  unit_columns.missing = ",C";
  Style apart;
  apart.between_date_and_clock = ",";
  Style signs;
  signs.before_number = "+0";
  signs.missing = "OL";
  signs.end_of_row = ",";
  Style blanks;
  blanks.delimiter = " ";
  blanks.decimal_mark = ',';
  blanks.missing = "---";
  return {
      {"plain", plain},
      {"a mark in front", std::string(utf8_mark) + plain},
      {"UTF-16, little end first, with mark", "\xFF\xFE" + utf16(plain, true)},
      {"UTF-16, big end first, with mark", "\xFE\xFF" + utf16(plain, false)},
      {"UTF-16, little end first", utf16(plain, true)},
      {"UTF-16, big end first", utf16(plain, false)},
      {"Windows-1252", replaced(plain, "(C)",
                                "(\xB0"
                                "C)")},
      {"CR LF and padding", replaced(plain, "\n", "\r\n") + "\x1a" + std::string(100, '\0')},
      {"CR alone", replaced(plain, "\n", "\r")},
      {"semicolons and decimal commas", "Time;Core 1 (C);Core 2 (C);Core 3 (C)\n" + rows_text(semicolons)},
      {"tabs and decimal commas", "Time\tCore 1 (C)\tCore 2 (C)\tCore 3 (C)\n" + rows_text(tabs)},
      {"pipes", "Time | Core 1 (C) | Core 2 (C) | Core 3 (C)\n" + rows_text(pipes)},
      {"commas and quoted decimal commas", plain_header + rows_text(quoted)},
      {"blanks and decimal commas", "Time Core_1(C) Core_2(C) Core_3(C)\n" + rows_text(blanks)},
      {"fixed width", fixed_width()},
      {"date and clock apart", "Date,Clock,Core 1 (C),Core 2 (C),Core 3 (C)\n" + rows_text(apart)},
      {"units in cells", "Time,Core 1,Core 2,Core 3\n" + rows_text(units_in_cells)},
      {"unit columns", "Time,Core 1,Unit,Core 2,Unit,Core 3,Unit\n" + rows_text(unit_columns)},
      {"two header rows", "Time,Core 1,Core 2,Core 3\n,°C,°C,°C\n" + rows_text({})},
      {"three header rows", "Time,Ch 1,Ch 2,Ch 3\n,°C,°C,°C\n,Bag 7,Bag 8,Bag 9\n" + rows_text({})},
      {"signs, zeros, a word for nothing, an empty last column",
       "Time,Core 1 (C),Core 2 (C),Core 3 (C),\n" + rows_text(signs)},
      {"a preamble", preamble() + plain},
      {"a header in the middle", with_header_in_the_middle()},
      {"a footer and a second table",
       plain + "\nMax,98.1,97.0,96.9\nEvent time,Event\n2026-03-08 14:50:00,door\n"},
  };
}

} // namespace

TEST_CASE("one run in many layouts has the same values") {
  const std::vector<Row> rows = run();
  for (const Layout& layout : layouts()) {
    CAPTURE(layout.name);
    const ProbeLog log = test::open_text(layout.text);
    const test::AllRows all = test::all_rows(log);
    REQUIRE(all.rows.time_s.size() == rows.size());
    REQUIRE(all.rows.value.size() == 3);
    for (std::size_t r = 0; r < rows.size(); ++r) {
      CAPTURE(r);
      CHECK(all.rows.time_s[r] == 60.0 * static_cast<double>(r));
      for (std::size_t c = 0; c < 3; ++c) {
        const std::string& expected = rows[r].degC[c];
        CHECK((all.rows.has[c][r] != 0) == !expected.empty());
        if (!expected.empty()) CHECK(all.rows.value[c][r] == std::stod(expected));
      }
    }
  }
}

TEST_CASE("one run in many layouts is the same for every block size and every step of reading") {
  class Steps : public ByteReader {
   public:
    Steps(std::unique_ptr<ByteReader> below, std::size_t most) : below_(std::move(below)), most_(most) {}
    std::size_t read(char* buffer, std::size_t size) override {
      return below_->read(buffer, std::min(size, most_));
    }

   private:
    std::unique_ptr<ByteReader> below_;
    std::size_t most_;
  };
  for (const Layout& layout : layouts()) {
    CAPTURE(layout.name);
    const Source memory = Source::memory("run.csv", layout.text);
    const test::AllRows whole = test::all_rows(ProbeLog::open(memory, {}));
    for (const std::size_t most : {1U, 3U, 64U}) {
      const Source stepwise =
          Source::readers("run.csv", [memory, most] { return std::make_unique<Steps>(memory.open(), most); });
      const ProbeLog log = ProbeLog::open(stepwise, {});
      const test::AllRows all = test::all_rows(log, 7);
      CHECK(all.rows.value == whole.rows.value);
      CHECK(all.rows.time_s == whole.rows.time_s);
      CHECK(all.tally == whole.tally);
      CHECK(log.source().sha256() == memory.sha256());
    }
  }
}

} // namespace coldbag
