#include "report/pdf_field.h"

#include <algorithm>

namespace coldbag {

namespace {

constexpr double widest_label = 0.75; // of the field; the rest is to write on

} // namespace

void stand(Drawing& drawing, const LaidText& laid, double left_pt, double foot_line_pt) {
  drawing.text(laid, left_pt, foot_line_pt - laid.height_pt());
}

void draw_field(Drawing& drawing, const SheetField& field, double left_pt, double width_pt,
                double foot_line_pt) {
  const LaidText label = drawing.lay_shortened(field.label, field_label, width_pt * widest_label);
  stand(drawing, label, left_pt, foot_line_pt);
  const double begin = left_pt + (field.label.empty() ? 0 : label.width_pt() + 5);
  if (!field.value.empty())
    return stand(drawing, drawing.lay_shortened(field.value, field_value, left_pt + width_pt - begin), begin,
                 foot_line_pt + 0.3);
  double end = left_pt + width_pt;
  if (!field.unit.empty()) {
    const LaidText unit = drawing.lay(field.unit, field_label);
    end -= unit.width_pt();
    stand(drawing, unit, end, foot_line_pt);
    end -= 4;
  }
  drawing.rule(begin, foot_line_pt - 1, end, foot_line_pt - 1, 0.6, Ink::black);
}

void draw_fields(Drawing& drawing, const SheetFields& line, double left_pt, double width_pt,
                 double foot_line_pt) {
  const auto parts = static_cast<double>(line.parts);
  const double width = (width_pt - (parts - 1) * field_gap_pt) / parts;
  for (const SheetField& field : line.fields) {
    draw_field(drawing, field, left_pt, width, foot_line_pt);
    left_pt += width + field_gap_pt;
  }
}

double fields_height_pt(const SheetFields& line) {
  const bool is_known =
      std::ranges::all_of(line.fields, [](const SheetField& field) { return !field.value.empty(); });
  return is_known ? known_line_pt : written_line_pt;
}

} // namespace coldbag
