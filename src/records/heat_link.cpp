#include "records/heat_link.h"

#include <algorithm>
#include <cmath>
#include <iterator>
#include <span>
#include <utility>

namespace coldbag {

namespace {

constexpr double minutes_per_hour = 60;
constexpr double lag_step_minutes = 10;

double rate(const Share& share) {
  return share.bags > 0 ? static_cast<double>(share.bad) / share.bags : 0;
}

std::optional<double> heat_of(const RunOutcome& outcome, HeatBy by) {
  if (by == HeatBy::F) return outcome.run.margin_decades;
  if (!outcome.run.hold_minutes) return std::nullopt;
  return *outcome.run.hold_minutes / minutes_per_hour;
}

double median(std::vector<double> values) {
  std::ranges::sort(values);
  const std::size_t middle = values.size() / 2;
  return values.size() % 2 == 1 ? values[middle] : (values[middle - 1] + values[middle]) / 2;
}

using RunList = std::vector<const RunOutcome*>;

/// How much more runs differ than chance makes them about one share: Pearson's chi-square over its degrees of
/// freedom, 1 where it is less.
double scatter_of(const RunList& runs, const Share& all) {
  if (runs.size() < 2 || all.bad == 0 || all.bad == all.bags) return 1;
  const double share = rate(all);
  double sum = 0;
  for (const RunOutcome* run : runs) {
    const double off = run->share.bad - run->share.bags * share;
    sum += off * off / (run->share.bags * share * (1 - share));
  }
  return std::max(1.0, sum / static_cast<double>(runs.size() - 1));
}

/// What speaks for heat, and what against it, of runs of one treatment with their heat known.
class EvidenceFinder {
 public:
  EvidenceFinder(const RunList& runs, HeatLink& link, const TrendFigures& figures)
      : runs_(runs), link_(link), figures_(figures) {
    std::vector<double> heats;
    for (const RunOutcome* run : runs_)
      heats.push_back(heat_of(*run, link.by).value_or(0));
    median_heat_ = median(heats);
  }

  void find() {
    if (link_.share.bad == 0) return;
    find_slope();
    find_not_passed();
    find_early();
    find_hot_half();
    find_gathered();
    find_inoculation();
  }

 private:
  [[nodiscard]] Evidence evidence(Evidence::Kind kind, const Share& share) const {
    return {kind, "", share, link_.share.bad, link_.share.bags, false, false};
  }

  void find_slope() {
    if (!link_.less_heat) return;
    const Interval& interval = link_.less_heat->interval;
    if (interval.lower > 1)
      link_.speaks_for.push_back(evidence(Evidence::Kind::less_heat_more_bad, link_.share));
    else if (interval.upper < 1)
      link_.speaks_against.push_back(evidence(Evidence::Kind::more_heat_more_bad, link_.share));
    else
      link_.speaks_against.push_back(evidence(Evidence::Kind::no_link, link_.share));
  }

  /// More than the rest's share, beyond what chance and the scatter between runs let it be.
  static bool stands_out(const Share& share, const Share& all, double scatter) {
    const Share rest{all.bad - share.bad, all.bags - share.bags};
    return share.bags > 0 && rest.bags > 0 && share.bad > 0 &&
           scattered_lower(share.bad, share.bags, scatter) > rate(rest);
  }

  void find_not_passed() {
    Share share;
    for (const RunOutcome* run : runs_)
      if (run->run.verdict != Verdict::pass) add_to(share, run->share);
    if (stands_out(share, link_.share, scatter_of(runs_, link_.share)))
      link_.speaks_for.push_back(evidence(Evidence::Kind::not_passed, share));
  }

  void find_early() {
    Evidence found = evidence(Evidence::Kind::early_whole_load, {});
    for (const RunOutcome* run : runs_)
      if (run->bad_early >= figures_.whole_load_share * run->share.bags) {
        add_to(found.share, {run->bad_early, run->share.bags});
        found.name += (found.name.empty() ? "" : ", ") + run->run.name;
      }
    if (found.share.bags > 0) link_.speaks_for.push_back(std::move(found));
  }

  void find_hot_half() {
    Share hot;
    Share cold;
    for (const RunOutcome* run : runs_)
      add_to((heat_of(*run, link_.by).value_or(0) > median_heat_ ? hot : cold), run->share);
    if (hot.bad > 0 && cold.bags > 0 && rate(hot) >= rate(cold))
      link_.speaks_against.push_back(evidence(Evidence::Kind::hot_half, hot));
  }

  /// Where bad bags gather that heat does not explain: of runs that were a PASS, where there are others too.
  void find_gathered() {
    RunList passed;
    std::ranges::copy_if(runs_, std::back_inserter(passed),
                         [](const RunOutcome* run) { return run->run.verdict == Verdict::pass; });
    const bool of_passed = !passed.empty() && passed.size() < runs_.size();
    const RunList& counted = of_passed ? passed : runs_;
    Share all;
    OtherThanHeat shares;
    for (const RunOutcome* run : counted) {
      add_to(all, run->share);
      add_to(shares, *run);
    }
    const double scatter = scatter_of(counted, all);
    for (const auto& [kind, by_name] :
         {std::pair{Evidence::Kind::spawn_lot, &shares.spawn_lot},
          std::pair{Evidence::Kind::shift, &shares.shift}, std::pair{Evidence::Kind::room, &shares.room}}) {
      const auto name = gathered(*by_name, all, scatter);
      if (!name) continue;
      Evidence found{kind, *name, by_name->at(*name), all.bad, all.bags, of_passed, false};
      found.goes_with_heat = always_with_less_heat(counted, kind, *name);
      link_.speaks_against.push_back(std::move(found));
    }
  }

  /// The name that stands out furthest.
  static std::optional<std::string> gathered(const SharesByName& shares, const Share& all, double scatter) {
    std::optional<std::string> most;
    double highest = 0;
    for (const auto& [name, share] : shares) {
      if (name.empty() || !stands_out(share, all, scatter)) continue;
      const double lower = scattered_lower(share.bad, share.bags, scatter);
      if (most && lower <= highest) continue;
      most = name;
      highest = lower;
    }
    return most;
  }

  [[nodiscard]] bool always_with_less_heat(const RunList& runs, Evidence::Kind kind,
                                           const std::string& name) const {
    return std::ranges::all_of(runs, [&](const RunOutcome* run) {
      return !has(*run, kind, name) || heat_of(*run, link_.by).value_or(0) <= median_heat_;
    });
  }

  static bool has(const RunOutcome& run, Evidence::Kind kind, const std::string& name) {
    return std::ranges::any_of(run.portions, [&](const Portion& portion) {
      if (kind == Evidence::Kind::shift) return portion.shift == name;
      if (kind == Evidence::Kind::room) return portion.room == name;
      return std::ranges::count(portion.spawn_lots, name) > 0;
    });
  }

  void find_inoculation() {
    Share share{0, link_.share.bags};
    for (const RunOutcome* run : runs_)
      for (const BadFound& found : run->found)
        if (found.place == "inoculation" && found.day <= figures_.inoculation_day) share.bad += found.bad;
    if (share.bad > 0) link_.speaks_against.push_back(evidence(Evidence::Kind::began_at_inoculation, share));
  }

  const RunList& runs_;
  HeatLink& link_;
  const TrendFigures& figures_;
  double median_heat_ = 0;
};

/// Runs of a treatment that have the figure by which most of them tell their heat.
RunList with_heat(std::span<const RunOutcome* const> runs, HeatBy by) {
  RunList out;
  std::ranges::copy_if(runs, std::back_inserter(out),
                       [&](const RunOutcome* run) { return heat_of(*run, by).has_value(); });
  return out;
}

HeatBy heat_by(std::span<const RunOutcome* const> runs) {
  return with_heat(runs, HeatBy::F).empty() ? HeatBy::hold : HeatBy::F;
}

std::vector<CountRow> rows_of(const RunList& runs, HeatBy by, bool has_lag) {
  std::vector<CountRow> rows;
  for (const RunOutcome* run : runs) {
    CountRow row{run->share.bad, run->share.bags, {*heat_of(*run, by)}};
    if (has_lag) row.x.push_back(*run->run.core_lag_minutes);
    rows.push_back(std::move(row));
  }
  return rows;
}

/// Why the lag is no second figure beside heat; "" where it is.
std::string no_lag(const RunList& runs, const HeatLink& link, const TrendFigures& figures) {
  std::vector<double> lags;
  std::vector<double> heats;
  for (const RunOutcome* run : runs)
    if (run->run.core_lag_minutes) {
      lags.push_back(*run->run.core_lag_minutes);
      heats.push_back(*heat_of(*run, link.by));
    }
  if (lags.size() < runs.size()) return "outcome_no_lag_unknown";
  if (std::min(link.share.bad, link.share.bags - link.share.bad) < 2 * figures.least_bad_per_slope)
    return "outcome_no_lag_few";
  const auto alike = correlation(heats, lags);
  if (!alike) return "outcome_no_lag_spread";
  if (std::abs(*alike) >= figures.most_alike) return "outcome_no_lag_alike";
  return "";
}

void fit(const RunList& runs, HeatLink& link, const TrendFigures& figures) {
  if (link.runs < figures.least_outcome_runs) {
    link.why_not = NoLink::few_runs;
    return;
  }
  if (std::min(link.share.bad, link.share.bags - link.share.bad) < figures.least_bad_per_slope) {
    link.why_not = NoLink::few_bad;
    return;
  }
  const LogisticResult alone = fit_logistic(rows_of(runs, link.by, false));
  if (!alone.fit) {
    link.why_not = alone.why_not == NoFit::no_spread ? NoLink::no_spread : NoLink::separated;
    return;
  }
  link.less_heat = odds_times(*alone.fit, 1, -1);
  link.dispersion = alone.fit->dispersion();
  link.no_lag = no_lag(runs, link, figures);
  if (!link.no_lag.empty()) return;
  const LogisticResult both = fit_logistic(rows_of(runs, link.by, true));
  if (!both.fit) {
    link.no_lag = "outcome_no_lag_fit";
    return;
  }
  link.less_heat_at_lag = odds_times(*both.fit, 1, -1);
  link.more_lag = odds_times(*both.fit, 2, lag_step_minutes);
}

} // namespace

void add_to(OtherThanHeat& shares, const RunOutcome& run) {
  for (const Portion& portion : run.portions) {
    if (portion.spawn_lots.empty()) add_to(shares.spawn_lot[""], portion.share);
    for (const std::string& lot : portion.spawn_lots)
      add_to(shares.spawn_lot[lot], portion.share);
    shares.several_lots = shares.several_lots || portion.spawn_lots.size() > 1;
    add_to(shares.shift[portion.shift], portion.share);
    add_to(shares.room[portion.room], portion.share);
  }
}

HeatLink heat_link(const std::vector<const RunOutcome*>& runs, const TrendFigures& figures) {
  HeatLink link;
  if (runs.empty()) return link;
  link.treatment = runs.front()->run.treatment;
  link.treatment_name = runs.front()->run.treatment_name;
  link.by = heat_by(runs);
  const RunList heated = with_heat(runs, link.by);
  link.runs = static_cast<int>(heated.size());
  for (const RunOutcome* run : heated)
    add_to(link.share, run->share);
  fit(heated, link, figures);
  if (!heated.empty()) EvidenceFinder(heated, link, figures).find();
  return link;
}

} // namespace coldbag
