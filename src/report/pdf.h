// A report as a PDF.
#pragma once

#include "report/block.h"
#include "report/drawing.h"
#include "report/words.h"

#include <functional>
#include <string>

namespace coldbag {

/// Draws the chart into a room of this size, from its upper left corner.
using DrawChart = std::function<void(_cairo* cairo, double width_pt, double height_pt)>;

/// The whole file. The same report gives the same bytes. `draw_chart` may be empty: then no chart is left
/// room for. Guarded by tests/report/pdf_test.cpp.
[[nodiscard]] std::string pdf_bytes(const Blocks& blocks, const PdfAbout& about, const Words& words,
                                    Paper paper, const DrawChart& draw_chart);

} // namespace coldbag
