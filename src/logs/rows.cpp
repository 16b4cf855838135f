#include "logs/rows.h"

#include "errors/our_fault.h"
#include "errors/user_error.h"
#include "logs/cell.h"
#include "logs/dialect.h"
#include "logs/encoding.h"
#include "logs/lines.h"
#include "logs/table_lines.h"
#include "logs/time_column.h"
#include "logs/unit_words.h"

#include <algorithm>
#include <array>
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
    time_goes_back,
    missing_hour,
    invalid_bytes,
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
    if (tally.count > count) return;
    const std::ptrdiff_t at = cell.data() == nullptr ? 0 : cell.data() - line.text + 1;
    tally.first = {source_name_, line.number, static_cast<int>(at), std::string(column)};
    tally.text = shown(cell);
  }

  [[nodiscard]] std::vector<CellTally> all() && {
    constexpr std::array<std::string_view, kinds> keys{
        "empty",          "text",           "not_a_number", "wrong_unit",     "impossible",   "too_few_cells",
        "too_many_cells", "bad_time",       "time_repeats", "time_goes_back", "missing_hour", "invalid_bytes",
        "fault_value",    "header_repeats", "other_table",  "footer"};
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

Tally::Kind kind_of(TimeVerdict verdict) {
  switch (verdict) {
  case TimeVerdict::bad_time:
    return Tally::bad_time;
  case TimeVerdict::repeats:
    return Tally::time_repeats;
  case TimeVerdict::goes_back:
    return Tally::time_goes_back;
  case TimeVerdict::missing_hour:
    return Tally::missing_hour;
  case TimeVerdict::good:
    break;
  }
  our_check(false, "a good time is no fault of a row");
  return Tally::kinds;
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

/// One pass that looks at nothing but the cells of time.
LogSurvey survey_times(const Source& source, const Understanding& understanding, TableLines& table_lines) {
  RowClock clock(understanding);
  const TimeCells at_cells = time_cells(understanding);
  std::vector<std::string_view> cells(static_cast<std::size_t>(at_cells.last()) + 1);
  std::vector<std::int64_t> steps_us;
  LogSurvey survey;
  std::int64_t last_us = 0;
  Lines lines(source);
  TableWatch table(understanding);
  for (Line line; lines.next(line);) {
    if (line.number < understanding.first_data_line || is_blank(line.view())) continue;
    if (table.is_outside(line)) continue;
    char* behind = nullptr;
    const std::size_t count = cut(line, understanding.delimiter.value, cells, behind);
    if (is_too_short(understanding, count, behind)) continue;
    const TimeVerdict verdict =
        clock.take(cell_at(cells, count, at_cells.date), cell_at(cells, count, at_cells.time));
    if (verdict == TimeVerdict::bad_time) table.take_no_row(line);
    if (verdict != TimeVerdict::good) continue;
    table.take_row(line);
    if (survey.row_count++ > 0) steps_us.push_back(clock.since_first_us() - last_us);
    last_us = clock.since_first_us();
  }
  survey.start = clock.first_instant();
  survey.start_wall = clock.first_wall();
  survey.last_s = seconds(last_us);
  if (!steps_us.empty()) survey.interval_s = median_s(steps_us);
  find_gaps(steps_us, survey);
  table_lines = std::move(table).found();
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

/// Fills blocks row by row.
class BlockFiller {
 public:
  BlockFiller(const Source& source, const Understanding& understanding, const TableLines& table_lines,
              const std::vector<int>& columns, const std::function<void(const RowBlock&)>& take,
              std::size_t block_rows)
      : understanding_(understanding), table_lines_(table_lines), take_(take), block_rows_(block_rows),
        tally_(source.name()), clock_(understanding), time_cells_(time_cells(understanding)),
        cells_(understanding.columns.size()) {
    for (const int column : columns) {
      const LogColumn& found = understanding.columns[static_cast<std::size_t>(column)];
      columns_.push_back({static_cast<std::size_t>(column), found.unit.value, found.pressure_basis,
                          found.unit_with_each_value, found.unit_position - 1, &found.name});
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
    if (is_too_short(understanding_, count, behind)) return add_short_line(line);
    if (!take_time(line, count)) return;
    block_.time_s[rows_] = seconds(clock_.since_first_us());
    const bool wide_enough = check_width(line, count, behind);
    // Between blanks nothing shows which cell is missing.
    const bool has_places = wide_enough || understanding_.delimiter.value != blanks_delimiter;
    for (std::size_t c = 0; c < columns_.size(); ++c)
      add_value(line, has_places ? count : 0, c);
    if (++rows_ == block_rows_) hand_on();
  }

  [[nodiscard]] std::vector<CellTally> finish() {
    if (rows_ > 0) {
      block_.time_s.resize(rows_);
      for (auto& values : block_.value)
        values.resize(rows_);
      for (auto& has : block_.has)
        has.resize(rows_);
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

  bool take_time(const Line& line, std::size_t count) {
    const std::string_view time = cell_at(cells_, count, time_cells_.time);
    const TimeVerdict verdict = clock_.take(cell_at(cells_, count, time_cells_.date), time);
    if (verdict == TimeVerdict::good) return true;
    if (verdict == TimeVerdict::bad_time && add_line_of_no_row(line, time)) return false;
    const bool there = static_cast<std::size_t>(time_cells_.time) < count;
    tally_.add(kind_of(verdict), line, there ? time : line.view(),
               understanding_.columns[static_cast<std::size_t>(time_cells_.time)].name);
    return false;
  }

  /// False where the line may be a row.
  bool add_line_of_no_row(const Line& line, std::string_view time_cell) {
    switch (table_lines_.judge(understanding_, line, time_cell)) {
    case NoRow::header_repeats:
      tally_.add(Tally::header_repeats, line, line.view(), "");
      return true;
    case NoRow::footer:
      tally_.add(Tally::footer, line, line.view(), "");
      return true;
    default:
      return false;
    }
  }

  void add_short_line(const Line& line) {
    const bool is_behind = line.number > table_lines_.last_row_line;
    tally_.add(is_behind ? Tally::footer : Tally::too_few_cells, line, line.view(), "");
  }

  /// Whether the row has the header's cells; one empty cell too many is a trailing delimiter.
  bool check_width(const Line& line, std::size_t count, char* behind) {
    if (count < cells_.size()) tally_.add(Tally::too_few_cells, line, line.view(), "");
    if (behind == nullptr) return count == cells_.size();
    const std::string_view rest(behind, static_cast<std::size_t>(line.text + line.size - behind));
    if (is_blank(rest)) return true;
    tally_.add(Tally::too_many_cells, line, rest, "");
    return false;
  }

  [[nodiscard]] CellReading read(const ValueColumn& column, std::string_view cell, std::size_t count) const {
    const char mark = understanding_.decimal_mark.value;
    if (column.unit_cell < 0 && !column.unit_with_each_value)
      return read_value(cell, mark, column.unit, column.basis);
    const std::string_view unit_cell = cell_at(cells_, count, column.unit_cell);
    if (column.unit_with_each_value)
      return read_value_with_unit(cell, unit_cell, mark, column.unit, column.basis);
    // The header says the unit, and the cell beside the value must not say another.
    const auto unit = find_column_unit(unit_cell);
    const CellReading reading = read_value(cell, mark, column.unit, column.basis);
    if (reading.kind != CellKind::number || unit_cell.empty() || (unit && unit->unit == column.unit))
      return reading;
    return {CellKind::wrong_unit, 0};
  }

  void add_value(const Line& line, std::size_t count, std::size_t c) {
    const ValueColumn& column = columns_[c];
    block_.has[c][rows_] = 0;
    block_.value[c][rows_] = 0;
    if (column.cell >= count) return;
    const std::string_view cell = cells_[column.cell];
    const CellReading reading = read(column, cell, count);
    if (reading.kind != CellKind::number) return tally_.add(kind_of(reading.kind), line, cell, *column.name);
    block_.has[c][rows_] = 1;
    block_.value[c][rows_] = reading.value;
  }

  void hand_on() {
    take_(block_);
    block_.first_row += static_cast<std::int64_t>(rows_);
    rows_ = 0;
  }

  const Understanding& understanding_;
  const TableLines& table_lines_;
  const std::function<void(const RowBlock&)>& take_;
  std::size_t block_rows_;
  Tally tally_;
  RowClock clock_;
  TimeCells time_cells_;
  std::vector<std::string_view> cells_;
  std::vector<ValueColumn> columns_;
  RowBlock block_;
  std::size_t rows_ = 0;
};

} // namespace

ProbeLog ProbeLog::open(Source source, const LogOptions& options) {
  Understanding understood = understand(source, options);
  ProbeLog log(std::move(source), std::move(understood));
  log.text_ = in_utf8(log.source_, log.understanding_.text_encoding);
  log.survey_ = survey_times(log.text_, log.understanding_, log.table_lines_);
  for (const LogColumn& column : log.understanding_.columns)
    if (column.kind.value == ColumnKind::temperature || column.kind.value == ColumnKind::pressure)
      log.value_columns_.push_back(column.position - 1);
  if (log.survey_.row_count == 0)
    throw UserError({Trouble::bad_data, Place{log.source_.name(), log.understanding_.first_data_line, 0, ""},
                     "no row has a time that can be read",
                     "name the column of times, for example --time-column 1"});
  return log;
}

std::vector<CellTally> ProbeLog::for_each_block(const std::function<void(const RowBlock&)>& take,
                                                int block_rows) const {
  our_check(block_rows >= 1 && block_rows <= most_rows_in_block, "a block holds 1 to 4096 rows");
  BlockFiller filler(source_, understanding_, table_lines_, value_columns_, take,
                     static_cast<std::size_t>(block_rows));
  Lines lines(text_);
  for (Line line; lines.next(line);)
    if (line.number >= understanding_.first_data_line) filler.add(line);
  return filler.finish();
}

} // namespace coldbag
