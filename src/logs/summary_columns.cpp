#include "logs/summary_columns.h"

#include "logs/encoding.h"
#include "logs/unit_words.h"

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

/// The column to read for the probe of `own`. Where a summary names no probe ("Max"), it is of the only one.
const LogColumn* reading_of(const std::vector<LogColumn>& columns, const Summary& own) {
  const LogColumn* best = nullptr;
  Figure best_figure = Figure::highest;
  std::size_t readings = 0;
  const LogColumn* last_reading = nullptr;
  for (const LogColumn& column : columns) {
    if (column.kind.value != ColumnKind::temperature) continue;
    const Summary other = summary_of(column.name);
    if (other.figure == Figure::reading) {
      ++readings;
      last_reading = &column;
    }
    if (other.probe != own.probe || other.figure >= best_figure) continue;
    best = &column;
    best_figure = other.figure;
  }
  return own.probe.empty() && readings == 1 ? last_reading : best;
}

std::string_view name_of(Figure figure) {
  return figure == Figure::highest  ? "highest readings"
         : figure == Figure::lowest ? "lowest readings"
                                    : "means";
}

} // namespace

void leave_out_summaries(std::vector<LogColumn>& columns) {
  const std::vector<LogColumn> before = columns;
  for (LogColumn& column : columns) {
    const Summary own = summary_of(column.name);
    if (!is_found(column) || own.figure == Figure::reading) continue;
    const LogColumn* const read = reading_of(before, own);
    const std::string what = "holds " + std::string(name_of(own.figure));
    if (read == nullptr)
      column.kind = {ColumnKind::ignored, How::found,
                     what + ", and no column holds the lowest, the mean or the reading"};
    else if (read->position != column.position)
      column.kind = {ColumnKind::ignored, How::found,
                     what + "; \"" + shown(read->name) + "\" is read for this probe"};
    else
      column.kind.evidence += "; " + what + ", taken for the probe's reading";
  }
}

} // namespace coldbag
