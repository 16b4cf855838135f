// What a person is asked of an entry: the fields of record-fields.csv.
#pragma once

#include "errors/user_error.h"
#include "records/entry.h"
#include "tables/edition.h"

#include <map>
#include <string>
#include <string_view>
#include <vector>

namespace coldbag {

enum class FieldForm { text, names, count, temperature, pressure, day, choice };

struct RecordField {
  std::string key; ///< kind and name
  EntryKind kind = EntryKind::run;
  std::string name; ///< "looked_at"
  FieldForm form = FieldForm::text;
  std::vector<std::string> choices; ///< of a choice
  bool is_needed = false;
};

/// Texts as they were given, by the name of their field.
using FieldTexts = std::map<std::string, std::string>;

/// record-fields.csv, in its order. Throws UserError with every fault.
[[nodiscard]] std::vector<RecordField> read_record_fields(std::string_view source_name, std::string_view csv);
[[nodiscard]] std::vector<RecordField> read_record_fields(const TableFiles& tables);

/// Those of one kind.
[[nodiscard]] std::vector<RecordField> fields_of(const std::vector<RecordField>& all, EntryKind kind);

/// What is wrong with what was given for these fields, each with the field's name as its key: one that is
/// needed and missing, one that is not known, a text that is not of the field's form.
[[nodiscard]] std::vector<Complaint> complaints_about(const std::vector<RecordField>& fields,
                                                      const FieldTexts& texts);

/// A list of names with commas between; blanks around a name and empty names are dropped.
[[nodiscard]] std::vector<std::string> names_in(std::string_view text);

} // namespace coldbag
