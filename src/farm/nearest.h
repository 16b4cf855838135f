// The word a person probably meant, for the remedy in an error.
#pragma once

#include <span>
#include <string>
#include <string_view>
#include <vector>

namespace coldbag {

/// Letters to insert, drop or change to turn one into the other (Levenshtein 1966, from memory); words longer
/// than 64 bytes are compared by their first 64.
[[nodiscard]] std::size_t edit_distance(std::string_view left, std::string_view right);

/// The nearest of the words, "" where none is near (further than a third of the written word, at least 2).
[[nodiscard]] std::string nearest_word(std::string_view written, std::span<const std::string> words);

/// Names of a user's own: "a, b, c", each in quotes where wanted. No word stands between them that a language
/// would change.
[[nodiscard]] std::string list_names(std::span<const std::string> names, bool quoted);

/// Words of the program: "a", "b" or "c", in quotes.
[[nodiscard]] std::string list_words(std::span<const std::string> words);

/// The `name` of each thing.
template <class Things>
[[nodiscard]] std::vector<std::string> names_of(const Things& things) {
  std::vector<std::string> names;
  names.reserve(things.size());
  for (const auto& thing : things)
    names.push_back(thing.name);
  return names;
}

} // namespace coldbag
