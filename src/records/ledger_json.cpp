#include "records/ledger_json.h"

#include "records/canonical_json.h"
#include "records/public_key.h"

#include <nlohmann/json.hpp>

#include <string>

namespace coldbag {

namespace {

using Json = nlohmann::json;

std::string text_member(const Json& content, const char* key) {
  const auto found = content.find(key);
  std::string text = found != content.end() && found->is_string() ? found->get<std::string>() : "";
  std::erase(text, '\0'); // no text of PostgreSQL holds one
  return text;
}

} // namespace

std::string head_statement(const TreeHead& head) {
  return canonical_json(
      Json{{"coldbag", "ledger head 1"}, {"root", hex_text(head.root)}, {"size", head.size}});
}

RowSubject subject_of(const Entry& entry) {
  const Json content = read_canonical_object("entry", entry.content);
  const auto us = [](const ClockedInstant& at) {
    return static_cast<std::int64_t>(at.at.time_since_epoch().count());
  };
  return {std::string(word(entry.kind)),
          text_member(content, "run"),
          text_member(content, "vessel"),
          text_member(content, "treatment"),
          text_member(content, "verdict"),
          us(entry.event_at),
          us(entry.entered_at)};
}

std::string first_content(const std::string& content, const PublicKey& key) {
  Json out = content.empty() ? Json::object() : read_exact_json("entry", content);
  out["public_key"] = public_key_text(key);
  return canonical_json(out);
}

std::optional<PublicKey> first_key(const Entry& entry) {
  if (entry.kind != EntryKind::key) return std::nullopt;
  return read_public_key_text(text_member(read_canonical_object("entry", entry.content), "public_key"));
}

} // namespace coldbag
