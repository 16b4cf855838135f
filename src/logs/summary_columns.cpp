#include "logs/summary_columns.h"

#include "logs/encoding.h"
#include "logs/unit_words.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <string>
#include <string_view>
#include <utility>

namespace coldbag {

namespace {

/// In the order in which they are preferred.
enum class Figure { reading, mean, lowest, highest };

/// Common practice, no source; in plain letters, English and Spanish.
constexpr std::array<std::pair<std::string_view, Figure>, 15> figure_words{{
    {"max", Figure::highest},
    {"maximum", Figure::highest},
    {"maximo", Figure::highest},
    {"maxima", Figure::highest},
    {"highest", Figure::highest},
    {"min", Figure::lowest},
    {"minimum", Figure::lowest},
    {"minimo", Figure::lowest},
    {"minima", Figure::lowest},
    {"lowest", Figure::lowest},
    {"avg", Figure::mean},
    {"average", Figure::mean},
    {"mean", Figure::mean},
    {"media", Figure::mean},
    {"promedio", Figure::mean},
}};

/// What a column holds of which probe.
struct Summary {
  Figure figure = Figure::reading;
  std::string probe; ///< the other words of the name
};

Summary summary_of(const std::string& name) {
  Summary summary;
  const std::string key = folded(name);
  for (std::size_t at = 0; at < key.size();) {
    const std::size_t end = std::min(key.find_first_of(" ._-", at), key.size());
    const std::string_view word = std::string_view(key).substr(at, end - at);
    const auto* const known = std::find_if(figure_words.begin(), figure_words.end(),
                                           [&](const auto& figure) { return figure.first == word; });
    if (known != figure_words.end() && summary.figure == Figure::reading)
      summary.figure = known->second;
    else if (!word.empty())
      summary.probe += (summary.probe.empty() ? "" : " ") + std::string(word);
    at = end + 1;
  }
  return summary;
}

bool is_found(const LogColumn& column) {
  return column.kind.value == ColumnKind::temperature && column.kind.how != How::given;
}

bool is_extreme(Figure figure) {
  return figure == Figure::highest || figure == Figure::lowest;
}

/// The figures of the columns of one probe. Where summaries name no probe ("Max", "Min"), the probe is the
/// only one whose name is no summary.
struct Family {
  const LogColumn* read = nullptr; ///< the column to read; none where only the highest is there
  std::size_t summaries = 0;
  bool has_extreme = false;
};

Family family_of(const std::vector<LogColumn>& columns, const std::string& probe) {
  Family family;
  Figure best = Figure::highest;
  std::size_t readings = 0;
  const LogColumn* last_reading = nullptr;
  for (const LogColumn& column : columns) {
    if (column.kind.value != ColumnKind::temperature) continue;
    const Summary other = summary_of(column.name);
    if (other.figure == Figure::reading) {
      ++readings;
      last_reading = &column;
    }
    if (other.probe != probe) continue;
    if (other.figure != Figure::reading) ++family.summaries;
    family.has_extreme = family.has_extreme || is_extreme(other.figure);
    if (other.figure >= best) continue;
    family.read = &column;
    best = other.figure;
  }
  if (probe.empty() && readings == 1) family.read = last_reading;
  return family;
}

/// Whether a word may be part of a probe's name instead: "Bag media" is one in the middle, "Max" one's owner,
/// "MAX 1" a kind of board. A probe too many can hide no cold bag, one left out can.
bool may_be_a_name(const Summary& own, const Family& family) {
  if (own.figure == Figure::mean && !family.has_extreme) return true;
  if (own.probe.empty()) return family.summaries < 2;
  const bool has_letter = std::any_of(own.probe.begin(), own.probe.end(), [](char c) {
    return (c >= 'a' && c <= 'z') || static_cast<unsigned char>(c) >= 0x80U;
  });
  return !has_letter && family.read == nullptr;
}

std::string what_it_holds(Figure figure) {
  return figure == Figure::highest  ? "holds highest readings"
         : figure == Figure::lowest ? "holds lowest readings"
                                    : "holds means";
}

} // namespace

void leave_out_summaries(std::vector<LogColumn>& columns) {
  const std::vector<LogColumn> before = columns;
  for (LogColumn& column : columns) {
    const Summary own = summary_of(column.name);
    if (!is_found(column) || own.figure == Figure::reading) continue;
    const Family family = family_of(before, own.probe);
    if (may_be_a_name(own, family)) continue;
    const LogColumn* const read = family.read;
    const std::string what = what_it_holds(own.figure);
    if (read == nullptr)
      column.kind = {ColumnKind::ignored, How::found,
                     what + ", and no column holds the lowest, the mean or the reading"};
    else if (read->position != column.position)
      column.kind = {ColumnKind::ignored, How::found,
                     what + "; \"" + shown(read->name) + "\" is read for this probe"};
    else
      column.kind.evidence = fmt::format("{}; {}, taken for the probe's reading", column.kind.evidence, what);
  }
}

} // namespace coldbag
