// One criterion of a treatment against what the probes measured: met, missed or not shown.
#pragma once

#include "run/probe_meter.h"
#include "run/run_input.h"
#include "run/run_report.h"

#include <vector>

namespace coldbag {

/// A probe with what it measured, and where in its rule the treatment's own references and levels stand.
struct Measured {
  const RunProbe* probe = nullptr;
  bool by_hand = false;
  ProbeMeasures measures;
  std::vector<Fault> faults;
  bool is_relied_on = true; ///< not left out by anyone, and believed
};

/// Beyond the probes: what else a criterion may look at.
struct Surroundings {
  std::optional<double> boiling_degC;
  std::optional<double> moisture_wb;
  std::optional<double> heaviest_bag_kg;
  /// Steam short of saturation by the gauge: longest stretch over each criterion's limit, seconds, and the
  /// largest, K.
  std::vector<double> short_of_saturation_s;
  std::optional<double> short_of_saturation_K;
};

/// Further references and levels a treatment needs measured, in the order of its criteria.
[[nodiscard]] std::vector<Reference> references_of(const Treatment& treatment,
                                                   const std::vector<Organism>& organisms);
[[nodiscard]] std::vector<double> levels_of(const Treatment& treatment, std::optional<double> boiling_degC);

/// Where among those a criterion's own begin.
[[nodiscard]] std::size_t index_of_reference(const Treatment& treatment,
                                             const std::vector<Organism>& organisms,
                                             const TreatmentCriterion& wanted);
[[nodiscard]] std::size_t index_of_level(const Treatment& treatment, const TreatmentCriterion& wanted);

/// Setpoint of the treatment at this boiling point.
[[nodiscard]] double setpoint_degC(const Treatment& treatment, std::optional<double> boiling_degC);

/// What noise of this standard deviation adds to F, as a factor: exp((s ln10 / z)^2 / 2).
[[nodiscard]] double noise_factor(double noise_K, double z_K);
/// F of a probe, minutes, with its trace lowered by step / bound_steps of k u; noise divided out.
[[nodiscard]] double F_at_step_minutes(const ProbeMeasures& measures, int step, double z_K);
/// The same for the hold, both ends moved inward where times were written by hand.
[[nodiscard]] double hold_at_step_minutes(const Measured& measured, int step, bool strict);
/// F of a probe at its lower bound, minutes: from the lowered trace, noise divided out.
[[nodiscard]] double F_lower_minutes(const ProbeMeasures& measures, double z_K);
/// Hold at its lower bound, minutes: from the lowered trace, both ends moved inward where times were written
/// by hand.
[[nodiscard]] double hold_lower_minutes(const Measured& measured, bool strict);
[[nodiscard]] double hold_minutes(const ProbeMeasures& measures, bool strict);
/// What the longest stretches of all bags have in common, minutes: at least so long all were hot at once.
/// None without a bag to rely on, or where one gave no reading. Guarded by tests/run/criteria_test.cpp.
[[nodiscard]] std::optional<double> all_hot_minutes(const Treatment& treatment,
                                                    const std::vector<Measured>& probes);

/// The probed bags that miss a requirement of heat, by the estimate and whatever their gaps hid.
[[nodiscard]] std::vector<const Measured*> bags_short(const Treatment& treatment,
                                                      const std::vector<Organism>& organisms,
                                                      const std::vector<Measured>& probes,
                                                      const Surroundings& around);

/// Whether a requirement of F decides before any of hold.
[[nodiscard]] bool decides_by_F(const Treatment& treatment);

/// Whether what one bag's probe showed meets every requirement of heat at its bound.
[[nodiscard]] bool is_enough(const Treatment& treatment, const std::vector<Organism>& organisms,
                             const Measured& bag, const Surroundings& around);

/// Every criterion, in the treatment's order ; the rules are in docs/mathematics/verdict.md.
[[nodiscard]] std::vector<CriterionResult> judge_criteria(const Treatment& treatment,
                                                          const std::vector<Organism>& organisms,
                                                          const std::vector<Measured>& probes,
                                                          const Surroundings& around);

} // namespace coldbag
