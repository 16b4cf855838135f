// A day of sixteen probes at one reading a second, judged from bytes to report. "bench_check --write FILE"
// leaves that log in a file, to time the whole program with.
#include "run/judge.h"

#include <benchmark/benchmark.h>

#include <cmath>
#include <cstdio>
#include <fstream>
#include <random>
#include <string>
#include <string_view>

namespace {

using namespace coldbag;

constexpr int probes = 16;
constexpr int rows = 86400;

std::string day_log() {
  std::mt19937_64 random(31);
  std::normal_distribution<double> noise(0, 0.05);
  std::string text = "time (s)";
  for (int p = 1; p <= probes; ++p)
    text += ",Probe " + std::to_string(p) + " (C)";
  char cell[32];
  for (int row = 0; row < rows; ++row) {
    text += "\n" + std::to_string(row);
    for (int p = 0; p < probes; ++p) {
      const double degC = 20 + (99 - 0.1 * p - 20) * (1 - std::exp(-row / 7200.0)) + noise(random);
      std::snprintf(cell, sizeof cell, ",%.2f", degC);
      text += cell;
    }
  }
  return text + "\n";
}

RunRequest request(const Source& log) {
  RunRequest asked;
  asked.options.treatment = "atmospheric_steam";
  for (int p = 1; p < probes; ++p)
    asked.options.in_bag.push_back("Probe " + std::to_string(p));
  asked.options.vessel = {"Probe 16"};
  asked.options.altitude_m = 0;
  asked.options.vessel_kind = VesselKind::vented;
  asked.options.u_K = 0.2;
  asked.logs.push_back(log);
  return asked;
}

const Source& day() {
  static const Source source = Source::memory("day.csv", day_log());
  return source;
}

void open_a_day(benchmark::State& state) {
  const TableFiles tables = TableFiles::built_in();
  for (auto _ : state)
    benchmark::DoNotOptimize(open_run(request(day()), tables));
}

void read_rows_of_a_day(benchmark::State& state) {
  const RunInput input = open_run(request(day()), TableFiles::built_in());
  for (auto _ : state)
    input.logs.front().log.for_each_block(
        [](const RowBlock& block) { benchmark::DoNotOptimize(block.time_s.data()); });
}

void judge_a_day(benchmark::State& state) {
  const TableFiles tables = TableFiles::built_in();
  for (auto _ : state)
    benchmark::DoNotOptimize(judge_run(open_run(request(day()), tables)));
}

BENCHMARK(open_a_day)->Unit(benchmark::kMillisecond)->UseRealTime();
BENCHMARK(read_rows_of_a_day)->Unit(benchmark::kMillisecond)->UseRealTime();
BENCHMARK(judge_a_day)->Unit(benchmark::kMillisecond)->UseRealTime();

} // namespace

int main(int argc, char** argv) {
  if (argc == 3 && std::string_view(argv[1]) == "--write") {
    std::ofstream file(argv[2], std::ios::binary);
    file << day_log();
    return file.flush() ? 0 : 1;
  }
  benchmark::Initialize(&argc, argv);
  if (benchmark::ReportUnrecognizedArguments(argc, argv)) return 2;
  benchmark::RunSpecifiedBenchmarks();
  return 0;
}
