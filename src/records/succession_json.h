// One key follows another: said by the holder of the old one, and signed by both.
#pragma once

#include "clock/instant.h"
#include "records/keys.h"

#include <string>
#include <string_view>

namespace coldbag {

struct KeySuccession {
  PublicKey old_key;
  PublicKey new_key;
  Instant at;
  std::string reason;
  bool operator==(const KeySuccession&) const = default;
};

struct SignedSuccession {
  KeySuccession succession;
  Signature by_old; ///< the old key lets the new one follow
  Signature by_new; ///< whoever has the new key is there
  bool operator==(const SignedSuccession&) const = default;
};

/// The bytes that are signed: canonical JSON that says of itself what it is, so that no other signature of
/// these keys can be taken for one. Throws UserError where the reason is no UTF-8.
[[nodiscard]] std::string succession_statement(const KeySuccession& succession);

/// Two keys, not one twice (checked).
[[nodiscard]] SignedSuccession succeed(const SigningKey& old_key, const SigningKey& new_key, Instant at,
                                       const std::string& reason);

/// Whether both signed it, and the keys are two. Guarded by tests/records/succession_json_test.cpp.
[[nodiscard]] bool is_valid(const SignedSuccession& succession);

/// Statement and signatures in canonical JSON.
[[nodiscard]] std::string succession_json(const SignedSuccession& succession);
/// What succession_json wrote; its signatures are not looked at. Throws UserError where it is anything else.
[[nodiscard]] SignedSuccession read_succession(std::string_view source_name, std::string_view json);

} // namespace coldbag
