#include "records/ledger_json.h"

#include "records/canonical_json.h"
#include "records/canonical_members_json.h"
#include "records/public_key.h"

#include <nlohmann/json.hpp>

#include <algorithm>
#include <string>
#include <vector>

namespace coldbag {

namespace {

using Json = nlohmann::json;

/// The texts of an object in canonical JSON, by their keys.
class Texts {
 public:
  explicit Texts(const std::string& content) : members_(members_of_canonical(content)) {}
  /// "" where there is none.
  [[nodiscard]] std::string of(std::string_view key) const {
    const auto found = std::ranges::find(members_, key, &CanonicalMember::key);
    if (found == members_.end() || !found->value.starts_with('"')) return "";
    std::string text = Json::parse(found->value).get<std::string>();
    std::erase(text, '\0'); // no text of PostgreSQL holds one
    return text;
  }

 private:
  std::vector<CanonicalMember> members_;
};

} // namespace

std::string head_statement(const TreeHead& head) {
  return canonical_json(
      Json{{"coldbag", "ledger head 1"}, {"root", hex_text(head.root)}, {"size", head.size}});
}

RowSubject subject_of(const Entry& entry) {
  const Texts texts(entry.content);
  const auto us = [](const ClockedInstant& at) {
    return static_cast<std::int64_t>(at.at.time_since_epoch().count());
  };
  return {std::string(word(entry.kind)), texts.of("run"),    texts.of("vessel"),  texts.of("treatment"),
          texts.of("verdict"),           us(entry.event_at), us(entry.entered_at)};
}

std::string first_content(const std::string& content, const PublicKey& key) {
  Json out = content.empty() ? Json::object() : read_exact_json("entry", content);
  out["public_key"] = public_key_text(key);
  return canonical_json(out);
}

std::string lost_key_content(const PublicKey& lost, const PublicKey& key, const std::string& reason) {
  return canonical_json(Json{{"statement", "lost_key"},
                             {"lost_key", public_key_text(lost)},
                             {"public_key", public_key_text(key)},
                             {"reason", reason}});
}

bool says_lost(const Entry& entry, const PublicKey& lost, const PublicKey& key) {
  if (entry.kind != EntryKind::key) return false;
  const Texts content(entry.content);
  return content.of("statement") == "lost_key" && content.of("lost_key") == public_key_text(lost) &&
         content.of("public_key") == public_key_text(key);
}

std::optional<PublicKey> first_key(const Entry& entry) {
  if (entry.kind != EntryKind::key) return std::nullopt;
  return read_public_key_text(Texts(entry.content).of("public_key"));
}

} // namespace coldbag
