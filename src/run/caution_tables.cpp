#include "run/caution_tables.h"

#include "errors/user_error.h"
#include "quantity/parse.h"
#include "tables/basis_words.h"
#include "tables/table.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <utility>

namespace coldbag {

namespace {

/// A limit, what it measures and where it goes.
struct LimitRule {
  std::string_view key;
  std::optional<Dimension> dimension; ///< none: a plain number, unit "1"
  double CautionLimits::*into;
};

using enum Dimension;
constexpr std::array limit_rules{
    LimitRule{"air-short", temperature_difference, &CautionLimits::air_short_K},
    LimitRule{"air-short-held", duration, &CautionLimits::air_short_held_s},
    LimitRule{"air-watched-from", pressure, &CautionLimits::air_watched_from_Pa},
    LimitRule{"carbon-monoxide-8h", fraction, &CautionLimits::carbon_monoxide_8h},
    LimitRule{"carbon-monoxide-ceiling", fraction, &CautionLimits::carbon_monoxide_ceiling},
    LimitRule{"cooled", temperature, &CautionLimits::cooled_degC},
    LimitRule{"disagreement", temperature_difference, &CautionLimits::disagreement_K},
    LimitRule{"disagreement-held", duration, &CautionLimits::disagreement_held_s},
    LimitRule{"disagreement-watched-within", temperature_difference,
              &CautionLimits::disagreement_watched_within_K},
    LimitRule{"event-reach", duration, &CautionLimits::event_reach_s},
    LimitRule{"gauge-at-zero", pressure, &CautionLimits::gauge_at_zero_Pa},
    LimitRule{"held", duration, &CautionLimits::held_s},
    LimitRule{"lift-index", std::nullopt, &CautionLimits::lift_index},
    LimitRule{"lift-index-high", std::nullopt, &CautionLimits::lift_index_high},
    LimitRule{"low-water-test-every", duration, &CautionLimits::low_water_test_every_s},
    LimitRule{"opening-fall", temperature_difference, &CautionLimits::opening_fall_K},
    LimitRule{"opening-fall-within", duration, &CautionLimits::opening_fall_within_s},
    LimitRule{"over-boiling", temperature_difference, &CautionLimits::over_boiling_K},
    LimitRule{"oxygen-high", fraction, &CautionLimits::oxygen_high},
    LimitRule{"oxygen-low", fraction, &CautionLimits::oxygen_low},
    LimitRule{"pressure-fall-in-a-minute", pressure, &CautionLimits::pressure_fall_in_a_minute_Pa},
    LimitRule{"rating-near", fraction, &CautionLimits::rating_near},
    LimitRule{"reading-highest", temperature, &CautionLimits::reading_highest_degC},
    LimitRule{"reading-lowest", temperature, &CautionLimits::reading_lowest_degC},
    LimitRule{"safety-valve-test-every", duration, &CautionLimits::safety_valve_test_every_s},
    LimitRule{"silence", duration, &CautionLimits::silence_s},
    LimitRule{"statement-apart", duration, &CautionLimits::statement_apart_s},
    LimitRule{"steam-when-opening", temperature, &CautionLimits::steam_when_opening_degC},
    LimitRule{"surface", temperature, &CautionLimits::surface_degC},
    LimitRule{"surface-at-once", temperature, &CautionLimits::surface_at_once_degC},
    LimitRule{"surface-held", duration, &CautionLimits::surface_held_s},
    LimitRule{"unloading", temperature, &CautionLimits::unloading_degC},
    LimitRule{"unseen-hold", fraction, &CautionLimits::unseen_hold},
    LimitRule{"unseen-step", duration, &CautionLimits::unseen_step_s},
    LimitRule{"vacuum", pressure, &CautionLimits::vacuum_Pa},
};

constexpr std::array limit_columns{
    ColumnRule{.name = "key", .required = true},
    ColumnRule{.name = "value", .required = true},
    ColumnRule{.name = "unit", .required = true},
    ColumnRule{.name = "source"},
    ColumnRule{.name = "locator"},
    ColumnRule{.name = "basis", .kind = CellKind::choice, .required = true, .choices = basis_words},
    ColumnRule{.name = "note"},
};
constexpr std::array burn_columns{
    ColumnRule{.name = "key", .required = true},
    ColumnRule{.name = "at_degC", .kind = CellKind::number, .required = true, .lowest = 30, .highest = 200},
    ColumnRule{.name = "second_degree_s", .kind = CellKind::number, .lowest = 0.001},
    ColumnRule{.name = "third_degree_s", .kind = CellKind::number, .lowest = 0.001},
    ColumnRule{.name = "source"},
    ColumnRule{.name = "locator"},
    ColumnRule{.name = "basis", .kind = CellKind::choice, .required = true, .choices = basis_words},
    ColumnRule{.name = "note"},
};
constexpr std::array film_columns{
    ColumnRule{.name = "key", .required = true},
    ColumnRule{.name = "name", .required = true},
    ColumnRule{.name = "highest_degC", .kind = CellKind::number},
    ColumnRule{.name = "loaded_highest_degC", .kind = CellKind::number, .required = true},
    ColumnRule{.name = "lowest_deflection_degC", .kind = CellKind::number},
    ColumnRule{.name = "highest_deflection_degC", .kind = CellKind::number},
    ColumnRule{.name = "lowest_melting_degC", .kind = CellKind::number},
    ColumnRule{.name = "highest_melting_degC", .kind = CellKind::number},
    ColumnRule{.name = "source"},
    ColumnRule{.name = "locator"},
    ColumnRule{.name = "basis", .kind = CellKind::choice, .required = true, .choices = basis_words},
    ColumnRule{.name = "note"},
};
constexpr std::array lift_columns{
    ColumnRule{.name = "key", .required = true},
    ColumnRule{.name = "lifts_per_minute", .kind = CellKind::number, .required = true, .lowest = 0},
    ColumnRule{.name = "to_1_h", .kind = CellKind::number, .required = true, .lowest = 0, .highest = 1},
    ColumnRule{.name = "to_2_h", .kind = CellKind::number, .required = true, .lowest = 0, .highest = 1},
    ColumnRule{.name = "to_8_h", .kind = CellKind::number, .required = true, .lowest = 0, .highest = 1},
    ColumnRule{.name = "source"},
    ColumnRule{.name = "locator"},
    ColumnRule{.name = "basis", .kind = CellKind::choice, .required = true, .choices = basis_words},
    ColumnRule{.name = "note"},
};

std::optional<double> value_of(const TableRow& row, const LimitRule& rule,
                               std::vector<Complaint>& complaints) {
  const auto complain = [&](std::string_view column, std::string problem, std::string remedy) {
    complaints.push_back({Trouble::bad_data, row.place_of(column), std::move(problem), std::move(remedy)});
    return std::nullopt;
  };
  if (!rule.dimension) {
    if (row.text("unit") != "1")
      return complain("unit", '"' + row.text("unit") + "\" is no unit here", "write 1: a plain number");
    if (const auto value = parse_number(row.text("value"))) return value;
    return complain("value", '"' + row.text("value") + "\" is no number", "write for example 1.5");
  }
  const Parsed parsed = parse_quantity(row.text("value") + " " + row.text("unit"), *rule.dimension);
  if (parsed.value) return parsed.value;
  return complain("value", parsed.problem, parsed.remedy);
}

CautionLimits read_limits(const TableFiles& tables, std::vector<Complaint>& complaints) {
  constexpr std::string_view file = "caution-limits.csv";
  const std::string name = tables.source_name(file);
  const Table table = Table::read(name, tables.bytes(file), limit_columns);
  CautionLimits limits;
  for (const LimitRule& rule : limit_rules) {
    const TableRow* row = table.find(rule.key);
    if (row == nullptr) {
      complaints.push_back({Trouble::bad_data,
                            {name, 0, 0, ""},
                            "the limit " + std::string(rule.key) + " is missing",
                            "copy its row from the built-in table"});
      continue;
    }
    if (const auto value = value_of(*row, rule, complaints)) limits.*rule.into = *value;
  }
  for (const TableRow& row : table.rows())
    if (std::none_of(limit_rules.begin(), limit_rules.end(),
                     [&](const LimitRule& rule) { return rule.key == row.key(); }))
      complaints.push_back({Trouble::bad_data, row.place(), "there is no limit \"" + row.key() + '"',
                            "take the row out, or write its key as the built-in table does"});
  return limits;
}

std::vector<BurnTime> read_burns(const TableFiles& tables) {
  const Table table = Table::read(tables.source_name("burns.csv"), tables.bytes("burns.csv"), burn_columns);
  std::vector<BurnTime> burns;
  for (const TableRow& row : table.rows())
    burns.push_back(
        {row.required_number("at_degC"), row.number("second_degree_s"), row.number("third_degree_s")});
  std::stable_sort(burns.begin(), burns.end(),
                   [](const BurnTime& a, const BurnTime& b) { return a.at_degC < b.at_degC; });
  return burns;
}

std::vector<Film> read_films(const TableFiles& tables) {
  const Table table = Table::read(tables.source_name("films.csv"), tables.bytes("films.csv"), film_columns);
  std::vector<Film> films;
  for (const TableRow& row : table.rows())
    films.push_back({row.key(), row.required_number("loaded_highest_degC")});
  return films;
}

std::vector<LiftFrequency> read_lift_frequencies(const TableFiles& tables) {
  const Table table =
      Table::read(tables.source_name("lift-frequency.csv"), tables.bytes("lift-frequency.csv"), lift_columns);
  std::vector<LiftFrequency> rows;
  for (const TableRow& row : table.rows())
    rows.push_back({row.required_number("lifts_per_minute"), row.required_number("to_1_h"),
                    row.required_number("to_2_h"), row.required_number("to_8_h")});
  std::stable_sort(rows.begin(), rows.end(), [](const LiftFrequency& a, const LiftFrequency& b) {
    return a.lifts_per_minute < b.lifts_per_minute;
  });
  return rows;
}

struct Point {
  double degC;
  double s;
};

// Straight in the logarithm of the time; flat above the last point where `beyond`.
std::optional<double> along(const std::vector<Point>& points, double at_degC, bool beyond) {
  if (points.empty() || at_degC < points.front().degC) return std::nullopt;
  if (at_degC >= points.back().degC)
    return beyond || at_degC == points.back().degC ? std::optional(points.back().s) : std::nullopt;
  const auto next = std::upper_bound(points.begin(), points.end(), at_degC,
                                     [](double value, const Point& p) { return value < p.degC; });
  const Point& above = *next;
  const Point& below = *(next - 1);
  const double part = (at_degC - below.degC) / (above.degC - below.degC);
  return std::exp(std::log(below.s) + part * (std::log(above.s) - std::log(below.s)));
}

} // namespace

CautionTables read_caution_tables(const TableFiles& tables) {
  std::vector<Complaint> complaints;
  CautionTables all;
  const auto add = [&complaints](auto&& read) {
    try {
      read();
    } catch (const UserError& error) {
      complaints.insert(complaints.end(), error.complaints().begin(), error.complaints().end());
    }
  };
  add([&] { all.limits = read_limits(tables, complaints); });
  add([&] { all.burns = read_burns(tables); });
  add([&] { all.films = read_films(tables); });
  add([&] { all.lift_frequencies = read_lift_frequencies(tables); });
  if (!complaints.empty()) throw UserError(std::move(complaints));
  return all;
}

std::optional<double> time_to_deep_burn_s(const std::vector<BurnTime>& burns, double at_degC) {
  std::vector<Point> points;
  for (const BurnTime& burn : burns)
    if (const auto time_s = burn.third_degree_s ? burn.third_degree_s : burn.second_degree_s)
      points.push_back({burn.at_degC, *time_s});
  return along(points, at_degC, true);
}

std::optional<double> time_to_burn_s(const std::vector<BurnTime>& burns, double at_degC) {
  std::vector<Point> points;
  for (const BurnTime& burn : burns)
    if (burn.second_degree_s) points.push_back({burn.at_degC, *burn.second_degree_s});
  return along(points, at_degC, false);
}

const Film* find_film(const std::vector<Film>& films, std::string_view key) {
  const auto found =
      std::find_if(films.begin(), films.end(), [&](const Film& film) { return film.key == key; });
  return found == films.end() ? nullptr : &*found;
}

} // namespace coldbag
