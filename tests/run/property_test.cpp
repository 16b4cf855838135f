// Whatever makes a run colder, less known or less recorded never makes it pass. Seeded; no outside figures.
#include "run/made_run.h"

#include <doctest/doctest.h>

#include <random>

using namespace coldbag;
using namespace coldbag::test;

namespace {

using Random = std::mt19937_64;

double between(Random& random, double low, double high) {
  return std::uniform_real_distribution<double>(low, high)(random);
}

// Up, along and down again, without noise: between any two readings none is colder than the colder of them.
struct Hump {
  double top_degC, rise_s, stay_s, fall_s;
  [[nodiscard]] double operator()(double t) const {
    const double start_degC = 20;
    if (t < rise_s) return start_degC + (top_degC - start_degC) * t / rise_s;
    if (t < rise_s + stay_s) return top_degC;
    return std::max(start_degC, top_degC - (top_degC - start_degC) * (t - rise_s - stay_s) / fall_s);
  }
  [[nodiscard]] double end_s() const { return rise_s + stay_s + fall_s; }
};

Hump hump(Random& random, double setpoint_degC, double hold_s) {
  return {setpoint_degC + between(random, -0.5, 4), between(random, 1800, 7200),
          hold_s * between(random, 0.95, 1.3), between(random, 1800, 7200)};
}

void make_noisy(Random& random, Trace& trace, double noise_K) {
  std::normal_distribution<double> noise(0, noise_K);
  for (auto& column : trace.degC)
    for (double& degC : column)
      degC += noise(random);
}

void lose(Trace& trace, std::size_t probe, double from_s, double to_s) {
  for (std::size_t row = 0; row < trace.time_s.size(); ++row)
    if (trace.time_s[row] > from_s && trace.time_s[row] < to_s) trace.degC[probe][row] = not_there;
}

void shift(std::vector<double>& column, double by_K) {
  for (double& degC : column)
    degC += by_K;
}

struct Kind {
  const char* treatment;
  double setpoint_degC, hold_s;
};

// Holds and a lethality; the wood one counts raw readings. Times are those of the built-in treatments.
const Kind kinds[] = {{"pasteurize_straw_aerated", 65, 3600},
                      {"wood_packaging", 56, 1800},
                      {"pasteurize_straw", 71, 7200},
                      {"sterilize", 118, 1900}};

// Each treatment opened once; a case changes a copy.
const RunInput& opened(std::size_t kind) {
  static const std::vector<RunInput> all = [] {
    std::vector<RunInput> inputs;
    for (const Kind& one : kinds)
      inputs.push_back(made_run(one.treatment));
    return inputs;
  }();
  return all[kind];
}

struct Case {
  RunInput input;
  Trace trace;
  Hump curve;
};

Case made_case(Random& random, int number, bool noisy) {
  const auto kind = static_cast<std::size_t>(number) % std::size(kinds);
  const Hump curve = hump(random, kinds[kind].setpoint_degC, kinds[kind].hold_s);
  Case one{opened(kind), trace_of(3, curve.end_s(), curve), curve};
  shift(one.trace.degC[1], between(random, 0, 1));
  shift(one.trace.degC[2], between(random, 0, 2));
  if (noisy) make_noisy(random, one.trace, between(random, 0, 0.3));
  const double u_K = between(random, 0, 1);
  for (RunProbe& probe : one.input.probes)
    probe.u_K = u_K;
  return one;
}

std::size_t bag(Random& random) {
  return random() % 2;
}

} // namespace

TEST_CASE("a colder bag never turns a run into a pass, where there is too little to fear") {
  Random random(11);
  int passed = 0;
  for (int i = 0; i < cases(1000, 10000); ++i) {
    Case one = made_case(random, i, true);
    // Too hot is told apart below: a colder bag may well heal it.
    std::erase_if(one.input.treatment->criteria,
                  [](const TreatmentCriterion& c) { return c.sense != Sense::at_least; });
    const bool before = passes(judged(one.input, one.trace));
    shift(one.trace.degC[bag(random)], -between(random, 0, 3));
    const bool after = passes(judged(one.input, one.trace));
    CAPTURE(i);
    CHECK((before || !after));
    passed += before ? 1 : 0;
  }
  CHECK(passed > 50); // else nothing was tried
}

TEST_CASE("a less certain probe never turns a run into a pass") {
  Random random(12);
  int passed = 0;
  for (int i = 0; i < cases(1000, 10000); ++i) {
    Case one = made_case(random, i, true);
    const bool before = passes(judged(one.input, one.trace));
    one.input.probes[bag(random)].u_K += between(random, 0, 2);
    CAPTURE(i);
    CHECK((before || !passes(judged(one.input, one.trace))));
    passed += before ? 1 : 0;
  }
  CHECK(passed > 50);
}

TEST_CASE("a longer gap never turns a run into a pass") {
  Random random(13);
  int passed = 0;
  for (int i = 0; i < cases(1000, 10000); ++i) {
    Case one = made_case(random, i, false);
    std::erase_if(one.input.treatment->criteria,
                  [](const TreatmentCriterion& c) { return c.sense != Sense::at_least; });
    const std::size_t probe = bag(random);
    const double from_s = between(random, 0, one.curve.end_s());
    const double to_s = from_s + between(random, 400, 3000);
    lose(one.trace, probe, from_s, to_s);
    const bool before = passes(judged(one.input, one.trace));
    lose(one.trace, probe, from_s - between(random, 0, 1200), to_s + between(random, 0, 1200));
    CAPTURE(i);
    CHECK((before || !passes(judged(one.input, one.trace))));
    passed += before ? 1 : 0;
  }
  CHECK(passed > 50);
}

TEST_CASE("a hotter bag never turns a run into a pass, where too much is to fear") {
  Random random(14);
  const RunInput straw = [] {
    RunInput input = made_run("pasteurize_straw");
    for (RunProbe& probe : input.probes)
      probe.spot = "hot";
    return input;
  }();
  int passed = 0;
  for (int i = 0; i < cases(1000, 10000); ++i) {
    RunInput input = straw;
    // Too little is told apart above.
    for (TreatmentCriterion& c : input.treatment->criteria)
      if (c.name == "hold") c.required = 1;
    for (RunProbe& probe : input.probes)
      probe.u_K = between(random, 0, 1);
    const Hump curve{between(random, 88, 95), 3600, 3600, 3600};
    Trace trace = trace_of(3, curve.end_s(), curve);
    make_noisy(random, trace, between(random, 0, 0.3));
    const bool before = passes(judged(input, trace));
    shift(trace.degC[random() % 3], between(random, 0, 3));
    CAPTURE(i);
    CHECK((before || !passes(judged(input, trace))));
    passed += before ? 1 : 0;
  }
  CHECK(passed > 50);
}

TEST_CASE("setting a probe aside never makes a pass") {
  Random random(15);
  for (int i = 0; i < cases(1000, 10000); ++i) {
    const auto kind = static_cast<std::size_t>(i) % std::size(kinds);
    Case one = made_case(random, i, true);
    RunOptions options = stated_options(0.1);
    options.left_out = {"Probe " + std::to_string(1 + bag(random))};
    RunInput without = made_run(kinds[kind].treatment, options);
    CAPTURE(i);
    CHECK_FALSE(passes(judged(std::move(without), one.trace)));
    if (i >= 100) break; // opening is slow and says the same each time
  }
}

TEST_CASE("a bag whose probe never gave a reading never makes a pass") {
  Random random(16);
  for (int i = 0; i < cases(200, 2000); ++i) {
    Case one = made_case(random, i, true);
    lose(one.trace, bag(random), -1, 1e9);
    CAPTURE(i);
    CHECK_FALSE(passes(judged(one.input, one.trace)));
  }
}
