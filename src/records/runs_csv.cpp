#include "records/runs_csv.h"

#include "clock/zone.h"
#include "records/canonical_json.h"

#include <algorithm>
#include <array>
#include <charconv>
#include <map>
#include <utility>

namespace coldbag {

namespace {

constexpr std::array columns{"entry",
                             "kind",
                             "id",
                             "run",
                             "vessel",
                             "treatment",
                             "verdict",
                             "event_at",
                             "entered_at",
                             "by",
                             "coldest_probe",
                             "coldest_bag",
                             "F_minutes",
                             "F_minutes_lower",
                             "hold_minutes",
                             "hold_minutes_lower",
                             "top_degC",
                             "lag_minutes",
                             "bags",
                             "probed_bags",
                             "disposition",
                             "reviewed_by",
                             "reviewed_at",
                             "review_agrees",
                             "bad",
                             "looked_at",
                             "keep_until"};

std::string time_cell(const ClockedInstant& at) {
  return print_iso_local(Zone::fixed(at.utc_offset_s), at.at);
}

std::string number_cell(const std::optional<double>& value) {
  return value ? canonical_number(*value) : "";
}

std::string count_cell(const std::optional<long long>& value) {
  return value ? std::to_string(*value) : "";
}

std::string field(const KeptStatement& statement, const std::string& name) {
  const auto found = statement.statement.fields.find(name);
  return found != statement.statement.fields.end() ? found->second : "";
}

long long count_field(const KeptStatement& statement, const std::string& name) {
  const std::string text = field(statement, name);
  long long count = 0;
  (void)std::from_chars(text.data(), text.data() + text.size(), count);
  return count;
}

std::string line(const std::vector<std::string>& cells) {
  std::string out;
  for (const std::string& cell : cells)
    out += (&cell == &cells.front() ? "" : ",") + cell;
  return out + "\r\n";
}

std::string line_of(const CsvRun& run) {
  const ReportFigures& figures = run.figures;
  return line({std::to_string(run.number),
               std::string(word(run.is_imported ? EntryKind::imported : EntryKind::run)),
               hex_text(run.id),
               csv_text_cell(run.run),
               csv_text_cell(run.vessel),
               csv_text_cell(run.treatment),
               csv_text_cell(run.verdict),
               time_cell(run.event_at),
               time_cell(run.entered_at),
               csv_text_cell(run.by),
               csv_text_cell(figures.probe),
               csv_text_cell(figures.bag),
               number_cell(figures.F_minutes),
               number_cell(figures.F_minutes_lower),
               number_cell(figures.hold_minutes),
               number_cell(figures.hold_minutes_lower),
               number_cell(figures.top_degC),
               number_cell(figures.lag_minutes),
               number_cell(figures.bags),
               number_cell(figures.probed_bags),
               csv_text_cell(run.disposition),
               csv_text_cell(run.review ? run.review->who.name : ""),
               run.review ? time_cell(run.review->event_at) : "",
               csv_text_cell(run.review ? field(*run.review, "agrees") : ""),
               count_cell(run.bad),
               count_cell(run.looked_at),
               run.keep_until ? print_iso_wall(*run.keep_until).substr(0, 10) : ""});
}

CsvRun csv_run(const KeptRun& run) {
  CsvRun out;
  out.number = run.number;
  out.id = run.id;
  out.is_imported = run.is_imported;
  out.run = run.content.run;
  out.vessel = run.content.vessel;
  out.treatment = run.content.treatment;
  out.verdict = run.content.verdict;
  out.event_at = run.event_at;
  out.entered_at = run.entered_at;
  out.by = run.who.name;
  return out;
}

/// The most bags that were looked at on one day, of each run and lot: the same bags are looked at again and
/// again.
using LookedAt = std::map<std::pair<std::uint64_t, std::string>, long long>;

void take(CsvRun& run, const KeptStatement& statement, LookedAt& looked_at) {
  if (statement.kind == EntryKind::disposition) run.disposition = field(statement, "disposition");
  if (statement.kind == EntryKind::review) run.review = statement;
  if (statement.kind != EntryKind::outcome) return;
  run.bad = run.bad.value_or(0) + count_field(statement, "bad");
  long long& most = looked_at[{run.number, field(statement, "inoculation_lot")}];
  const long long before = most;
  most = std::max(most, count_field(statement, "looked_at"));
  run.looked_at = run.looked_at.value_or(0) + most - before;
}

} // namespace

std::string csv_text_cell(std::string_view text) {
  std::string out(text);
  if (!out.empty() && std::string_view("=+-@'\t\r\n").find(out.front()) != std::string_view::npos)
    out.insert(out.begin(), '\'');
  if (out.find_first_of(",\"\r\n") == std::string::npos) return out;
  for (std::size_t at = out.find('"'); at != std::string::npos; at = out.find('"', at + 2))
    out.insert(at, 1, '"');
  return '"' + out + '"';
}

std::vector<CsvRun> csv_runs(const History& history) {
  std::vector<CsvRun> runs;
  for (const KeptRun& run : history.runs)
    runs.push_back(csv_run(run));
  LookedAt looked_at;
  for (const KeptStatement& statement : history.statements)
    for (const std::uint64_t number : runs_about(history, statement))
      take(*std::ranges::lower_bound(runs, number, {}, &CsvRun::number), statement, looked_at);
  return runs;
}

std::string runs_csv(const std::vector<CsvRun>& runs) {
  std::string out = line({columns.begin(), columns.end()});
  for (const CsvRun& run : runs)
    out += line_of(run);
  return out;
}

} // namespace coldbag
