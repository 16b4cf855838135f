#include "records/charted_run.h"

#include "run/run_report_json.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <tuple>

namespace coldbag {

namespace {

constexpr double alike_share = 1e-9;
constexpr double s_per_minute = 60;

bool is_alike(double a, double b) {
  return std::abs(a - b) <= alike_share * std::max(std::abs(a), std::abs(b));
}

const ProbeResult* probe_of(const RunReport& report, const std::string& name) {
  const auto found = std::ranges::find(report.probes, name, &ProbeResult::name);
  return found == report.probes.end() ? nullptr : &*found;
}

const ProbeResult* steam_probe(const RunReport& report) {
  const auto found = std::ranges::find_if(report.probes, [](const ProbeResult& probe) {
    return probe.role == ProbeRole::vessel && probe.near_top_at_s;
  });
  return found == report.probes.end() ? nullptr : &*found;
}

/// The report's own where the load is described, else the same of the probes.
std::optional<double> core_lag_minutes(const RunReport& report) {
  std::optional<double> longest;
  const auto take = [&](double minutes) { longest = std::max(longest.value_or(minutes), minutes); };
  for (const BagHeating& kind : report.heating)
    for (const ProbeHeating& probe : kind.probes)
      if (probe.lag_minutes) take(*probe.lag_minutes);
  if (longest || !report.heating.empty()) return longest;
  const ProbeResult* steam = steam_probe(report);
  if (steam == nullptr) return std::nullopt;
  for (const ProbeResult& probe : report.probes)
    if (probe.role == ProbeRole::bag && probe.near_top_at_s)
      take(std::max(0.0, *probe.near_top_at_s - *steam->near_top_at_s) / s_per_minute);
  return longest;
}

std::optional<double> come_up_minutes(const RunReport& report) {
  const auto on = std::ranges::find(report.events, "steam_on", &EventResult::what);
  const ProbeResult* steam = steam_probe(report);
  if (on == report.events.end() || steam == nullptr || *steam->near_top_at_s <= on->at_s) return std::nullopt;
  return (*steam->near_top_at_s - on->at_s) / s_per_minute;
}

/// Middle of lowest and highest of each point of the curve, from within 2 K of the top to steam off.
std::optional<double> plateau_degC(const RunReport& report) {
  const ProbeResult* steam = steam_probe(report);
  if (steam == nullptr || !report.steam_off_at_s) return std::nullopt;
  const auto curve = std::ranges::find(report.curves.probes, steam->name, &ProbeCurve::probe);
  if (curve == report.curves.probes.end()) return std::nullopt;
  double sum = 0;
  int count = 0;
  for (std::size_t i = 0; i < curve->at_s.size(); ++i)
    if (curve->at_s[i] >= *steam->near_top_at_s &&
        curve->at_s[i] + report.curves.width_s <= *report.steam_off_at_s) {
      sum += (curve->lowest_degC[i] + curve->highest_degC[i]) / 2;
      ++count;
    }
  if (count == 0) return std::nullopt;
  return sum / count;
}

/// Whether a criterion is about F or about hold shows in the figure that the deciding probe has.
void take_margins(const RunReport& report, ChartedRun& out) {
  for (const CriterionResult& criterion : report.criteria) {
    if (criterion.too_much || !criterion.fails || criterion.unit != "minutes" ||
        criterion.evidence != "measured" || !criterion.delivered)
      continue;
    const ProbeResult* probe = probe_of(report, criterion.decided_by);
    if (probe == nullptr) continue;
    if (!out.F_minutes && is_alike(*criterion.delivered, probe->F_minutes)) {
      out.F_minutes = probe->F_minutes;
      if (probe->F_minutes > 0 && criterion.required > 0)
        out.margin_decades = std::log10(probe->F_minutes / criterion.required);
    } else if (!out.hold_minutes && is_alike(*criterion.delivered, probe->hold_minutes)) {
      out.hold_minutes = probe->hold_minutes;
      out.hold_margin_minutes = probe->hold_minutes - criterion.required;
    }
  }
  if (out.F_minutes) out.hold_margin_minutes.reset();
}

std::string report_name(std::uint64_t number) {
  return "entry " + std::to_string(number);
}

/// The curve to a hundredth of a degree, without its name and without when it was.
Sha256 readings_hash(const ProbeCurve& curve, double width_s) {
  std::string text = fmt::format("{:.0f}", width_s);
  for (std::size_t i = 0; i < curve.at_s.size(); ++i)
    text += fmt::format(" {:.0f} {:.2f} {:.2f}", curve.at_s[i], curve.lowest_degC[i], curve.highest_degC[i]);
  return sha256(text);
}

} // namespace

ChartedRun charted_run(const RunReport& report) {
  ChartedRun out;
  out.treatment = report.treatment;
  out.treatment_name = report.treatment_name;
  out.verdict = report.verdict;
  out.units = report.units;
  out.coldest = report.coldest;
  if (const ProbeResult* coldest = probe_of(report, report.coldest)) {
    out.bag = coldest->bag;
    out.organisms = coldest->organisms;
  }
  out.core_lag_minutes = core_lag_minutes(report);
  out.come_up_minutes = come_up_minutes(report);
  out.plateau_degC = plateau_degC(report);
  take_margins(report, out);
  for (const LogResult& log : report.logs)
    out.logs.push_back(log.sha256);
  std::ranges::sort(out.logs);
  for (const ProbeCurve& curve : report.curves.probes)
    if (!curve.at_s.empty()) out.readings.push_back(readings_hash(curve, report.curves.width_s));
  std::ranges::sort(out.readings);
  for (const EventResult& event : report.events)
    if (event.what == "bag_burst") {
      ++out.burst_bags;
      if (!event.probe.empty()) out.burst_probes.push_back(event.probe);
    }
  return out;
}

ChartedHistory charted_history(const Store& store) {
  ChartedHistory out;
  out.history = read_history(store, [&](const KeptRun& run) {
    ChartedRun charted = charted_run(read_report_json(report_name(run.number), run.content.report));
    charted.number = run.number;
    charted.name = run.content.run;
    charted.vessel = run.content.vessel;
    charted.began = run.event_at;
    charted.is_imported = run.is_imported;
    out.runs.push_back(std::move(charted));
  });
  std::ranges::stable_sort(out.runs, {}, [](const ChartedRun& run) { return run.began.at; });
  return out;
}

} // namespace coldbag
