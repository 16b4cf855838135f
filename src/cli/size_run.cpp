#include "cli/size_run.h"

#include "cli/asked.h"
#include "cli/files.h"
#include "cli/lag_options.h"
#include "cli/size_options.h"
#include "run/judge.h"

#include <fmt/format.h>

#include <algorithm>
#include <map>

namespace coldbag {

namespace {

/// The load of the run as kinds with a mass and moisture each.
std::vector<SaidBags> bags_of(const RunInput& input) {
  std::vector<SaidBags> out;
  for (const LoadLine& line : input.load->lines) {
    const auto kind = std::ranges::find(input.bags, line.bag, &Bag::name);
    if (kind == input.bags.end()) continue;
    Bag bag = *kind;
    if (line.mass_kg) bag.mass_kg.value = line.mass_kg;
    if (line.moisture_wb) bag.moisture_wb.value = line.moisture_wb;
    const auto same = std::ranges::find_if(out, [&](const SaidBags& each) { return each.bag == bag; });
    if (same != out.end()) {
      same->count.value = *same->count.value + line.count;
      continue;
    }
    Stated<int> count;
    count.value = line.count;
    out.push_back({std::move(bag), count});
  }
  return out;
}

const ProbeResult* steam_probe(const RunReport& report) {
  for (const ProbeResult& probe : report.probes)
    if (is_steam_space(probe.role) && probe.near_top_at_s && probe.top_degC) return &probe;
  return nullptr;
}

double steam_on_s(const RunReport& report) {
  for (const EventResult& event : report.events)
    if (event.what == "steam_on") return event.at_s;
  return 0;
}

SeenRun seen_of(const RunReport& report, const Given& given) {
  SeenRun seen;
  seen.name = report.run_name;
  const double on_s = steam_on_s(report);
  seen.come_up_s = *steam_probe(report)->near_top_at_s - on_s;
  for (const ProbeResult& probe : report.probes)
    if (probe.role == ProbeRole::bag && probe.hot_at_s)
      seen.hot_s = std::max(seen.hot_s.value_or(0), *probe.hot_at_s - on_s);
  Stated<double> metered;
  take_quantity(given, "metered", Dimension::mass, metered);
  seen.steam_kg = metered.value;
  return seen;
}

void refuse_run(const std::string& path, std::string problem, std::string remedy) {
  Complaint complaint;
  complaint.place.source_name = path;
  complaint.problem = std::move(problem);
  complaint.remedy = std::move(remedy);
  throw UserError(std::move(complaint));
}

} // namespace

PlanOfRun plan_of_run(const Given& given, const TableFiles& tables, const Words& words) {
  const std::string path = given.text("run");
  if (!is_toml(path))
    refuse_option("run", fmt::format("\"{}\" is no run file", path),
                  "a run file says vessel and load, for example --run tonight/run.toml");
  const RunInput input = open_run(asked_for(path, given, RunOptions{}, words).request, tables);
  const RunReport report = judge_run(input);
  if (!input.load || input.load->lines.empty())
    refuse_run(path, "the run describes no load", "write [[load.bags]] with bag and count");
  const ProbeResult* steam = steam_probe(report);
  if (steam == nullptr)
    refuse_run(path, "no probe in the steam space came up", "a plan is held against the steam: log it too");
  Given named = given;
  if (input.vessel && !given.has("vessel")) named.answer("vessel", input.vessel->name);
  PlanOfRun out;
  std::optional<Site> site = input.site;
  std::vector<Bag> bags;
  if (site) {
    bags = site->bags;
    site->bags.clear(); // the load is the run's
  }
  out.request = read_plan_request(named, site, tables);
  out.request.bags = bags_of(input);
  if (out.request.bags.empty())
    refuse_run(path, "the run's load is of no kind of bag that is described",
               "describe it under [bags.NAME]");
  if (input.site_pressure_Pa && !given.has("altitude") && !given.has("pressure-at-site"))
    out.request.site.site_pressure_Pa.value = input.site_pressure_Pa;
  if (!given.has("hold-at")) out.request.site.hold_degC.value = *steam->top_degC;
  if (!given.has("treatment") && input.treatment && !input.treatment_is_assumed)
    out.request.treatment = input.treatment->key;
  out.seen = seen_of(report, given);
  return out;
}

} // namespace coldbag
