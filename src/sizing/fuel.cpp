#include "sizing/fuel.h"

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

constexpr std::string_view table_name = "fuels.csv";
constexpr std::array<std::string_view, 3> sold_by_words{"energy", "mass", "volume"};

constexpr ColumnRule share(std::string_view name) {
  return {.name = name, .kind = CellKind::number, .required = true, .lowest = 0.01, .highest = 1};
}

constexpr std::array rules{
    ColumnRule{.name = "key", .required = true},
    ColumnRule{.name = "words", .required = true},
    ColumnRule{.name = "name", .required = true},
    ColumnRule{.name = "sold_by", .kind = CellKind::choice, .required = true, .choices = sold_by_words},
    ColumnRule{
        .name = "heat_J_per_unit", .kind = CellKind::number, .required = true, .lowest = 1, .highest = 1e11},
    share("lowest_efficiency"),
    share("highest_efficiency"),
    ColumnRule{
        .name = "efficiency_basis", .kind = CellKind::choice, .required = true, .choices = basis_words},
    source_column,
    locator_column,
    basis_column,
    note_column,
};

SoldBy to_sold_by(std::string_view word) {
  if (word == "energy") return SoldBy::energy;
  return word == "mass" ? SoldBy::mass : SoldBy::volume;
}

Fuel to_fuel(const TableRow& row) {
  Fuel fuel;
  fuel.key = row.key();
  fuel.words = row.text("words");
  fuel.name = row.text("name");
  fuel.sold_by = to_sold_by(row.text("sold_by"));
  fuel.heat_J_per_unit = row.required_number("heat_J_per_unit");
  fuel.lowest_efficiency = row.required_number("lowest_efficiency");
  fuel.highest_efficiency = row.required_number("highest_efficiency");
  fuel.efficiency_basis = row.text("efficiency_basis");
  fuel.source = row.text("source");
  fuel.locator = row.text("locator");
  fuel.basis = row.text("basis");
  fuel.note = row.text("note");
  return fuel;
}

/// Between which heats of a unit lies whatever is burned (assumed wide: from wet dung to hydrogen by the kg,
/// from thin gas to heavy oil by the m3); a figure in Btu or kWh falls out.
struct HeatBounds {
  double lowest_J;
  double highest_J;
  std::string_view allowed;
};

HeatBounds heat_bounds(SoldBy sold_by) {
  switch (sold_by) {
  case SoldBy::energy:
    return {1, 1, "what is sold by energy has 1 J a joule"};
  case SoldBy::mass:
    return {1e6, 1.5e8, "what is sold by mass has 1e6 to 1.5e8 J a kg"};
  case SoldBy::volume:
    break;
  }
  return {1e6, 5e10, "what is sold by volume has 1e6 to 5e10 J a m3"};
}

void check_fuel(const Fuel& fuel, const TableRow& row, std::vector<Complaint>& complaints) {
  if (fuel.lowest_efficiency > fuel.highest_efficiency)
    complaints.push_back({Trouble::bad_data, row.place_of("lowest_efficiency"), "this range runs backwards",
                          "the lowest comes first and is not above the highest"});
  const HeatBounds bounds = heat_bounds(fuel.sold_by);
  if (fuel.heat_J_per_unit < bounds.lowest_J || fuel.heat_J_per_unit > bounds.highest_J)
    complaints.push_back({Trouble::bad_data, row.place_of("heat_J_per_unit"),
                          row.text("heat_J_per_unit") + " J a unit is no fuel's heat",
                          std::string(bounds.allowed)});
}

bool is_letter(char c) {
  return std::isalpha(static_cast<unsigned char>(c)) != 0;
}

std::string in_small_letters(std::string_view text) {
  std::string small(text);
  for (char& c : small)
    c = static_cast<char>(std::tolower(static_cast<unsigned char>(c)));
  return small;
}

/// Where a word stands in a text, and how long it is; no place where it does not stand there.
struct Found {
  std::size_t at = std::string_view::npos;
  std::size_t length = 0;
};

bool comes_before(const Found& one, const Found& other) {
  return one.at != other.at ? one.at < other.at : one.length > other.length;
}

/// Where `word` stands as a whole word in `text` (both in small letters).
Found find_word(std::string_view text, std::string_view word) {
  if (word.empty()) return {};
  for (std::size_t at = text.find(word); at != std::string_view::npos; at = text.find(word, at + 1)) {
    const bool begins = at == 0 || !is_letter(text[at - 1]);
    const std::size_t end = at + word.size();
    if (begins && (end == text.size() || !is_letter(text[end]))) return {at, word.size()};
  }
  return {};
}

/// Where the first of a fuel's words stands in the text.
Found first_word(const Fuel& fuel, std::string_view text) {
  const std::string words = fuel.key + "|" + in_small_letters(fuel.words);
  Found first;
  for (std::size_t from = 0; from <= words.size();) {
    const std::size_t bar = std::min(words.find('|', from), words.size());
    const Found found = find_word(text, std::string_view(words).substr(from, bar - from));
    if (comes_before(found, first)) first = found;
    from = bar + 1;
  }
  return first;
}

} // namespace

std::vector<Fuel> read_fuels(std::string_view source_name, std::string_view csv) {
  const Table table = Table::read(source_name, csv, rules);
  std::vector<Fuel> fuels;
  std::vector<Complaint> complaints;
  for (const TableRow& row : table.rows())
    check_fuel(fuels.emplace_back(to_fuel(row)), row, complaints);
  if (!complaints.empty()) throw UserError(std::move(complaints));
  return fuels;
}

std::vector<Fuel> read_fuels(const TableFiles& tables) {
  return read_fuels(tables.source_name(table_name), tables.bytes(table_name));
}

const Fuel* find_fuel(const std::vector<Fuel>& fuels, std::string_view words) {
  const std::string text = in_small_letters(words);
  const Fuel* named = nullptr;
  Found first;
  for (const Fuel& fuel : fuels) {
    const Found found = first_word(fuel, text);
    if (!comes_before(found, first)) continue;
    first = found;
    named = &fuel;
  }
  return named;
}

double fuel_per_heat(const Fuel& fuel, double heat_to_water_J, double efficiency) {
  our_check(heat_to_water_J >= 0, "heat to the water is not negative");
  our_check(efficiency > 0 && efficiency <= 1, "an efficiency is above 0 and at most 1");
  return heat_to_water_J / (fuel.heat_J_per_unit * efficiency);
}

} // namespace coldbag
