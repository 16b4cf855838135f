// What both ways of a report, to JSON and back, share: how its fields are named one after another.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <type_traits>
#include <vector>

namespace coldbag {

// A way is a class that each `fields(way, value)` calls with every key in its order; one line serves both
// ways. `field` takes a number, text, list or struct with `fields` of its own; `later` lets records without
// the key be read; `moment` writes KEY and KEY_s; `text_or_null` has null for ""; `derived` is worked out
// from the rest when written and compared with it when read. To add a member of the report, add its line in
// `*_fields.h` and its row in docs/formats/check-json.md.

template <class T>
struct IsOptional : std::false_type {};
template <class T>
struct IsOptional<std::optional<T>> : std::true_type {};
template <class T>
struct IsVector : std::false_type {};
template <class T>
struct IsVector<std::vector<T>> : std::true_type {};
template <class T>
inline constexpr bool is_whole_number =
    std::is_integral_v<T> && !std::is_same_v<T, bool> && !std::is_same_v<T, char>;

/// A member as a way wants it: const to write it, not const to read it.
template <class Way, class T>
using Of = typename Way::template Value<T>;

// A moment of a record lies within this of its first reading: about 126 years.
inline constexpr double most_moment_s = 4e9;

[[nodiscard]] inline std::string seconds_key(std::string_view key) {
  return std::string(key) + "_s";
}

[[nodiscard]] inline bool ends_with(std::string_view name, std::string_view end) {
  return name.size() >= end.size() && name.substr(name.size() - end.size()) == end;
}

} // namespace coldbag
