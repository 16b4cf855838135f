#include "report/pdf.h"

#include "report/layout.h"
#include "report/pdf_flow.h"
#include "report/pdf_table.h"

#include <cairo.h>

#include <algorithm>
#include <utility>

namespace coldbag {

namespace {

constexpr double side_margin_pt = 20 * pt_per_mm;
constexpr double top_margin_pt = 18 * pt_per_mm;
constexpr double bottom_margin_pt = 25 * pt_per_mm; // the foot stands in it, 16 mm above the edge
constexpr double foot_pt = 16 * pt_per_mm;
constexpr double chart_height_pt = 110 * pt_per_mm;
constexpr double writing_height_pt = 11 * pt_per_mm; // a wet hand with a thick pen
constexpr double writing_gap_pt = 14;
constexpr double narrowest_writing_pt = 25 * pt_per_mm;
constexpr double tick_box_pt = 4.5 * pt_per_mm;
constexpr double item_indent_pt = 12;
constexpr double reason_indent_pt = 12;
constexpr double warning_padding_pt = 7;
constexpr double warning_bar_pt = 4;
constexpr double blank_line_pt = 7;
constexpr std::size_t kept_lines = 12; ///< a warning of so many lines is not broken

constexpr TextStyle plain{};
constexpr TextStyle small{.size_pt = 7.8, .ink = Ink::grey};

std::string without_blanks_before(const std::string& text) {
  return text.substr(std::min(text.find_first_not_of(' '), text.size()));
}

/// Turns blocks into pieces of a page.
class PdfLayout {
 public:
  PdfLayout(const Drawing& drawing, const DrawChart& draw_chart)
      : drawing_(drawing), draw_chart_(draw_chart), width_pt_(drawing.size().width_pt - 2 * side_margin_pt),
        height_pt_(drawing.size().height_pt - top_margin_pt - bottom_margin_pt) {}

  Pieces pieces(const Blocks& blocks) {
    std::size_t kept_from = 0;
    for (std::size_t i = 0; i < blocks.size(); ++i) {
      const Block& block = blocks[i];
      if (begins_part(block)) kept_from = pieces_.size();
      std::visit(*this, block);
      any_written_ = any_written_ || std::holds_alternative<WritingLine>(block);
      if (i + 1 == blocks.size() || begins_part(blocks[i + 1])) keep_what_is_signed(kept_from);
      was_item_ = std::holds_alternative<Item>(block);
      was_written_on_ = std::holds_alternative<WritingLine>(block);
    }
    return std::move(pieces_);
  }

  void operator()(const Space&) { space_pt_ += blank_line_pt; }

  void operator()(const Heading& heading) {
    const bool is_title = heading.level <= 1;
    const bool is_part = heading.level == 2;
    const TextStyle style{.size_pt = is_title  ? 17.0
                                     : is_part ? 12.0
                                               : 10.0,
                          .is_bold = true,
                          .ink = is_part ? Ink::accent : Ink::black};
    const LaidText laid = drawing_.lay(heading.text, style, width_pt_);
    const Element element{is_title ? "H1" : is_part ? "H2" : "H3", ++elements_};
    Pieces lines = lines_of(laid, 0, {element}, is_title ? 0 : is_part ? 16 : 9);
    for (Piece& line : lines)
      line.keeps_next = true;
    lines.front().draw = [draw = lines.front().draw, heading](Drawing& drawing, double top_pt) {
      drawing.bookmark(heading.text, heading.level, top_pt);
      draw(drawing, top_pt);
    };
    lines.back().height_pt += is_title ? 5 : 2;
    put(std::move(lines));
  }

  // The word and its shape stand alone on a line, seen from afar; the sentence beneath reads on.
  void operator()(const VerdictSentence& verdict) {
    constexpr double radius_pt = 11;
    constexpr double text_left_pt = side_margin_pt + 2 * radius_pt + 10;
    const bool has_mark = verdict.mark != Mark::none;
    const double left = has_mark ? text_left_pt : side_margin_pt;
    const double width = side_margin_pt + width_pt_ - left;
    const Element element{"P", ++elements_};
    Pieces lines = lines_of(drawing_.lay(verdict.verdict, {.size_pt = 25, .is_bold = true}, width),
                            left - side_margin_pt, {element}, 12);
    if (has_mark)
      lines.front().draw = [mark = verdict.mark, draw = lines.front().draw,
                            middle = lines.front().height_pt / 2](Drawing& drawing, double top_pt) {
        draw_mark(drawing, mark, side_margin_pt + radius_pt, top_pt + middle, radius_pt);
        draw(drawing, top_pt);
      };
    append(lines, lines_of(drawing_.lay(with_units_kept(verdict.sentence), {.size_pt = 11.5}, width),
                           left - side_margin_pt, {element}, 1));
    for (Piece& line : lines)
      line.keeps_next = true;
    lines.back().keeps_next = false;
    lines.back().height_pt += 6;
    put(std::move(lines));
  }

  void operator()(const Paragraph& paragraph) {
    const std::string text = with_units_kept(without_blanks_before(paragraph.text));
    if (text.empty()) return;
    if (paragraph.tone == Tone::warning) {
      put(warning(text));
      space_pt_ = 6;
      return;
    }
    const double indent = paragraph.tone == Tone::reason ? reason_indent_pt : 0;
    put(lines_of(drawing_.lay(text, plain, width_pt_ - indent), indent, {{"P", ++elements_}},
                 was_written_on_ ? 14 : 4));
  }

  void operator()(const Item& item) {
    if (!was_item_) list_ = ++elements_;
    const LaidText laid = drawing_.lay(with_units_kept(item.text), plain, width_pt_ - item_indent_pt);
    Pieces lines = lines_of(laid, item_indent_pt, {{"L", list_}, {"LI", ++elements_}}, was_item_ ? 2.5 : 4);
    lines.front().draw = [draw = lines.front().draw,
                          dash = drawing_.lay("\xE2\x80\x93", plain)](Drawing& drawing, double top_pt) {
      drawing.text(dash, side_margin_pt, top_pt);
      draw(drawing, top_pt);
    };
    put(std::move(lines));
  }

  void operator()(const Table& table) {
    put(table_pieces(drawing_, table, {side_margin_pt, width_pt_, height_pt_}, ++elements_));
    elements_ += table.rows.size() * std::max<std::size_t>(1, table.columns.size()) + 2;
    space_pt_ = 5;
  }

  void operator()(const Command& command) {
    const Element element{"P", ++elements_};
    std::string lines = command_lines(command.parts);
    Pieces all;
    for (std::size_t at = 0; at < lines.size();) {
      const std::size_t end = std::min(lines.find('\n', at), lines.size());
      const TextStyle style{.size_pt = 8.2, .is_mono = true};
      append(all, lines_of(drawing_.lay(lines.substr(at, end - at), style, width_pt_), 0, {element},
                           all.empty() ? 4 : 0));
      at = end + 1;
    }
    for (std::size_t i = 0; i + 1 < all.size(); ++i)
      all[i].keeps_next = all.size() <= kept_lines;
    put(std::move(all));
  }

  void operator()(const ChartPlace&) {
    if (!draw_chart_) return;
    Piece piece;
    piece.height_pt = chart_height_pt;
    piece.space_pt = 8;
    piece.within = {{"Figure", ++elements_}};
    piece.draw = [draw = draw_chart_, width = width_pt_](Drawing& drawing, double top_pt) {
      cairo_t* cr = drawing.cairo();
      cairo_save(cr);
      cairo_rectangle(cr, side_margin_pt, top_pt, width, chart_height_pt);
      cairo_clip(cr);
      cairo_translate(cr, side_margin_pt, top_pt);
      draw(cr, width, chart_height_pt);
      cairo_restore(cr);
    };
    put({std::move(piece)});
  }

  void operator()(const TickBoxes& boxes) {
    const Element element{"P", ++elements_};
    Pieces all = lines_of(drawing_.lay(boxes.label, {.is_bold = true}, width_pt_), 0, {element}, 6);
    for (Piece& line : all)
      line.keeps_next = true;
    append(all, choices(boxes.choices, element));
    put(std::move(all));
  }

  void operator()(const WritingLine& line) {
    const auto most =
        static_cast<std::size_t>((width_pt_ + writing_gap_pt) / (narrowest_writing_pt + writing_gap_pt));
    for (std::size_t at = 0; at < line.labels.size(); at += most) {
      const auto begin = line.labels.begin() + static_cast<std::ptrdiff_t>(at);
      put({writing_line(
          {begin, begin + static_cast<std::ptrdiff_t>(std::min(most, line.labels.size() - at))})});
    }
  }

 private:
  static bool begins_part(const Block& block) {
    const Heading* heading = std::get_if<Heading>(&block);
    return heading != nullptr && heading->level <= 2;
  }

  /// Who signs has on one page what is signed.
  void keep_what_is_signed(std::size_t from) {
    if (std::exchange(any_written_, false))
      for (std::size_t i = from; i + 1 < pieces_.size(); ++i)
        pieces_[i].keeps_next = true;
  }

  /// Adds the room that empty lines left.
  void put(Pieces pieces) {
    if (pieces.empty()) return;
    pieces.front().space_pt += std::exchange(space_pt_, 0);
    append(pieces_, std::move(pieces));
  }

  static Pieces lines_of(const LaidText& laid, double indent_pt, const std::vector<Element>& within,
                         double space_pt) {
    return text_pieces(laid, side_margin_pt + indent_pt, within, space_pt);
  }

  static void draw_mark(Drawing& drawing, Mark mark, double middle_pt, double middle_down_pt,
                        double radius_pt) {
    switch (mark) {
    case Mark::pass:
      return drawing.disc(middle_pt, middle_down_pt, radius_pt, Ink::accent);
    case Mark::fail:
      return drawing.cross(middle_pt, middle_down_pt, radius_pt, Ink::accent);
    case Mark::unproven:
      return drawing.half_filled_ring(middle_pt, middle_down_pt, radius_pt, Ink::accent);
    case Mark::none:
      return;
    }
  }

  /// A box with a heavy rule on its left; each line draws its own part of it.
  Pieces warning(const std::string& text) {
    const double indent = warning_bar_pt + warning_padding_pt;
    const double right = side_margin_pt + width_pt_;
    Pieces lines = lines_of(drawing_.lay(text, plain, width_pt_ - indent - warning_padding_pt), indent,
                            {{"P", ++elements_}}, 8);
    for (std::size_t i = 0; i < lines.size(); ++i) {
      const bool is_first = i == 0, is_last = i + 1 == lines.size();
      Piece& line = lines[i];
      const double above = is_first ? warning_padding_pt : 0;
      line.height_pt += above + (is_last ? warning_padding_pt : 0);
      line.keeps_next = !is_last && (line.keeps_next || lines.size() <= kept_lines);
      line.draw = [=, draw = line.draw, height = line.height_pt](Drawing& drawing, double top_pt) {
        const double bottom = top_pt + height, bar = side_margin_pt + warning_bar_pt / 2;
        drawing.rule(bar, top_pt, bar, bottom, warning_bar_pt, Ink::black);
        drawing.rule(right, top_pt, right, bottom, 0.6, Ink::black);
        if (is_first) drawing.rule(side_margin_pt, top_pt, right, top_pt, 0.6, Ink::black);
        if (is_last) drawing.rule(side_margin_pt, bottom, right, bottom, 0.6, Ink::black);
        draw(drawing, top_pt + above);
      };
    }
    return lines;
  }

  /// A text beside a box or under a line: one that takes many lines is shortened.
  [[nodiscard]] LaidText laid_short(const std::string& text, const TextStyle& style, double width_pt) const {
    LaidText laid = drawing_.lay(text, style, width_pt);
    return laid.lines() <= 5 ? laid : drawing_.lay_shortened(text, style, width_pt);
  }

  Piece writing_line(const std::vector<std::string>& texts) {
    const auto count = static_cast<double>(texts.size());
    const double part = (width_pt_ - (count - 1) * writing_gap_pt) / count;
    std::vector<LaidText> labels;
    double height = 0;
    for (const std::string& text : texts) {
      labels.push_back(laid_short(text, small, part));
      height = std::max(height, labels.back().height_pt());
    }
    Piece piece;
    piece.height_pt = writing_height_pt + 2 + height;
    piece.space_pt = 2;
    piece.within = {{"P", ++elements_}};
    piece.draw = [labels, part](Drawing& drawing, double top_pt) {
      double left = side_margin_pt;
      const double down = top_pt + writing_height_pt;
      for (const LaidText& label : labels) {
        drawing.rule(left, down, left + part, down, 0.7, Ink::black);
        drawing.text(label, left, down + 2);
        left += part + writing_gap_pt;
      }
    };
    return piece;
  }

  /// Boxes with their words behind, as many on a line as it takes.
  Pieces choices(const std::vector<std::string>& words, const Element& element) {
    constexpr double gap_pt = 5, between_pt = 18;
    struct Choice {
      LaidText text;
      double left_pt;
    };
    Pieces all;
    std::vector<Choice> line;
    double left = 0;
    const auto close = [&](bool is_last) {
      if (line.empty()) return;
      Piece piece;
      piece.height_pt = tick_box_pt + 2;
      for (const Choice& choice : line)
        piece.height_pt = std::max(piece.height_pt, choice.text.height_pt() + 2);
      piece.space_pt = 5;
      piece.within = {element};
      piece.keeps_next = !is_last;
      piece.draw = [line](Drawing& drawing, double top_pt) {
        for (const Choice& choice : line) {
          const double down = top_pt + 1, at = side_margin_pt + choice.left_pt;
          drawing.box(at, down, tick_box_pt, tick_box_pt, 0.9, Ink::black);
          drawing.text(choice.text, at + tick_box_pt + gap_pt,
                       down + std::max(0.0, (tick_box_pt - choice.text.height_pt(0, 1)) / 2));
        }
      };
      all.push_back(std::move(piece));
      line.clear();
      left = 0;
    };
    for (const std::string& word : words) {
      const LaidText text = laid_short(word, plain, width_pt_ - tick_box_pt - gap_pt);
      const double width = tick_box_pt + gap_pt + text.width_pt();
      if (left + width > width_pt_) close(false);
      line.push_back({text, left});
      left += width + between_pt;
    }
    close(true);
    return all;
  }

  const Drawing& drawing_;
  const DrawChart& draw_chart_;
  double width_pt_, height_pt_;
  Pieces pieces_;
  double space_pt_ = 0;
  std::size_t elements_ = 0;
  std::size_t list_ = 0;
  bool was_item_ = false;
  bool was_written_on_ = false;
  bool any_written_ = false;
};

/// The run's name and the number of the page.
void draw_foot(Drawing& drawing, const PdfAbout& about, const Words& words, std::size_t page,
               std::size_t pages) {
  const double right = drawing.size().width_pt - side_margin_pt;
  const LaidText number = drawing.lay(
      words.text("pdf_page", {{"page", std::to_string(page)}, {"pages", std::to_string(pages)}}), small);
  const double bottom = drawing.size().height_pt - foot_pt;
  const double top = bottom - number.height_pt();
  constexpr double gap_pt = 20;
  drawing.rule(side_margin_pt, top - 5, right, top - 5, 0.35, Ink::hairline);
  drawing.text(
      drawing.lay_shortened(about.run_name, small, right - side_margin_pt - number.width_pt() - gap_pt),
      side_margin_pt, top);
  drawing.text(number, right - number.width_pt(), top);
}

} // namespace

std::string pdf_bytes(const Blocks& blocks, const PdfAbout& about, const Words& words, Paper paper,
                      const DrawChart& draw_chart) {
  Drawing drawing(paper, about);
  const Pieces pieces = PdfLayout(drawing, draw_chart).pieces(blocks);
  const auto pages =
      pages_of(pieces, top_margin_pt, drawing.size().height_pt - top_margin_pt - bottom_margin_pt);
  for (std::size_t i = 0; i < pages.size(); ++i) {
    if (i > 0) drawing.next_page();
    draw_page(drawing, pages[i]);
    draw_foot(drawing, about, words, i + 1, pages.size());
  }
  return drawing.finish();
}

} // namespace coldbag
