// Text laid out, most of it for an 80-column screen.
#pragma once

#include <cstddef>
#include <string>
#include <string_view>
#include <vector>

namespace coldbag {

inline constexpr std::size_t columns_of_screen = 80;

/// Columns that a text takes on the screen; it must be UTF-8 without combining marks.
[[nodiscard]] std::size_t screen_length(std::string_view text);

/// Lines of at most 80 columns, broken at blanks, each closed by a newline; all but the first begin with
/// `indent` blanks. Blanks that begin the text stay; a number keeps its " %". Empty for an empty text.
[[nodiscard]] std::string wrapped(const std::string& text, std::size_t indent);

/// One item of a list: "- text", wrapped.
[[nodiscard]] std::string item(const std::string& text);

/// A command to be typed, indented by two: broken between its parts with a backslash where it is too long for
/// a line. A part holds a word, or an option with its value.
[[nodiscard]] std::string command_lines(const std::vector<std::string>& parts);

/// Filled with blanks to `width` columns; longer text stays as it is.
[[nodiscard]] std::string padded(const std::string& text, std::size_t width);

/// With a blank that does not break between a figure and its unit, for who breaks lines elsewhere.
[[nodiscard]] std::string with_units_kept(std::string_view text);

/// A name of the user's with "?" for each control character and each byte that is no UTF-8, which must never
/// reach the terminal; what turns the direction of writing is left out.
[[nodiscard]] std::string clean(const std::string& text);

/// At most `width` columns; "~" ends what was cut.
[[nodiscard]] std::string cut(const std::string& text, std::size_t width);

} // namespace coldbag
