// The catalogue of words of one language.
#pragma once

#include "quantity/print.h"
#include "report/error_words.h"
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
  /// "en": as pages and papers name it (RFC 5646, from memory).
  [[nodiscard]] const std::string& language() const { return language_; }
  [[nodiscard]] bool has(std::string_view key) const;
  /// The text with every {name} put in; a key that is not there, or a place without a value, is our fault
  /// (checked).
  [[nodiscard]] std::string text(std::string_view key,
                                 const std::map<std::string, std::string>& values = {}) const;
  /// Whether the text of this key has a place for such a value.
  [[nodiscard]] bool tells(std::string_view key, std::string_view value) const;
  /// What showed something in a log, which a record keeps in English, told in these words: by the English
  /// text of the keys found_by_... that it was made of. As it is where it was made of none, and where the
  /// words are English.
  [[nodiscard]] std::string retold(const std::string& english) const;
  /// What was wrong with something, which a report may hold in English.
  [[nodiscard]] const ErrorWords& errors() const { return errors_; }

 private:
  std::string language_;
  std::map<std::string, std::string, std::less<>> texts_;
  std::map<std::string, std::string, std::less<>> english_; ///< of the keys that are retold
  ErrorWords errors_;
};

/// The key of a name out of a table: its family, "_" and the name in small letters, "_" for all that is
/// neither letter nor figure: "treatment_atmospheric_steam".
[[nodiscard]] std::string key_of_name(std::string_view family, std::string_view name);

/// A name out of a table or a file in the words of the catalogue, where it has its key; any other name, such
/// as a site's own, as it is.
[[nodiscard]] std::string named(const Words& words, std::string_view family, std::string_view name);

/// A value as people read it, by the unit at the end of its name: "hold_minutes", "last_degC", "ku_K",
/// "until_at".
[[nodiscard]] std::string value_text(const RunReport& report, std::string_view name, double value);

/// The same where nothing is a moment of a run.
[[nodiscard]] std::string value_text(UnitSystem units, std::string_view name, double value);

/// What the report says, in the words of the catalogue.
[[nodiscard]] std::string said_text(const Words& words, const RunReport& report, const Said& said);
[[nodiscard]] std::string said_text(const Words& words, UnitSystem units, const Said& said);

} // namespace coldbag
