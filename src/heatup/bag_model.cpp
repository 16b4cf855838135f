#include "heatup/bag_model.h"

#include "errors/our_fault.h"
#include "heatup/bag_steps.h"
#include "steam/saturation.h"

#include <algorithm>
#include <cmath>
#include <limits>

namespace coldbag {

std::string_view form_text(BagForm form) {
  switch (form) {
  case BagForm::column:
    return "column";
  case BagForm::slab:
    return "slab";
  default:
    return "brick";
  }
}

int BagBody::directions() const {
  return form == BagForm::brick ? 3 : form == BagForm::column ? 2 : 1;
}

int BagBody::shortest() const {
  const double* const first = half_m.data();
  return static_cast<int>(std::min_element(first, first + directions()) - first);
}

Fineness working_fineness(const BagBody& body, const Multipliers& multipliers) {
  const auto d = static_cast<std::size_t>(body.shortest());
  const double biot = body.film_W_per_m2K[d] * multipliers.film * body.half_m[d] /
                      (body.conductivity_W_per_mK * multipliers.conductivity);
  if (biot <= 20) return {};
  return {.cells = 12, .bend_K = 0.6, .most_step_s = 1200};
}

BagHistory heat_bag(const BagBody& body, const Multipliers& multipliers, const SteamTrace& steam,
                    const VapourTable& vapour, const BagPlan& plan) {
  our_check(plan.from_s >= steam.from_s() - 1 && plan.to_s <= steam.to_s() + 1, "the steam covers the plan");
  our_check(plan.to_s > plan.from_s, "a plan has a length");
  BagSteps bag(body, multipliers, vapour,
               {.at_s = plan.from_s,
                .degC = plan.start_degC,
                .probe_off_m = plan.probe_off_m,
                .fineness = plan.fineness});
  BagHistory history;
  const double held_at_start_J = bag.held_J();
  history.moments.push_back(bag.moment());
  const double most_step_s = bag.fineness().most_step_s;
  double step_s = std::min(most_step_s, 20.0);
  double now_s = plan.from_s;
  const double until_degC = plan.until_core_degC.value_or(std::numeric_limits<double>::infinity());
  while (plan.to_s - now_s > 1e-6 && history.moments.back().core_degC < until_degC) {
    // Two even steps at the end rather than a sliver.
    const double left_s = plan.to_s - now_s;
    const double dt_s = left_s <= step_s ? left_s : left_s < 2 * step_s ? left_s / 2 : step_s;
    const double bend =
        bag.try_step(dt_s, steam.mean(now_s, now_s + dt_s), steam.at(now_s + dt_s).abs_pressure_Pa)
            .bend_share;
    const double wanted = 1 / std::sqrt(std::max(bend, 1e-6));
    if (wanted < 0.5 && dt_s > 0.5) {
      step_s = std::max(dt_s * std::max(0.25, 0.9 * wanted), 0.5);
      continue;
    }
    bag.keep_step();
    now_s += dt_s;
    history.moments.push_back(bag.moment());
    step_s = std::clamp(dt_s * std::clamp(0.9 * wanted, 0.4, 2.0), 0.5, most_step_s);
  }
  history.stored_J = bag.held_J() - held_at_start_J;
  const BagMoment& last = history.moments.back();
  const double turned_over = std::abs(last.heat_J) + std::abs(last.flashed_J) + std::abs(history.stored_J);
  our_check(std::abs(last.heat_J - last.flashed_J - history.stored_J) <= 1e-9 * turned_over + 1e-6,
            "a bag's heat adds up");
  history.hottest_over_boiling_K =
      bag.hottest_degC() - saturation_temperature_degC(steam.at(now_s).abs_pressure_Pa);
  return history;
}

std::optional<double> core_reaches_s(const BagHistory& history, double degC) {
  for (std::size_t i = 0; i < history.moments.size(); ++i) {
    const BagMoment& m = history.moments[i];
    if (m.core_degC < degC) continue;
    if (i == 0) return m.time_s;
    const BagMoment& before = history.moments[i - 1];
    return before.time_s +
           (degC - before.core_degC) / (m.core_degC - before.core_degC) * (m.time_s - before.time_s);
  }
  return std::nullopt;
}

} // namespace coldbag
