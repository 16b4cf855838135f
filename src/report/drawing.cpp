#include "report/drawing.h"

#include "errors/our_fault.h"

#include <cairo-pdf.h>
#include <cairo.h>
#include <fmt/format.h>
#include <pango/pangocairo.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>
#include <string_view>
#include <vector>

#ifdef __SANITIZE_ADDRESS__
// What fontconfig keeps until the end of the process is no leak of ours.
#include <sanitizer/lsan_interface.h>
extern "C" const char* __lsan_default_suppressions() {
  return "leak:libfontconfig";
}
extern "C" const char* __lsan_default_options() {
  return "print_suppressions=0";
}
#endif

namespace coldbag {

namespace {

// The first that is there; the last is whatever the machine has.
constexpr const char* text_family = "DejaVu Sans,Noto Sans,Liberation Sans,Sans";
constexpr const char* mono_family = "DejaVu Sans Mono,Noto Sans Mono,Liberation Mono,Monospace";
constexpr float line_spacing = 1.14F;

struct Colour {
  double red, green, blue;
};

Colour colour_of(Ink ink) {
  switch (ink) {
  case Ink::black:
    return {0.08, 0.08, 0.09};
  case Ink::grey:
    return {0.36, 0.37, 0.39};
  case Ink::hairline:
    return {0.72, 0.73, 0.75};
  case Ink::accent:
    return {0.12, 0.25, 0.42};
  }
  our_check(false, "an ink has its colour");
  return {};
}

double in_pt(int pango_units) {
  return static_cast<double>(pango_units) / PANGO_SCALE;
}

/// Turns the direction of writing, or breaks a line: U+200E, U+200F, U+2028 to U+202E, U+2066 to U+2069.
bool turns_or_breaks(gunichar c) {
  return c == 0x200E || c == 0x200F || (c >= 0x2028 && c <= 0x202E) || (c >= 0x2066 && c <= 0x2069);
}

/// Stands for no character in any text: U+FDD0 to U+FDEF and the last two of each plane. Cairo refuses it.
bool is_no_character(gunichar c) {
  return (c >= 0xFDD0 && c <= 0xFDEF) || (c & 0xFFFEU) == 0xFFFE;
}

std::string drawn_char(gunichar c, std::string_view bytes) {
  if (c == '\n' || c == '\r' || c == '\t') return " ";
  if (turns_or_breaks(c)) return "";
  if (c < 0x20 || (c >= 0x7F && c < 0xA0) || is_no_character(c)) return "\xEF\xBF\xBD";
  return std::string(bytes);
}

cairo_status_t append_bytes(void* to, const unsigned char* bytes, unsigned int count) {
  static_cast<std::string*>(to)->append(reinterpret_cast<const char*>(bytes), count);
  return CAIRO_STATUS_SUCCESS;
}

struct GUnref {
  void operator()(gpointer object) const { g_object_unref(object); }
};

struct FontOptionsFree {
  void operator()(cairo_font_options_t* options) const { cairo_font_options_destroy(options); }
};

struct AttributesFree {
  void operator()(PangoAttrList* attributes) const { pango_attr_list_unref(attributes); }
};

struct FontFree {
  void operator()(PangoFontDescription* font) const { pango_font_description_free(font); }
};

/// Letters stand where they do at any size: a PDF is scaled and printed, not fitted to dots.
std::unique_ptr<PangoContext, GUnref> new_context(PangoFontMap* fonts, const std::string& language) {
  std::unique_ptr<PangoContext, GUnref> context(pango_font_map_create_context(fonts));
  const std::unique_ptr<cairo_font_options_t, FontOptionsFree> options(cairo_font_options_create());
  cairo_font_options_set_hint_style(options.get(), CAIRO_HINT_STYLE_NONE);
  cairo_font_options_set_hint_metrics(options.get(), CAIRO_HINT_METRICS_OFF);
  pango_cairo_context_set_font_options(context.get(), options.get());
  pango_context_set_round_glyph_positions(context.get(), FALSE);
  pango_context_set_base_dir(context.get(), PANGO_DIRECTION_LTR);
  if (!language.empty())
    pango_context_set_language(context.get(), pango_language_from_string(language.c_str()));
  return context;
}

} // namespace

PaperSize paper_size(Paper paper) {
  if (paper == Paper::letter) return {612, 792};
  return {210 * pt_per_mm, 297 * pt_per_mm};
}

std::string printable(const std::string& text) {
  std::string out;
  for (std::size_t at = 0; at < text.size();) {
    const char* begin = text.data() + at;
    const gunichar c = g_utf8_get_char_validated(begin, static_cast<gssize>(text.size() - at));
    // A NUL is told apart from the end of the text by hand.
    const bool is_bad = c == static_cast<gunichar>(-1) || c == static_cast<gunichar>(-2);
    const std::size_t length =
        is_bad || c == 0 ? 1 : static_cast<std::size_t>(g_utf8_skip[static_cast<guchar>(*begin)]);
    out += is_bad ? "\xEF\xBF\xBD" : drawn_char(c, {begin, length});
    at += length;
  }
  return out;
}

struct LaidText::Lines {
  struct Line {
    double left_pt, top_pt, bottom_pt, baseline_pt;
  };
  std::vector<Line> all;
  double width_pt = 0;
};

LaidText::LaidText(std::shared_ptr<_PangoLayout> layout, TextStyle style)
    : layout_(std::move(layout)), style_(style) {
  auto lines = std::make_shared<Lines>();
  PangoLayoutIter* iter = pango_layout_get_iter(layout_.get());
  do {
    int top = 0, bottom = 0;
    PangoRectangle logical{};
    pango_layout_iter_get_line_yrange(iter, &top, &bottom);
    pango_layout_iter_get_line_extents(iter, nullptr, &logical);
    // What is between two lines belongs to the lower one.
    const double top_pt = lines->all.empty() ? in_pt(top) : lines->all.back().bottom_pt;
    lines->all.push_back(
        {in_pt(logical.x), top_pt, in_pt(bottom), in_pt(pango_layout_iter_get_baseline(iter))});
    lines->width_pt = std::max(lines->width_pt, in_pt(logical.width));
  } while (pango_layout_iter_next_line(iter) != FALSE);
  pango_layout_iter_free(iter);
  lines_ = std::move(lines);
}

std::size_t LaidText::lines() const {
  return lines_->all.size();
}

double LaidText::height_pt(std::size_t from, std::size_t to) const {
  return from < to ? lines_->all[to - 1].bottom_pt - lines_->all[from].top_pt : 0;
}

double LaidText::width_pt() const {
  return lines_->width_pt;
}

struct Drawing::Inside {
  std::string bytes;
  std::unique_ptr<cairo_surface_t, decltype(&cairo_surface_destroy)> surface{nullptr, cairo_surface_destroy};
  std::unique_ptr<cairo_t, decltype(&cairo_destroy)> cr{nullptr, cairo_destroy};
  std::unique_ptr<PangoFontMap, GUnref> fonts;
  std::unique_ptr<PangoContext, GUnref> context;
  int page = 1;
  struct Bookmark {
    int level, number;
  };
  std::vector<Bookmark> open_bookmarks; ///< that a lower one may stand under

  void use(Ink ink) const {
    const Colour colour = colour_of(ink);
    cairo_set_source_rgb(cr.get(), colour.red, colour.green, colour.blue);
  }

  void stroke(double width_pt, Ink ink) const {
    use(ink);
    cairo_set_line_width(cr.get(), width_pt);
    cairo_stroke(cr.get());
  }

  [[nodiscard]] std::shared_ptr<PangoLayout> layout(const std::string& text, const TextStyle& style) const {
    const std::shared_ptr<PangoLayout> layout(pango_layout_new(context.get()), GUnref());
    const std::unique_ptr<PangoFontDescription, FontFree> font(pango_font_description_new());
    pango_font_description_set_family_static(font.get(), style.is_mono ? mono_family : text_family);
    pango_font_description_set_weight(font.get(), style.is_bold ? PANGO_WEIGHT_BOLD : PANGO_WEIGHT_NORMAL);
    pango_font_description_set_size(font.get(), static_cast<int>(std::lround(style.size_pt * PANGO_SCALE)));
    pango_layout_set_font_description(layout.get(), font.get());
    pango_layout_set_auto_dir(layout.get(), FALSE);
    pango_layout_set_line_spacing(layout.get(), line_spacing);
    pango_layout_set_alignment(layout.get(),
                               style.side == Side::right ? PANGO_ALIGN_RIGHT : PANGO_ALIGN_LEFT);
    // A drawn "fi" that is one letter reads back as one with some readers.
    const std::unique_ptr<PangoAttrList, AttributesFree> attributes(pango_attr_list_new());
    pango_attr_list_insert(attributes.get(), pango_attr_font_features_new("liga=0, clig=0"));
    // A hyphen where a word is broken would read as part of a name.
    pango_attr_list_insert(attributes.get(), pango_attr_insert_hyphens_new(FALSE));
    if (style.bold_bytes > 0) {
      PangoAttribute* bold = pango_attr_weight_new(PANGO_WEIGHT_BOLD);
      bold->end_index = static_cast<guint>(printable(text.substr(0, style.bold_bytes)).size());
      pango_attr_list_insert(attributes.get(), bold);
    }
    pango_layout_set_attributes(layout.get(), attributes.get());
    const std::string drawn = printable(text);
    pango_layout_set_text(layout.get(), drawn.data(), static_cast<int>(drawn.size()));
    return layout;
  }

  void say(cairo_pdf_metadata_t what, const std::string& text) const {
    if (!text.empty()) cairo_pdf_surface_set_metadata(surface.get(), what, printable(text).c_str());
  }
};

Drawing::Drawing(Paper paper, const PdfAbout& about)
    : size_(paper_size(paper)), inside_(std::make_unique<Inside>()) {
  inside_->surface.reset(
      cairo_pdf_surface_create_for_stream(append_bytes, &inside_->bytes, size_.width_pt, size_.height_pt));
  cairo_surface_t* surface = inside_->surface.get();
  cairo_pdf_surface_restrict_to_version(surface, CAIRO_PDF_VERSION_1_5);
  inside_->say(CAIRO_PDF_METADATA_TITLE, about.title);
  inside_->say(CAIRO_PDF_METADATA_AUTHOR, about.author);
  inside_->say(CAIRO_PDF_METADATA_SUBJECT, about.subject);
  inside_->say(CAIRO_PDF_METADATA_CREATOR, "coldbag");
  // Where nothing is set, cairo would write the time of now.
  cairo_pdf_surface_set_metadata(surface, CAIRO_PDF_METADATA_CREATE_DATE, about.made_at.c_str());
  inside_->cr.reset(cairo_create(surface));
  inside_->fonts.reset(pango_cairo_font_map_new());
  pango_cairo_font_map_set_resolution(PANGO_CAIRO_FONT_MAP(inside_->fonts.get()), 72);
  inside_->context = new_context(inside_->fonts.get(), about.language);
  begin_element("Document");
}

Drawing::~Drawing() = default;

LaidText Drawing::lay(const std::string& text, const TextStyle& style) const {
  return LaidText(inside_->layout(text, style), style);
}

LaidText Drawing::lay(const std::string& text, const TextStyle& style, double width_pt) const {
  auto layout = inside_->layout(text, style);
  pango_layout_set_wrap(layout.get(), PANGO_WRAP_WORD_CHAR);
  pango_layout_set_width(layout.get(), static_cast<int>(std::lround(width_pt * PANGO_SCALE)));
  return LaidText(std::move(layout), style);
}

LaidText Drawing::lay_shortened(const std::string& text, const TextStyle& style, double width_pt) const {
  auto layout = inside_->layout(text, style);
  pango_layout_set_ellipsize(layout.get(), PANGO_ELLIPSIZE_END);
  pango_layout_set_width(layout.get(), static_cast<int>(std::lround(width_pt * PANGO_SCALE)));
  return LaidText(std::move(layout), style);
}

void Drawing::text(const LaidText& laid, double left_pt, double top_pt) {
  text(laid, left_pt, top_pt, 0, laid.lines());
}

void Drawing::text(const LaidText& laid, double left_pt, double top_pt, std::size_t from, std::size_t to) {
  inside_->use(laid.style_.ink);
  for (std::size_t i = from; i < to; ++i) {
    const LaidText::Lines::Line& line = laid.lines_->all[i];
    cairo_move_to(inside_->cr.get(), left_pt + line.left_pt,
                  top_pt + line.baseline_pt - laid.lines_->all[from].top_pt);
    pango_cairo_show_layout_line(inside_->cr.get(),
                                 pango_layout_get_line_readonly(laid.layout_.get(), static_cast<int>(i)));
  }
  cairo_new_path(inside_->cr.get());
}

void Drawing::rule(double left_pt, double top_pt, double right_pt, double bottom_pt, double width_pt,
                   Ink ink) {
  cairo_move_to(inside_->cr.get(), left_pt, top_pt);
  cairo_line_to(inside_->cr.get(), right_pt, bottom_pt);
  inside_->stroke(width_pt, ink);
}

void Drawing::dashes(double left_pt, double top_pt, double right_pt, double bottom_pt, double width_pt,
                     Ink ink) {
  constexpr std::array dash_pt{4.0, 4.0};
  cairo_set_dash(inside_->cr.get(), dash_pt.data(), static_cast<int>(dash_pt.size()), 0);
  rule(left_pt, top_pt, right_pt, bottom_pt, width_pt, ink);
  cairo_set_dash(inside_->cr.get(), nullptr, 0, 0);
}

void Drawing::box(double left_pt, double top_pt, double width_pt, double height_pt, double line_pt, Ink ink) {
  cairo_rectangle(inside_->cr.get(), left_pt, top_pt, width_pt, height_pt);
  inside_->stroke(line_pt, ink);
}

void Drawing::disc(double middle_pt, double middle_down_pt, double radius_pt, Ink ink) {
  inside_->use(ink);
  cairo_arc(inside_->cr.get(), middle_pt, middle_down_pt, radius_pt, 0, 2 * std::numbers::pi);
  cairo_fill(inside_->cr.get());
}

void Drawing::half_filled_ring(double middle_pt, double middle_down_pt, double radius_pt, Ink ink) {
  const double line_pt = radius_pt / 5;
  cairo_arc(inside_->cr.get(), middle_pt, middle_down_pt, radius_pt - line_pt / 2, 0, 2 * std::numbers::pi);
  inside_->stroke(line_pt, ink);
  cairo_arc(inside_->cr.get(), middle_pt, middle_down_pt, radius_pt - line_pt / 2, std::numbers::pi / 2,
            3 * std::numbers::pi / 2);
  cairo_fill(inside_->cr.get());
}

void Drawing::cross(double middle_pt, double middle_down_pt, double radius_pt, Ink ink) {
  const double reach_pt = radius_pt * 0.75;
  for (const double turn : {-1.0, 1.0})
    rule(middle_pt - reach_pt, middle_down_pt - turn * reach_pt, middle_pt + reach_pt,
         middle_down_pt + turn * reach_pt, radius_pt / 2, ink);
}

void Drawing::begin_element(const std::string& tag) {
  cairo_tag_begin(inside_->cr.get(), tag.c_str(), nullptr);
}

void Drawing::end_element(const std::string& tag) {
  cairo_tag_end(inside_->cr.get(), tag.c_str());
}

void Drawing::bookmark(const std::string& text, int level, double top_pt) {
  auto& open = inside_->open_bookmarks;
  while (!open.empty() && open.back().level >= level)
    open.pop_back();
  const int parent = open.empty() ? CAIRO_PDF_OUTLINE_ROOT : open.back().number;
  const auto flags = static_cast<cairo_pdf_outline_flags_t>(open.empty() ? CAIRO_PDF_OUTLINE_FLAG_OPEN : 0);
  const std::string place = fmt::format("page={} pos=[0 {:.2f}]", inside_->page, top_pt);
  open.push_back({level, cairo_pdf_surface_add_outline(inside_->surface.get(), parent,
                                                       printable(text).c_str(), place.c_str(), flags)});
}

void Drawing::next_page() {
  cairo_show_page(inside_->cr.get());
  ++inside_->page;
}

_cairo* Drawing::cairo() const {
  return inside_->cr.get();
}

std::string Drawing::finish() {
  end_element("Document");
  cairo_show_page(inside_->cr.get());
  const cairo_status_t drawn = cairo_status(inside_->cr.get());
  our_check(drawn == CAIRO_STATUS_SUCCESS, cairo_status_to_string(drawn));
  inside_->cr.reset();
  cairo_surface_finish(inside_->surface.get());
  const cairo_status_t written = cairo_surface_status(inside_->surface.get());
  our_check(written == CAIRO_STATUS_SUCCESS, cairo_status_to_string(written));
  return std::move(inside_->bytes);
}

} // namespace coldbag
