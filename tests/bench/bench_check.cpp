// A day of 16 probes at one reading a second (86,400 rows), judged from its bytes: the bound is 0.3 s.
#include "run/judge.h"

#include <benchmark/benchmark.h>

#include <fmt/format.h>

#include <cmath>
#include <random>

namespace {

std::string day_of_readings() {
  std::mt19937 random(5);
  std::normal_distribution<double> noise_K(0, 0.1);
  std::string csv = "time";
  for (int probe = 1; probe <= 16; ++probe)
    csv += fmt::format(",Core {} (C)", probe);
  csv += '\n';
  for (int s = 0; s < 86400; ++s) {
    csv += fmt::format("2026-03-04T{:02}:{:02}:{:02}", s / 3600, s / 60 % 60, s % 60);
    for (int probe = 0; probe < 16; ++probe)
      csv += fmt::format(",{:.2f}", 98 - 0.1 * probe - 78 * std::exp(-s / 3600.0 / (1.5 + 0.05 * probe)) +
                                        noise_K(random));
    csv += '\n';
  }
  return csv;
}

void judge_a_day(benchmark::State& state) {
  const coldbag::TableFiles tables = coldbag::TableFiles::built_in();
  const coldbag::Source source = coldbag::Source::memory("day.csv", day_of_readings());
  for (auto _ : state) {
    coldbag::RunRequest request;
    request.logs = {source};
    request.options.treatment = "atmospheric_steam";
    request.options.altitude_m = 0;
    request.options.vessel_kind = coldbag::VesselKind::vented;
    benchmark::DoNotOptimize(coldbag::judge_run(coldbag::open_run(std::move(request), tables)));
  }
}
BENCHMARK(judge_a_day)->Unit(benchmark::kMillisecond)->UseRealTime();

} // namespace

BENCHMARK_MAIN();
