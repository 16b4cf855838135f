#include "records/statement_json.h"

#include "records/canonical_json.h"
#include "records/members_json.h"

#include <nlohmann/json.hpp>

#include <utility>

namespace coldbag {

using Json = nlohmann::json;

std::string statement_json(const Statement& statement) {
  return canonical_json(Json{{"run", statement.run},
                             {"vessel", statement.vessel},
                             {"treatment", statement.treatment},
                             {"fields", statement.fields}});
}

Statement read_statement(std::string_view source_name, std::string_view json) {
  const Json whole = read_canonical_object(source_name, json);
  ReadComplaints complaints{std::string(source_name), {}};
  Members members(complaints, whole, "");
  Statement out;
  out.run = members.text("run").value_or("");
  out.vessel = members.text("vessel").value_or("");
  out.treatment = members.text("treatment").value_or("");
  out.fields = members.texts("fields");
  members.done();
  throw_if_any(std::move(complaints));
  return out;
}

} // namespace coldbag
