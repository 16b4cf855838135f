#include "records/fields.h"

#include "clock/zone.h"
#include "quantity/parse.h"
#include "run/report_words.h"
#include "tables/basis_words.h"
#include "tables/table.h"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <array>
#include <iterator>
#include <utility>

namespace coldbag {

namespace {

constexpr std::array<std::string_view, 7> form_words{"text",     "names", "count", "temperature",
                                                     "pressure", "day",   "choice"};
constexpr std::array<std::string_view, 2> yes_or_no{"no", "yes"};

constexpr std::array field_columns{
    ColumnRule{.name = "key", .required = true},
    ColumnRule{.name = "kind", .required = true},
    ColumnRule{.name = "field", .required = true},
    ColumnRule{.name = "form", .kind = CellKind::choice, .required = true, .choices = form_words},
    ColumnRule{.name = "choices"},
    ColumnRule{.name = "needed", .kind = CellKind::choice, .required = true, .choices = yes_or_no},
    source_column,
    locator_column,
    basis_column,
    note_column,
};

std::vector<std::string> parts_of(std::string_view text, char separator) {
  std::vector<std::string> parts;
  while (!text.empty()) {
    const std::size_t end = std::min(text.find(separator), text.size());
    std::string_view part = text.substr(0, end);
    while (part.starts_with(' '))
      part.remove_prefix(1);
    while (part.ends_with(' '))
      part.remove_suffix(1);
    if (!part.empty()) parts.emplace_back(part);
    text.remove_prefix(std::min(end + 1, text.size()));
  }
  return parts;
}

bool is_blank(const std::string& text) {
  return text.find_first_not_of(" \t\r\n") == std::string::npos;
}

bool is_count(const std::string& text) {
  constexpr std::size_t most_digits = 9;
  return !text.empty() && text.size() <= most_digits &&
         std::ranges::all_of(text, [](char c) { return c >= '0' && c <= '9'; });
}

struct Wrong {
  std::string problem;
  std::string remedy;
};

Wrong wrong_of(const Parsed& parsed) {
  return parsed.value ? Wrong{} : Wrong{parsed.problem, parsed.remedy};
}

/// What is wrong with a text that is there; no problem where all is well.
Wrong wrong_with(const RecordField& field, const std::string& text) {
  switch (field.form) {
  case FieldForm::text:
    return {};
  case FieldForm::names:
    return names_in(text).empty() ? Wrong{"there is no name in it", "write names with commas between"}
                                  : Wrong{};
  case FieldForm::count:
    return is_count(text) ? Wrong{} : Wrong{"\"" + text + "\" is no whole number", "write for example 60"};
  case FieldForm::temperature:
    return wrong_of(parse_quantity(text, Dimension::temperature));
  case FieldForm::pressure:
    return wrong_of(parse_pressure(text).parsed);
  case FieldForm::day:
    return parse_iso_time(text) ? Wrong{}
                                : Wrong{"\"" + text + "\" is no date", "write for example 2026-03-01"};
  case FieldForm::choice:
    return std::ranges::find(field.choices, text) != field.choices.end()
               ? Wrong{}
               : Wrong{"\"" + text + "\" is not known here",
                       fmt::format("one of: {}", fmt::join(field.choices, ", "))};
  }
  return {};
}

Complaint about_field(const std::string& name, std::string problem, std::string remedy) {
  Complaint complaint;
  complaint.trouble = Trouble::usage;
  complaint.place.key_path = name;
  complaint.problem = std::move(problem);
  complaint.remedy = std::move(remedy);
  return complaint;
}

Complaint bad_cell(const TableRow& row, std::string_view column, std::string problem, std::string remedy) {
  Complaint complaint;
  complaint.trouble = Trouble::bad_data;
  complaint.place = row.place_of(column);
  complaint.problem = std::move(problem);
  complaint.remedy = std::move(remedy);
  return complaint;
}

} // namespace

std::vector<RecordField> read_record_fields(std::string_view source_name, std::string_view csv) {
  const Table table = Table::read(source_name, csv, field_columns);
  std::vector<Complaint> complaints;
  std::vector<RecordField> fields;
  for (const TableRow& row : table.rows()) {
    RecordField field;
    field.key = row.key();
    field.name = row.text("field");
    field.is_needed = row.text("needed") == "yes";
    field.choices = parts_of(row.text("choices"), ' ');
    const auto form = std::ranges::find(form_words, row.text("form"));
    field.form = static_cast<FieldForm>(form - form_words.begin());
    if (const auto kind = find_word<EntryKind>(row.text("kind")))
      field.kind = *kind;
    else
      complaints.push_back(bad_cell(row, "kind", "\"" + row.text("kind") + "\" is no kind of entry",
                                    "one of: " + all_words<EntryKind>()));
    if ((field.form == FieldForm::choice) == field.choices.empty())
      complaints.push_back(bad_cell(row, "choices", "a choice has words to choose from, and nothing else has",
                                    "write them with blanks between, or leave the cell empty"));
    fields.push_back(std::move(field));
  }
  if (!complaints.empty()) throw UserError(std::move(complaints));
  return fields;
}

std::vector<RecordField> read_record_fields(const TableFiles& tables) {
  return read_record_fields(tables.source_name("record-fields.csv"), tables.bytes("record-fields.csv"));
}

std::vector<RecordField> fields_of(const std::vector<RecordField>& all, EntryKind kind) {
  std::vector<RecordField> fields;
  std::ranges::copy_if(all, std::back_inserter(fields),
                       [&](const RecordField& field) { return field.kind == kind; });
  return fields;
}

std::vector<Complaint> complaints_about(const std::vector<RecordField>& fields, const FieldTexts& texts) {
  std::vector<Complaint> complaints;
  for (const RecordField& field : fields) {
    const auto found = texts.find(field.name);
    if (found == texts.end() || is_blank(found->second)) {
      if (field.is_needed)
        complaints.push_back(about_field(
            field.name, "it is needed here",
            field.choices.empty() ? "state it" : fmt::format("one of: {}", fmt::join(field.choices, ", "))));
      continue;
    }
    if (Wrong wrong = wrong_with(field, found->second); !wrong.problem.empty())
      complaints.push_back(about_field(field.name, std::move(wrong.problem), std::move(wrong.remedy)));
  }
  std::vector<std::string> known;
  std::ranges::transform(fields, std::back_inserter(known), &RecordField::name);
  for (const auto& [name, text] : texts)
    if (std::ranges::find(known, name) == known.end())
      complaints.push_back(about_field(name, "it is no field of this entry",
                                       fmt::format("one of: {}", fmt::join(known, ", "))));
  return complaints;
}

std::vector<std::string> names_in(std::string_view text) {
  return parts_of(text, ',');
}

} // namespace coldbag
