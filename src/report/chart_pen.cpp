#include "report/chart_pen.h"

#include "errors/our_fault.h"

#include <cairo.h>
#include <pango/pangocairo.h>

#include <algorithm>
#include <memory>

namespace coldbag {

namespace {

constexpr double hatch_step_pt = 4;
constexpr double around_letters_pt = 3;

struct Unref {
  void operator()(PangoLayout* layout) const { g_object_unref(layout); }
};
using Layout = std::unique_ptr<PangoLayout, Unref>;

Layout laid_out(cairo_t* cairo, const std::string& text, const TextLook& look) {
  Layout layout(pango_cairo_create_layout(cairo));
  PangoFontDescription* font = pango_font_description_new();
  pango_font_description_set_family_static(font, "DejaVu Sans, sans-serif");
  pango_font_description_set_absolute_size(font, look.size_pt * PANGO_SCALE);
  pango_font_description_set_weight(font, look.is_bold ? PANGO_WEIGHT_BOLD : PANGO_WEIGHT_NORMAL);
  pango_layout_set_font_description(layout.get(), font);
  pango_font_description_free(font);
  pango_layout_set_single_paragraph_mode(layout.get(), TRUE);
  pango_layout_set_auto_dir(layout.get(), FALSE);
  const std::string shown = drawable(text);
  pango_layout_set_text(layout.get(), shown.c_str(), static_cast<int>(shown.size()));
  return layout;
}

struct Size {
  double width;
  double height;
};

Size size_of(PangoLayout* layout) {
  PangoRectangle logical;
  pango_layout_get_extents(layout, nullptr, &logical);
  return {static_cast<double>(logical.width) / PANGO_SCALE,
          static_cast<double>(logical.height) / PANGO_SCALE};
}

} // namespace

double text_width_pt(cairo_t* cairo, const std::string& text, const TextLook& look) {
  return size_of(laid_out(cairo, text, look).get()).width;
}

void draw_text(cairo_t* cairo, double x, double y, const std::string& text, const TextLook& look,
               TextEnd side, double most_width) {
  if (text.empty()) return;
  const Layout layout = laid_out(cairo, text, look);
  Size size = size_of(layout.get());
  if (most_width > 0 && size.width > most_width) {
    pango_layout_set_width(layout.get(), static_cast<int>(most_width * PANGO_SCALE));
    pango_layout_set_ellipsize(layout.get(), PANGO_ELLIPSIZE_END);
    size = size_of(layout.get());
  }
  const double share = side == TextEnd::left ? 0 : (side == TextEnd::middle ? 0.5 : 1);
  set_colour(cairo, look.colour);
  cairo_move_to(cairo, x - share * size.width, y - size.height / 2);
  pango_cairo_show_layout(cairo, layout.get());
}

void draw_text_over(cairo_t* cairo, double left, double y, const std::string& text, const TextLook& look) {
  if (text.empty()) return;
  const Layout layout = laid_out(cairo, text, look);
  cairo_new_path(cairo);
  cairo_move_to(cairo, left, y - size_of(layout.get()).height / 2);
  pango_cairo_layout_path(cairo, layout.get());
  set_colour(cairo, Colour{1, 1, 1});
  cairo_set_line_width(cairo, around_letters_pt);
  cairo_stroke(cairo);
  draw_text(cairo, left, y, text, look);
}

void set_colour(cairo_t* cairo, const Colour& colour) {
  cairo_set_source_rgba(cairo, colour.red, colour.green, colour.blue, colour.opacity);
}

void draw_line(cairo_t* cairo, double x1, double y1, double x2, double y2, double width, const Colour& colour,
               const std::vector<double>& dashes) {
  set_colour(cairo, colour);
  cairo_set_line_width(cairo, width);
  cairo_set_dash(cairo, dashes.data(), static_cast<int>(dashes.size()), 0);
  cairo_move_to(cairo, x1, y1);
  cairo_line_to(cairo, x2, y2);
  cairo_stroke(cairo);
  cairo_set_dash(cairo, nullptr, 0, 0);
}

void fill_box(cairo_t* cairo, double x, double y, double width, double height, const Colour& colour) {
  set_colour(cairo, colour);
  cairo_rectangle(cairo, x, y, width, height);
  cairo_fill(cairo);
}

void hatch_box(cairo_t* cairo, double x, double y, double width, double height, const Colour& colour) {
  cairo_save(cairo);
  cairo_rectangle(cairo, x, y, width, height);
  cairo_clip(cairo);
  for (double at = x - height; at < x + width; at += hatch_step_pt)
    draw_line(cairo, at, y + height, at + height, y, 0.5, colour);
  cairo_restore(cairo);
}

std::string drawable(const std::string& text) {
  const std::unique_ptr<char, decltype(&g_free)> valid(
      g_utf8_make_valid(text.data(), static_cast<gssize>(text.size())), &g_free);
  std::string out = valid.get();
  std::ranges::replace_if(
      out, [](char c) { return static_cast<unsigned char>(c) < 0x20 || c == 0x7F; }, ' ');
  return out;
}

void check_drawn(cairo_t* cairo) {
  our_check(cairo_status(cairo) == CAIRO_STATUS_SUCCESS, cairo_status_to_string(cairo_status(cairo)));
}

} // namespace coldbag
