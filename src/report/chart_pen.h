// Lines and text on a cairo surface, as chart and paper draw them.
#pragma once

#include <string>
#include <vector>

struct _cairo;

namespace coldbag {

/// Of light, 0 to 1 each.
struct Colour {
  double red = 0;
  double green = 0;
  double blue = 0;
  double opacity = 1;
};

// One colour beside the greys; dark enough to stand out in grey print too.
inline constexpr Colour ink{0.10, 0.10, 0.11};
inline constexpr Colour grey_dark{0.36, 0.36, 0.38};
inline constexpr Colour grey{0.58, 0.58, 0.60};
inline constexpr Colour grey_light{0.86, 0.86, 0.87};
inline constexpr Colour accent{0.122, 0.251, 0.420};

struct TextLook {
  double size_pt = 8;
  bool is_bold = false;
  Colour colour = ink;
};

enum class TextEnd { left, middle, right };

/// Width of a text on one line, points.
[[nodiscard]] double text_width_pt(_cairo* cairo, const std::string& text, const TextLook& look);

/// One line of text with its middle height at `y`; `side` says which end of it stands at `x`. What is wider
/// than `most_width` (0: anything goes) ends in an ellipsis. Control characters and bytes that are no UTF-8
/// are shown as such.
void draw_text(_cairo* cairo, double x, double y, const std::string& text, const TextLook& look,
               TextEnd side = TextEnd::left, double most_width = 0);

/// The same from `left` on, with white around each letter: what it stands on stays in sight.
void draw_text_over(_cairo* cairo, double left, double y, const std::string& text, const TextLook& look);

void set_colour(_cairo* cairo, const Colour& colour);

/// A straight line; `dashes` in points, none for a whole one.
void draw_line(_cairo* cairo, double x1, double y1, double x2, double y2, double width, const Colour& colour,
               const std::vector<double>& dashes = {});

void fill_box(_cairo* cairo, double x, double y, double width, double height, const Colour& colour);

/// Slanting lines within a box: told from every even grey in print.
void hatch_box(_cairo* cairo, double x, double y, double width, double height, const Colour& colour);

/// What a name of the user's may hold made fit to be drawn: valid UTF-8 on one line.
[[nodiscard]] std::string drawable(const std::string& text);

/// Whether a drawing went wrong is our fault (checked).
void check_drawn(_cairo* cairo);

} // namespace coldbag
