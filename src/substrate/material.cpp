#include "substrate/material.h"

#include "errors/our_fault.h"
#include "errors/user_error.h"
#include "tables/basis_words.h"
#include "tables/table.h"

#include <algorithm>
#include <array>
#include <cctype>
#include <utility>

namespace coldbag {

namespace {

constexpr std::string_view table_name = "substrates.csv";

constexpr ColumnRule figure(std::string_view name, double lowest, double highest) {
  return {.name = name, .kind = CellKind::number, .required = true, .lowest = lowest, .highest = highest};
}

constexpr std::array rules{
    ColumnRule{.name = "key", .required = true},
    ColumnRule{.name = "words", .required = true},
    ColumnRule{.name = "name", .required = true},
    figure("solid_kg_per_m3", 500, 3000),
    figure("dry_cp_J_per_kgK", 500, 3000),
    figure("dry_cp_slope_J_per_kgK2", 0, 20),
    figure("k_dry_W_per_mK", 0, 2),
    figure("k_water_W_per_mK", 0, 0.1),
    figure("k_still_W_per_mK", 0.001, 1),
    figure("lowest_moisture_wb", 0, 0.95),
    figure("highest_moisture_wb", 0, 0.95),
    figure("lowest_dry_kg_per_m3", 10, 2000),
    figure("highest_dry_kg_per_m3", 10, 2000),
    figure("usual_moisture_wb", 0, 0.95),
    figure("usual_kg_per_m3", 10, 2000),
    source_column,
    locator_column,
    basis_column,
    note_column,
};

Material to_material(const TableRow& row) {
  Material m;
  m.key = row.key();
  m.words = row.text("words");
  m.name = row.text("name");
  m.solid_kg_per_m3 = row.required_number("solid_kg_per_m3");
  m.dry_cp_J_per_kgK = row.required_number("dry_cp_J_per_kgK");
  m.dry_cp_slope_J_per_kgK2 = row.required_number("dry_cp_slope_J_per_kgK2");
  m.k_dry_W_per_mK = row.required_number("k_dry_W_per_mK");
  m.k_water_W_per_mK = row.required_number("k_water_W_per_mK");
  m.k_still_W_per_mK = row.required_number("k_still_W_per_mK");
  m.lowest_moisture_wb = row.required_number("lowest_moisture_wb");
  m.highest_moisture_wb = row.required_number("highest_moisture_wb");
  m.lowest_dry_kg_per_m3 = row.required_number("lowest_dry_kg_per_m3");
  m.highest_dry_kg_per_m3 = row.required_number("highest_dry_kg_per_m3");
  m.usual_moisture_wb = row.required_number("usual_moisture_wb");
  m.usual_kg_per_m3 = row.required_number("usual_kg_per_m3");
  m.source = row.text("source");
  m.basis = row.text("basis");
  m.note = row.text("note");
  return m;
}

char small(char c) {
  return static_cast<char>(std::tolower(static_cast<unsigned char>(c)));
}

bool is_letter(char c) {
  return std::isalpha(static_cast<unsigned char>(c)) != 0;
}

/// Where `word` stands as a whole word in `text` (both in small letters).
std::size_t find_word(std::string_view text, std::string_view word) {
  for (std::size_t at = text.find(word); at != std::string_view::npos; at = text.find(word, at + 1)) {
    const bool begins = at == 0 || !is_letter(text[at - 1]);
    const std::size_t end = at + word.size();
    if (begins && (end == text.size() || !is_letter(text[end]))) return at;
  }
  return std::string_view::npos;
}

/// Where the first of a material's words stands in the text.
std::size_t first_word(const Material& material, std::string_view text) {
  std::size_t first = find_word(text, material.key);
  std::string_view left = material.words;
  while (!left.empty()) {
    const std::size_t bar = left.find('|');
    first = std::min(first, find_word(text, left.substr(0, bar)));
    left = bar == std::string_view::npos ? std::string_view{} : left.substr(bar + 1);
  }
  return first;
}

} // namespace

std::vector<Material> read_materials(std::string_view source_name, std::string_view csv) {
  const Table table = Table::read(source_name, csv, rules);
  std::vector<Material> materials;
  std::vector<Complaint> complaints;
  const auto check = [&](const TableRow& row, double low, double high, std::string_view column) {
    if (low >= high)
      complaints.push_back({Trouble::bad_data, row.place_of(column), "this range runs backwards",
                            "the lowest comes first and is less than the highest"});
  };
  for (const TableRow& row : table.rows()) {
    const Material& m = materials.emplace_back(to_material(row));
    check(row, m.lowest_moisture_wb, m.highest_moisture_wb, "lowest_moisture_wb");
    check(row, m.lowest_dry_kg_per_m3, m.highest_dry_kg_per_m3, "lowest_dry_kg_per_m3");
  }
  if (table.find("sawdust") == nullptr)
    complaints.push_back({Trouble::bad_data, Place{std::string(source_name), 0, 0, "sawdust"},
                          "this row is missing", "take it over from the built-in table"});
  if (!complaints.empty()) throw UserError(std::move(complaints));
  return materials;
}

std::vector<Material> read_materials(const TableFiles& tables) {
  return read_materials(tables.source_name(table_name), tables.bytes(table_name));
}

KnownMaterial material_of(const std::vector<Material>& materials, std::string_view text) {
  std::string lower(text);
  for (char& c : lower)
    c = small(c);
  KnownMaterial known;
  std::size_t first = std::string_view::npos;
  for (const Material& material : materials)
    if (const std::size_t at = first_word(material, lower); at < first) {
      first = at;
      known.material = &material;
    }
  if (known.material != nullptr) return known;
  known.material = find_by_key(materials, "sawdust");
  known.is_assumed = true;
  our_check(known.material != nullptr, "the substrates hold sawdust");
  return known;
}

} // namespace coldbag
