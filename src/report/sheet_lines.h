// Lines of a printed sheet: paragraphs, lines to write on, cells; none wider than the paper.
#pragma once

#include <string>
#include <vector>

namespace coldbag {

/// Columns that a sheet keeps to where it can: A4 at ten to the inch, with a quarter inch left on each side.
inline constexpr std::size_t columns_of_sheet = 77;

using PrintedLines = std::vector<std::string>;

void append_lines(PrintedLines& to, const PrintedLines& more);

/// The lines of a text, without their newlines.
[[nodiscard]] PrintedLines lines_of_text(const std::string& text);

/// Wrapped to the sheet; all lines but the first begin with `indent` blanks, and blanks that begin it stay.
[[nodiscard]] PrintedLines sheet_paragraph(const std::string& text, std::size_t indent = 0);

/// "- text", wrapped.
[[nodiscard]] PrintedLines sheet_item(const std::string& text);

/// "label value", filled or cut to `width`; or the label and a line to write on, with its unit behind it,
/// that long in all.
[[nodiscard]] std::string sheet_field(const std::string& label, const std::string& value, std::size_t width,
                                      const std::string& unit = "");

/// What stands left and right on one line; half_of_sheet columns are left's.
inline constexpr std::size_t half_of_sheet = 38;
[[nodiscard]] std::string side_by_side(const std::string& left, const std::string& right);

[[nodiscard]] std::string without_blanks_at_end(std::string line);

/// Pieces of a text no wider than a cell: broken at blanks, and within a word that is wider itself.
[[nodiscard]] PrintedLines sheet_cell(const std::string& text, std::size_t width);

} // namespace coldbag
