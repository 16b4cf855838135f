// Ledgers in SQLite. Bounds: of 100,000 entries, adding one takes at most 10 ms besides the sync, listing all
// 0.2 s; runs with their reports and logs are verified at 150 MB/s. Where entries are tiny the signatures
// bound it, one each. Set TMPDIR to a folder in memory: what a disk takes to sync is its own.
#include "records/made_ledger.h"
#include "records/run_entry_json.h"
#include "run/judge.h"
#include "run/run_report_json.h"
#include "support/temp_folder.h"

#include <benchmark/benchmark.h>

#include <fmt/format.h>

#include <cmath>
#include <random>

namespace {

using namespace coldbag;
using namespace coldbag::test;

constexpr int many = 100000;
constexpr int whole_runs = 200;

/// Some six hours of six probes at four readings a minute, invented: about 80 KB with two logs like it about
/// 160.
std::string log_of(unsigned seed) {
  std::mt19937 random(seed);
  std::normal_distribution<double> noise_K(0, 0.1);
  std::string csv = "time,Core 1 (C),Core 2 (C),Core 3 (C),Core 4 (C),Core 5 (C),Core 6 (C)\n";
  for (int s = 0; s < 10 * 3600; s += 10) {
    csv += fmt::format("2026-03-04T{:02}:{:02}:{:02}", s / 3600, s / 60 % 60, s % 60);
    for (int probe = 0; probe < 6; ++probe)
      csv += fmt::format(",{:.2f}", 98 - 0.1 * probe - 78 * std::exp(-s / 3600.0 / (1.5 + 0.05 * probe)) +
                                        noise_K(random));
    csv += '\n';
  }
  return csv;
}

std::string report_of(const std::string& log) {
  RunRequest request;
  request.logs = {Source::memory("log.csv", log)};
  request.options.treatment = "atmospheric_steam";
  request.options.altitude_m = 0;
  request.options.vessel_kind = VesselKind::vented;
  return report_json(judge_run(open_run(std::move(request), TableFiles::built_in())));
}

Store ledger_of_runs(const std::string& path) {
  Store made = made_ledger(path, 0);
  RunContent content;
  content.treatment = "atmospheric_steam";
  content.verdict = "pass";
  content.report = report_of(log_of(0));
  for (int n = 1; n <= whole_runs; ++n) {
    Entry entry = run_entry(n);
    content.run = fmt::format("invented-{}", n);
    entry.content = run_content_json(content);
    add_entry(made, key_of_letter('k'), std::move(entry), {{"log.csv", log_of(static_cast<unsigned>(n))}});
  }
  return made;
}

const Store& runs() {
  static const TempFolder folder;
  static const Store store = ledger_of_runs(folder.path_of("runs.ledger"));
  return store;
}

/// One each minute: so many days are more than years that a ledger knows.
Entry tiny_entry(int n) {
  Entry entry = run_entry(0);
  entry.content = run_entry(n).content;
  entry.event_at.at += std::chrono::minutes(n);
  return entry;
}

Store& tiny() {
  static const TempFolder folder;
  static Store store = [] {
    Store made = made_ledger(folder.path_of("many.ledger"), 0);
    for (int n = 1; n <= many; ++n)
      add_entry(made, key_of_letter('k'), tiny_entry(n), {});
    return made;
  }();
  return store;
}

void verify_runs(benchmark::State& state) {
  runs();
  std::uint64_t bytes = 0;
  for (auto _ : state) {
    const LedgerCheck check = verify_ledger(runs(), {});
    if (check.fault) state.SkipWithError("the ledger is not whole");
    bytes += check.bytes;
  }
  state.SetBytesProcessed(static_cast<std::int64_t>(bytes));
}
BENCHMARK(verify_runs)->Unit(benchmark::kMillisecond);

void add_to_many(benchmark::State& state) {
  const std::string log = log_of(7);
  int n = 0;
  tiny();
  for (auto _ : state) {
    ++n;
    add_entry(tiny(), key_of_letter('k'), tiny_entry(many + n), {{"log.csv", log + std::to_string(n)}});
  }
}
BENCHMARK(add_to_many)->Unit(benchmark::kMillisecond)->Iterations(200);

void list_many(benchmark::State& state) {
  tiny();
  for (auto _ : state)
    benchmark::DoNotOptimize(tiny().list({}));
}
BENCHMARK(list_many)->Unit(benchmark::kMillisecond);

void verify_many(benchmark::State& state) {
  tiny();
  std::uint64_t bytes = 0;
  for (auto _ : state) {
    const LedgerCheck check = verify_ledger(tiny(), {});
    if (check.fault) state.SkipWithError("the ledger is not whole");
    bytes += check.bytes;
  }
  state.SetBytesProcessed(static_cast<std::int64_t>(bytes));
}
BENCHMARK(verify_many)->Unit(benchmark::kMillisecond)->Iterations(1);

} // namespace

BENCHMARK_MAIN();
