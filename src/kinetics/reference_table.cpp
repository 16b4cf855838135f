#include "kinetics/reference_table.h"

#include "tables/basis_words.h"
#include "tables/table.h"

#include <algorithm>
#include <array>

namespace coldbag {

namespace {

constexpr std::string_view table_name = "references.csv";

constexpr std::array rules{
    ColumnRule{.name = "key", .required = true},
    ColumnRule{.name = "name", .required = true},
    ColumnRule{.name = "at_degC", .kind = CellKind::number, .required = true, .lowest = 0, .highest = 200},
    ColumnRule{.name = "z_K", .kind = CellKind::number, .required = true, .lowest = 1, .highest = 100},
    ColumnRule{.name = "counts_from_degC", .kind = CellKind::number, .lowest = 0, .highest = 200},
    source_column,
    locator_column,
    basis_column,
    note_column,
};

NamedReference to_reference(const TableRow& row) {
  NamedReference named;
  named.key = row.key();
  named.reference.name = row.text("name");
  named.reference.at_degC = row.required_number("at_degC");
  named.reference.z_K = row.required_number("z_K");
  named.reference.lowest_degC = row.number("counts_from_degC");
  named.source = row.text("source");
  named.basis = row.text("basis");
  return named;
}

} // namespace

std::vector<NamedReference> read_references(std::string_view source_name, std::string_view csv) {
  const Table table = Table::read(source_name, csv, rules);
  std::vector<NamedReference> references;
  for (const TableRow& row : table.rows())
    references.push_back(to_reference(row));
  return references;
}

std::vector<NamedReference> read_references(const TableFiles& tables) {
  return read_references(tables.source_name(table_name), tables.bytes(table_name));
}

const NamedReference* find_reference(const std::vector<NamedReference>& references, std::string_view key) {
  return find_by_key(references, key);
}

} // namespace coldbag
