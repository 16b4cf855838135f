// What a run sheet asks and says, part by part, before it is laid out as text or as a PDF.
#pragma once

#include "report/words.h"
#include "sizing/run_sheet.h"

#include <cstddef>
#include <string>
#include <vector>

namespace coldbag {

/// What is known stands printed; what is not is a line to write on, with its unit behind.
struct SheetField {
  std::string label;
  std::string value;
  std::string unit;
  bool operator==(const SheetField&) const = default;
};

/// Side by side; the paper takes `parts` of their width.
struct SheetFields {
  std::vector<SheetField> fields;
  std::size_t parts = 1;
  bool operator==(const SheetFields&) const = default;
};

/// A sentence, and what is signed under it.
struct SheetSignature {
  std::string means;
  SheetFields fields;
};

/// The parts in the words of the catalogue. Names of the user's have no control characters.
class SheetParts {
 public:
  SheetParts(const RunSheet& sheet, const Words& words) : sheet_(sheet), words_(words) {}

  /// The farm, and which page of how many.
  [[nodiscard]] SheetField title() const;
  [[nodiscard]] std::string page(std::size_t number, std::size_t pages) const;
  /// What tells of a page that lies alone to which run it belongs.
  [[nodiscard]] SheetFields run_and_date() const;

  [[nodiscard]] SheetFields vessel() const;
  /// Its kind and where water boils; "" where neither is known.
  [[nodiscard]] std::string vessel_text() const;
  /// What must be known of the vessel and is not.
  [[nodiscard]] std::vector<SheetFields> vessel_asked() const;
  /// Asked where no treatment was chosen; then there are no requirements.
  [[nodiscard]] std::vector<SheetFields> treatment_asked() const;
  /// "Treatment: its name".
  [[nodiscard]] std::string treatment_text() const;
  [[nodiscard]] std::vector<SheetFields> bags(const SheetBags& bags) const;
  /// The names of what happens, in its order.
  [[nodiscard]] std::vector<std::string> events() const;
  /// A probe's column, and in which space it is where that is known.
  [[nodiscard]] std::string place_name(const SheetProbe& probe) const;

  [[nodiscard]] std::vector<std::string> said(const std::vector<Said>& all) const;
  [[nodiscard]] std::string said(const Said& one) const;
  /// What is to be looked at with every reading, as one text.
  [[nodiscard]] std::string reminders() const;

  /// Clock, or minutes since steam on, of a reading.
  [[nodiscard]] std::string time_of(std::size_t line) const;
  /// "03-09" or "day 2" where it is the first reading of a day that the sheet did not begin on.
  [[nodiscard]] std::string day_of(std::size_t line) const;

  /// How many bags were held, released, ...: a label for each.
  [[nodiscard]] std::vector<SheetField> dispositions() const;
  [[nodiscard]] SheetSignature operator_signature() const;
  [[nodiscard]] SheetSignature reviewer_signature() const;
  /// The command that types this sheet off, with its own columns.
  [[nodiscard]] std::vector<std::string> typing() const;

 private:
  [[nodiscard]] bool is_us() const { return sheet_.units == UnitSystem::us; }
  [[nodiscard]] std::string date() const;
  [[nodiscard]] std::string kind_text() const;
  [[nodiscard]] std::string boiling_text() const;
  [[nodiscard]] WallTime wall_of(std::size_t line) const;
  [[nodiscard]] SheetFields name_signature_when() const;

  const RunSheet& sheet_;
  const Words& words_;
};

} // namespace coldbag
