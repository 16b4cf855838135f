// The words that a report's JSON has for enumerations.
#pragma once

#include "run/run_report.h"

#include <optional>
#include <string>
#include <string_view>

namespace coldbag {

/// The word of a value; empty where the enumeration has no such value. Each enumeration counts from 0 without
/// a hole, so that its words can be listed.
[[nodiscard]] std::string_view word(Verdict verdict);
[[nodiscard]] std::string_view word(SoFar so_far);
[[nodiscard]] std::string_view word(Status status);
[[nodiscard]] std::string_view word(Sense sense);
[[nodiscard]] std::string_view word(UnitSystem units);
[[nodiscard]] std::string_view word(How how);
[[nodiscard]] std::string_view word(TextEncoding encoding);
[[nodiscard]] std::string_view word(ColumnKind kind);
[[nodiscard]] std::string_view word(ColumnUnit unit);
[[nodiscard]] std::string_view word(PressureBasis basis);
[[nodiscard]] std::string_view word(TimeRule::Form form);
[[nodiscard]] std::string_view word(DateOrder order);
[[nodiscard]] std::string_view word(Basis basis);
[[nodiscard]] std::string_view word(ProbeRole role);
[[nodiscard]] std::string_view word(FaultEffect effect);

inline constexpr int most_words = 64;

/// The value of a word, where there is one.
template <class Enum>
[[nodiscard]] std::optional<Enum> find_word(std::string_view text) {
  if (text.empty()) return std::nullopt; // or it would be the word of what is no value
  for (int i = 0; i < most_words; ++i)
    if (word(static_cast<Enum>(i)) == text) return static_cast<Enum>(i);
  return std::nullopt;
}

/// Every word of an enumeration, for those who wrote none of them.
template <class Enum>
[[nodiscard]] std::string all_words() {
  std::string all;
  for (int i = 0; i < most_words; ++i) {
    const std::string_view one = word(static_cast<Enum>(i));
    if (one.empty() || find_word<Enum>(one) != static_cast<Enum>(i)) break;
    all += (all.empty() ? "" : ", ") + std::string(one);
  }
  return all;
}

} // namespace coldbag
