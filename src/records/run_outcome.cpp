#include "records/run_outcome.h"

#include <algorithm>
#include <charconv>
#include <set>
#include <utility>

namespace coldbag {

namespace {

/// Fields of a statement with those of its amendments over them, oldest first.
FieldTexts fields_now(const History& history, const KeptStatement& statement) {
  FieldTexts fields = statement.statement.fields;
  for (const KeptStatement& later : history.statements)
    if (later.kind == EntryKind::amendment && std::ranges::count(later.about, statement.number) > 0)
      for (const auto& [name, text] : later.statement.fields)
        if (name != "reason") fields[name] = text;
  return fields;
}

/// What all inoculations of a portion have in common.
struct Inoculated {
  int bags = 0;
  std::set<std::string> spawn_lots;
  std::set<std::string> shifts, rooms;
};

std::string only_one(const std::set<std::string>& names) {
  return names.size() == 1 ? *names.begin() : "";
}

class RunReader {
 public:
  RunReader(const ChartedRun& run, const std::vector<RunStatement>& stated, const TrendFigures& figures)
      : stated_(stated), figures_(figures) {
    out_.run = run;
  }

  /// Nothing where no outcome was stated.
  std::optional<RunOutcome> outcome() {
    for (const RunStatement& one : stated_)
      if (one.kind == EntryKind::outcome) take_found(one.fields);
    if (out_.found.empty()) return std::nullopt;
    std::ranges::stable_sort(out_.found, {}, &BadFound::day);
    for (const std::string& probe : out_.run.burst_probes)
      left_out_.insert(probe);
    out_.left_out.assign(left_out_.begin(), left_out_.end());
    if (lots_.size() > 1 && lots_.contains("")) out_.fault = "outcome_fault_lots";
    for (const std::string& lot : lots_)
      add_portion(lot);
    for (const BadFound& found : out_.found) {
      out_.last_day = std::max(out_.last_day, found.day);
      if (found.day <= figures_.early_day) out_.bad_early += found.bad;
    }
    return out_;
  }

 private:
  void take_found(const FieldTexts& fields) {
    BadFound found{field_count(fields, "day"),           field_count(fields, "looked_at"),
                   field_count(fields, "bad"),           field_text(fields, "kind"),
                   field_text(fields, "place"),          field_text(fields, "rack"),
                   field_text(fields, "inoculation_lot")};
    lots_.insert(found.lot);
    for (const std::string& name : names_in(field_text(fields, "left_out"))) {
      left_out_.insert(name);
      left_out_of_[found.lot].insert(name);
    }
    out_.found.push_back(std::move(found));
  }

  [[nodiscard]] Inoculated inoculated(const std::string& lot) const {
    Inoculated out;
    for (const RunStatement& one : stated_) {
      if (one.kind != EntryKind::inoculation) continue;
      if (!lot.empty() && field_text(one.fields, "inoculation_lot") != lot) continue;
      out.bags += field_count(one.fields, "bags");
      for (const std::string& name : names_in(field_text(one.fields, "spawn_lot")))
        out.spawn_lots.insert(name);
      out.shifts.insert(field_text(one.fields, "shift"));
      out.rooms.insert(field_text(one.fields, "room"));
    }
    return out;
  }

  void add_portion(const std::string& lot) {
    Portion portion;
    portion.lot = lot;
    int most_looked_at = 0;
    for (const BadFound& found : out_.found)
      if (found.lot == lot) {
        portion.share.bad += found.bad;
        most_looked_at = std::max(most_looked_at, found.looked_at);
      }
    const Inoculated inoculation = inoculated(lot);
    std::set<std::string> without = left_out_of_[lot];
    if (lots_.size() == 1) without.insert(out_.run.burst_probes.begin(), out_.run.burst_probes.end());
    portion.share.bags = std::max(inoculation.bags - static_cast<int>(without.size()), most_looked_at);
    if (inoculation.bags == 0) out_.is_of_looked_at = true;
    portion.spawn_lots.assign(inoculation.spawn_lots.begin(), inoculation.spawn_lots.end());
    portion.shift = only_one(inoculation.shifts);
    portion.room = only_one(inoculation.rooms);
    if (portion.share.bags == 0 && out_.fault.empty()) out_.fault = "outcome_fault_no_bags";
    if (portion.share.bad > portion.share.bags && out_.fault.empty()) out_.fault = "outcome_fault_more_bad";
    add_to(out_.share, portion.share);
    out_.portions.push_back(std::move(portion));
  }

  const std::vector<RunStatement>& stated_;
  const TrendFigures& figures_;
  RunOutcome out_;
  std::set<std::string> lots_;
  std::set<std::string> left_out_;
  std::map<std::string, std::set<std::string>> left_out_of_;
};

} // namespace

std::map<std::uint64_t, std::vector<RunStatement>> statements_of_runs(const History& history) {
  std::map<std::uint64_t, std::vector<RunStatement>> out;
  for (const KeptStatement& statement : history.statements) {
    if (statement.kind != EntryKind::outcome && statement.kind != EntryKind::inoculation &&
        statement.kind != EntryKind::spore_strip)
      continue;
    const std::vector<std::uint64_t> about = runs_about(history, statement);
    // Bags of several runs in one count cannot be told apart.
    if (about.size() == 1) out[about.front()].push_back({statement.kind, fields_now(history, statement)});
  }
  return out;
}

std::optional<RunOutcome> run_outcome(const ChartedRun& run, const std::vector<RunStatement>& statements,
                                      const TrendFigures& figures) {
  return RunReader(run, statements, figures).outcome();
}

std::string field_text(const FieldTexts& fields, const std::string& name) {
  const auto found = fields.find(name);
  return found == fields.end() ? "" : found->second;
}

int field_count(const FieldTexts& fields, const std::string& name) {
  const std::string text = field_text(fields, name);
  int count = 0;
  std::from_chars(text.data(), text.data() + text.size(), count);
  return count;
}

void add_to(Share& share, const Share& more) {
  share.bad += more.bad;
  share.bags += more.bags;
}

} // namespace coldbag
