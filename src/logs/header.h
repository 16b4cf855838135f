// Where the header row stands, what stands before it, and what it names.
#pragma once

#include "logs/dialect.h"
#include "logs/unit_words.h"

#include <optional>
#include <span>
#include <string>
#include <vector>

namespace coldbag {

struct HeaderCell {
  HeaderName name;
  Place place;
};

/// A line of the preamble that says something about the rows.
/// The temperature unit that a line like "Unit: F" names; none where it names none.
[[nodiscard]] std::optional<ColumnUnit> unit_named_by_line(std::string_view text, char delimiter);

struct PreambleSays {
  std::optional<ColumnUnit> temperature_unit;
  std::string temperature_unit_text;     ///< the line, with its number
  std::string other_unit_text;           ///< likewise the first line that names another unit
  bool temperature_units_differ = false; ///< two lines name two units
  std::optional<Zone> zone;
  std::string zone_text;
  std::string by_hand_text; ///< the line that says the rows were transcribed from paper
};

struct Header {
  int preamble_lines = 0;
  int header_line = 0;            ///< 0 where there is none
  std::size_t first_row = 0;      ///< index into the sample's lines
  std::vector<HeaderCell> cells;  ///< "column 1" ... where there is no header
  std::vector<std::string> lines; ///< the header's rows as written
  PreambleSays preamble;
};

/// Finds the header row; throws UserError where there are no rows.
[[nodiscard]] Header find_header(const std::string& source_name, std::span<const SampleLine> lines,
                                 char delimiter);

/// Words of time in a column's name.
[[nodiscard]] bool names_a_time(std::string_view name);

} // namespace coldbag
