// Canonical JSON (RFC 8785) told from other JSON in one pass, and the members of an object as they stand in
// it.
#pragma once

#include <string>
#include <string_view>
#include <vector>

namespace coldbag {

/// Whether these are the bytes that canonical_json writes of what they say; reads them once and builds
/// nothing. Guarded by tests/records/canonical_members_json_test.cpp, which asks made_canonical as well.
[[nodiscard]] bool is_canonical_json(std::string_view bytes);

/// A member of an object, in the object's text.
struct CanonicalMember {
  std::string key;
  std::string_view value; ///< canonical itself
};

/// The members of an object, in their order, that must be in its canonical bytes; throws UserError as
/// read_canonical_object does where it is not. `json` must outlive what is given back.
[[nodiscard]] std::vector<CanonicalMember> read_canonical_members(std::string_view source_name,
                                                                  std::string_view json);

/// The same of what is known to be canonical, such as an entry's content, in a tenth of the time. Keys stand
/// as they are written, with their escapes.
[[nodiscard]] std::vector<CanonicalMember> members_of_canonical(std::string_view json);

} // namespace coldbag
