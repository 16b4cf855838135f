// Reads the tables that the independent solver in tests/heatup/made wrote: logs and loads whose truth is
// known.
#pragma once

#include "heatup/steam_trace.h"
#include "steam/saturation.h"

#include <algorithm>
#include <cmath>
#include <fstream>
#include <map>
#include <sstream>
#include <string>
#include <vector>

namespace coldbag::test {

struct MadeRow {
  std::map<std::string, std::string> cells;
  [[nodiscard]] double number(const std::string& name) const {
    const std::string& text = cells.at(name);
    return text.empty() ? std::nan("") : std::stod(text);
  }
  [[nodiscard]] std::vector<double> numbers(const std::string& name) const {
    std::istringstream in(cells.at(name));
    std::vector<double> out;
    for (double value = 0; in >> value;)
      out.push_back(value);
    return out;
  }
};

inline std::vector<std::string> split_at_commas(const std::string& line) {
  std::vector<std::string> out;
  std::string cell;
  std::istringstream in(line);
  while (std::getline(in, cell, ','))
    out.push_back(cell);
  if (!line.empty() && line.back() == ',') out.emplace_back();
  return out;
}

/// The rows of a table in tests/heatup/made, or another folder of made tables.
inline std::vector<MadeRow> made_rows(const std::string& name, const std::string& folder = "heatup/made") {
  std::ifstream in(COLDBAG_SOURCE_DIR "/tests/" + folder + "/" + name);
  std::vector<std::string> names;
  std::vector<MadeRow> rows;
  for (std::string line; std::getline(in, line);) {
    if (line.starts_with("#")) continue;
    const std::vector<std::string> cells = split_at_commas(line);
    if (names.empty()) {
      names = cells;
      continue;
    }
    MadeRow row;
    for (std::size_t i = 0; i < cells.size(); ++i)
      row.cells[names[i]] = cells[i];
    rows.push_back(std::move(row));
  }
  return rows;
}

inline double vessel_degC(const MadeRow& row, double min) {
  const double from = row.number("from_degC");
  const double to = row.number("to_degC");
  const double come_up = row.number("come_up_min");
  const std::string& kind = row.cells.at("kind");
  if (kind == "exponential") return to - (to - from) * std::exp(-min / come_up);
  if (kind == "linear") return min < come_up ? from + (to - from) * min / come_up : to;
  const double pause = row.number("pause_degC");
  const double until = come_up + row.number("pause_min");
  const double last = row.number("last_min");
  if (min < come_up) return from + (pause - from) * min / come_up;
  if (min < until) return pause;
  return min < until + last ? pause + (to - pause) * (min - until) / last : to;
}

/// The steam of a row, held on for so long.
inline SteamTrace steam_of(const MadeRow& row, double minutes) {
  std::vector<SteamPoint> points;
  for (int min = 0; min <= minutes; ++min) {
    const double degC = vessel_degC(row, min);
    points.push_back({60.0 * min, degC, std::max(row.number("air_Pa"), saturation_pressure_Pa(degC))});
  }
  return SteamTrace(std::move(points));
}

} // namespace coldbag::test
