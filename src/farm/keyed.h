// A TOML table that knows which of its keys were read, so that none is passed over in silence.
#pragma once

#include "clock/instant.h"
#include "errors/user_error.h"
#include "farm/vessel.h"
#include "quantity/unit.h"

#include <memory>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

namespace coldbag {

/// What a number must keep to, in the unit inside the program, and the words that say so.
struct Bounds {
  std::optional<double> lowest = std::nullopt;
  std::optional<double> highest = std::nullopt;
  bool lowest_itself = true;     ///< false where the value must lie above `lowest`
  std::string_view words = {};   ///< "above 0", "from -500 m to 9000 m"
  std::string_view example = {}; ///< how it may be written, where the general one of its kind would mislead
};
inline constexpr Bounds above_zero{0.0, std::nullopt, false, "above 0"};
inline constexpr Bounds zero_or_more{0.0, std::nullopt, true, "0 or more"};
inline constexpr Bounds zero_to_one{0.0, 1.0, true, "from 0 to 100 %"};

/// What a pressure key means where its text does not say gauge or absolute.
enum class PressureSort {
  gauge,    ///< must be said, and must be gauge
  barometer ///< a barometer's pressure; gauge is refused
};

/// A document that is being read: its complaints and every "?" it has. One for each file; outlives its
/// tables.
class KeyedDocument;

/// One table of it. Reading a key marks it as known, whether it is there or not; `finish` complains of the
/// others. Faults are collected in the document. Where a key is missing or at fault, what comes back is
/// empty.
class KeyedTable {
 public:
  [[nodiscard]] bool has(std::string_view key) const;
  [[nodiscard]] bool is_table(std::string_view key) const;
  /// Of the table's heading.
  [[nodiscard]] Place place() const;
  /// Of the value; of the heading where the key is not there.
  [[nodiscard]] Place place_of(std::string_view key) const;

  [[nodiscard]] Stated<std::string> text(std::string_view key);
  /// A text that is no Stated where it is kept: "" where not there; "?" is listed in the document.
  [[nodiscard]] std::string plain_text(std::string_view key);
  /// A text that must be there.
  [[nodiscard]] std::string required_text(std::string_view key, std::string_view example);
  [[nodiscard]] std::vector<std::string> texts(std::string_view key);
  [[nodiscard]] bool flag(std::string_view key);
  /// One of the words.
  [[nodiscard]] Stated<std::string> choice(std::string_view key, std::span<const std::string> words);
  /// A number with its unit, as text. A bare number is refused, but for fractions (0.62 is "62 %").
  [[nodiscard]] Stated<double> quantity(std::string_view key, Dimension dimension, const Bounds& bounds = {});
  /// Two quantities, the first the lower: ["65 %", "80 %"].
  [[nodiscard]] std::optional<std::pair<double, double>>
  quantity_band(std::string_view key, Dimension dimension, const Bounds& bounds = {});
  /// A number without unit.
  [[nodiscard]] Stated<double> number(std::string_view key, const Bounds& bounds = {});
  [[nodiscard]] Stated<int> whole_number(std::string_view key, const Bounds& bounds = {});
  [[nodiscard]] Stated<double> pressure(std::string_view key, PressureSort sort, const Bounds& bounds);
  /// A date or time: TOML's own kinds, or text in ISO 8601.
  [[nodiscard]] Stated<IsoTime> time(std::string_view key);
  /// Text that is a time span and no ISO time ("1 h 20 min").
  [[nodiscard]] bool holds_text(std::string_view key) const;

  /// [key] as a table; an empty one where it is not there.
  [[nodiscard]] KeyedTable table(std::string_view key);
  /// [key.NAME] in file order.
  [[nodiscard]] std::vector<std::pair<std::string, KeyedTable>> named_tables(std::string_view key);
  /// [[key]] in file order.
  [[nodiscard]] std::vector<KeyedTable> tables(std::string_view key);

  /// Says a fault at the key's value. `remedy` says what would be right.
  void complain(std::string_view key, std::string problem, std::string remedy);
  /// A key that is refused with its own words where it is there.
  void refuse(std::string_view key, std::string problem, std::string remedy);
  /// Lists the "?" of a key whose Stated is not kept.
  void note_asked(const Place& place);
  /// Complains of every key that was never asked for, with the nearest that was.
  void finish();

 private:
  friend class KeyedDocument;
  struct Node;
  explicit KeyedTable(std::shared_ptr<Node> node) : node_(std::move(node)) {}
  std::shared_ptr<Node> node_;
};

class KeyedDocument {
 public:
  /// Parses; throws UserError where it is no TOML, is larger than 4 MiB or is nested beyond any use.
  KeyedDocument(std::string_view source_name, std::string_view toml);
  KeyedDocument(const KeyedDocument&) = delete;
  KeyedDocument& operator=(const KeyedDocument&) = delete;
  KeyedDocument(KeyedDocument&&) = delete;
  KeyedDocument& operator=(KeyedDocument&&) = delete;
  ~KeyedDocument();

  [[nodiscard]] KeyedTable root();
  [[nodiscard]] const std::string& source_name() const;
  void complain(Complaint complaint);
  /// The "?" of keys that are kept without a Stated, in file order.
  [[nodiscard]] std::vector<Place> also_asked() const;
  /// Throws all complaints, in file order, where there are any.
  void throw_complaints();

 private:
  friend class KeyedTable;
  struct Contents;
  std::unique_ptr<Contents> contents_;
};

} // namespace coldbag
