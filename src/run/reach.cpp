#include "run/reach.h"

#include "errors/our_fault.h"

#include <cmath>

namespace coldbag {

namespace {

void check_confidence(double confidence) {
  our_check(confidence > 0 && confidence < 1, "confidence is between 0 and 1");
}

} // namespace

double fraction_above_lowest(int n_random, double confidence) {
  our_check(n_random >= 1, "at least one bag was picked at random");
  check_confidence(confidence);
  return std::pow(1 - confidence, 1.0 / n_random);
}

int most_failing_compatible(int bag_count, int probed, double confidence) {
  our_check(bag_count >= 1 && probed >= 0 && probed <= bag_count, "probed bags are some of all bags");
  check_confidence(confidence);
  // 1 - 0.9 is a hair below 0.1; a chance of exactly that much must not count as above it.
  const double excluded_chance = (1 - confidence) * (1 + 1e-12);
  double all_pass_chance = 1;
  int failing = 0;
  while (failing < bag_count) {
    all_pass_chance *= static_cast<double>(bag_count - failing - probed) / (bag_count - failing);
    if (all_pass_chance <= excluded_chance) break;
    ++failing;
  }
  return failing;
}

} // namespace coldbag
