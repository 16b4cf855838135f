// Invented readings of probes in bags and in the steam around them, seeded: a bag is three first-order lags
// in a row behind the steam. No outside figures; made only to try the checks.
#pragma once

#include <cmath>
#include <cstddef>
#include <random>
#include <vector>

namespace coldbag::test {

struct MadePlan {
  unsigned seed = 1;
  double interval_s = 60;
  double resolution_K = 0.1;
  double noise_K = 0.15;
  double most_offset_K = 0.75;
  int bags = 3;
  double hours = 12;
  double steam_off_h = 10.5;
  double rest_min = 30; ///< at the start, before the steam
  double start_degC = 20;
  double steam_degC = 98;
  double come_up_min = 20; ///< time constant of the steam
  double bag_min = 45;     ///< lag of the fastest bag
  double wave_K = 0.5;     ///< of the steam on its plateau
  double wave_min = 7;
};

/// Columns: the bags, then the steam. NaN: no reading.
struct MadeReadings {
  std::vector<double> time_s;
  std::vector<std::vector<double>> degC;
  std::vector<double>& steam() { return degC.back(); }
};

inline double rounded(double degC, double resolution_K) {
  return std::nearbyint(degC / resolution_K) * resolution_K;
}

inline MadeReadings made_readings(const MadePlan& plan) {
  std::mt19937_64 random(plan.seed);
  std::normal_distribution<double> noise(0, plan.noise_K > 0 ? plan.noise_K : 1);
  std::uniform_real_distribution<double> offset(-plan.most_offset_K, plan.most_offset_K);
  const auto bags = static_cast<std::size_t>(plan.bags);
  std::vector<double> offset_K;
  for (std::size_t i = 0; i <= bags; ++i)
    offset_K.push_back(offset(random));
  MadeReadings made;
  made.degC.resize(bags + 1);
  const double dt_s = 10;
  double steam = plan.start_degC;
  std::vector<std::vector<double>> nodes(bags, std::vector<double>(3, plan.start_degC));
  double next_s = 0;
  for (double t = 0; t <= plan.hours * 3600; t += dt_s) {
    const bool is_on = t >= plan.rest_min * 60 && t < plan.steam_off_h * 3600;
    const double goal = is_on ? plan.steam_degC : plan.start_degC;
    steam += (goal - steam) * dt_s / 60 / (is_on ? plan.come_up_min : 90);
    const double pi = std::acos(-1.0);
    const double wave =
        steam > plan.steam_degC - 3 ? plan.wave_K * std::sin(2 * pi * t / 60 / plan.wave_min) : 0;
    for (std::size_t b = 0; b < bags; ++b) {
      double from = steam;
      for (double& node : nodes[b]) {
        node += (from - node) * dt_s / 60 / (plan.bag_min * (1 + 0.15 * static_cast<double>(b)) / 3);
        from = node;
      }
    }
    if (t < next_s) continue;
    next_s += plan.interval_s;
    made.time_s.push_back(t);
    for (std::size_t i = 0; i <= bags; ++i) {
      const double truth = i < bags ? nodes[i].back() - 0.1 * static_cast<double>(i) : steam + wave;
      const double read = truth + offset_K[i] + (plan.noise_K > 0 ? noise(random) : 0);
      made.degC[i].push_back(plan.resolution_K > 0 ? rounded(read, plan.resolution_K) : read);
    }
  }
  return made;
}

} // namespace coldbag::test
