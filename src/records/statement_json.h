// What an entry holds that is about an older one: whose run it is, and the fields that somebody stated.
#pragma once

#include "records/fields.h"

#include <string>
#include <string_view>

namespace coldbag {

/// The run's name, vessel and treatment stand in it too, so that it is found with its run; empty where it is
/// about none.
struct Statement {
  std::string run;
  std::string vessel;
  std::string treatment;
  FieldTexts fields;
  bool operator==(const Statement&) const = default;
};

/// In canonical JSON.
[[nodiscard]] std::string statement_json(const Statement& statement);
/// What statement_json wrote. Throws UserError where it is anything else.
[[nodiscard]] Statement read_statement(std::string_view source_name, std::string_view json);

} // namespace coldbag
