// A CSV table with checked columns: what a row may hold is said once, and every fault names file, line and
// column.
#pragma once

#include "errors/user_error.h"

#include <algorithm>
#include <map>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

namespace coldbag {

enum class CellKind { text, number, choice };

/// What one column may hold. An empty cell means not known, and is refused where `required`.
struct ColumnRule {
  std::string_view name;
  CellKind kind = CellKind::text;
  bool required = false;
  std::optional<double> lowest = std::nullopt;  ///< numbers: smallest allowed
  std::optional<double> highest = std::nullopt; ///< numbers: largest allowed
  std::span<const std::string_view> choices = {};
};

/// One row that keeps to the rules.
class TableRow {
 public:
  [[nodiscard]] const std::string& key() const { return key_; } ///< first column
  [[nodiscard]] const Place& place() const { return place_; }
  /// Empty where the cell is empty. The column must be one of the rules (checked).
  [[nodiscard]] const std::string& text(std::string_view column) const;
  [[nodiscard]] std::optional<double> number(std::string_view column) const;
  /// A number that the rules require (checked).
  [[nodiscard]] double required_number(std::string_view column) const;
  /// Where the cell of a column stands, for a fault that only its reader can see.
  [[nodiscard]] Place place_of(std::string_view column) const;

 private:
  friend class Table;
  struct Cell {
    std::string text;
    int column = 0; ///< where it begins in the line, from 1
  };
  [[nodiscard]] const Cell& cell(std::string_view column) const;
  std::string key_;
  Place place_;
  std::map<std::string, Cell, std::less<>> cells_;
};

/// Rows by key, in file order. Reading throws UserError with every fault of the file: unknown or missing or
/// doubled column, wrong number of cells, not a number, out of range, not a choice, doubled key, bad quoting.
/// A fault of quoting or of the header hides the rest, which would only follow from it.
class Table {
 public:
  [[nodiscard]] static Table read(std::string_view source_name, std::string_view bytes,
                                  std::span<const ColumnRule> rules);
  [[nodiscard]] const std::vector<TableRow>& rows() const { return rows_; }
  [[nodiscard]] const TableRow* find(std::string_view key) const;

 private:
  std::vector<TableRow> rows_;
};

/// The one whose `key` it is, nullptr where there is none; among the rows of a table as they were read.
template <class Read>
[[nodiscard]] const Read* find_by_key(const std::vector<Read>& all, std::string_view key) {
  const auto found = std::ranges::find(all, key, &Read::key);
  return found == all.end() ? nullptr : &*found;
}

} // namespace coldbag
