// Plans, timed: one whole (bound 50 ms), and a sweep of 400 on all cores (5 s on two). Needs COLDBAG_BENCH.
#include "sizing/plan_report.h"
#include "sizing/sweep.h"
#include "support/made_request.h"

#include <benchmark/benchmark.h>

#include <string>
#include <vector>

namespace {

using namespace coldbag;
using namespace coldbag::test;

void plan_rated(benchmark::State& state) {
  const PlanRequest request = rated_request();
  for (auto _ : state)
    benchmark::DoNotOptimize(plan_report(request, sizing_tables()));
}
BENCHMARK(plan_rated)->Unit(benchmark::kMillisecond)->UseRealTime();

void plan_drum(benchmark::State& state) {
  const PlanRequest request = drum_request();
  for (auto _ : state)
    benchmark::DoNotOptimize(plan_report(request, sizing_tables()));
}
BENCHMARK(plan_drum)->Unit(benchmark::kMillisecond)->UseRealTime();

void sweep_400(benchmark::State& state) {
  std::vector<SweepPoint> points;
  for (int count = 5; count < 25; ++count)
    for (int tenth = 0; tenth < 20; ++tenth) {
      SweepPoint point{{std::to_string(count)}, drum_request(count)};
      point.request.supply.power_W = stated(4000.0 + 300 * tenth);
      points.push_back(std::move(point));
    }
  for (auto _ : state)
    benchmark::DoNotOptimize(sweep(points, sizing_tables(), 0, [] {}));
}
BENCHMARK(sweep_400)->Unit(benchmark::kMillisecond)->UseRealTime()->Iterations(1);

} // namespace

BENCHMARK_MAIN();
