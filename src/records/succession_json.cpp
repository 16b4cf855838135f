#include "records/succession_json.h"

#include "errors/our_fault.h"
#include "records/canonical_json.h"
#include "records/members_json.h"
#include "records/public_key.h"

#include <nlohmann/json.hpp>

#include <chrono>
#include <optional>

namespace coldbag {

namespace {

using Json = nlohmann::json;

constexpr std::string_view statement_name = "key_succession";

Json json_of(const KeySuccession& succession) {
  return {{"statement", statement_name},
          {"old_key", public_key_text(succession.old_key)},
          {"new_key", public_key_text(succession.new_key)},
          {"at", print_iso_utc(succession.at)},
          {"reason", succession.reason}};
}

/// Reads a text by `read`, which gives nothing where it is not what it should be.
template <class Read, class Value>
void take(Members& members, const std::string& key, const Read& read, Value& value) {
  const auto text = members.text(key);
  if (!text) return;
  if (const auto found = read(*text))
    value = *found;
  else
    members.complain(key, "what stands here is damaged", as_the_program_wrote_it);
}

std::optional<Instant> read_instant(const std::string& text) {
  const auto time = parse_iso_time(text);
  if (!time || !time->has_clock || time->offset_s != 0) return std::nullopt;
  const Instant instant{std::chrono::microseconds(time->wall.us)};
  return print_iso_utc(instant) == text ? std::optional(instant) : std::nullopt;
}

KeySuccession take_statement(ReadComplaints& complaints, const Json& object) {
  KeySuccession succession;
  Members members(complaints, object, "succession");
  const auto name = members.text("statement");
  if (name && *name != statement_name)
    members.complain("statement", "this is no succession of keys", as_the_program_wrote_it);
  take(members, "old_key", read_public_key_text, succession.old_key);
  take(members, "new_key", read_public_key_text, succession.new_key);
  take(members, "at", read_instant, succession.at);
  succession.reason = members.text("reason").value_or("");
  members.done();
  return succession;
}

} // namespace

std::string succession_statement(const KeySuccession& succession) {
  return canonical_json(json_of(succession));
}

SignedSuccession succeed(const SigningKey& old_key, const SigningKey& new_key, Instant at,
                         const std::string& reason) {
  our_check(old_key.public_key() != new_key.public_key(), "a key is followed by another");
  const KeySuccession succession{old_key.public_key(), new_key.public_key(), at, reason};
  const std::string statement = succession_statement(succession);
  return {succession, old_key.sign(statement), new_key.sign(statement)};
}

bool is_valid(const SignedSuccession& succession) {
  const std::string statement = succession_statement(succession.succession);
  const KeySuccession& keys = succession.succession;
  return keys.old_key != keys.new_key && is_signed_by(keys.old_key, statement, succession.by_old) &&
         is_signed_by(keys.new_key, statement, succession.by_new);
}

std::string succession_json(const SignedSuccession& succession) {
  return canonical_json({{"succession", json_of(succession.succession)},
                         {"by_old", signature_text(succession.by_old)},
                         {"by_new", signature_text(succession.by_new)}});
}

SignedSuccession read_succession(std::string_view source_name, std::string_view json) {
  const Json root = read_canonical_object(source_name, json);
  ReadComplaints complaints{std::string(source_name), {}};
  Members members(complaints, root, "");
  SignedSuccession succession;
  if (const Json* statement = members.object("succession"))
    succession.succession = take_statement(complaints, *statement);
  take(members, "by_old", read_signature_text, succession.by_old);
  take(members, "by_new", read_signature_text, succession.by_new);
  members.done();
  throw_if_any(complaints);
  our_check(succession_json(succession) == json, "a succession gives the bytes it was read from");
  return succession;
}

} // namespace coldbag
