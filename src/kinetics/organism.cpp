#include "kinetics/organism.h"

#include "errors/user_error.h"
#include "tables/basis_words.h"
#include "tables/table.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <utility>

namespace coldbag {

namespace {

constexpr std::string_view table_name = "organisms.csv";
constexpr std::array<std::string_view, 4> kinds{"bacterial spore", "conidium", "ascospore",
                                                "vegetative cell"};
constexpr double least = 1e-6; // D and z of nothing would divide by zero

constexpr std::array rules{
    ColumnRule{.name = "key", .required = true},
    ColumnRule{.name = "name", .required = true},
    ColumnRule{.name = "kind", .kind = CellKind::choice, .required = true, .choices = kinds},
    ColumnRule{.name = "D_minutes", .kind = CellKind::number, .required = true, .lowest = least},
    ColumnRule{.name = "lowest_D_minutes", .kind = CellKind::number, .lowest = least},
    ColumnRule{.name = "highest_D_minutes", .kind = CellKind::number, .lowest = least},
    ColumnRule{.name = "at_degC", .kind = CellKind::number, .required = true, .lowest = 0, .highest = 200},
    ColumnRule{.name = "z_K", .kind = CellKind::number, .required = true, .lowest = 1, .highest = 100},
    ColumnRule{.name = "lowest_z_K", .kind = CellKind::number, .lowest = 1, .highest = 100},
    ColumnRule{.name = "highest_z_K", .kind = CellKind::number, .lowest = 1, .highest = 100},
    ColumnRule{.name = "lowest_degC", .kind = CellKind::number, .lowest = 0, .highest = 200},
    ColumnRule{.name = "highest_degC", .kind = CellKind::number, .lowest = 0, .highest = 200},
    ColumnRule{.name = "lowest_moisture_wb", .kind = CellKind::number, .lowest = 0, .highest = 1},
    ColumnRule{.name = "medium"},
    source_column,
    locator_column,
    basis_column,
    note_column,
};

Organism to_organism(const TableRow& row) {
  Organism organism;
  organism.key = row.key();
  organism.name = row.text("name");
  organism.kind = row.text("kind");
  organism.D_minutes = row.required_number("D_minutes");
  organism.lowest_D_minutes = row.number("lowest_D_minutes");
  organism.highest_D_minutes = row.number("highest_D_minutes");
  organism.at_degC = row.required_number("at_degC");
  organism.z_K = row.required_number("z_K");
  organism.lowest_z_K = row.number("lowest_z_K");
  organism.highest_z_K = row.number("highest_z_K");
  organism.lowest_degC = row.number("lowest_degC");
  organism.highest_degC = row.number("highest_degC");
  organism.lowest_moisture_wb = row.number("lowest_moisture_wb");
  organism.medium = row.text("medium");
  organism.source = row.text("source");
  organism.locator = row.text("locator");
  organism.basis = row.text("basis");
  organism.note = row.text("note");
  return organism;
}

/// A value and the columns of the range that must hold it.
struct Held {
  std::string_view value;
  std::string_view lowest;
  std::string_view highest;
};
constexpr std::array<Held, 3> ranges{{{"D_minutes", "lowest_D_minutes", "highest_D_minutes"},
                                      {"z_K", "lowest_z_K", "highest_z_K"},
                                      {"at_degC", "lowest_degC", "highest_degC"}}};

void check_ranges(const TableRow& row, std::vector<Complaint>& complaints) {
  for (const Held& held : ranges) {
    const double value = row.required_number(held.value);
    const auto complain = [&](std::string_view column, std::string problem) {
      complaints.push_back({Trouble::bad_data, row.place_of(column), std::move(problem),
                            "allowed is a range that holds the value, or an empty cell"});
    };
    if (row.number(held.lowest).value_or(value) > value)
      complain(held.lowest,
               fmt::format("{} lies above {}, {}", row.text(held.lowest), held.value, row.text(held.value)));
    if (row.number(held.highest).value_or(value) < value)
      complain(held.highest,
               fmt::format("{} lies below {}, {}", row.text(held.highest), held.value, row.text(held.value)));
  }
}

} // namespace

std::vector<Organism> read_organisms(std::string_view source_name, std::string_view csv) {
  const Table table = Table::read(source_name, csv, rules);
  std::vector<Organism> organisms;
  std::vector<Complaint> complaints;
  for (const TableRow& row : table.rows()) {
    check_ranges(row, complaints);
    organisms.push_back(to_organism(row));
  }
  if (!complaints.empty()) throw UserError(std::move(complaints));
  return organisms;
}

std::vector<Organism> read_organisms(const TableFiles& tables) {
  return read_organisms(tables.source_name(table_name), tables.bytes(table_name));
}

const Organism* find_organism(const std::vector<Organism>& organisms, std::string_view key) {
  return find_by_key(organisms, key);
}

} // namespace coldbag
