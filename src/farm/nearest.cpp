#include "farm/nearest.h"

#include <algorithm>
#include <numeric>
#include <vector>

namespace coldbag {

std::size_t edit_distance(std::string_view left, std::string_view right) {
  constexpr std::size_t longest = 64;
  left = left.substr(0, longest);
  right = right.substr(0, longest);
  std::vector<std::size_t> row(right.size() + 1);
  std::iota(row.begin(), row.end(), std::size_t{0});
  for (std::size_t i = 0; i < left.size(); ++i) {
    std::size_t diagonal = row[0];
    row[0] = i + 1;
    for (std::size_t j = 0; j < right.size(); ++j) {
      const std::size_t changed = diagonal + (left[i] == right[j] ? 0 : 1);
      diagonal = row[j + 1];
      row[j + 1] = std::min({changed, row[j] + 1, diagonal + 1});
    }
  }
  return row[right.size()];
}

std::string nearest_word(std::string_view written, std::span<const std::string> words) {
  std::size_t best = std::max<std::size_t>(2, written.size() / 3) + 1;
  std::string nearest;
  for (const std::string& word : words) {
    const std::size_t distance = edit_distance(written, word);
    if (distance < best && distance < word.size()) {
      best = distance;
      nearest = word;
    }
  }
  return nearest;
}

std::string list_names(std::span<const std::string> names, bool quoted) {
  std::string text;
  for (const std::string& name : names) {
    if (!text.empty()) text += ", ";
    text += quoted ? '"' + name + '"' : name;
  }
  return text;
}

std::string list_words(std::span<const std::string> words) {
  std::string text;
  for (std::size_t i = 0; i < words.size(); ++i) {
    if (i > 0) text += i + 1 == words.size() ? " or " : ", ";
    text += '"' + words[i] + '"';
  }
  return text;
}

} // namespace coldbag
