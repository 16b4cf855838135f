// A table with one figure a row, all of which must be there.
#pragma once

#include <map>
#include <span>
#include <string>
#include <string_view>

namespace coldbag {

/// What one row may hold; `unit` is the only one allowed for it.
struct FigureRule {
  std::string_view key;
  std::string_view unit;
  double lowest;
  double highest;
};

/// Figures by key, in the units of their rules.
class Figures {
 public:
  /// Throws UserError with every fault: those of Table::read, a row that is missing or is none of these, a
  /// unit that is not the row's, a value out of its bounds. Columns: key, value, unit, source, locator,
  /// basis, note.
  [[nodiscard]] static Figures read(std::string_view source_name, std::string_view csv,
                                    std::span<const FigureRule> rules);
  /// The key must be one of the rules (checked).
  [[nodiscard]] double at(std::string_view key) const;

 private:
  std::map<std::string, double, std::less<>> values_;
};

} // namespace coldbag
