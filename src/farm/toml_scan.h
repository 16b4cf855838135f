// A first look at a TOML text before it is parsed: what no site or run file needs and could break the parser,
// and slips that a parser explains badly.
#pragma once

#include "errors/user_error.h"

#include <string_view>
#include <vector>

namespace coldbag {

/// Depth of brackets, parts of a dotted key and bytes of the text that go beyond what any file of ours needs;
/// empty where all is within.
[[nodiscard]] std::vector<Complaint> toml_excess(std::string_view source_name, std::string_view toml);

/// Values without the quotes they need (mass = 5 lb, kind = vented, film = ?), with the line as it should be.
/// Meant for a text that the parser has refused.
[[nodiscard]] std::vector<Complaint> toml_slips(std::string_view source_name, std::string_view toml);

} // namespace coldbag
