// Each fault of a stretch fires on a made trace and stays silent on a near one. No outside figures.
#include "probes/checked.h"

#include <doctest/doctest.h>

using namespace coldbag;
using namespace coldbag::test;

namespace {

constexpr std::size_t bag = 1;
constexpr std::size_t noon = 400; // row of the plateau

MadeReadings usual() {
  return made_readings({});
}

int withheld(const Stretches& seen) {
  return static_cast<int>(std::count_if(seen.readings.begin(), seen.readings.end(), [](const auto& reading) {
    return reading.kind == CheckedReading::Kind::withheld;
  }));
}

void add(MadeReadings& made, std::size_t probe, std::size_t from, std::size_t to, double K) {
  for (std::size_t row = from; row < to && row < made.time_s.size(); ++row)
    made.degC[probe][row] += K;
}

void hold_still(MadeReadings& made, std::size_t probe, std::size_t from, std::size_t to) {
  for (std::size_t row = from; row < to && row < made.time_s.size(); ++row)
    made.degC[probe][row] = made.degC[probe][from];
}

void silence(MadeReadings& made, std::size_t probe, std::size_t from, std::size_t to) {
  for (std::size_t row = from; row < to && row < made.time_s.size(); ++row)
    made.degC[probe][row] = std::nan("");
}

} // namespace

TEST_CASE("a clean trace is handed on whole, in order and at once") {
  const MadeReadings made = usual();
  const Stretches seen = stretches(made, bag);
  CHECK(seen.faults.empty());
  REQUIRE(seen.readings.size() == made.time_s.size());
  for (std::size_t row = 0; row < made.time_s.size(); ++row) {
    CHECK(seen.readings[row].time_s == made.time_s[row]);
    CHECK(seen.readings[row].degC == made.degC[bag][row]);
    CHECK(seen.readings[row].kind == CheckedReading::Kind::credited);
  }
  CHECK(within(seen.resolution_K, 0.1, 1e-9));
}

TEST_CASE("a reading that no vessel gives is out of range, a hot one is not") {
  for (const double degC : {-45.0, 170.0}) {
    MadeReadings made = usual();
    made.degC[bag][noon] = made.degC[bag][noon + 1] = degC;
    const Stretches seen = stretches(made, bag);
    REQUIRE(kinds(seen.faults) == "out_of_range");
    CHECK(seen.faults.front().from_s == made.time_s[noon]);
    CHECK(seen.faults.front().to_s == made.time_s[noon + 1]);
    CHECK(withheld(seen) == 2);
  }
  MadePlan hot;
  hot.steam_degC = 134;
  CHECK(stretches(made_readings(hot), bag).faults.empty());
}

TEST_CASE("a spike is withheld and what follows it is credited; a wobble is not a spike") {
  for (const double K : {12.0, -12.0, 5.0}) {
    for (const std::size_t length : {1U, 3U}) {
      MadeReadings made = usual();
      add(made, bag, noon, noon + length, K);
      const Stretches seen = stretches(made, bag);
      CAPTURE(K);
      CAPTURE(length);
      REQUIRE(kinds(seen.faults) == "spike");
      CHECK(seen.faults.front().from_s == made.time_s[noon]);
      CHECK(seen.faults.front().to_s == made.time_s[noon + length - 1]);
      CHECK(withheld(seen) == static_cast<int>(length));
    }
  }
  MadeReadings wobble = usual();
  add(wobble, bag, noon, noon + 1, 2);
  CHECK(stretches(wobble, bag).faults.empty());
}

TEST_CASE("a bag that jumps is not believed until it jumps back; one that climbs fast is") {
  MadeReadings made = usual();
  add(made, bag, noon, noon + 60, 9);
  const Stretches seen = stretches(made, bag);
  REQUIRE(kinds(seen.faults) == "jump");
  CHECK(withheld(seen) == 60);
  MadeReadings for_good = usual();
  add(for_good, bag, noon, for_good.time_s.size(), 9);
  CHECK(withheld(stretches(for_good, bag)) == static_cast<int>(for_good.time_s.size() - noon));
  // Steam breaking into a dry bag: 3 K a minute for a quarter of an hour.
  MadeReadings fast = usual();
  for (std::size_t row = 0; row < fast.time_s.size(); ++row)
    fast.degC[bag][row] = row < 120 ? 40 : std::min(95.0, 40 + 3 * static_cast<double>(row - 119));
  CHECK(stretches(fast, bag).faults.empty());
}

TEST_CASE("a bag may fall as fast as it likes with steam that is as cold") {
  MadeReadings made = usual();
  for (std::size_t row = noon; row < made.time_s.size(); ++row)
    for (auto& column : made.degC)
      column[row] -= 22;
  CHECK(stretches(made, bag).faults.empty());
  MadeReadings alone = usual();
  add(alone, bag, noon, alone.time_s.size(), -22);
  CHECK(has_kind(stretches(alone, bag).faults, "jump"));
}

TEST_CASE("steam that jumps is no fault: doors open and valves close") {
  MadeReadings made = usual();
  add(made, 3, noon, noon + 10, -20);
  CHECK(stretches(made, 3).faults.empty());
  add(made, 3, noon + 50, noon + 51, 60);
  CHECK(kinds(stretches(made, 3).faults) == "spike");
}

TEST_CASE("a bag that stops dead on its way up is stuck, on a plateau noise must have moved it") {
  MadeReadings ramp = usual();
  hold_still(ramp, bag, 70, 110);
  const Stretches on_ramp = stretches(ramp, bag);
  REQUIRE(has_kind(on_ramp.faults, "stuck"));
  CHECK(on_ramp.faults.front().from_s == ramp.time_s[70]);
  CHECK(withheld(on_ramp) == 39); // the first reading of the value may be true
  MadeReadings plateau = usual();
  hold_still(plateau, bag, noon, noon + 90);
  CHECK(kinds(stretches(plateau, bag).faults) == "stuck");
  MadeReadings briefly = usual();
  hold_still(briefly, bag, noon, noon + 15);
  CHECK(stretches(briefly, bag).faults.empty());
}

TEST_CASE("a quiet plateau in coarse steps is not stuck, however long") {
  for (unsigned seed = 1; seed <= 20; ++seed) {
    MadePlan plan;
    plan.seed = seed;
    plan.resolution_K = 0.5;
    plan.noise_K = 0.05;
    plan.wave_K = 0;
    const MadeReadings made = made_readings(plan);
    for (std::size_t probe = 0; probe < made.degC.size(); ++probe)
      CHECK(stretches(made, probe).faults.empty());
  }
}

TEST_CASE("silence while others read on is a dropout, a lost row or a dead logger is not") {
  MadeReadings made = usual();
  silence(made, bag, noon, noon + 12);
  const Stretches seen = stretches(made, bag);
  REQUIRE(kinds(seen.faults) == "dropout");
  CHECK(seen.faults.front().from_s == made.time_s[noon - 1]);
  CHECK(seen.faults.front().to_s == made.time_s[noon + 12]);
  MadeReadings to_the_end = usual();
  silence(to_the_end, bag, noon, to_the_end.time_s.size());
  CHECK(kinds(stretches(to_the_end, bag).faults) == "dropout");
  MadeReadings few = usual();
  silence(few, bag, noon, noon + 4);
  CHECK(stretches(few, bag).faults.empty());
  MadeReadings all = usual();
  for (std::size_t probe = 0; probe < all.degC.size(); ++probe)
    silence(all, probe, noon, noon + 60);
  CHECK(stretches(all, bag).faults.empty());
}

TEST_CASE("what a probe does after the load was opened is no fault") {
  MadeReadings made = usual();
  add(made, bag, noon, made.time_s.size(), -60);
  CHECK(stretches(made, bag, made.time_s[noon - 1]).faults.empty());
}

TEST_CASE("each reading is handed on once and in order, whatever the faults") {
  std::mt19937 random(5);
  for (int i = 0; i < 100; ++i) {
    MadePlan plan;
    plan.seed = static_cast<unsigned>(i);
    plan.hours = 6;
    plan.resolution_K = i % 2 == 0 ? 0.1 : 0.5;
    MadeReadings made = made_readings(plan);
    for (int f = 0; f < 6; ++f) {
      const std::size_t from = random() % made.time_s.size();
      const std::size_t to = from + 1 + random() % 60;
      switch (random() % 4) {
      case 0:
        add(made, bag, from, to, static_cast<double>(random() % 300) - 150);
        break;
      case 1:
        hold_still(made, bag, from, to);
        break;
      case 2:
        silence(made, bag, from, to);
        break;
      default:
        add(made, bag, from, from + 1, 40);
      }
    }
    std::vector<double> times;
    for (std::size_t row = 0; row < made.time_s.size(); ++row)
      if (!std::isnan(made.degC[bag][row])) times.push_back(made.time_s[row]);
    std::vector<double> given;
    double last_s = -1;
    for (const CheckedReading& reading : stretches(made, bag).readings) {
      CHECK(reading.time_s > last_s);
      last_s = reading.time_s;
      if (reading.kind != CheckedReading::Kind::silent) given.push_back(reading.time_s);
    }
    CAPTURE(i);
    CHECK(given == times);
  }
}
