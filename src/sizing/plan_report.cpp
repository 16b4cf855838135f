#include "sizing/plan_report.h"

#include "sizing/steam_supply.h"

#include <algorithm>
#include <utility>

namespace coldbag {

namespace {

constexpr double s_per_day = 86400;
constexpr double J_per_kWh = 3.6e6;
constexpr double L_per_m3 = 1000;

struct SoldUnit {
  std::string unit;
  double inside = 1; ///< J, kg or m3 in one of them
};

/// Liquids by the litre, gas and stacked wood by the cubic metre.
SoldUnit unit_of(const Fuel& fuel) {
  constexpr double liquid_J_per_m3 = 1e10;
  switch (fuel.sold_by) {
  case SoldBy::energy:
    return {"kWh", J_per_kWh};
  case SoldBy::mass:
    return {"kg", 1};
  default:
    if (fuel.heat_J_per_unit > liquid_J_per_m3) return {"L", 1 / L_per_m3};
    return {"m3", 1};
  }
}

class Reporter {
 public:
  Reporter(const PlanRequest& request, const SizingTables& tables, bool in_short)
      : request_(request), tables_(tables), in_short_(in_short) {}

  PlanReport report() {
    out_.resolved = resolve_plan(request_, tables_);
    out_.plan = make_plan(out_.resolved.input, tables_.heating.vapour, in_short_);
    if (out_.plan.boils_dry) refuse_dry();
    out_.plan.boiler_ready_s = out_.resolved.boiler_ready_s;
    out_.name = request_.name;
    out_.units = request_.units;
    for (const PlannedBags& bags : out_.resolved.input.bags) {
      out_.bag_count += bags.count;
      out_.bags_kg += bags.count * bags.bag.body.mass_kg;
    }
    find_steps();
    find_heat();
    find_fuel_use();
    out_.assumptions = out_.resolved.assumptions;
    out_.cautions = cautions();
    out_.editions = tables_.editions;
    out_.program_version = COLDBAG_VERSION;
    return std::move(out_);
  }

 private:
  [[noreturn]] void refuse_dry() const {
    const Stated<double>& water = request_.vessel.standing_water_kg;
    Complaint complaint;
    complaint.trouble = Trouble::usage;
    complaint.place = water.known() ? water.place : Place{"", 0, 0, "--water"};
    complaint.problem = "the water in the vessel boils away before every core has enough";
    complaint.remedy = "more water standing in it, or --turned-down once it is hot; "
                       "never refill a dry hot vessel";
    throw UserError(std::move(complaint));
  }

  [[nodiscard]] const Plan& plan() const { return out_.plan; }

  void find_steps() {
    const Plan& p = plan();
    const auto ranged = [](const char* key, const Range& range) {
      return PlanStep{key, range.good, range.likely, range.slow};
    };
    if (p.boiler_ready_s > 0)
      out_.steps.push_back({"size_step_first_steam", {}, -p.boiler_ready_s, -p.boiler_ready_s});
    if (out_.resolved.input.vessel.is_rated) out_.steps.push_back(ranged("size_step_boiling", p.boiling_s));
    if (p.reaches_top) out_.steps.push_back(ranged("size_step_top", p.come_up_s));
    out_.steps.push_back(ranged("size_step_hot", p.hot_s));
    out_.steps.push_back(ranged("size_step_enough", p.enough_s));
    out_.steps.push_back({"size_step_off", {}, {}, p.steam_off_s});
    if (p.open_s) out_.steps.push_back({"size_step_open", {}, p.open_s, p.open_slow_s});
    if (p.cooled_s) out_.steps.push_back({"size_step_cooled", {}, p.cooled_s, p.cooled_slow_s});
    out_.door_to_door_s = p.cooled_s.value_or(p.steam_off_s);
    if (out_.door_to_door_s > 0) out_.bags_per_day = out_.bag_count * s_per_day / out_.door_to_door_s;
  }

  [[nodiscard]] double slow_share() const {
    return plan().steam_kg.likely > 0 ? plan().steam_kg.slow / plan().steam_kg.likely : 1;
  }

  void find_heat() {
    const Plan& p = plan();
    out_.power_needed_W = p.peak_demand_W;
    out_.power_at_hold_W = p.hold_demand_W;
    heat_to_water_J_ = made_J() + boiler_warming_J();
    out_.heat_per_bag_J = heat_to_water_J_ / std::max(out_.bag_count, 1);
    out_.water_kg = std::max(p.steam_kg.slow, p.steam_kg.likely);
    if (out_.resolved.input.supply.kind == SupplyKind::within)
      out_.water_kg = p.vented_kg + p.kept_kg; // the rest runs back
    out_.water_with_reserve_kg = out_.water_kg * (1 + tables_.vessel.water_reserve);
  }
  /// Heat that went into the water, likely: for a boiler more than the steam brings, the feed being cold.
  [[nodiscard]] double made_J() const {
    const SteamSupply& supply = out_.resolved.input.supply;
    if (supply.kind == SupplyKind::within) return plan().to_off.supplied_J;
    return boiler_power_W(std::max(plan().steam_kg.likely, 0.0), supply.feed_degC,
                          out_.resolved.input.vessel.site_pressure_Pa, supply.dryness);
  }
  [[nodiscard]] double boiler_warming_J() const {
    return out_.resolved.boiler_ready_s * out_.resolved.power_W;
  }

  void find_fuel_use() {
    const ResolvedPlan& r = out_.resolved;
    if (r.fuel == nullptr) return;
    const SoldUnit sold = unit_of(*r.fuel);
    FuelUse use;
    use.name = r.fuel->name;
    use.key = r.fuel->key;
    use.unit = sold.unit;
    use.units = fuel_per_heat(*r.fuel, heat_to_water_J_, r.efficiency) / sold.inside;
    use.units_slow = std::max(use.units, use.units * slow_share());
    use.units_per_bag = use.units / std::max(out_.bag_count, 1);
    if (r.price) {
      use.cost = use.units * *r.price;
      use.cost_per_bag = *use.cost / std::max(out_.bag_count, 1);
    }
    if (r.fuel->sold_by == SoldBy::energy && r.volts)
      out_.current_A = electric_current_A(r.power_W / r.efficiency, *r.volts, r.phases);
    out_.fuel = std::move(use);
  }

  [[nodiscard]] std::vector<Said> cautions() const {
    const Plan& p = plan();
    std::vector<Said> all;
    const double top_degC = out_.resolved.input.vessel.top_degC;
    if (!p.reaches_top)
      all.push_back({"size_caution_not_hot", {{"hold_degC", top_degC}, {"power_W", out_.resolved.power_W}}});
    else if (!p.slow_reaches_top)
      all.push_back({"size_caution_perhaps_not_hot", {{"hold_degC", top_degC}}});
    if (!p.is_enough)
      all.push_back({"size_caution_never_enough", {{"longest_s", out_.resolved.input.most_steam_s}}});
    for (const TreatmentCriterion& each : out_.resolved.treatment.criteria)
      if (each.measure == Measure::minutes_at_or_above && each.sense != Sense::at_least && each.level_degC &&
          top_degC >= *each.level_degC && (p.steam_off_s - p.come_up_s.likely) / 60 > each.required)
        all.push_back(
            {"size_caution_too_long", {{"level_degC", *each.level_degC}, {"most_minutes", each.required}}});
    all.insert(all.end(), out_.resolved.cautions.begin(), out_.resolved.cautions.end());
    return all;
  }

  const PlanRequest& request_;
  const SizingTables& tables_;
  bool in_short_;
  double heat_to_water_J_ = 0;
  PlanReport out_;
};

} // namespace

PlanReport plan_report(const PlanRequest& request, const SizingTables& tables, bool in_short) {
  return Reporter(request, tables, in_short).report();
}

} // namespace coldbag
