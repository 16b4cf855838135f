#include "report/pdf_table.h"

#include <algorithm>
#include <array>
#include <map>
#include <optional>
#include <utility>

namespace coldbag {

namespace {

constexpr std::array sizes_pt{8.8, 8.2, 7.6, 7.0};
constexpr double narrowest_gap_pt = 9;
constexpr double widest_gap_pt = 30;
constexpr double row_padding_pt = 3;
constexpr double note_indent_pt = 10;
constexpr double indent_pt = 4;         ///< a blank of the screen
constexpr double most_kept_share = 0.3; ///< of a page
constexpr std::size_t longest_number = 24;
constexpr std::size_t longest_word_among_figures = 8;
constexpr std::size_t longest_word = 16;       ///< a longer one may be broken
constexpr double broken_word_em = 0.55;        ///< of a letter in such a one
constexpr std::size_t longest_measured = 2000; ///< bytes; whatever is longer is wrapped anyway
constexpr double rounding_pt = 0.6;            ///< so that what was measured does not wrap by a hair

bool is_digit(char c) {
  return c >= '0' && c <= '9';
}

bool holds_digit(const std::string& text) {
  return std::ranges::any_of(text, is_digit);
}

/// A figure, with its unit or without.
bool is_number(const std::string& text) {
  if (text.empty() || text.size() > longest_number) return false;
  return is_digit(text[0]) || (text.size() > 1 && (text[0] == '-' || text[0] == '+') && is_digit(text[1]));
}

std::size_t letters(const std::string& text) {
  return static_cast<std::size_t>(
      std::ranges::count_if(text, [](char c) { return (static_cast<unsigned char>(c) & 0xC0U) != 0x80U; }));
}

bool has_nothing(const std::string& text) {
  return text.empty() || text == "-";
}

std::vector<std::string> words_of(const std::string& text) {
  std::vector<std::string> words;
  for (std::size_t at = 0; at < text.size();) {
    const std::size_t end = std::min(text.find(' ', at), text.size());
    if (end > at) words.push_back(text.substr(at, end - at));
    at = end + 1;
  }
  return words;
}

struct ColumnNeed {
  double natural_pt = 0; ///< nothing wraps
  double wanted_pt = 0;  ///< no number parts from its unit, no word breaks
  double least_pt = 0;   ///< no number breaks
};

double sum(const std::vector<double>& widths) {
  double all = 0;
  for (const double width : widths)
    all += width;
  return all;
}

/// Widths that are `total` together: the widest shrink first, none below its floor. Nothing where that is not
/// to be had.
std::optional<std::vector<double>> shrunk(const std::vector<double>& natural,
                                          const std::vector<double>& floors, double total) {
  if (sum(natural) <= total) return natural;
  if (sum(floors) > total) return std::nullopt;
  const auto at_most = [&](double level) {
    std::vector<double> widths;
    for (std::size_t i = 0; i < natural.size(); ++i)
      widths.push_back(std::max(floors[i], std::min(natural[i], level)));
    return widths;
  };
  double low = 0, high = total;
  for (int i = 0; i < 40; ++i) {
    const double level = (low + high) / 2;
    (sum(at_most(level)) <= total ? low : high) = level;
  }
  return at_most(low);
}

class TableMaker {
 public:
  TableMaker(const Drawing& drawing, const Table& table, const TableRoom& room, std::size_t number)
      : drawing_(drawing), table_(table), room_(room), number_(number) {
    const double indent = std::min(static_cast<double>(table.indent) * indent_pt, room.width_pt / 4);
    room_.left_pt += indent;
    room_.width_pt -= indent;
  }

  Pieces pieces() {
    if (table_.columns.empty()) return {};
    if (!find_widths()) return table_pieces(drawing_, one_cell_a_line(), room_, number_);
    find_sides();
    Pieces out = head();
    for (const TableRow& row : table_.rows)
      append(out, pieces_of(row));
    if (!out.empty()) out.front().space_pt = 6;
    keep_together(out);
    return out;
  }

 private:
  /// A table that is soon read is not to be read on two pages.
  void keep_together(Pieces& pieces) const {
    double height = 0;
    for (const Piece& piece : pieces)
      height += piece.space_pt + piece.height_pt;
    if (height > room_.page_height_pt * most_kept_share) return;
    for (std::size_t i = 0; i + 1 < pieces.size(); ++i)
      pieces[i].keeps_next = true;
  }

  [[nodiscard]] const std::string& cell(const TableRow& row, std::size_t column) const {
    static const std::string nothing;
    return column < row.cells.size() ? row.cells[column] : nothing;
  }

  double width_of(const std::string& text, bool is_bold) {
    auto [known, is_new] = widths_of_texts_.try_emplace({text, is_bold}, 0);
    if (is_new) known->second = drawing_.lay(text, {.size_pt = size_pt_, .is_bold = is_bold}).width_pt();
    return known->second;
  }

  double longest_word_of(const std::string& text, bool is_bold, bool also_words) {
    double widest = 0;
    for (const std::string& word : words_of(text)) {
      const bool is_figure = holds_digit(word) && letters(word) <= longest_number;
      if (is_figure || (also_words && letters(word) <= longest_word))
        widest = std::max(widest, width_of(word, is_bold));
      else if (also_words)
        widest = std::max(widest, static_cast<double>(longest_word) * size_pt_ * broken_word_em);
    }
    return widest;
  }

  ColumnNeed need_of(std::size_t column) {
    const std::string& title = table_.columns[column].title;
    ColumnNeed need;
    need.least_pt = std::max(2 * size_pt_, longest_word_of(title, true, false));
    need.wanted_pt = std::max(2 * size_pt_, longest_word_of(title, true, true));
    need.natural_pt = std::max(need.wanted_pt, std::min(width_of(title, true), 9 * size_pt_));
    for (const TableRow& row : table_.rows) {
      const std::string& text = cell(row, column);
      if (text.size() > longest_measured) {
        need.natural_pt = room_.width_pt;
        continue;
      }
      const double width = width_of(text, false);
      need.natural_pt = std::max(need.natural_pt, width);
      if (width <= need.least_pt) continue;
      need.least_pt = std::max(need.least_pt, longest_word_of(text, false, false));
      need.wanted_pt = std::max(
          {need.wanted_pt, need.least_pt, is_number(text) ? width : longest_word_of(text, false, true)});
    }
    need.wanted_pt = std::max(need.wanted_pt, need.least_pt);
    need.natural_pt = std::max(need.natural_pt, need.wanted_pt);
    return need;
  }

  /// The largest letters with which no word breaks; else the smallest with which no number does.
  bool find_widths() {
    for (const bool words_break : {false, true})
      for (const double size_pt : sizes_pt) {
        if (words_break && size_pt != sizes_pt.back()) continue;
        if (size_pt != size_pt_) widths_of_texts_.clear();
        size_pt_ = size_pt;
        if (take_widths(words_break)) return true;
      }
    return false;
  }

  bool take_widths(bool words_break) {
    std::vector<double> natural, floors;
    for (std::size_t i = 0; i < table_.columns.size(); ++i) {
      const ColumnNeed need = need_of(i);
      natural.push_back(need.natural_pt + rounding_pt);
      floors.push_back((words_break ? need.least_pt : need.wanted_pt) + rounding_pt);
    }
    const auto gaps = static_cast<double>(table_.columns.size() - 1);
    auto widths = shrunk(natural, floors, room_.width_pt - gaps * narrowest_gap_pt);
    if (!widths) return false;
    widths_ = *std::move(widths);
    const double left_over = room_.width_pt - sum(widths_);
    gap_pt_ = gaps > 0 ? std::clamp(left_over / gaps, narrowest_gap_pt, widest_gap_pt) : 0;
    return true;
  }

  /// Figures under one another stand on the right, a short word among them too.
  void find_sides() {
    for (std::size_t i = 0; i < table_.columns.size(); ++i) {
      bool all = true, any = false;
      for (const TableRow& row : table_.rows) {
        all = all && (has_nothing(cell(row, i)) || is_number(cell(row, i)) ||
                      letters(cell(row, i)) <= longest_word_among_figures);
        any = any || is_number(cell(row, i));
      }
      sides_.push_back(i > 0 && all && any ? Side::right : Side::left);
    }
  }

  /// The whole table with a line for each cell: what it is, and what stands there.
  [[nodiscard]] Table one_cell_a_line() const {
    Table narrow;
    narrow.columns = {{"", 0, false}, {"", 0, false}};
    for (const TableRow& row : table_.rows) {
      for (std::size_t i = 0; i < table_.columns.size(); ++i)
        narrow.rows.push_back({{table_.columns[i].title, cell(row, i)}, ""});
      if (!narrow.rows.empty()) narrow.rows.back().note = row.note;
    }
    return narrow;
  }

  /// Cells of a row laid out side by side.
  struct LaidRow {
    std::vector<LaidText> cells;
    std::optional<LaidText> note;
  };

  /// Which lines of each cell, and of the note, stand on one page.
  struct Slice {
    std::vector<std::pair<std::size_t, std::size_t>> cells;
    std::pair<std::size_t, std::size_t> note{0, 0};
  };

  [[nodiscard]] LaidRow laid(const std::vector<std::string>& cells, const std::string& note,
                             bool is_head) const {
    LaidRow row;
    for (std::size_t i = 0; i < widths_.size(); ++i)
      row.cells.push_back(drawing_.lay(cells[i],
                                       {.size_pt = size_pt_,
                                        .is_bold = is_head,
                                        .ink = is_head ? Ink::grey : Ink::black,
                                        .side = sides_[i]},
                                       widths_[i]));
    if (!note.empty())
      row.note =
          drawing_.lay(note, {.size_pt = size_pt_ - 0.8, .ink = Ink::grey}, room_.width_pt - note_indent_pt);
    return row;
  }

  static Slice whole(const LaidRow& row) {
    Slice slice;
    for (const LaidText& one : row.cells)
      slice.cells.emplace_back(0, one.lines());
    if (row.note) slice.note = {0, row.note->lines()};
    return slice;
  }

  static double height_of(const LaidRow& row, const Slice& slice) {
    double height = 0;
    for (std::size_t i = 0; i < row.cells.size(); ++i)
      height = std::max(height, row.cells[i].height_pt(slice.cells[i].first, slice.cells[i].second));
    if (row.note) height += row.note->height_pt(slice.note.first, slice.note.second);
    return height;
  }

  /// As many lines of a text from `from` on as `height_pt` takes, one at least.
  static std::size_t lines_until(const LaidText& text, std::size_t from, double height_pt) {
    std::size_t to = std::min(from + 1, text.lines());
    while (to < text.lines() && text.height_pt(from, to + 1) <= height_pt)
      ++to;
    return to;
  }

  /// The row in parts that a page takes.
  static std::vector<Slice> slices_of(const LaidRow& row, double height_pt) {
    const Slice all = whole(row);
    if (height_of(row, all) <= height_pt) return {all};
    std::vector<Slice> slices;
    std::vector<std::size_t> begun(row.cells.size(), 0);
    const auto is_left = [&] {
      for (std::size_t i = 0; i < begun.size(); ++i)
        if (begun[i] < row.cells[i].lines()) return true;
      return false;
    };
    while (is_left()) {
      Slice slice;
      for (std::size_t i = 0; i < begun.size(); ++i) {
        const std::size_t to = lines_until(row.cells[i], begun[i], height_pt);
        slice.cells.emplace_back(begun[i], to);
        begun[i] = to;
      }
      slices.push_back(std::move(slice));
    }
    for (std::size_t at = 0; row.note && at < row.note->lines();) {
      Slice slice;
      for (const std::size_t end : begun)
        slice.cells.emplace_back(end, end);
      slice.note = {at, lines_until(*row.note, at, height_pt)};
      at = slice.note.second;
      slices.push_back(std::move(slice));
    }
    return slices;
  }

  [[nodiscard]] std::function<void(Drawing&, double)> drawer(const LaidRow& row, const Slice& slice,
                                                             const std::string& tag, bool is_last) const {
    return [=, widths = widths_, gap = gap_pt_, room = room_, padding = padding_pt(),
            bottom = height_of(row, slice) + 2 * padding_pt()](Drawing& drawing, double top_pt) {
      double left = room.left_pt, cells_height = 0;
      for (std::size_t i = 0; i < row.cells.size(); ++i) {
        const auto [from, to] = slice.cells[i];
        drawing.begin_element(tag);
        drawing.text(row.cells[i], left, top_pt + padding, from, to);
        drawing.end_element(tag);
        cells_height = std::max(cells_height, row.cells[i].height_pt(from, to));
        left += widths[i] + gap;
      }
      if (row.note) {
        drawing.begin_element(tag);
        drawing.text(*row.note, room.left_pt + note_indent_pt, top_pt + padding + cells_height,
                     slice.note.first, slice.note.second);
        drawing.end_element(tag);
      }
      if (is_last)
        drawing.rule(room.left_pt, top_pt + bottom, room.left_pt + room.width_pt, top_pt + bottom,
                     tag == "TH" ? 0.9 : 0.35, tag == "TH" ? Ink::black : Ink::hairline);
    };
  }

  [[nodiscard]] double padding_pt() const { return row_padding_pt * size_pt_ / sizes_pt.front(); }

  Pieces slices(const LaidRow& row, double height_pt, const std::string& tag) {
    const std::size_t row_number = number_ + ++rows_;
    Pieces out;
    const auto all = slices_of(row, height_pt - 2 * padding_pt());
    for (std::size_t i = 0; i < all.size(); ++i) {
      Piece piece;
      piece.height_pt = height_of(row, all[i]) + 2 * padding_pt();
      piece.within = {{"Table", number_}, {"TR", row_number}};
      piece.draw = drawer(row, all[i], tag, i + 1 == all.size());
      piece.head = head_;
      out.push_back(std::move(piece));
    }
    return out;
  }

  /// Titles; such that take a third of the page are not repeated.
  Pieces head() {
    std::vector<std::string> titles;
    bool any = false;
    for (const TableColumn& column : table_.columns) {
      titles.push_back(column.title);
      any = any || !column.title.empty();
    }
    if (!any) return {};
    Pieces out = slices(laid(titles, "", true), room_.page_height_pt, "TH");
    for (Piece& piece : out)
      piece.keeps_next = !table_.rows.empty();
    if (out.size() == 1 && out.front().height_pt < room_.page_height_pt / 3)
      head_ = std::make_shared<const Piece>(out.front());
    return out;
  }

  Pieces pieces_of(const TableRow& row) {
    std::vector<std::string> cells;
    for (std::size_t i = 0; i < table_.columns.size(); ++i)
      cells.push_back(cell(row, i));
    return slices(laid(cells, row.note, false), room_.page_height_pt - (head_ ? head_->height_pt : 0), "TD");
  }

  const Drawing& drawing_;
  const Table& table_;
  TableRoom room_;
  std::size_t number_;
  std::size_t rows_ = 0;
  double size_pt_ = 0;
  double gap_pt_ = 0;
  std::vector<double> widths_;
  std::vector<Side> sides_;
  std::map<std::pair<std::string, bool>, double> widths_of_texts_;
  std::shared_ptr<const Piece> head_;
};

} // namespace

Pieces table_pieces(const Drawing& drawing, const Table& table, const TableRoom& room, std::size_t number) {
  return TableMaker(drawing, table, room, number).pieces();
}

} // namespace coldbag
