// How bags heat, timed: one bag for 12 h (bound 5 ms), a fit of four probes with 5,000 rows (0.5 s on two
// cores), and a run of 500 bags of six kinds judged from its bytes (1 s). Needs COLDBAG_BENCH.
#include "heatup/fit.h"
#include "run/judge.h"
#include "support/made_bag.h"

#include <benchmark/benchmark.h>

#include <fmt/format.h>

#include <cmath>
#include <random>

namespace {

using namespace coldbag;
using namespace coldbag::test;

void heat_one_bag(benchmark::State& state) {
  const BagBody body = tried_body();
  const SteamTrace steam = steady_steam(121.1, 12);
  for (auto _ : state)
    benchmark::DoNotOptimize(
        heat_bag(body, {}, steam, heating_tables().vapour, {.to_s = 12 * 3600.0, .fineness = {}}));
}
BENCHMARK(heat_one_bag)->Unit(benchmark::kMillisecond);

constexpr int kinds = 6;
constexpr int probes_of_kind = 2;
constexpr int minutes = 600;

/// Cores of bags whose speeds differ, in steam of 121.1 C.
std::vector<BagHistory> cores(int count, const BagBody& body) {
  std::vector<BagHistory> out;
  for (int i = 0; i < count; ++i) {
    const double factor = std::exp(0.1 * (i - 0.5 * count) / count);
    out.push_back(heat_bag(body, {factor, factor, factor}, steady_steam(121.1, minutes / 60.0),
                           heating_tables().vapour, {.to_s = minutes * 60.0, .fineness = {}}));
  }
  return out;
}

double core_degC(const BagHistory& history, double time_s) {
  std::size_t at = 1;
  while (at + 1 < history.moments.size() && history.moments[at].time_s < time_s)
    ++at;
  const BagMoment& a = history.moments[at - 1];
  const BagMoment& b = history.moments[at];
  return a.core_degC + (b.core_degC - a.core_degC) * (time_s - a.time_s) / (b.time_s - a.time_s);
}

void fit_four_probes(benchmark::State& state) {
  const BagBody body = tried_body();
  const SteamTrace steam = steady_steam(121.1, minutes / 60.0);
  std::mt19937_64 random(4);
  std::normal_distribution<double> noise_K(0, 0.2);
  std::vector<std::vector<FitPoint>> readings;
  for (const BagHistory& history : cores(4, body)) {
    readings.emplace_back();
    for (int row = 0; row < 5000; ++row) {
      const double time_s = row * 3.0; // to 4 h 10 min: warm, and half an hour of the plateau
      readings.back().push_back({time_s, core_degC(history, time_s) + noise_K(random), 1});
    }
  }
  for (auto _ : state) {
    std::vector<FitProbe> probes;
    for (const auto& each : readings)
      probes.push_back({fmt::format("core {}", probes.size()), body, 20, 0.2, spaced_points(each, 60)});
    benchmark::DoNotOptimize(fit_bags(probes, steam, heating_tables().vapour, heating_tables().figures));
  }
}
BENCHMARK(fit_four_probes)->Unit(benchmark::kMillisecond)->UseRealTime();

std::string site_of_six_kinds() {
  std::string site = "[site]\naltitude = \"0 m\"\n[vessels.autoclave]\nkind = \"pressure-rated\"\nrating = "
                     "\"22 psi gauge\"\n";
  for (int kind = 0; kind < kinds; ++kind)
    site += fmt::format(
        "[bags.kind_{0}]\nsubstrate = \"sawdust\"\nform = \"brick\"\nmass = \"{1} kg\"\nmoisture = \"62 %\"\n"
        "closure = \"breathing\"\nneighbours = \"apart\"\nfilm = \"pp-homopolymer\"\n",
        kind, 1.8 + 0.2 * kind);
  return site;
}

std::string run_of_six_kinds() {
  std::string run = "[run]\nname = \"bench\"\nsite = \"site.toml\"\ntreatment = \"sterilize\"\n[[log]]\nfile "
                    "= \"log.csv\"\n";
  for (int kind = 0; kind < kinds; ++kind)
    run += fmt::format("[[load.bags]]\nbag = \"kind_{}\"\ncount = {}\n", kind, kind < 2 ? 84 : 83);
  for (int kind = 0; kind < kinds; ++kind)
    for (int probe = 0; probe < probes_of_kind; ++probe)
      run += fmt::format("[probes.core_{0}_{1}]\ncolumn = \"Core {0} {1}\"\nplace = \"bag\"\nbag = "
                         "\"kind_{0}\"\nclass = \"pt-a\"\n",
                         kind, probe);
  return run + "[probes.steam]\ncolumn = \"Steam\"\nplace = \"vessel\"\nclass = \"pt-a\"\n";
}

std::string log_of_six_kinds() {
  std::mt19937_64 random(5);
  std::normal_distribution<double> noise_K(0, 0.1);
  std::string csv = "time";
  std::vector<BagHistory> histories;
  for (int kind = 0; kind < kinds; ++kind) {
    for (const BagHistory& history : cores(probes_of_kind, heavier(tried_body(), 1.8 + 0.2 * kind)))
      histories.push_back(history);
    for (int probe = 0; probe < probes_of_kind; ++probe)
      csv += fmt::format(",Core {} {} (C)", kind, probe);
  }
  csv += ",Steam (C)\n";
  for (int minute = 0; minute < minutes; ++minute) {
    csv += fmt::format("2026-03-04T{:02}:{:02}:00", minute / 60, minute % 60);
    for (const BagHistory& history : histories)
      csv += fmt::format(",{:.2f}", core_degC(history, 60.0 * minute) + noise_K(random));
    csv += fmt::format(",{:.2f}\n", 121.1 + noise_K(random));
  }
  return csv;
}

void check_500_bags_of_six_kinds(benchmark::State& state) {
  const TableFiles tables = TableFiles::built_in();
  const Source log = Source::memory("log.csv", log_of_six_kinds());
  for (auto _ : state) {
    RunRequest request;
    request.site = NamedText{"site.toml", site_of_six_kinds()};
    request.run_file = NamedText{"run.toml", run_of_six_kinds()};
    request.logs = {log};
    const RunReport report = judge_run(open_run(std::move(request), tables));
    if (report.scope != "load" || report.heating.size() != kinds)
      state.SkipWithError("the load was not judged");
    for (const BagHeating& kind : report.heating)
      if (kind.evidence != "fitted") state.SkipWithError("a kind was not fitted");
  }
}
BENCHMARK(check_500_bags_of_six_kinds)->Unit(benchmark::kMillisecond)->UseRealTime();

} // namespace

BENCHMARK_MAIN();
