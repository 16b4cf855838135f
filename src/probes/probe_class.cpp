#include "probes/probe_class.h"

#include "errors/user_error.h"
#include "tables/basis_words.h"
#include "tables/table.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>
#include <utility>

namespace coldbag {

namespace {

constexpr std::string_view table_name = "probe-classes.csv";
constexpr std::array<std::string_view, 6> kinds{"platinum", "thermocouple", "thermistor",
                                                "dial",     "kitchen",      "unstated"};
constexpr std::array<std::string_view, 2> distributions{"rectangular", "normal"};

constexpr std::array rules{
    ColumnRule{.name = "key", .required = true},
    ColumnRule{.name = "name", .required = true},
    ColumnRule{.name = "kind", .kind = CellKind::choice, .required = true, .choices = kinds},
    ColumnRule{
        .name = "tolerance_K", .kind = CellKind::number, .required = true, .lowest = 0.001, .highest = 20},
    ColumnRule{.name = "tolerance_per_K", .kind = CellKind::number, .lowest = 0, .highest = 0.1},
    ColumnRule{.name = "distribution", .kind = CellKind::choice, .required = true, .choices = distributions},
    ColumnRule{.name = "lowest_degC", .kind = CellKind::number, .lowest = -273.15, .highest = 2000},
    ColumnRule{.name = "highest_degC", .kind = CellKind::number, .lowest = -273.15, .highest = 2000},
    ColumnRule{.name = "stem_K", .kind = CellKind::number, .lowest = 0, .highest = 20},
    source_column,
    locator_column,
    basis_column,
    note_column,
};

ProbeClass to_probe_class(const TableRow& row) {
  ProbeClass probe_class;
  probe_class.key = row.key();
  probe_class.name = row.text("name");
  probe_class.kind = row.text("kind");
  probe_class.tolerance_K = row.required_number("tolerance_K");
  probe_class.tolerance_per_K = row.number("tolerance_per_K").value_or(0);
  probe_class.distribution =
      row.text("distribution") == "normal" ? Distribution::normal : Distribution::rectangular;
  probe_class.lowest_degC = row.number("lowest_degC");
  probe_class.highest_degC = row.number("highest_degC");
  probe_class.stem_K = row.number("stem_K");
  probe_class.source = row.text("source");
  probe_class.basis = row.text("basis");
  probe_class.note = row.text("note");
  return probe_class;
}

bool runs_backwards(const ProbeClass& probe_class) {
  return probe_class.lowest_degC && probe_class.highest_degC &&
         *probe_class.lowest_degC >= *probe_class.highest_degC;
}

bool holds_at(const ProbeClass& probe_class, double at_degC) {
  return at_degC >= probe_class.lowest_degC.value_or(at_degC) &&
         at_degC <= probe_class.highest_degC.value_or(at_degC);
}

double rectangular_u(double half_width) {
  return half_width * std::numbers::inv_sqrt3;
}

} // namespace

std::vector<ProbeClass> read_probe_classes(std::string_view source_name, std::string_view csv) {
  const Table table = Table::read(source_name, csv, rules);
  std::vector<ProbeClass> classes;
  std::vector<Complaint> complaints;
  for (const TableRow& row : table.rows()) {
    classes.push_back(to_probe_class(row));
    if (runs_backwards(classes.back()))
      complaints.push_back(
          {Trouble::bad_data, row.place_of("highest_degC"),
           row.text("highest_degC") + " is not above lowest_degC, " + row.text("lowest_degC"),
           "allowed is a number above it, or an empty cell"});
  }
  if (!complaints.empty()) throw UserError(std::move(complaints));
  return classes;
}

std::vector<ProbeClass> read_probe_classes(const TableFiles& tables) {
  return read_probe_classes(tables.source_name(table_name), tables.bytes(table_name));
}

const ProbeClass* find_probe_class(const std::vector<ProbeClass>& classes, std::string_view key) {
  return find_by_key(classes, key);
}

double class_tolerance_K(const ProbeClass& probe_class, double at_degC) {
  return probe_class.tolerance_K + probe_class.tolerance_per_K * std::abs(at_degC);
}

double class_u_K(const ProbeClass& probe_class, double at_degC) {
  const double tolerance_K = class_tolerance_K(probe_class, at_degC);
  const double class_part =
      probe_class.distribution == Distribution::normal ? tolerance_K / 2 : rectangular_u(tolerance_K);
  const double beyond_part = holds_at(probe_class, at_degC) ? 0 : rectangular_u(tolerance_K);
  return std::hypot(class_part, beyond_part, rectangular_u(probe_class.stem_K.value_or(0)));
}

} // namespace coldbag
