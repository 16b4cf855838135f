#include "probes/check_rules.h"

#include "errors/user_error.h"
#include "tables/basis_words.h"
#include "tables/table.h"

#include <algorithm>
#include <array>
#include <string>
#include <utility>
#include <vector>

namespace coldbag {

namespace {

constexpr std::string_view table_name = "check-rules.csv";

constexpr std::array rules{
    ColumnRule{.name = "key", .required = true},
    ColumnRule{.name = "value", .kind = CellKind::number, .required = true, .lowest = -300, .highest = 1e4},
    ColumnRule{.name = "unit", .required = true},
    ColumnRule{.name = "source"},
    ColumnRule{.name = "locator"},
    ColumnRule{.name = "basis", .kind = CellKind::choice, .required = true, .choices = basis_words},
    ColumnRule{.name = "note"},
};

struct Figure {
  std::string_view key;
  std::string_view unit;
  double factor; ///< from the table's unit to the one inside
  double CheckRules::*into;
};

constexpr std::array<Figure, 15> figures{{
    {"barometer_half", "kPa", 1000, &CheckRules::barometer_half_Pa},
    {"boil_half", "K", 1, &CheckRules::boil_half_K},
    {"extrapolated_beyond", "K", 1, &CheckRules::extrapolated_beyond_K},
    {"farthest_off", "K", 1, &CheckRules::farthest_off_K},
    {"ice_half", "K", 1, &CheckRules::ice_half_K},
    {"log_resolution", "K", 1, &CheckRules::log_resolution_K},
    {"next_due_after", "days", 1, &CheckRules::next_due_after_days},
    {"old_after", "days", 1, &CheckRules::old_after_days},
    {"old_drift", "K per year", 1, &CheckRules::old_drift_K_per_year},
    {"rest_for", "s", 1, &CheckRules::rest_for_s},
    {"rest_near", "K", 1, &CheckRules::rest_near_K},
    {"rest_span", "K", 1, &CheckRules::rest_span_K},
    {"sheet_highest", "degC", 1, &CheckRules::sheet_highest_degC},
    {"sheet_lowest", "degC", 1, &CheckRules::sheet_lowest_degC},
    {"weather_half", "kPa", 1000, &CheckRules::weather_half_Pa},
}};

} // namespace

CheckRules read_check_rules(std::string_view source_name, std::string_view csv) {
  const Table table = Table::read(source_name, csv, rules);
  CheckRules out;
  std::vector<Complaint> complaints;
  for (const Figure& figure : figures) {
    const TableRow* row = table.find(figure.key);
    if (row == nullptr) {
      complaints.push_back({Trouble::bad_data, Place{std::string(source_name), 0, 0, std::string(figure.key)},
                            "this row is missing", "take it over from the built-in table"});
      continue;
    }
    if (row->text("unit") != figure.unit)
      complaints.push_back({Trouble::bad_data, row->place_of("unit"),
                            "\"" + row->text("unit") + "\" is not the unit of this row",
                            "allowed is " + std::string(figure.unit)});
    if (!figure.key.starts_with("sheet_") && row->required_number("value") < 0)
      complaints.push_back(
          {Trouble::bad_data, row->place_of("value"), "this figure is below zero", "allowed is 0 or more"});
    out.*figure.into = row->required_number("value") * figure.factor;
  }
  for (const TableRow& row : table.rows())
    if (std::none_of(figures.begin(), figures.end(), [&](const Figure& f) { return f.key == row.key(); }))
      complaints.push_back({Trouble::bad_data, row.place(),
                            "\"" + row.key() + "\" is no figure of this table", "remove the row"});
  if (!complaints.empty()) throw UserError(std::move(complaints));
  return out;
}

CheckRules read_check_rules(const TableFiles& tables) {
  return read_check_rules(tables.source_name(table_name), tables.bytes(table_name));
}

} // namespace coldbag
