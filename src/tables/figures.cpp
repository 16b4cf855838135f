#include "tables/figures.h"

#include "errors/our_fault.h"
#include "errors/user_error.h"
#include "tables/basis_words.h"
#include "tables/table.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <utility>
#include <vector>

namespace coldbag {

namespace {

constexpr std::array columns{
    ColumnRule{.name = "key", .required = true},
    ColumnRule{.name = "value", .kind = CellKind::number, .required = true},
    ColumnRule{.name = "unit", .required = true},
    source_column,
    locator_column,
    basis_column,
    note_column,
};

} // namespace

Figures Figures::read(std::string_view source_name, std::string_view csv, std::span<const FigureRule> rules) {
  const Table table = Table::read(source_name, csv, columns);
  Figures out;
  std::vector<Complaint> complaints;
  for (const FigureRule& rule : rules) {
    const TableRow* row = table.find(rule.key);
    if (row == nullptr) {
      complaints.push_back({Trouble::bad_data, Place{std::string(source_name), 0, 0, std::string(rule.key)},
                            "this row is missing", "take it over from the built-in table"});
      continue;
    }
    if (row->text("unit") != rule.unit)
      complaints.push_back({Trouble::bad_data, row->place_of("unit"),
                            "\"" + row->text("unit") + "\" is not the unit of this row",
                            "write the value in " + std::string(rule.unit)});
    const double value = row->required_number("value");
    if (!(value >= rule.lowest && value <= rule.highest))
      complaints.push_back({Trouble::bad_data, row->place_of("value"),
                            fmt::format("{} is out of range", value),
                            fmt::format("allowed is {} to {}", rule.lowest, rule.highest)});
    out.values_.emplace(rule.key, value);
  }
  for (const TableRow& row : table.rows())
    if (std::none_of(rules.begin(), rules.end(),
                     [&](const FigureRule& rule) { return rule.key == row.key(); }))
      complaints.push_back({Trouble::bad_data, row.place(),
                            "\"" + row.key() + "\" is no figure of this table", "remove the row"});
  if (!complaints.empty()) throw UserError(std::move(complaints));
  return out;
}

double Figures::at(std::string_view key) const {
  const auto found = values_.find(key);
  our_check(found != values_.end(), "the figure is one of the table's rules");
  return found->second;
}

} // namespace coldbag
