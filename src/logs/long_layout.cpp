#include "logs/long_layout.h"

#include "logs/dialect.h"
#include "logs/encoding.h"
#include "logs/lines.h"
#include "logs/table_lines.h"
#include "logs/unit_words.h"

#include <algorithm>
#include <array>
#include <string>

namespace coldbag {

namespace {

constexpr std::size_t most_probes = 256;

/// Words for the column that names the probe; common practice, no source.
bool names_probes(const std::string& name) {
  constexpr std::array<std::string_view, 9> words{"probe", "sensor",   "channel", "thermocouple", "sonda",
                                                  "canal", "termopar", "sensors", "probes"};
  const std::string lower = lower_case(name);
  return std::any_of(words.begin(), words.end(), [&](std::string_view word) {
    const std::size_t at = lower.find(word);
    return at != std::string::npos && (at == 0 || lower[at - 1] == ' ');
  });
}

/// Readings of other kinds stand among those of probes.
bool names_another_reading(const std::string& label) {
  constexpr std::array<std::string_view, 8> words{"humid",   "humed",   "pressure", "presion",
                                                  "battery", "bateria", "voltage",  "voltaje"};
  const std::string lower = folded(label);
  return std::any_of(words.begin(), words.end(),
                     [&](std::string_view word) { return lower.find(word) != std::string::npos; });
}

/// The names in the order in which they first come; none where there are too many to be probes.
std::vector<std::string> labels_in(const Source& source, const Understanding& understanding, int column) {
  std::vector<std::string> labels;
  TableWatch table(understanding);
  Lines lines(source);
  for (Line line; lines.next(line) && labels.size() <= most_probes;) {
    if (line.number < understanding.first_data_line || table.is_outside(line)) continue;
    char* at = line.text;
    std::string_view label;
    int i = 0;
    for (; i <= column && at != nullptr; ++i)
      label = take_cell(at, line.text + line.size, understanding.delimiter.value);
    // A line of text behind the rows has no further cell.
    if (i <= column || label.empty() || at == nullptr) continue;
    if (std::find(labels.begin(), labels.end(), label) != labels.end()) continue;
    // The header once more, or that of another table, has a name where rows have a probe.
    table.take_no_row(line);
    if (table.is_in_other_table() || is_own_header(understanding, line)) continue;
    labels.emplace_back(label);
  }
  return labels.size() > most_probes ? std::vector<std::string>{} : labels;
}

} // namespace

void find_long_layout(const Source& source, Understanding& understanding) {
  auto& columns = understanding.columns;
  const auto is_reading = [](const LogColumn& column) {
    return column.kind.value == ColumnKind::temperature || column.kind.value == ColumnKind::pressure;
  };
  const auto is_label = [](const LogColumn& column) {
    return column.kind.value == ColumnKind::ignored && names_probes(column.name);
  };
  if (std::count_if(columns.begin(), columns.end(), is_reading) != 1) return;
  const auto probe = std::find_if(columns.begin(), columns.end(), is_label);
  const auto value = std::find_if(columns.begin(), columns.end(), is_reading);
  if (probe == columns.end() || value->kind.value != ColumnKind::temperature) return;
  const auto labels = labels_in(source, understanding, probe->position - 1);
  if (labels.size() < 2) return;
  probe->kind = {ColumnKind::ignored, How::found,
                 "names the probe of each row, " + std::to_string(labels.size()) + " of them"};
  const LogColumn reading = *value;
  const std::string named_by = probe->name; // the columns move as more are added
  value->kind = {ColumnKind::ignored, How::found, "its readings stand below, each under its probe"};
  understanding.long_layout =
      LongLayout{probe->position - 1, value->position - 1, static_cast<int>(columns.size())};
  for (const std::string& label : labels) {
    LogColumn column = reading;
    column.name = label;
    column.kind = {ColumnKind::temperature, How::found,
                   "rows where \"" + named_by + "\" says \"" + shown(label) + '"'};
    if (names_another_reading(label))
      column.kind = {ColumnKind::ignored, How::found, "the name is of no probe"};
    columns.push_back(column);
  }
}

} // namespace coldbag
