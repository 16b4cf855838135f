// What a report says, block by block, before it is laid out: screen, page and PDF lay out the same blocks.
#pragma once

#include <cstddef>
#include <string>
#include <variant>
#include <vector>

namespace coldbag {

// tables/table.h has a Table and a TableRow too, cli/command.h a Command: to the linker these need names of
// their own.
inline namespace laid_out {

/// An empty line.
struct Space {
  bool operator==(const Space&) const = default;
};

/// Stands over what follows, up to the next of its level or higher.
struct Heading {
  std::string text;
  int level = 2; ///< 1 the sheet's own name, 2 a part, 3 within a part
  bool operator==(const Heading&) const = default;
};

/// The shape that tells a verdict beside its word; none where it is not decided.
enum class Mark { pass, fail, unproven, none };

/// PASS, FAIL, ... with the sentence it is never written without.
struct VerdictSentence {
  std::string verdict;
  std::string sentence;
  Mark mark = Mark::none;
  bool operator==(const VerdictSentence&) const = default;
};

enum class Tone { plain, warning, reason };

struct Paragraph {
  std::string text;
  std::size_t hang = 2; ///< blanks before every line but the first, on a screen
  Tone tone = Tone::plain;
  std::size_t indent = 0; ///< blanks before its first line, on a screen
  bool operator==(const Paragraph&) const = default;
};

struct Item {
  std::string text;
  bool operator==(const Item&) const = default;
};

struct TableColumn {
  std::string title;
  std::size_t width = 0;   ///< on a screen, with the blank behind it; 0: as wide as it comes, the last
  bool cuts_long = false;  ///< on a screen what is wider is cut; everywhere else all of it stands
  bool goes_under = false; ///< the last: on a screen it goes under its row where it has no room beside it
  std::string mark = {};   ///< ends some of the cells, and is not cut away with what stands before it
  bool operator==(const TableColumn&) const = default;
};

struct TableRow {
  std::vector<std::string> cells; ///< one for each column
  std::string note;               ///< stands under the row
  bool operator==(const TableRow&) const = default;
};

struct Table {
  std::vector<TableColumn> columns;
  std::vector<TableRow> rows;
  std::size_t indent = 0;
  bool operator==(const Table&) const = default;
};

/// To be typed; a part holds a word, or an option with its value.
struct Command {
  std::vector<std::string> parts;
  bool operator==(const Command&) const = default;
};

/// Where the chart of the report stands; nothing on a screen.
struct ChartPlace {
  bool operator==(const ChartPlace&) const = default;
};

/// Boxes to tick on paper; nothing on a screen.
struct TickBoxes {
  std::string label;
  std::vector<std::string> choices;
  bool operator==(const TickBoxes&) const = default;
};

/// One line on paper to be written on, with a label at each of its parts; nothing on a screen.
struct WritingLine {
  std::vector<std::string> labels;
  bool operator==(const WritingLine&) const = default;
};

using Block = std::variant<Space, Heading, VerdictSentence, Paragraph, Item, Table, Command, ChartPlace,
                           TickBoxes, WritingLine>;
using Blocks = std::vector<Block>;

} // namespace laid_out

/// Puts `more` behind `to`.
void append(Blocks& to, Blocks more);

/// The heading and what stands under it; nothing where nothing does.
[[nodiscard]] Blocks under(Heading heading, Blocks blocks);

} // namespace coldbag
