#include "logs/rows.h"

#include "errors/our_fault.h"
#include "errors/user_error.h"
#include "logs/cell.h"
#include "logs/dialect.h"
#include "logs/encoding.h"
#include "logs/header.h"
#include "logs/lines.h"
#include "logs/ordered_lines.h"
#include "logs/row_clock.h"
#include "logs/table_lines.h"
#include "logs/time_line.h"
#include "logs/unit_words.h"

#include <algorithm>
#include <array>
#include <cstdlib>
#include <functional>
#include <map>
#include <string_view>
#include <utility>

namespace coldbag {

namespace {

constexpr double gap_in_intervals = 1.5;
constexpr std::size_t most_gaps = 100;

bool is_blank(std::string_view line) {
  return line.find_first_not_of(" \t") == std::string_view::npos;
}

/// Faults by kind, in the order in which they are told.
class Tally {
 public:
  explicit Tally(std::string source_name) : source_name_(std::move(source_name)) {}

  enum Kind : std::uint8_t {
    empty,
    text,
    not_a_number,
    wrong_unit,
    impossible,
    too_few_cells,
    too_many_cells,
    bad_time,
    time_repeats,
    time_repeats_differ,
    time_goes_back,
    time_out_of_place,
    missing_hour,
    invalid_bytes,
    unknown_probe,
    fault_value,
    header_repeats,
    other_table,
    footer,
    kinds
  };

  void add(Kind kind, const Line& line, std::string_view cell, std::string_view column,
           std::int64_t count = 1) {
    CellTally& tally = tallies_[kind];
    tally.count += count;
    if (tally.count > count && tally.first.line <= line.number) return;
    const std::ptrdiff_t at = cell.data() == nullptr ? 0 : cell.data() - line.text + 1;
    tally.first = {source_name_, line.number, static_cast<int>(at), std::string(column)};
    tally.text = shown(cell);
  }

  [[nodiscard]] std::vector<CellTally> all() && {
    constexpr std::array<std::string_view, kinds> keys{"empty",          "text",
                                                       "not_a_number",   "wrong_unit",
                                                       "impossible",     "too_few_cells",
                                                       "too_many_cells", "bad_time",
                                                       "time_repeats",   "time_repeats_differ",
                                                       "time_goes_back", "time_out_of_place",
                                                       "missing_hour",   "invalid_bytes",
                                                       "unknown_probe",  "fault_value",
                                                       "header_repeats", "other_table",
                                                       "footer"};
    std::vector<CellTally> told;
    for (std::size_t i = 0; i < kinds; ++i) {
      if (tallies_[i].count == 0) continue;
      tallies_[i].kind = keys[i];
      told.push_back(std::move(tallies_[i]));
    }
    return told;
  }

 private:
  std::string source_name_;
  std::array<CellTally, kinds> tallies_;
};

Tally::Kind kind_of(CellKind kind) {
  switch (kind) {
  case CellKind::empty:
    return Tally::empty;
  case CellKind::text:
    return Tally::text;
  case CellKind::not_a_number:
    return Tally::not_a_number;
  case CellKind::wrong_unit:
    return Tally::wrong_unit;
  case CellKind::impossible:
    return Tally::impossible;
  case CellKind::fault_value:
    return Tally::fault_value;
  case CellKind::number:
    break;
  }
  our_check(false, "a number is no fault of a cell");
  return Tally::kinds;
}

Tally::Kind kind_of(std::int64_t fate) {
  switch (static_cast<RowFate>(fate)) {
  case RowFate::missing_hour:
    return Tally::missing_hour;
  case RowFate::goes_back:
    return Tally::time_goes_back;
  case RowFate::out_of_place:
    return Tally::time_out_of_place;
  default:
    return Tally::bad_time;
  }
}

/// Where a log's cells of time stand; -1 where there is no column of dates.
struct TimeCells {
  int time = -1;
  int date = -1;
  [[nodiscard]] int last() const { return std::max(time, date); }
};

TimeCells time_cells(const Understanding& understanding) {
  TimeCells cells;
  for (const LogColumn& column : understanding.columns) {
    const int at = column.position - 1;
    if (column.kind.value == ColumnKind::time || column.kind.value == ColumnKind::clock) cells.time = at;
    if (column.kind.value == ColumnKind::date) cells.date = at;
  }
  our_check(cells.time >= 0, "an understood log has a column of times");
  return cells;
}

/// Cuts the first cells of a line into `cells`; returns how many there were. `at` is left behind them.
std::size_t cut(const Line& line, char delimiter, std::vector<std::string_view>& cells, char*& at) {
  at = line.text;
  char* const end = line.text + line.size;
  std::size_t count = 0;
  while (at != nullptr && count < cells.size())
    cells[count++] = take_cell(at, end, delimiter);
  return count;
}

std::string_view cell_at(const std::vector<std::string_view>& cells, std::size_t count, int at) {
  if (at < 0) return {};
  return static_cast<std::size_t>(at) < count ? cells[static_cast<std::size_t>(at)] : std::string_view("");
}

double median_s(std::vector<std::int64_t> steps_us) {
  const auto middle = steps_us.begin() + static_cast<std::ptrdiff_t>(steps_us.size() / 2);
  std::nth_element(steps_us.begin(), middle, steps_us.end());
  auto twice = static_cast<double>(*middle) * 2;
  if (steps_us.size() % 2 == 0)
    twice = static_cast<double>(*middle) + static_cast<double>(*std::max_element(steps_us.begin(), middle));
  return twice / 2e6;
}

double seconds(std::int64_t us) {
  return static_cast<double>(us) / 1e6;
}

void find_gaps(const std::vector<std::int64_t>& steps_us, LogSurvey& survey) {
  std::int64_t at_us = 0;
  for (const std::int64_t step : steps_us) {
    if (seconds(step) > gap_in_intervals * survey.interval_s)
      survey.gaps.push_back({seconds(at_us), seconds(at_us + step)});
    at_us += step;
  }
  survey.gap_count = static_cast<std::int64_t>(survey.gaps.size());
  if (survey.gaps.size() <= most_gaps) return;
  std::stable_sort(survey.gaps.begin(), survey.gaps.end(),
                   [](const Gap& a, const Gap& b) { return a.to_s - a.from_s > b.to_s - b.from_s; });
  survey.gaps.resize(most_gaps);
  std::sort(survey.gaps.begin(), survey.gaps.end(),
            [](const Gap& a, const Gap& b) { return a.from_s < b.from_s; });
}

// A line between the rows that names another unit leaves open which rows it is of.
void check_unit_stays(const Source& source, const Understanding& understanding, const Line& line) {
  const auto unit = unit_named_by_line(line.view(), understanding.delimiter.value);
  if (!unit) return;
  for (const LogColumn& column : understanding.columns)
    if (column.kind.value == ColumnKind::temperature && is_temperature(column.unit.value) &&
        column.unit.value != *unit)
      throw UserError({Trouble::bad_data, Place{source.name(), line.number, 0, ""},
                       "\"" + shown(line.view()) + "\" stands between the rows, but they are read in " +
                           unit_symbol(column.unit.value),
                       "save the rows before and behind it as two logs, each with its own unit"});
}

/// Such rows lie hours off, or nobody knows where, so none of them is passed over.
void check_zone_stays(const Source& source, const Understanding& understanding, const Line& line,
                      const Stamp& stamp, std::string_view time_cell) {
  if (stamp.kind != StampKind::zone_differs) return;
  const int at = time_cells(understanding).time;
  throw UserError(
      {Trouble::bad_data,
       Place{source.name(), line.number, 0, understanding.columns[static_cast<std::size_t>(at)].name},
       "\"" + shown(time_cell) +
           (understanding.time.written_offset ? "\" says no zone, but the first rows do"
                                              : "\" says a zone, but the first rows do not"),
       "write the zone in every row or in none, or save the two parts as two logs"});
}

StampList read_stamps(const Source& source, const Understanding& understanding, RowClock& clock,
                      TableLines& table_lines) {
  const TimeCells at_cells = time_cells(understanding);
  std::vector<std::string_view> cells(static_cast<std::size_t>(at_cells.last()) + 1);
  StampList stamps;
  Lines lines(source);
  TableWatch table(understanding);
  for (Line line; lines.next(line);) {
    if (line.number < understanding.first_data_line || is_blank(line.view())) continue;
    if (table.is_outside(line)) continue;
    char* behind = nullptr;
    const std::size_t count = cut(line, understanding.delimiter.value, cells, behind);
    if (is_too_short(understanding, count, behind)) {
      check_unit_stays(source, understanding, line);
      continue;
    }
    const Stamp stamp =
        clock.read(cell_at(cells, count, at_cells.date), cell_at(cells, count, at_cells.time));
    check_zone_stays(source, understanding, line, stamp, cell_at(cells, count, at_cells.time));
    stamps.add(static_cast<std::size_t>(line.number - understanding.first_data_line), stamp);
    if (stamp.kind == StampKind::bad_time)
      table.take_no_row(line);
    else
      table.take_row(line);
  }
  table_lines = std::move(table).found();
  return stamps;
}

/// Times of the rows that are used, rising, each once.
std::vector<std::int64_t> times_of(const TimeLine& time_line) {
  std::vector<std::int64_t> times;
  for (const std::int64_t us : time_line.row_us)
    if (is_time(us)) times.push_back(us);
  if (time_line.newest_first) std::reverse(times.begin(), times.end());
  if (!std::is_sorted(times.begin(), times.end())) std::sort(times.begin(), times.end());
  times.erase(std::unique(times.begin(), times.end()), times.end());
  return times;
}

/// An hour of summer time that the zone knows of is told, and costs nothing.
void tell_summer_time(const Understanding& understanding, const RowClock& clock,
                      const std::vector<std::int64_t>& times, LogSurvey& survey) {
  const auto zone = Zone::find(understanding.time.zone.value);
  if (!zone || !survey.start) return;
  const auto offset_s = [&](std::int64_t us) {
    return offset_s_at(*zone, *survey.start + std::chrono::microseconds(us));
  };
  const int before_s = offset_s(0);
  const int change_s = offset_s(times.back()) - before_s;
  if (change_s == 0 || !clock.wall_of(0)) return;
  const auto first = std::partition_point(times.begin(), times.end(),
                                          [&](std::int64_t us) { return offset_s(us) == before_s; });
  survey.clock_events.push_back(
      {"summer_time", {}, seconds(*first), static_cast<double>(change_s), 0, "told"});
}

/// What one pass over the times shows.
LogSurvey survey_times(const Source& source, const Understanding& understanding, TimeLine& time_line,
                       TableLines& table_lines) {
  RowClock clock(understanding);
  StampList stamps = read_stamps(source, understanding, clock, table_lines);
  const auto some = std::find_if(stamps.us.begin(), stamps.us.end(), is_time);
  if (some == stamps.us.end()) return {};
  const ClockNature nature{clock.wall_of(*some).has_value(), clock.instant_of(*some).has_value()};
  time_line = draw_time_line(std::move(stamps), nature, understanding.first_data_line);
  if (time_line.newest_first && clock.date_first_row(time_line.first_us))
    time_line = draw_time_line(read_stamps(source, understanding, clock, table_lines), nature,
                               understanding.first_data_line);
  const std::vector<std::int64_t> times = times_of(time_line);
  std::vector<std::int64_t> steps_us;
  for (std::size_t i = 1; i < times.size(); ++i)
    steps_us.push_back(times[i] - times[i - 1]);
  LogSurvey survey;
  survey.row_count = static_cast<std::int64_t>(times.size());
  survey.start = clock.instant_of(time_line.first_us);
  survey.start_wall = clock.wall_of(time_line.first_us);
  survey.last_s = seconds(times.back());
  if (!steps_us.empty()) survey.interval_s = median_s(steps_us);
  find_gaps(steps_us, survey);
  survey.clock_events = time_line.events;
  tell_summer_time(understanding, clock, times, survey);
  for (ClockEvent& event : survey.clock_events)
    event.at.source_name = source.name();
  return survey;
}

/// The rows of one probe of a log in the long layout, with a line of time of their own.
struct LabelRows {
  RowClock clock;
  StampList stamps;
  std::vector<int> lines;
  std::int64_t first_us = 0;
};

/// Names of probes to their columns, counted from the first of them.
std::map<std::string, std::size_t, std::less<>> labels_of(const Understanding& understanding) {
  std::map<std::string, std::size_t, std::less<>> labels;
  const auto first = static_cast<std::size_t>(understanding.long_layout->first);
  for (std::size_t i = first; i < understanding.columns.size(); ++i)
    labels[understanding.columns[i].name] = i - first;
  return labels;
}

std::vector<LabelRows> read_label_stamps(const Source& source, const Understanding& understanding,
                                         std::size_t& line_count, TableLines& table_lines) {
  const auto labels = labels_of(understanding);
  const TimeCells at_cells = time_cells(understanding);
  const int probe = understanding.long_layout->probe;
  std::vector<std::string_view> cells(static_cast<std::size_t>(std::max(at_cells.last(), probe)) + 1);
  std::vector<LabelRows> rows(labels.size(), LabelRows{RowClock(understanding), {}, {}, 0});
  Lines lines(source);
  TableWatch table(understanding);
  for (Line line; lines.next(line);) {
    if (line.number < understanding.first_data_line) continue;
    line_count = static_cast<std::size_t>(line.number - understanding.first_data_line) + 1;
    if (is_blank(line.view()) || table.is_outside(line)) continue;
    char* behind = nullptr;
    const std::size_t count = cut(line, understanding.delimiter.value, cells, behind);
    const auto label = labels.find(cell_at(cells, count, probe));
    if (label == labels.end()) {
      table.take_no_row(line);
      continue;
    }
    LabelRows& own = rows[label->second];
    const Stamp stamp =
        own.clock.read(cell_at(cells, count, at_cells.date), cell_at(cells, count, at_cells.time));
    check_zone_stays(source, understanding, line, stamp, cell_at(cells, count, at_cells.time));
    own.stamps.add(own.lines.size(), stamp);
    own.lines.push_back(line.number);
    if (stamp.kind != StampKind::bad_time) table.take_row(line);
  }
  table_lines = std::move(table).found();
  return rows;
}

/// Names that are of no probe make no rows, so their times do not count.
void leave_out_other_names(const Understanding& understanding, std::vector<LabelRows>& labels) {
  const auto first = static_cast<std::size_t>(understanding.long_layout->first);
  for (std::size_t i = 0; i < labels.size(); ++i)
    if (understanding.columns[first + i].kind.value == ColumnKind::ignored) {
      labels[i].stamps = {};
      labels[i].lines.clear();
    }
}

/// All probes of a log stand on one clock, so what it did is told once.
void add_events(const TimeLine& own, const std::vector<int>& lines, double starts_s, TimeLine& all) {
  for (ClockEvent event : own.events) {
    const bool told = std::any_of(all.events.begin(), all.events.end(), [&](const ClockEvent& other) {
      return other.kind == event.kind && (event.jump_s == 0 || std::abs(other.jump_s - event.jump_s) < 1);
    });
    if (told) continue;
    event.at.line = lines[static_cast<std::size_t>(event.at.line)];
    event.time_s += starts_s;
    all.events.push_back(std::move(event));
  }
}

/// Each probe's own steps, then one line of time for all.
LogSurvey survey_long(const Source& source, const Understanding& understanding, TimeLine& time_line,
                      TableLines& table_lines) {
  std::size_t line_count = 0;
  std::vector<LabelRows> labels = read_label_stamps(source, understanding, line_count, table_lines);
  leave_out_other_names(understanding, labels);
  const RowClock& clock = labels.front().clock;
  std::vector<TimeLine> drawn;
  std::int64_t first_us = INT64_MAX;
  for (LabelRows& own : labels) {
    const auto some = std::find_if(own.stamps.us.begin(), own.stamps.us.end(), is_time);
    const bool any = some != own.stamps.us.end();
    const std::int64_t us = any ? *some : 0;
    drawn.push_back(draw_time_line(std::move(own.stamps),
                                   {clock.wall_of(us).has_value(), clock.instant_of(us).has_value()}, 0));
    if (any) first_us = std::min(first_us, drawn.back().first_us);
  }
  LogSurvey survey;
  if (first_us == INT64_MAX) return survey;
  time_line.first_us = first_us;
  time_line.row_us.assign(line_count, mark_of(RowFate::no_row));
  std::vector<std::int64_t> all_steps;
  for (std::size_t i = 0; i < labels.size(); ++i) {
    const std::int64_t starts_us = drawn[i].first_us - first_us;
    const std::vector<std::int64_t> times = times_of(drawn[i]);
    std::vector<std::int64_t> steps;
    for (std::size_t row = 1; row < times.size(); ++row)
      steps.push_back(times[row] - times[row - 1]);
    all_steps.insert(all_steps.end(), steps.begin(), steps.end());
    const auto column = static_cast<std::size_t>(understanding.long_layout->first) + i;
    if (understanding.columns[column].kind.value == ColumnKind::temperature)
      survey.column_interval_s.push_back(steps.empty() ? 0 : median_s(std::move(steps)));
    for (std::size_t row = 0; row < drawn[i].row_us.size(); ++row) {
      const std::int64_t us = drawn[i].row_us[row];
      time_line.row_us[static_cast<std::size_t>(labels[i].lines[row] - understanding.first_data_line)] =
          is_time(us) ? us + starts_us : us;
    }
    for (const std::int64_t us : drawn[i].breaks_us)
      time_line.breaks_us.push_back(us + starts_us);
    add_events(drawn[i], labels[i].lines, seconds(starts_us), time_line);
  }
  std::sort(time_line.breaks_us.begin(), time_line.breaks_us.end());
  const std::vector<std::int64_t> times = times_of(time_line);
  std::vector<std::int64_t> steps;
  for (std::size_t row = 1; row < times.size(); ++row)
    steps.push_back(times[row] - times[row - 1]);
  survey.row_count = static_cast<std::int64_t>(times.size());
  survey.start = clock.instant_of(first_us);
  survey.start_wall = clock.wall_of(first_us);
  survey.last_s = seconds(times.back());
  if (!all_steps.empty()) survey.interval_s = median_s(std::move(all_steps));
  find_gaps(steps, survey);
  survey.clock_events = time_line.events;
  tell_summer_time(understanding, clock, times, survey);
  for (ClockEvent& event : survey.clock_events)
    event.at.source_name = source.name();
  return survey;
}

/// A column handed on, as the rows need it.
struct ValueColumn {
  std::size_t cell = 0;
  ColumnUnit unit = ColumnUnit::none;
  PressureBasis basis = PressureBasis::none;
  bool unit_with_each_value = false;
  int unit_cell = -1; ///< -1 where no column says the unit
  const std::string* name = nullptr;
};

/// `cell` is where the readings stand, from 0.
ValueColumn value_column(const LogColumn& column, std::size_t cell) {
  return {cell,
          column.unit.value,
          column.pressure_basis,
          column.unit_with_each_value,
          column.unit_position - 1,
          &column.name};
}

/// Its reading in one row, of which `count` cells are there.
CellReading read_cell(const ValueColumn& column, const std::vector<std::string_view>& cells,
                      std::size_t count, char mark) {
  if (column.cell >= count) return {};
  const std::string_view cell = cells[column.cell];
  if (column.unit_cell < 0 && !column.unit_with_each_value)
    return read_value(cell, mark, column.unit, column.basis);
  const std::string_view unit_cell = cell_at(cells, count, column.unit_cell);
  if (column.unit_with_each_value)
    return read_value_with_unit(cell, unit_cell, mark, column.unit, column.basis);
  // The header says the unit, and the cell beside the value must not say another.
  const auto unit = find_column_unit(unit_cell);
  const CellReading reading = read_value(cell, mark, column.unit, column.basis);
  if (reading.kind != CellKind::number || unit_cell.empty() || (unit && unit->unit == column.unit))
    return reading;
  return {CellKind::wrong_unit, 0};
}

/// What a line is that is no row but the header once more or a footer.
std::optional<Tally::Kind> kind_of_no_row(const TableLines& table_lines, const Understanding& understanding,
                                          const Line& line, std::string_view time_cell) {
  switch (table_lines.judge(understanding, line, time_cell)) {
  case NoRow::header_repeats:
    return Tally::header_repeats;
  case NoRow::footer:
    return Tally::footer;
  default:
    return std::nullopt;
  }
}

Tally::Kind kind_of_short_line(const TableLines& table_lines, const Line& line) {
  return line.number > table_lines.last_row_line ? Tally::footer : Tally::too_few_cells;
}

/// Fills blocks row by row.
class BlockFiller {
 public:
  BlockFiller(const Source& source, const Understanding& understanding, const TimeLine& time_line,
              const TableLines& table_lines, const std::vector<int>& columns,
              const std::function<void(const RowBlock&)>& take, std::size_t block_rows)
      : understanding_(understanding), time_line_(time_line), table_lines_(table_lines), take_(take),
        block_rows_(block_rows), tally_(source.name()), time_cells_(time_cells(understanding)),
        cells_(understanding.columns.size()) {
    for (const int column : columns) {
      const auto at = static_cast<std::size_t>(column);
      columns_.push_back(value_column(understanding.columns[at], at));
    }
    make_room();
  }

  void add(const Line& line) {
    if (line.marked_characters > 0)
      tally_.add(Tally::invalid_bytes, line, line.view(), "", line.marked_characters);
    if (is_blank(line.view())) return;
    if (table_lines_.is_in_other_table(line.number))
      return tally_.add(Tally::other_table, line, line.view(), "");
    char* behind = nullptr;
    const std::size_t count = cut(line, understanding_.delimiter.value, cells_, behind);
    if (is_too_short(understanding_, count, behind))
      return tally_.add(kind_of_short_line(table_lines_, line), line, line.view(), "");
    const auto us = time_of(line, count);
    if (!us) return;
    const auto width_fault = width_fault_of(line, count, behind);
    // Between blanks nothing shows which cell is missing.
    const bool has_places = !width_fault || understanding_.delimiter.value != blanks_delimiter;
    const std::size_t placed = has_places ? count : 0;
    if (us == last_us_) return tell_repeat(line, count, placed);
    if (width_fault) tally_.add(width_fault->first, line, width_fault->second, "");
    // A full block waits for the next row, so that a doubled row can be held against the one before.
    if (rows_ == block_rows_) hand_on();
    start_row(*us);
    for (std::size_t c = 0; c < columns_.size(); ++c)
      add_value(line, placed, c);
    ++rows_;
  }

  [[nodiscard]] std::vector<CellTally> finish() {
    if (rows_ > 0) {
      block_.time_s.resize(rows_);
      for (auto& values : block_.value)
        values.resize(rows_);
      for (auto& has : block_.has)
        has.resize(rows_);
      if (!block_.break_before.empty()) block_.break_before.resize(rows_);
      take_(block_);
    }
    return std::move(tally_).all();
  }

 private:
  void make_room() {
    block_.time_s.resize(block_rows_);
    block_.value.assign(columns_.size(), std::vector<double>(block_rows_));
    block_.has.assign(columns_.size(), std::vector<std::uint8_t>(block_rows_));
  }

  /// Nothing, and a tally, where the row is not used.
  std::optional<std::int64_t> time_of(const Line& line, std::size_t count) {
    const auto row = static_cast<std::size_t>(line.number - understanding_.first_data_line);
    if (row >= time_line_.row_us.size()) return std::nullopt; // the log grew since it was surveyed
    const std::int64_t us = time_line_.row_us[row];
    if (is_time(us)) return us;
    const Tally::Kind kind = kind_of(us);
    const auto no_row = kind != Tally::bad_time ? std::nullopt
                                                : kind_of_no_row(table_lines_, understanding_, line,
                                                                 cell_at(cells_, count, time_cells_.time));
    if (no_row)
      tally_.add(*no_row, line, line.view(), "");
    else
      tell_time(kind, line, count);
    return std::nullopt;
  }

  void tell_time(Tally::Kind kind, const Line& line, std::size_t count) {
    const bool there = static_cast<std::size_t>(time_cells_.time) < count;
    tally_.add(kind, line, there ? cell_at(cells_, count, time_cells_.time) : line.view(),
               understanding_.columns[static_cast<std::size_t>(time_cells_.time)].name);
  }

  /// The first `placed` cells are known to stand under their names.
  void tell_repeat(const Line& line, std::size_t count, std::size_t placed) {
    bool same = true;
    for (std::size_t c = 0; c < columns_.size(); ++c) {
      const CellReading reading = value_of(placed, c);
      const bool has = reading.kind == CellKind::number;
      same = same && has == (block_.has[c][rows_ - 1] != 0) &&
             (!has || reading.value == block_.value[c][rows_ - 1]);
    }
    tell_time(same ? Tally::time_repeats : Tally::time_repeats_differ, line, count);
  }

  void start_row(std::int64_t us) {
    last_us_ = us;
    block_.time_s[rows_] = seconds(us);
    const auto& breaks = time_line_.breaks_us;
    if (breaks.empty()) return;
    block_.break_before.resize(block_rows_);
    block_.break_before[rows_] = std::binary_search(breaks.begin(), breaks.end(), us) ? 1 : 0;
  }

  /// Nothing where the row has the header's cells, else what to tell; one empty cell too many is a trailing
  /// delimiter.
  [[nodiscard]] std::optional<std::pair<Tally::Kind, std::string_view>>
  width_fault_of(const Line& line, std::size_t count, const char* behind) const {
    if (count < cells_.size()) return std::pair(Tally::too_few_cells, line.view());
    if (behind == nullptr) return std::nullopt;
    const std::string_view rest(behind, static_cast<std::size_t>(line.text + line.size - behind));
    if (is_blank(rest)) return std::nullopt;
    return std::pair(Tally::too_many_cells, rest);
  }

  [[nodiscard]] CellReading value_of(std::size_t count, std::size_t c) const {
    return read_cell(columns_[c], cells_, count, understanding_.decimal_mark.value);
  }

  void add_value(const Line& line, std::size_t count, std::size_t c) {
    const ValueColumn& column = columns_[c];
    block_.has[c][rows_] = 0;
    block_.value[c][rows_] = 0;
    if (column.cell >= count) return;
    const CellReading reading = value_of(count, c);
    if (reading.kind != CellKind::number)
      return tally_.add(kind_of(reading.kind), line, cells_[column.cell], *column.name);
    block_.has[c][rows_] = 1;
    block_.value[c][rows_] = reading.value;
  }

  void hand_on() {
    take_(block_);
    block_.first_row += static_cast<std::int64_t>(rows_);
    rows_ = 0;
  }

  const Understanding& understanding_;
  const TimeLine& time_line_;
  const TableLines& table_lines_;
  const std::function<void(const RowBlock&)>& take_;
  std::size_t block_rows_;
  Tally tally_;
  std::int64_t last_us_ = mark_of(RowFate::no_row);
  TimeCells time_cells_;
  std::vector<std::string_view> cells_;
  std::vector<ValueColumn> columns_;
  RowBlock block_;
  std::size_t rows_ = 0;
};

/// Joins the rows of one time into one. Readings are held in memory, for the probes may stand one behind the
/// other in the log.
class LongReader {
 public:
  LongReader(const Source& source, const Understanding& understanding, const TimeLine& time_line,
             const TableLines& table_lines, const std::vector<int>& columns)
      : understanding_(understanding), time_line_(time_line), table_lines_(table_lines),
        labels_(labels_of(understanding)), time_cells_(time_cells(understanding)), columns_(columns.size()),
        tally_(source.name()), cells_(static_cast<std::size_t>(understanding.long_layout->first)) {
    place_.assign(labels_.size(), -1);
    for (std::size_t c = 0; c < columns.size(); ++c)
      place_[static_cast<std::size_t>(columns[c] - understanding.long_layout->first)] = static_cast<int>(c);
  }

  void add(const Line& line) {
    if (line.marked_characters > 0)
      tally_.add(Tally::invalid_bytes, line, line.view(), "", line.marked_characters);
    const auto row = static_cast<std::size_t>(line.number - understanding_.first_data_line);
    if (is_blank(line.view()) || row >= time_line_.row_us.size()) return;
    if (table_lines_.is_in_other_table(line.number))
      return tally_.add(Tally::other_table, line, line.view(), "");
    char* behind = nullptr;
    const std::size_t count = cut(line, understanding_.delimiter.value, cells_, behind);
    if (is_too_short(understanding_, count, behind))
      return tally_.add(kind_of_short_line(table_lines_, line), line, line.view(), "");
    const int probe = understanding_.long_layout->probe;
    const std::string_view time_cell = cell_at(cells_, count, time_cells_.time);
    const auto label = labels_.find(cell_at(cells_, count, probe));
    const std::int64_t us = time_line_.row_us[row];
    const bool is_known = label != labels_.end();
    if (!is_known || kind_of(us) == Tally::bad_time)
      if (const auto no_row = kind_of_no_row(table_lines_, understanding_, line, time_cell))
        return tally_.add(*no_row, line, line.view(), "");
    if (!is_known) return tally_.add(Tally::unknown_probe, line, line.view(), name_of(probe));
    if (place_[label->second] < 0) return;
    if (!is_time(us)) return tally_.add(kind_of(us), line, time_cell, name_of(time_cells_.time));
    add_reading(line, count, us, static_cast<std::size_t>(place_[label->second]), label->first);
  }

  std::vector<CellTally> hand_on(const std::function<void(const RowBlock&)>& take, std::size_t block_rows) {
    std::sort(readings_.begin(), readings_.end(), [](const Reading& a, const Reading& b) {
      if (a.us != b.us) return a.us < b.us;
      return a.column != b.column ? a.column < b.column : a.line < b.line;
    });
    RowBlock block;
    for (std::size_t i = 0; i < readings_.size();) {
      const std::int64_t us = readings_[i].us;
      if (block.time_s.empty()) start_block(block);
      start_row(block, us);
      for (; i < readings_.size() && readings_[i].us == us; ++i)
        put(block, readings_[i]);
      if (block.time_s.size() < block_rows && i < readings_.size()) continue;
      take(block);
      const auto rows = static_cast<std::int64_t>(block.time_s.size());
      block = RowBlock{block.first_row + rows, {}, {}, {}, {}};
    }
    return std::move(tally_).all();
  }

 private:
  struct Reading {
    std::int64_t us = 0;
    double value = 0;
    std::int32_t line = 0;
    std::uint16_t column = 0;
    bool has = false;
  };

  [[nodiscard]] const std::string& name_of(int column) const {
    return understanding_.columns[static_cast<std::size_t>(column)].name;
  }

  void add_reading(const Line& line, std::size_t count, std::int64_t us, std::size_t column,
                   const std::string& label) {
    const auto at = static_cast<std::size_t>(understanding_.long_layout->reading);
    // All names share the one column of readings, so they share its unit.
    const LogColumn& own =
        understanding_.columns[static_cast<std::size_t>(understanding_.long_layout->first)];
    const std::string_view cell = cell_at(cells_, count, static_cast<int>(at));
    const CellReading reading =
        read_cell(value_column(own, at), cells_, count, understanding_.decimal_mark.value);
    const bool has = reading.kind == CellKind::number;
    if (at >= count)
      tally_.add(Tally::too_few_cells, line, line.view(), "");
    else if (!has)
      tally_.add(kind_of(reading.kind), line, cell, label);
    readings_.push_back({us, has ? reading.value : 0, line.number, static_cast<std::uint16_t>(column), has});
  }

  void start_block(RowBlock& block) const {
    block.value.resize(columns_);
    block.has.resize(columns_);
  }

  void start_row(RowBlock& block, std::int64_t us) {
    block.time_s.push_back(seconds(us));
    for (auto& values : block.value)
      values.push_back(0);
    for (auto& has : block.has)
      has.push_back(0);
    seen_.assign(columns_, 0);
    const auto& breaks = time_line_.breaks_us;
    if (!breaks.empty())
      block.break_before.push_back(std::binary_search(breaks.begin(), breaks.end(), us) ? 1 : 0);
  }

  void put(RowBlock& block, const Reading& reading) {
    const std::size_t c = reading.column;
    if (seen_[c]++ == 0) {
      block.value[c].back() = reading.value;
      block.has[c].back() = reading.has ? 1 : 0;
      return;
    }
    const bool same = (block.has[c].back() != 0) == reading.has && block.value[c].back() == reading.value;
    Line line;
    line.number = reading.line;
    tally_.add(same ? Tally::time_repeats : Tally::time_repeats_differ, line, {}, name_of(time_cells_.time));
  }

  const Understanding& understanding_;
  const TimeLine& time_line_;
  const TableLines& table_lines_;
  std::map<std::string, std::size_t, std::less<>> labels_;
  TimeCells time_cells_;
  std::size_t columns_;
  std::vector<int> place_; ///< of each name among the columns handed on, or -1
  Tally tally_;
  std::vector<std::string_view> cells_;
  std::vector<Reading> readings_;
  std::vector<int> seen_;
};

} // namespace

ProbeLog ProbeLog::open(Source source, const LogOptions& options) {
  Understanding understood = understand(source, options);
  ProbeLog log(std::move(source), std::move(understood));
  log.text_ = in_utf8(log.source_, log.understanding_.text_encoding);
  auto time_line = std::make_shared<TimeLine>();
  const auto survey = log.understanding_.long_layout ? survey_long : survey_times;
  log.survey_ = survey(log.text_, log.understanding_, *time_line, log.table_lines_);
  log.time_line_ = std::move(time_line);
  const auto& columns = log.understanding_.columns;
  for (std::size_t i = 0; i < columns.size(); ++i)
    if (columns[i].kind.value == ColumnKind::temperature || columns[i].kind.value == ColumnKind::pressure)
      log.value_columns_.push_back(static_cast<int>(i));
  if (log.survey_.row_count == 0)
    throw UserError({Trouble::bad_data, Place{log.source_.name(), log.understanding_.first_data_line, 0, ""},
                     "no row has a time that can be read",
                     "name the column of times, for example --time-column 1"});
  return log;
}

std::vector<CellTally> ProbeLog::for_each_block(const std::function<void(const RowBlock&)>& take,
                                                int block_rows) const {
  our_check(block_rows >= 1 && block_rows <= most_rows_in_block, "a block holds 1 to 4096 rows");
  if (understanding_.long_layout) {
    LongReader reader(text_, understanding_, *time_line_, table_lines_, value_columns_);
    Lines lines(text_);
    for (Line line; lines.next(line);)
      if (line.number >= understanding_.first_data_line) reader.add(line);
    return reader.hand_on(take, static_cast<std::size_t>(block_rows));
  }
  BlockFiller filler(text_, understanding_, *time_line_, table_lines_, value_columns_, take,
                     static_cast<std::size_t>(block_rows));
  for_each_line_in_order(text_, *time_line_, understanding_.first_data_line,
                         [&](const Line& line) { filler.add(line); });
  return filler.finish();
}

} // namespace coldbag
