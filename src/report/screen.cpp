#include "report/screen.h"

#include "report/layout.h"

namespace coldbag {

namespace {

std::string without_blanks_at_end(const std::string& line) {
  return line.substr(0, line.find_last_not_of(' ') + 1);
}

std::string cut_before_mark(const TableColumn& column, const std::string& text) {
  const bool is_marked = !column.mark.empty() && text.ends_with(column.mark);
  const std::string unmarked = text.substr(0, text.size() - (is_marked ? column.mark.size() : 0));
  return cut(unmarked, column.width - 1 - screen_length(column.mark)) + (is_marked ? column.mark : "");
}

// A cell as wide as its column still has a blank behind it.
std::string cell_text(const TableColumn& column, const std::string& text) {
  if (column.width == 0) return text;
  return padded(column.cuts_long ? cut_before_mark(column, text) : text, column.width - 1) + " ";
}

std::string row_text(const Table& table, const std::vector<std::string>& cells) {
  constexpr std::size_t under_indent = 4;
  std::string line(table.indent, ' ');
  for (std::size_t i = 0; i < table.columns.size(); ++i) {
    const std::string cell = cell_text(table.columns[i], cells[i]);
    if (table.columns[i].goes_under && screen_length(line) + screen_length(cell) > columns_of_screen)
      return without_blanks_at_end(line) + "\n" +
             wrapped(std::string(table.indent + under_indent, ' ') + cell, table.indent + under_indent);
    line += cell;
  }
  return without_blanks_at_end(line) + "\n";
}

class Screen {
 public:
  explicit Screen(bool has_colour) : has_colour_(has_colour) {}

  std::string operator()(const Space&) const { return "\n"; }
  std::string operator()(const Heading& heading) const {
    return (heading.level > 1 ? "\n" : "") + wrapped(heading.text, heading.level > 1 ? 2 : 0);
  }
  std::string operator()(const VerdictSentence& v) const {
    const std::string line = wrapped(v.verdict + " " + v.sentence, 2);
    return has_colour_ ? "\x1b[1m" + v.verdict + "\x1b[0m" + line.substr(v.verdict.size()) : line;
  }
  std::string operator()(const Paragraph& paragraph) const {
    return wrapped(std::string(paragraph.indent, ' ') + paragraph.text, paragraph.hang);
  }
  std::string operator()(const Item& an_item) const { return item(an_item.text); }
  std::string operator()(const Table& table) const {
    std::vector<std::string> titles;
    for (const TableColumn& column : table.columns)
      titles.push_back(column.title);
    std::string out = row_text(table, titles);
    for (const TableRow& row : table.rows) {
      out += row_text(table, row.cells);
      if (!row.note.empty()) out += wrapped(std::string(table.indent + 2, ' ') + row.note, table.indent + 2);
    }
    return out;
  }
  std::string operator()(const Command& command) const { return command_lines(command.parts); }
  std::string operator()(const ChartPlace&) const { return ""; }
  std::string operator()(const TickBoxes&) const { return ""; }
  std::string operator()(const WritingLine&) const { return ""; }

 private:
  bool has_colour_;
};

} // namespace

std::string screen_text(const Blocks& blocks, bool has_colour) {
  std::string out;
  for (const Block& block : blocks)
    out += std::visit(Screen(has_colour), block);
  return out;
}

} // namespace coldbag
