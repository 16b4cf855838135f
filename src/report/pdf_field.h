// A field of a form on paper: its label, then what is known, or a line to write on.
#pragma once

#include "report/drawing.h"
#include "report/sheet_parts.h"

namespace coldbag {

inline constexpr double written_line_pt = 8.6 * pt_per_mm; ///< what a wet hand writes on
inline constexpr double known_line_pt = 15;                ///< nothing is written there
inline constexpr double field_gap_pt = 14;                 ///< between two on one line

inline constexpr TextStyle field_label{.size_pt = 8.2, .ink = Ink::grey};
inline constexpr TextStyle field_value{.size_pt = 9.5, .is_bold = true};

/// Draws a text that ends on a line, whatever its size.
void stand(Drawing& drawing, const LaidText& laid, double left_pt, double foot_line_pt);

void draw_field(Drawing& drawing, const SheetField& field, double left_pt, double width_pt,
                double foot_line_pt);

/// Side by side over the whole width.
void draw_fields(Drawing& drawing, const SheetFields& line, double left_pt, double width_pt,
                 double foot_line_pt);

/// What such a line takes: less where all of it is known.
[[nodiscard]] double fields_height_pt(const SheetFields& line);

} // namespace coldbag
