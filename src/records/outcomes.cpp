#include "records/outcomes.h"

#include <algorithm>
#include <string>
#include <utility>

namespace coldbag {

namespace {

/// On one day the rows of a lot share the bags that were looked at.
void add_days(const RunOutcome& run, std::map<int, Share>& by_day) {
  std::map<std::pair<int, std::string>, Share> days;
  for (const BadFound& found : run.found) {
    Share& share = days[{found.day, found.lot}];
    share.bad += found.bad;
    share.bags = std::max(share.bags, found.looked_at);
  }
  for (const auto& [day_of_lot, share] : days)
    add_to(by_day[day_of_lot.first], share);
}

const OrganismResult* organism_of(const ChartedRun& run, const std::string& key) {
  const auto found = std::ranges::find(run.organisms, key, &OrganismResult::key);
  return found == run.organisms.end() ? nullptr : &*found;
}

void add_named(const RunOutcome& run, Outcomes& out) {
  for (const BadFound& found : run.found) {
    if (found.bad == 0) continue;
    out.by_kind[found.kind].bad += found.bad;
    out.by_place[found.place].bad += found.bad;
    out.by_rack[found.rack].bad += found.bad;
  }
}

} // namespace

Outcomes outcomes_of(const History& history, std::span<const ChartedRun> runs, const TrendFigures& figures) {
  Outcomes out;
  const auto stated = statements_of_runs(history);
  for (const ChartedRun& run : runs) {
    const auto found = stated.find(run.number);
    auto outcome = found == stated.end() ? std::nullopt : run_outcome(run, found->second, figures);
    if (found != stated.end())
      for (const RunStatement& one : found->second)
        if (one.kind == EntryKind::spore_strip) {
          StripResult strip =
              strip_result(one.fields, organism_of(run, field_text(one.fields, "organism")), figures);
          strip.number = run.number;
          strip.run = run.name;
          strip.verdict = run.verdict;
          out.strips.push_back(std::move(strip));
        }
    if (outcome)
      out.runs.push_back(std::move(*outcome));
    else if (!run.is_imported) // its own farm counts its bags
      ++out.runs_without;
  }
  std::map<std::string, std::vector<const RunOutcome*>> by_treatment;
  for (const RunOutcome& run : out.runs) {
    if (!run.fault.empty()) continue;
    ++out.followed;
    add_to(out.share, run.share);
    add_days(run, out.by_day);
    add_named(run, out);
    add_to(out.other, run);
    by_treatment[run.run.treatment].push_back(&run);
  }
  for (SharesByName* shares : {&out.by_kind, &out.by_place, &out.by_rack})
    for (auto& [name, share] : *shares)
      share.bags = out.share.bags;
  for (const auto& [treatment, of_it] : by_treatment)
    out.links.push_back(heat_link(of_it, figures));
  return out;
}

} // namespace coldbag
