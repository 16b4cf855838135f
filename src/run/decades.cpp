#include "run/decades.h"

#include "kinetics/survivors.h"
#include "run/criteria.h"

#include <algorithm>

namespace coldbag {

namespace {

constexpr double far_beyond_K = 10; // constant z is not carried further from where it was measured (assumed)

/// Of one reference: as read, and of the trace moved down and up by k u.
struct Minutes {
  double estimate = 0;
  double lower = 0;
  double upper = 0;
};

Decades decades_from(const Organism& organism, const std::vector<Minutes>& minutes, double noise_K) {
  const auto references = references_of(organism);
  const double most_D_minutes = organism.highest_D_minutes.value_or(organism.D_minutes);
  const double least_D_minutes = organism.lowest_D_minutes.value_or(organism.D_minutes);
  const auto lower = [&](std::size_t i) {
    return log_reduction(minutes[i].lower / noise_factor(noise_K, references[i].z_K), most_D_minutes);
  };
  const auto upper = [&](std::size_t i) { return log_reduction(minutes[i].upper, least_D_minutes); };
  Decades decades;
  decades.estimate = log_reduction(minutes[0].estimate, organism.D_minutes);
  decades.lower = lower(0);
  decades.lower_z_less_one = lower(1);
  decades.upper = upper(0);
  for (std::size_t i = 2; i < references.size(); ++i) {
    decades.lower = std::min(decades.lower, lower(i));
    decades.upper = std::max(decades.upper, upper(i));
  }
  return decades;
}

} // namespace

std::vector<Reference> references_of(const Organism& organism) {
  std::vector<double> z_K = {organism.z_K, std::max(organism.z_K - 1, 0.1)};
  if (organism.lowest_z_K) z_K.push_back(*organism.lowest_z_K);
  if (organism.highest_z_K) z_K.push_back(*organism.highest_z_K);
  std::vector<Reference> references;
  references.reserve(z_K.size());
  for (const double z : z_K)
    references.push_back({organism.name, organism.at_degC, z, organism.lowest_degC, organism.highest_degC});
  return references;
}

Decades decades_of(const Organism& organism, const ProbeMeasures& m, std::size_t first) {
  std::vector<Minutes> minutes;
  for (std::size_t i = 0; i < references_of(organism).size(); ++i)
    minutes.push_back(
        {m.more_minutes[first + i], m.more_lower_minutes[first + i], m.more_upper_minutes[first + i]});
  Decades decades = decades_from(organism, minutes, m.noise_K);
  decades.possible = log_reduction(m.more_possible_minutes[first], organism.D_minutes);
  return decades;
}

Decades decades_shown(const Organism& organism, const ProbeMeasures& m, double ku_K) {
  std::vector<Minutes> minutes;
  for (const Reference& reference : references_of(organism))
    minutes.push_back({m.time_at_temperature.F_minutes(reference, 0),
                       m.time_at_temperature.F_minutes(reference, -ku_K),
                       m.time_at_temperature.F_minutes(reference, ku_K)});
  return decades_from(organism, minutes, m.noise_K);
}

bool is_beyond_range(const Organism& organism, const ProbeMeasures& measures) {
  if (!measures.top_degC) return false;
  return *measures.top_degC > organism.highest_degC.value_or(organism.at_degC) + far_beyond_K ||
         *measures.top_degC < organism.lowest_degC.value_or(organism.at_degC) - far_beyond_K;
}

std::vector<Survival> survival_of(const std::vector<ProbeResult>& probes, double initial_count) {
  std::vector<Survival> all;
  for (const ProbeResult& probe : probes) {
    if (probe.role != ProbeRole::bag) continue;
    for (const OrganismResult& organism : probe.organisms) {
      auto found =
          std::find_if(all.begin(), all.end(), [&](const Survival& s) { return s.organism == organism.key; });
      if (found == all.end())
        found = all.insert(all.end(), {organism.key, organism.name, initial_count, 0, 0, 0, false});
      const double left = survivors(initial_count, organism.decades_lower);
      found->survivors_at_most = std::max(found->survivors_at_most, left);
      found->expected_bad_bags += chance_of_any(left);
      ++found->bags;
      found->beyond_range = found->beyond_range || organism.beyond_range;
    }
  }
  return all;
}

} // namespace coldbag
