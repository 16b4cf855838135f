#include "records/import_json.h"

#include "records/canonical_json.h"
#include "records/members_json.h"
#include "records/public_key.h"

#include <nlohmann/json.hpp>

#include <utility>

namespace coldbag {

using Json = nlohmann::json;

std::string import_content_json(const ImportContent& content) {
  return canonical_json(Json{{"run", content.run},
                             {"vessel", content.vessel},
                             {"treatment", content.treatment},
                             {"verdict", content.verdict},
                             {"leaf", content.leaf},
                             {"proof", proof_text(content.proof)},
                             {"signature", signature_text(content.signature)},
                             {"public_key", public_key_text(content.key)}});
}

ImportContent read_import_content(std::string_view source_name, std::string_view json) {
  const Json whole = read_canonical_object(source_name, json);
  ReadComplaints complaints{std::string(source_name), {}};
  Members members(complaints, whole, "");
  ImportContent out;
  out.run = members.text("run").value_or("");
  out.vessel = members.text("vessel").value_or("");
  out.treatment = members.text("treatment").value_or("");
  out.verdict = members.text("verdict").value_or("");
  out.leaf = members.text("leaf").value_or("");
  const auto take = [&](const char* key, const auto& read, auto& into) {
    const auto text = members.text(key);
    if (!text) return;
    if (const auto value = read(*text))
      into = *value;
    else
      members.complain(key, "what stands here is none, or does not hold", as_the_program_wrote_it);
  };
  take("proof", read_proof_text, out.proof);
  take("signature", read_signature_text, out.signature);
  take("public_key", read_public_key_text, out.key);
  members.done();
  throw_if_any(std::move(complaints));
  return out;
}

} // namespace coldbag
