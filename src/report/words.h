// The catalogue of words of one language.
#pragma once

#include "quantity/print.h"
#include "run/run_report.h"
#include "tables/edition.h"

#include <map>
#include <string>
#include <string_view>

namespace coldbag {

/// Texts by key, with the places for values in braces: "{probe} reads {delivered_K} over the local boiling
/// point".
class Words {
 public:
  /// Reads words-en.csv (or another language's). Throws UserError where the catalogue is not well formed.
  [[nodiscard]] static Words read(const TableFiles& tables, std::string_view language);
  [[nodiscard]] bool has(std::string_view key) const;
  /// The text with every {name} put in; a key that is not there, or a place without a value, is our fault
  /// (checked).
  [[nodiscard]] std::string text(std::string_view key,
                                 const std::map<std::string, std::string>& values = {}) const;

 private:
  std::map<std::string, std::string, std::less<>> texts_;
};

/// A value as people read it, by the unit at the end of its name: "hold_minutes", "last_degC", "ku_K",
/// "until_at".
[[nodiscard]] std::string value_text(const RunReport& report, std::string_view name, double value);

/// The same where nothing is a moment of a run.
[[nodiscard]] std::string value_text(UnitSystem units, std::string_view name, double value);

/// What the report says, in the words of the catalogue.
[[nodiscard]] std::string said_text(const Words& words, const RunReport& report, const Said& said);
[[nodiscard]] std::string said_text(const Words& words, UnitSystem units, const Said& said);

} // namespace coldbag
