#include "report/sheet_pdf.h"

#include "report/layout.h"
#include "report/pdf_field.h"
#include "report/pdf_flow.h"
#include "report/sheet_grid.h"
#include "report/sheet_parts.h"

#include <algorithm>
#include <array>
#include <iterator>
#include <memory>
#include <utility>

namespace coldbag {

namespace {

constexpr double margin_pt = 16 * pt_per_mm;
constexpr double head_pt = 57; // of each page: farm, run, date
constexpr double foot_pt = 16;
constexpr double gap_pt = field_gap_pt;
constexpr double item_indent_pt = 10;
constexpr double cell_padding_pt = 3;
constexpr std::size_t most_name_lines = 4;
constexpr std::size_t fewest_rows = 3; ///< of readings on a page

constexpr TextStyle plain{.size_pt = 9};
constexpr TextStyle heading_style{.size_pt = 10, .is_bold = true, .ink = Ink::accent};

/// Bytes of the words in capitals that a text begins with.
std::size_t capitals(const std::string& text) {
  std::size_t end = 0;
  for (std::size_t at = 0; at < text.size();) {
    const std::size_t blank = std::min(text.find(' ', at), text.size());
    const bool has_small = std::any_of(text.begin() + static_cast<std::ptrdiff_t>(at),
                                       text.begin() + static_cast<std::ptrdiff_t>(blank),
                                       [](char c) { return c >= 'a' && c <= 'z'; });
    if (has_small) break;
    end = blank;
    at = blank + 1;
  }
  return end;
}

class SheetLayout {
 public:
  SheetLayout(Drawing& drawing, const RunSheet& sheet, const Words& words)
      : drawing_(drawing), sheet_(sheet), words_(words), parts_(sheet, words),
        width_pt_(drawing.size().width_pt - 2 * margin_pt) {}

  /// All of the sheet; the number of its pages.
  std::size_t draw() {
    const double top = margin_pt + head_pt;
    const double height = drawing_.size().height_pt - margin_pt - foot_pt - top;
    const Pieces before = front();
    Pieces all = before;
    append(all, readings());
    std::vector<PlacedPage> fronts = pages_of(all, top, height);
    fill(fronts.back(), top + height);
    std::vector<PlacedPage> pages = pages_of(back(), top, height);
    const bool has_readings = fronts.front().size() > before.size();
    const std::string foot = words_.text(!has_readings       ? "sheet_readings_on"
                                         : fronts.size() > 1 ? "sheet_goes_on"
                                                             : "sheet_see_back");
    pages.insert(pages.begin(), std::move(fronts.front()));
    pages.insert(pages.end(), std::make_move_iterator(fronts.begin() + 1),
                 std::make_move_iterator(fronts.end()));
    for (std::size_t i = 0; i < pages.size(); ++i) {
      if (i > 0) drawing_.next_page();
      draw_head(i + 1, pages.size());
      draw_page(drawing_, pages[i]);
      if (i == 0) draw_foot(foot);
    }
    return pages.size();
  }

 private:
  [[nodiscard]] double right_pt() const { return margin_pt + width_pt_; }

  /// At most so many lines; one with an ellipsis where it takes more.
  [[nodiscard]] LaidText laid_short(const std::string& text, const TextStyle& style, double width_pt,
                                    std::size_t most_lines) const {
    LaidText laid = drawing_.lay(text, style, width_pt);
    return laid.lines() <= most_lines ? laid : drawing_.lay_shortened(text, style, width_pt);
  }

  void draw_head(std::size_t page, std::size_t pages) {
    const LaidText number = drawing_.lay(parts_.page(page, pages), field_label);
    const double foot = margin_pt + 20, room = width_pt_ - number.width_pt() - gap_pt;
    const SheetField title = parts_.title();
    if (title.value.empty())
      draw_field(drawing_, title, margin_pt, room, foot);
    else
      stand(drawing_, drawing_.lay_shortened(title.value, {.size_pt = 14, .is_bold = true}, room), margin_pt,
            foot);
    stand(drawing_, number, right_pt() - number.width_pt(), foot - 2);
    draw_fields(drawing_, parts_.run_and_date(), margin_pt, width_pt_, margin_pt + 20 + 25);
    drawing_.rule(margin_pt, margin_pt + head_pt - 7, right_pt(), margin_pt + head_pt - 7, 1, Ink::black);
  }

  void draw_foot(const std::string& text) {
    const LaidText laid = drawing_.lay_shortened(text, {.size_pt = 9, .is_bold = true}, width_pt_);
    stand(drawing_, laid, margin_pt, drawing_.size().height_pt - margin_pt);
  }

  Piece piece_of(const SheetFields& line) {
    Piece piece;
    piece.height_pt = fields_height_pt(line);
    piece.within = {{"P", ++elements_}};
    piece.draw = [this, line, height = piece.height_pt](Drawing& drawing, double top_pt) {
      draw_fields(drawing, line, margin_pt, width_pt_, top_pt + height);
    };
    return piece;
  }

  Pieces pieces_of(const std::vector<SheetFields>& lines) {
    Pieces out;
    for (const SheetFields& line : lines)
      out.push_back(piece_of(line));
    return out;
  }

  Pieces paragraph(const std::string& text, const TextStyle& style, double space_pt) {
    if (text.empty()) return {};
    return text_pieces(drawing_.lay(text, style, width_pt_), margin_pt, {{"P", ++elements_}}, space_pt);
  }

  Pieces heading(const std::string& text) {
    Pieces lines =
        text_pieces(drawing_.lay(text, heading_style, width_pt_), margin_pt, {{"H2", ++elements_}}, 11);
    for (Piece& line : lines)
      line.keeps_next = true;
    return lines;
  }

  enum class Lead { none, bold_capitals };

  Pieces list(const std::vector<std::string>& texts, double space_pt, Lead lead = Lead::none) {
    Pieces out;
    const std::size_t number = ++elements_;
    for (const std::string& text : texts) {
      TextStyle style = plain;
      if (lead == Lead::bold_capitals) style.bold_bytes = capitals(text);
      const LaidText dash = drawing_.lay("\xE2\x80\x93", plain);
      Pieces item = text_pieces(drawing_.lay(text, style, width_pt_ - item_indent_pt),
                                margin_pt + item_indent_pt, {{"L", number}, {"LI", ++elements_}}, space_pt);
      item.front().draw = [dash, draw = item.front().draw](Drawing& drawing, double top_pt) {
        drawing.text(dash, margin_pt, top_pt);
        draw(drawing, top_pt);
      };
      append(out, std::move(item));
    }
    return out;
  }

  Pieces front() {
    Pieces out{piece_of(parts_.vessel())};
    append(out, paragraph(parts_.vessel_text(), plain, 4));
    append(out, pieces_of(parts_.vessel_asked()));
    append(out, pieces_of(parts_.treatment_asked()));
    if (!sheet_.treatment.empty()) {
      append(out, paragraph(parts_.treatment_text(), field_value, 8));
      append(out, list(parts_.said(sheet_.requirements), 1));
    }
    for (const SheetBags& bags : sheet_.bags)
      append(out, pieces_of(parts_.bags(bags)));
    append(out, cautions());
    append(out, events());
    append(out, places());
    append(out, paragraph(words_.text("sheet_how_to_write"), {.size_pt = 8.2, .ink = Ink::grey}, 8));
    return out;
  }

  /// With a heavy rule on the left.
  Pieces cautions() {
    Pieces out = list(parts_.said(sheet_.cautions), 0);
    for (Piece& line : out)
      line.draw = [draw = line.draw, height = line.height_pt](Drawing& drawing, double top_pt) {
        drawing.rule(margin_pt - 6, top_pt, margin_pt - 6, top_pt + height, 3, Ink::black);
        draw(drawing, top_pt);
      };
    if (!out.empty()) out.front().space_pt = 10;
    return out;
  }

  /// Two columns of what happens in a run, each with room for date, time and initials.
  Pieces events() {
    const std::vector<std::string> names = parts_.events();
    const std::size_t lines = (names.size() + 1) / 2;
    Pieces out = heading(words_.text("sheet_heading_events"));
    const double title_height = out.back().height_pt;
    out.back().draw = [this, title_height, draw = out.back().draw](Drawing& drawing, double top_pt) {
      draw(drawing, top_pt);
      for (const double left : {margin_pt, margin_pt + (width_pt_ + gap_pt) / 2})
        draw_event_titles(drawing, left, top_pt + title_height);
    };
    for (std::size_t i = 0; i < lines; ++i) {
      Piece piece;
      piece.height_pt = written_line_pt;
      piece.keeps_next = i + 1 < lines;
      piece.within = {{"P", ++elements_}};
      const std::string right = lines + i < names.size() ? names[lines + i] : "";
      piece.draw = [this, left_name = names[i], right](Drawing& drawing, double top_pt) {
        draw_event(drawing, left_name, margin_pt, top_pt + written_line_pt);
        draw_event(drawing, right, margin_pt + (width_pt_ + gap_pt) / 2, top_pt + written_line_pt);
      };
      out.push_back(std::move(piece));
    }
    return out;
  }

  /// Where the name of an event ends and where date, time and initials do, in parts of half the sheet.
  static constexpr std::array event_ends{0.36, 0.59, 0.82, 1.0};

  [[nodiscard]] double event_pt(std::size_t part) const {
    return event_ends[part] * (width_pt_ - gap_pt) / 2;
  }

  void draw_event_titles(Drawing& drawing, double left_pt, double foot_line_pt) const {
    std::size_t part = 0;
    for (const char* key : {"sheet_event_date", "sheet_event_time", "sheet_event_initials"})
      stand(drawing, drawing.lay(words_.text(key), field_label), left_pt + event_pt(part++) + 6,
            foot_line_pt);
  }

  void draw_event(Drawing& drawing, const std::string& name, double left_pt, double foot_line_pt) const {
    if (name.empty())
      drawing.rule(left_pt, foot_line_pt - 1, left_pt + event_pt(0), foot_line_pt - 1, 0.6, Ink::black);
    else
      stand(drawing, drawing.lay_shortened(name, plain, event_pt(0)), left_pt, foot_line_pt);
    for (std::size_t part = 0; part + 1 < event_ends.size(); ++part)
      drawing.rule(left_pt + event_pt(part) + 6, foot_line_pt - 1, left_pt + event_pt(part + 1),
                   foot_line_pt - 1, 0.6, Ink::black);
  }

  /// Where each probe sits; what nobody said is asked, two to a line.
  Pieces places() {
    std::vector<std::string> known;
    std::vector<SheetFields> asked;
    for (const SheetProbe& probe : sheet_.probes) {
      if (!probe.position.empty()) {
        known.push_back(parts_.place_name(probe) + ": " + clean(probe.position));
        continue;
      }
      if (asked.empty() || asked.back().fields.size() == 2) asked.push_back({{}, 2});
      asked.back().fields.push_back({parts_.place_name(probe), "", ""});
    }
    Pieces out = heading(words_.text("sheet_heading_places"));
    append(out, list(known, 1));
    append(out, pieces_of(asked));
    return out;
  }

  Pieces back() {
    Pieces out = heading(words_.text("sheet_heading_what_to_do"));
    append(out, list(parts_.said(sheet_.if_it_happens), 3, Lead::bold_capitals));
    append(out, heading(words_.text("sheet_heading_disposition")));
    std::vector<SheetFields> counts;
    for (SheetField& field : parts_.dispositions()) {
      if (counts.empty() || counts.back().fields.size() == 3) counts.push_back({{}, 3});
      counts.back().fields.push_back(std::move(field));
    }
    append(out, pieces_of(counts));
    for (const char* key : {"sheet_field_verdict", "sheet_field_corrective"})
      out.push_back(piece_of({{{words_.text(key), "", ""}}, 1}));
    out.push_back(piece_of({{{"", "", ""}}, 1}));
    for (const SheetSignature& signature : {parts_.operator_signature(), parts_.reviewer_signature()}) {
      Pieces signing = paragraph(signature.means, plain, 11);
      for (Piece& line : signing)
        line.keeps_next = true;
      append(out, std::move(signing));
      out.push_back(piece_of(signature.fields));
    }
    append(out, typing());
    return out;
  }

  Pieces typing() {
    Pieces out = paragraph(words_.text("sheet_how_to_type"), plain, 14);
    std::string lines = command_lines(parts_.typing());
    for (std::size_t at = 0; at < lines.size();) {
      const std::size_t end = std::min(lines.find('\n', at), lines.size());
      append(out, paragraph(lines.substr(at, end - at), {.size_pt = 8, .is_mono = true}, 1));
      at = end + 1;
    }
    return out;
  }

  /// Where each column of the readings ends, from the left margin; as wide to one another as in the text.
  [[nodiscard]] std::vector<double> column_ends() const {
    std::size_t all = 0;
    for (const SheetColumn& column : columns_)
      all += column.width + 1;
    std::vector<double> ends;
    std::size_t used = 0;
    for (const SheetColumn& column : columns_) {
      used += column.width + 1;
      ends.push_back(margin_pt + width_pt_ * static_cast<double>(used) / static_cast<double>(all));
    }
    return ends;
  }

  static void draw_uprights(Drawing& drawing, const std::vector<double>& ends, double top_pt,
                            double bottom_pt) {
    drawing.rule(margin_pt, top_pt, margin_pt, bottom_pt, 0.6, Ink::black);
    for (const double end : ends)
      drawing.rule(end, top_pt, end, bottom_pt, 0.6, Ink::black);
  }

  /// What is to be minded, and the names of the columns; stands on every page that has readings.
  Piece grid_head(const std::vector<double>& ends) {
    struct Column {
      LaidText name, unit;
    };
    std::vector<Column> heads;
    double names_height = 0, units_height = 0, left = margin_pt;
    for (std::size_t i = 0; i < columns_.size(); ++i) {
      const double width = ends[i] - left - 2 * cell_padding_pt;
      const std::string& unit = columns_[i].unit;
      heads.push_back(
          {laid_short(columns_[i].name, {.size_pt = 8.2, .is_bold = true}, width, most_name_lines),
           laid_short(unit.empty() ? "" : "(" + unit + ")", {.size_pt = 7.6, .ink = Ink::grey}, width,
                      most_name_lines)});
      names_height = std::max(names_height, heads.back().name.height_pt());
      if (!unit.empty()) units_height = std::max(units_height, heads.back().unit.height_pt());
      left = ends[i];
    }
    const LaidText minded = drawing_.lay(parts_.reminders(), {.size_pt = 9, .is_bold = true}, width_pt_);
    const double above = minded.height_pt() + 5;
    Piece piece;
    piece.height_pt = above + names_height + units_height + 2 * cell_padding_pt;
    piece.space_pt = 12;
    piece.keeps_next = true;
    piece.within = {{"Table", table_}, {"TR", ++elements_}};
    piece.draw = [=, bottom = piece.height_pt](Drawing& drawing, double top_pt) {
      drawing.begin_element("TH");
      drawing.text(minded, margin_pt, top_pt);
      drawing.end_element("TH");
      drawing.rule(margin_pt, top_pt + above, ends.back(), top_pt + above, 0.6, Ink::black);
      double at = margin_pt;
      for (std::size_t i = 0; i < heads.size(); ++i) {
        const double down = top_pt + above + cell_padding_pt;
        drawing.begin_element("TH");
        drawing.text(heads[i].name, at + cell_padding_pt, down);
        drawing.text(heads[i].unit, at + cell_padding_pt, down + names_height);
        drawing.end_element("TH");
        at = ends[i];
      }
      draw_uprights(drawing, ends, top_pt + above, top_pt + bottom);
      drawing.rule(margin_pt, top_pt + bottom, ends.back(), top_pt + bottom, 1.1, Ink::black);
    };
    return piece;
  }

  /// Room for one reading; what a plan expects by then stands above it, right of the time.
  Piece grid_row(const std::vector<double>& ends, const std::string& time, const std::string& day,
                 const std::string& remark) {
    const double first = ends.front();
    const LaidText time_text = drawing_.lay(time, {.size_pt = 10, .is_bold = true});
    const LaidText day_text =
        drawing_.lay_shortened(day, {.size_pt = 7.4}, first - margin_pt - 2 * cell_padding_pt);
    const LaidText remark_text =
        laid_short(remark, {.size_pt = 8}, ends.back() - first - 2 * cell_padding_pt, 3);
    const double above = remark.empty() ? 0 : remark_text.height_pt() + 2;
    Piece piece;
    piece.height_pt = above + written_line_pt;
    piece.within = {{"Table", table_}, {"TR", ++elements_}};
    piece.draw = [=, bottom = piece.height_pt](Drawing& drawing, double top_pt) {
      drawing.begin_element("TD");
      drawing.text(day_text, margin_pt + cell_padding_pt, top_pt + 1);
      drawing.text(time_text, margin_pt + cell_padding_pt, top_pt + bottom - time_text.height_pt() - 3);
      drawing.end_element("TD");
      if (!remark.empty()) {
        drawing.begin_element("TD");
        drawing.text(remark_text, first + cell_padding_pt, top_pt + 2);
        drawing.end_element("TD");
      }
      drawing.rule(margin_pt, top_pt, margin_pt, top_pt + bottom, 0.6, Ink::black);
      drawing.rule(first, top_pt, first, top_pt + bottom, 0.6, Ink::black);
      drawing.rule(ends.back(), top_pt, ends.back(), top_pt + bottom, 0.6, Ink::black);
      draw_uprights(drawing, ends, top_pt + above, top_pt + bottom);
      drawing.rule(margin_pt, top_pt + bottom, ends.back(), top_pt + bottom, 0.6, Ink::black);
    };
    return piece;
  }

  Pieces readings() {
    table_ = ++elements_;
    const std::vector<double> ends = column_ends();
    const auto head = std::make_shared<const Piece>(grid_head(ends));
    Pieces out{*head};
    for (std::size_t i = 0; i < sheet_.lines.size(); ++i) {
      const auto& remark = sheet_.lines[i].remark;
      Piece row = grid_row(ends, parts_.time_of(i), parts_.day_of(i), remark ? parts_.said(*remark) : "");
      row.head = head;
      row.keeps_next = i + 1 < std::min(fewest_rows, sheet_.lines.size());
      out.push_back(std::move(row));
    }
    return out;
  }

  /// Lines without a time down to the foot of the page.
  void fill(PlacedPage& page, double bottom_pt) {
    const std::vector<double> ends = column_ends();
    double down = page.back().top_pt + page.back().piece.height_pt;
    for (; down + written_line_pt <= bottom_pt; down += written_line_pt)
      page.push_back({grid_row(ends, "", "", ""), down});
  }

  Drawing& drawing_;
  const RunSheet& sheet_;
  const Words& words_;
  SheetParts parts_;
  double width_pt_;
  std::vector<SheetColumn> columns_ = sheet_columns(sheet_, words_);
  std::size_t elements_ = 0;
  std::size_t table_ = 0;
};

} // namespace

PrintedPdf sheet_pdf(const RunSheet& sheet, const Words& words, Paper paper) {
  const SheetField title = SheetParts(sheet, words).title();
  PdfAbout about;
  about.title = title.value.empty() ? title.label : title.value;
  about.author = sheet.operator_name;
  Drawing drawing(paper, about);
  PrintedPdf out;
  out.pages = SheetLayout(drawing, sheet, words).draw();
  out.bytes = drawing.finish();
  return out;
}

} // namespace coldbag
