#include "report/chart_file.h"

#include "errors/our_fault.h"
#include "report/chart_pen.h"

#include <cairo-pdf.h>
#include <cairo-svg.h>
#include <cairo.h>

#include <algorithm>
#include <memory>
#include <string_view>
#include <vector>

namespace coldbag {

namespace {

constexpr double title_row_pt = 22;
constexpr double png_px_per_pt = 192.0 / 72;

struct Closed {
  void operator()(cairo_surface_t* surface) const { cairo_surface_destroy(surface); }
};
using Surface = std::unique_ptr<cairo_surface_t, Closed>;
struct Freed {
  void operator()(cairo_t* cairo) const { cairo_destroy(cairo); }
};
using Pen = std::unique_ptr<cairo_t, Freed>;

cairo_status_t take_bytes(void* to, const unsigned char* bytes, unsigned int length) {
  static_cast<std::string*>(to)->append(reinterpret_cast<const char*>(bytes), length);
  return CAIRO_STATUS_SUCCESS;
}

Surface surface_for(ChartFile kind, std::string& bytes, const ChartSize& size) {
  if (kind == ChartFile::png) {
    return Surface(cairo_image_surface_create(CAIRO_FORMAT_RGB24,
                                              static_cast<int>(size.width_pt * png_px_per_pt),
                                              static_cast<int>(size.height_pt * png_px_per_pt)));
  }
  if (kind == ChartFile::pdf)
    return Surface(cairo_pdf_surface_create_for_stream(take_bytes, &bytes, size.width_pt, size.height_pt));
  Surface svg(cairo_svg_surface_create_for_stream(take_bytes, &bytes, size.width_pt, size.height_pt));
  cairo_svg_surface_set_document_unit(svg.get(), CAIRO_SVG_UNIT_PX);
  return svg;
}

/// Cairo counts its surfaces as long as the program runs: named by their order in the file, a chart drawn
/// twice is the same. No text of a user's stands in the file as letters.
std::string with_own_numbers(const std::string& svg) {
  constexpr std::string_view name = "surface";
  std::vector<std::string> seen;
  std::string out;
  for (std::size_t at = 0; at < svg.size();) {
    const std::size_t found = std::min(svg.find(name, at), svg.size());
    out += svg.substr(at, found - at);
    if (found == svg.size()) break;
    std::size_t end = found + name.size();
    while (end < svg.size() && svg[end] >= '0' && svg[end] <= '9')
      ++end;
    const std::string number = svg.substr(found + name.size(), end - found - name.size());
    if (!number.empty() && std::ranges::find(seen, number) == seen.end()) seen.push_back(number);
    out += name;
    if (!number.empty()) out += std::to_string(std::ranges::find(seen, number) - seen.begin() + 1);
    at = end;
  }
  return out;
}

} // namespace

std::string drawn_file(ChartFile kind, const ChartSize& size, const std::optional<std::string>& title,
                       const DrawInRoom& draw) {
  std::string bytes;
  const Surface surface = surface_for(kind, bytes, size);
  {
    const Pen pen(cairo_create(surface.get()));
    if (kind == ChartFile::png) cairo_scale(pen.get(), png_px_per_pt, png_px_per_pt);
    if (kind == ChartFile::pdf)
      cairo_pdf_surface_set_metadata(surface.get(), CAIRO_PDF_METADATA_TITLE,
                                     drawable(title.value_or("")).c_str());
    ChartSize room = size;
    if (title) fill_box(pen.get(), 0, 0, size.width_pt, size.height_pt, Colour{1, 1, 1});
    if (title && !title->empty()) {
      draw_text(pen.get(), 8, title_row_pt / 2 + 2, *title, {12, true, ink}, TextEnd::left,
                size.width_pt - 16);
      cairo_translate(pen.get(), 0, title_row_pt);
      room.height_pt -= title_row_pt;
    }
    draw(pen.get(), room);
    check_drawn(pen.get());
  }
  cairo_surface_flush(surface.get());
  if (kind == ChartFile::png) cairo_surface_write_to_png_stream(surface.get(), take_bytes, &bytes);
  cairo_surface_finish(surface.get());
  our_check(cairo_surface_status(surface.get()) == CAIRO_STATUS_SUCCESS, "a chart was drawn");
  return kind == ChartFile::svg ? with_own_numbers(bytes) : bytes;
}

} // namespace coldbag
