// JSON in the one form of bytes that can be hashed and signed: RFC 8785.
#pragma once

#include <nlohmann/json_fwd.hpp>

#include <cstdint>
#include <string>
#include <string_view>

namespace coldbag {

/// How deep objects and lists may stand in each other, when read and when written.
inline constexpr int most_json_levels = 100;

/// The largest whole number that every reader of JSON holds exactly: 2^53 - 1 (RFC 7493, section 2.2).
inline constexpr std::uint64_t most_json_count = 9007199254740991;

/// What mends JSON that nobody writes by hand.
inline constexpr const char* as_the_program_wrote_it = "take it as the program wrote it";

/// A value as RFC 8785 writes it: no blanks, keys in the order of their UTF-16 code units, numbers by
/// canonical_number, text as it is (no Unicode normalization). Throws UserError with the path of the key
/// where a text is no UTF-8. NaN, an infinity, a whole number that a double does not hold and more than
/// most_json_levels are a caller's fault (checked). Guarded by tests/records/canonical_json_test.cpp.
[[nodiscard]] std::string canonical_json(const nlohmann::json& value);

/// A number as ECMAScript prints it (ECMA-262, Number::toString, with its note 2: of the shortest digits that
/// read back the same those nearest the value); minus zero is "0". Finite (checked).
[[nodiscard]] std::string canonical_number(double value);

/// Reads JSON (RFC 8259) that can be written canonically. Throws UserError where it is none, a key stands
/// twice in one object, a number is too large for a double or a whole number has digits that a double loses,
/// or the nesting is too deep.
[[nodiscard]] nlohmann::json read_exact_json(std::string_view source_name, std::string_view json);

/// Any JSON turned into its canonical bytes; throws as read_exact_json does.
[[nodiscard]] std::string made_canonical(std::string_view source_name, std::string_view json);

/// Reads an object that must be in its canonical bytes; throws UserError where it is not.
[[nodiscard]] nlohmann::json read_canonical_object(std::string_view source_name, std::string_view json);

} // namespace coldbag
