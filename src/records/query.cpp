#include "records/query.h"

#include "quantity/parse.h"
#include "tables/basis_words.h"
#include "tables/table.h"

#include <algorithm>
#include <array>
#include <charconv>
#include <chrono>
#include <iterator>
#include <map>
#include <set>
#include <utility>

namespace coldbag {

namespace {

constexpr std::int64_t us_per_s = 1000000;
constexpr std::array<std::string_view, 2> about_words{"keep", "review"};
constexpr std::array<std::string_view, 2> rule_units{"working days", "years"};

constexpr std::array rule_columns{
    ColumnRule{.name = "key", .required = true},
    ColumnRule{.name = "about", .kind = CellKind::choice, .required = true, .choices = about_words},
    ColumnRule{.name = "value", .kind = CellKind::number, .required = true, .lowest = 1, .highest = 100},
    ColumnRule{.name = "unit", .kind = CellKind::choice, .required = true, .choices = rule_units},
    source_column,
    locator_column,
    basis_column,
    note_column,
};

using Days = std::chrono::sys_days;

Days day_of(WallTime wall) {
  return std::chrono::floor<std::chrono::days>(
      std::chrono::sys_time<std::chrono::microseconds>(std::chrono::microseconds(wall.us)));
}

WallTime midnight(Days day) {
  return {std::chrono::duration_cast<std::chrono::microseconds>(day.time_since_epoch()).count()};
}

std::string text_of(const KeptStatement& kept, const std::string& field) {
  const auto found = kept.statement.fields.find(field);
  return found == kept.statement.fields.end() ? "" : found->second;
}

bool is_about(const KeptStatement& kept, std::uint64_t number) {
  return std::ranges::find(kept.about, number) != kept.about.end();
}

/// The days of a field, where it holds one.
std::optional<WallTime> day_field(const KeptStatement& kept, const std::string& field) {
  const auto time = parse_iso_time(text_of(kept, field));
  if (!time) return std::nullopt;
  return time->wall;
}

/// A check of a probe, wherever it is told of.
struct MadeOn {
  WallTime on;
  bool is_good = true;
  std::optional<WallTime> next_due;
};

/// Every check of a probe, oldest first. One that a run counted on was good enough for that.
std::vector<MadeOn> checks_made(const History& history, std::string_view probe) {
  std::vector<MadeOn> made;
  for (const KeptRun& run : history.runs)
    if (const auto day = run.content.probe_checks.find(std::string(probe));
        day != run.content.probe_checks.end() && !run.is_imported)
      if (const auto time = parse_iso_time(day->second)) made.push_back({time->wall, true, std::nullopt});
  for (const KeptStatement& kept : history.statements)
    if (kept.kind == EntryKind::probe_check && text_of(kept, "probe") == probe)
      made.push_back(
          {wall_of(kept.event_at), text_of(kept, "result") == "good", day_field(kept, "next_due")});
  std::ranges::stable_sort(made, {}, [](const MadeOn& one) { return one.on.us; });
  return made;
}

std::optional<MadeOn> last_made(std::vector<MadeOn> made, bool good_only) {
  if (good_only) std::erase_if(made, [](const MadeOn& one) { return !one.is_good; });
  if (made.empty()) return std::nullopt;
  return made.back();
}

/// A probe of another farm may bear the same name.
bool has_probe(const KeptRun& run, std::string_view probe) {
  return !run.is_imported && std::ranges::find(run.content.probes, probe) != run.content.probes.end();
}

/// Runs with the probe after that moment, all where it is none; oldest first.
std::vector<const KeptRun*> runs_after(const History& history, std::string_view probe,
                                       std::optional<WallTime> after) {
  std::vector<const KeptRun*> runs;
  for (const KeptRun& run : history.runs)
    if (has_probe(run, probe) && (!after || wall_of(run.event_at).us > after->us)) runs.push_back(&run);
  std::ranges::stable_sort(runs, {}, [](const KeptRun* run) { return run->event_at.at; });
  return runs;
}

/// A check at one point; nothing where its temperatures cannot be read.
std::optional<ProbeCheck> check_stated(const KeptStatement& kept) {
  const Parsed reads = parse_quantity(text_of(kept, "reads"), Dimension::temperature);
  const Parsed is = parse_quantity(text_of(kept, "is"), Dimension::temperature);
  if (!reads.value || !is.value) return std::nullopt;
  constexpr double low_below_degC = 50;
  ProbeCheck check;
  const CheckPoint point{*reads.value, *is.value};
  (point.is_degC < low_below_degC ? check.low : check.high) = point;
  check.correction = correction_of(check.low, check.high);
  check.on = wall_of(kept.event_at);
  check.has_clock = true;
  check.by = kept.who.name;
  check.how = text_of(kept, "method");
  return check;
}

LastCheck last_check(const History& history, const std::string& probe, int days, Instant now) {
  LastCheck out;
  out.probe = probe;
  const auto last = last_made(checks_made(history, probe), false);
  out.runs_since = runs_after(history, probe, last ? std::optional(last->on) : std::nullopt).size();
  out.is_overdue = true;
  if (!last) return out;
  out.is_good = last->is_good;
  out.on = last->on;
  out.next_due = last->next_due ? last->next_due : midnight(day_of(last->on) + std::chrono::days(days));
  const bool is_past = midnight(day_of(*out.next_due) + std::chrono::days(1)).us <= wall_of({now, 0}).us;
  out.is_overdue = !out.is_good || is_past;
  return out;
}

void add_statement(LotTrail& trail, const KeptStatement& kept) {
  if (kept.kind == EntryKind::inoculation)
    trail.came_out.push_back({text_of(kept, "inoculation_lot"), names_in(text_of(kept, "spawn_lot")),
                              text_of(kept, "room"), text_of(kept, "bags")});
  if (kept.kind == EntryKind::disposition) {
    const std::string bags = text_of(kept, "bags");
    trail.dispositions.push_back(text_of(kept, "disposition") + (bags.empty() ? "" : ": " + bags));
  }
  if (kept.kind == EntryKind::outcome) {
    const std::string text = text_of(kept, "bad");
    long long bad = 0;
    std::from_chars(text.data(), text.data() + text.size(), bad);
    trail.bad += bad;
  }
}

void add_names(std::vector<std::string>& names, const std::vector<std::string>& more) {
  for (const std::string& name : more)
    if (std::ranges::find(names, name) == names.end()) names.push_back(name);
}

bool is_on(const LotTrail& trail, std::string_view name) {
  const auto has = [&](const std::vector<std::string>& names) {
    return std::ranges::find(names, name) != names.end();
  };
  return trail.run == name || has(trail.went_in) ||
         std::ranges::any_of(trail.came_out, [&](const LotTrail::Inoculated& lot) {
           return lot.lot == name || lot.room == name || has(lot.spawn_lots);
         });
}

} // namespace

std::vector<RecordRule> read_record_rules(const TableFiles& tables) {
  const Table table =
      Table::read(tables.source_name("record-rules.csv"), tables.bytes("record-rules.csv"), rule_columns);
  std::vector<RecordRule> rules;
  for (const TableRow& row : table.rows())
    rules.push_back({row.key(), row.text("about") == "keep", static_cast<int>(row.required_number("value")),
                     row.text("source")});
  return rules;
}

std::vector<OpenDeviation> open_deviations(const History& history) {
  std::set<std::uint64_t> closed;
  for (const KeptStatement& kept : history.statements)
    if (kept.kind == EntryKind::corrective_action && text_of(kept, "closes") == "yes")
      closed.insert(kept.about.begin(), kept.about.end());
  std::vector<OpenDeviation> open;
  for (const KeptStatement& kept : history.statements)
    if (kept.kind == EntryKind::deviation && !closed.contains(kept.number))
      open.push_back(
          {kept.number, kept.statement.run, text_of(kept, "event"), text_of(kept, "what"), kept.event_at});
  return open;
}

WallTime wall_of(const ClockedInstant& at) {
  return {at.at.time_since_epoch().count() + at.utc_offset_s * us_per_s};
}

WallTime working_days_after(WallTime wall, int days) {
  Days day = day_of(wall);
  for (int passed = 0; passed < days;) {
    day += std::chrono::days(1);
    const std::chrono::weekday weekday(day);
    if (weekday != std::chrono::Saturday && weekday != std::chrono::Sunday) ++passed;
  }
  return midnight(day);
}

bool is_reviewed(const History& history, std::uint64_t run) {
  return std::ranges::any_of(history.statements, [&](const KeptStatement& kept) {
    return kept.kind == EntryKind::review && is_about(kept, run);
  });
}

std::vector<MissingReview> missing_reviews(const History& history, int working_days, Instant now) {
  std::vector<MissingReview> missing;
  for (const KeptRun& run : history.runs) {
    if (run.is_imported) continue; // its own farm looks it over
    const WallTime due = working_days_after(wall_of(run.event_at), working_days);
    const WallTime here = wall_of({now, run.event_at.utc_offset_s});
    if (!is_reviewed(history, run.number) && midnight(day_of(due) + std::chrono::days(1)) <= here)
      missing.push_back({run.number, run.content.run, run.content.verdict, due});
  }
  return missing;
}

std::vector<LastCheck> last_checks(const History& history, int days, Instant now) {
  std::set<std::string> probes;
  for (const KeptRun& run : history.runs)
    if (!run.is_imported) probes.insert(run.content.probes.begin(), run.content.probes.end());
  for (const KeptStatement& kept : history.statements)
    if (kept.kind == EntryKind::probe_check) probes.insert(text_of(kept, "probe"));
  std::vector<LastCheck> checks;
  for (const std::string& probe : probes)
    checks.push_back(last_check(history, probe, days, now));
  return checks;
}

std::vector<std::uint64_t> runs_since_good_check(const History& history, std::string_view probe) {
  std::vector<std::uint64_t> numbers;
  std::ranges::transform(runs_after(history, probe, last_good_check(history, probe)),
                         std::back_inserter(numbers), &KeptRun::number);
  return numbers;
}

std::vector<StatedCheck> checks_of_probe(const History& history, std::string_view probe) {
  std::vector<StatedCheck> checks;
  for (const KeptStatement& kept : history.statements)
    if (kept.kind == EntryKind::probe_check && text_of(kept, "probe") == probe)
      if (auto check = check_stated(kept)) checks.push_back({std::string(probe), std::move(*check)});
  return checks;
}

std::optional<WallTime> last_good_check(const History& history, std::string_view probe) {
  const auto good = last_made(checks_made(history, probe), true);
  if (!good) return std::nullopt;
  return good->on;
}

std::vector<KeepUntil> keep_until(const History& history, int years, Instant now) {
  std::map<std::uint64_t, ClockedInstant> last;
  for (const KeptRun& run : history.runs)
    last[run.number] = run.entered_at;
  for (const KeptStatement& kept : history.statements)
    for (const std::uint64_t number : runs_about(history, kept))
      last[number] = std::max(last[number], kept.entered_at,
                              [](const ClockedInstant& a, const ClockedInstant& b) { return a.at < b.at; });
  std::vector<KeepUntil> out;
  for (const KeptRun& run : history.runs) {
    const std::chrono::year_month_day written(day_of(wall_of(last[run.number])));
    std::chrono::year_month_day until = written + std::chrono::years(years);
    if (!until.ok()) until = until.year() / until.month() / std::chrono::last; // 29 February
    const WallTime end = midnight(Days(until));
    out.push_back(
        {run.number, run.content.run, end,
         midnight(Days(until) + std::chrono::days(1)) <= wall_of({now, run.event_at.utc_offset_s})});
  }
  std::ranges::stable_sort(out, {}, [](const KeepUntil& one) { return one.until.us; });
  return out;
}

std::vector<LotTrail> lot_trails(const History& history) {
  std::vector<LotTrail> trails;
  std::map<std::uint64_t, std::size_t> place_of;
  for (const KeptRun& run : history.runs) {
    LotTrail trail;
    trail.number = run.number;
    trail.run = run.content.run;
    trail.verdict = run.content.verdict;
    trail.event_at = run.event_at;
    trail.went_in = run.content.lots;
    if (const auto lots = run.fields.find("material_lots"); lots != run.fields.end())
      add_names(trail.went_in, names_in(lots->second));
    place_of[run.number] = trails.size();
    trails.push_back(std::move(trail));
  }
  for (const KeptStatement& kept : history.statements)
    for (const std::uint64_t number : runs_about(history, kept))
      add_statement(trails[place_of.at(number)], kept);
  return trails;
}

std::vector<LotTrail> trails_of(const std::vector<LotTrail>& all, std::string_view name) {
  std::vector<LotTrail> out;
  std::ranges::copy_if(all, std::back_inserter(out),
                       [&](const LotTrail& trail) { return is_on(trail, name); });
  return out;
}

} // namespace coldbag
