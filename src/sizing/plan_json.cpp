#include "sizing/plan_json.h"

#include "errors/our_fault.h"

#include <nlohmann/json.hpp>

#include <cmath>

namespace coldbag {

namespace {

using Json = nlohmann::ordered_json;

constexpr double s_per_minute = 60;

Json number(double value) {
  our_check(std::isfinite(value), "every figure of a plan is finite");
  return value;
}
Json number_or_null(const std::optional<double>& value) {
  return value ? number(*value) : Json(nullptr);
}
Json minutes(double s) {
  return number(s / s_per_minute);
}
Json minutes_or_null(const std::optional<double>& s) {
  return s ? minutes(*s) : Json(nullptr);
}
Json json_of(const Range& range, double over) {
  return {{"good", number(range.good / over)},
          {"likely", number(range.likely / over)},
          {"slow", number(range.slow / over)}};
}

Json json_of(const std::vector<Said>& all) {
  Json list = Json::array();
  for (const Said& said : all) {
    Json values = Json::object();
    for (const auto& [name, value] : said.values) {
      const double* figure = std::get_if<double>(&value);
      values[name] = figure != nullptr ? number(*figure) : Json(std::get<std::string>(value));
    }
    list.push_back({{"key", said.key}, {"values", std::move(values)}});
  }
  return list;
}

Json bags_of(const PlanReport& report) {
  Json list = Json::array();
  for (const PlannedBags& bags : report.resolved.input.bags)
    list.push_back({{"kind", bags.kind.empty() ? Json(nullptr) : Json(bags.kind)},
                    {"count", bags.count},
                    {"mass_kg", number(bags.bag.body.mass_kg)},
                    {"moisture_fraction", number(bags.bag.packing.moisture_wb)},
                    {"form", form_text(bags.bag.body.form)},
                    {"substrate", bags.bag.material},
                    {"spread_ln", number(bags.spread_sd)},
                    {"earlier_runs", bags.earlier_runs},
                    {"earlier_bags", bags.earlier_bags}});
  return list;
}

Json vessel_of(const PlanReport& report) {
  const ResolvedPlan& r = report.resolved;
  const VesselBody& v = r.input.vessel;
  return {{"kind", v.is_rated ? "pressure-rated" : "vented"},
          {"volume_m3", number(r.vessel_volume_m3)},
          {"bags_m3", number(r.bags_volume_m3)},
          {"wall_area_m2", number(r.wall_area_m2)},
          {"wall_W_per_m2K", number(r.wall_W_per_m2K)},
          {"metal_kg", number(r.metal_kg)},
          {"metal_J_per_K", number(v.metal_J_per_K)},
          {"standing_water_kg", number(v.heel_kg)},
          {"purge_volumes", number(v.purge_volumes)},
          {"air_fraction", number(v.air_left)},
          {"room_degC", number(v.air_degC)},
          {"start_degC", number(v.start_degC)},
          {"hold_degC", number(v.top_degC)},
          {"hold_gauge_Pa", number(r.hold_gauge_Pa)},
          {"site_pressure_Pa", number(v.site_pressure_Pa)},
          {"altitude_m", r.altitude_is_known ? number(r.altitude_m) : Json(nullptr)},
          {"boiling_degC", number(r.boiling_degC)}};
}

Json supply_of(const PlanReport& report) {
  const SteamSupply& s = report.resolved.input.supply;
  const char* kind = s.kind == SupplyKind::within ? "within" : s.kind == SupplyKind::rate ? "rate" : "boiler";
  return {{"kind", kind},
          {"power_W", number(report.resolved.power_W)},
          {"rate_kg_per_s", s.kind == SupplyKind::rate ? number(s.rate_kg_per_s) : Json(nullptr)},
          {"feed_degC", number(s.feed_degC)},
          {"dryness_fraction", number(s.dryness)},
          {"turned_down", s.is_turned_down},
          {"fuel", report.resolved.fuel != nullptr ? Json(report.resolved.fuel->key) : Json(nullptr)},
          {"efficiency_fraction", number(report.resolved.efficiency)},
          {"boiler_ready_minutes", minutes(report.plan.boiler_ready_s)}};
}

Json json_of(const HeatShares& shares) {
  return {{"supplied_J", number(shares.supplied_J)}, {"bags_J", number(shares.bags_J)},
          {"metal_J", number(shares.metal_J)},       {"standing_water_J", number(shares.standing_water_J)},
          {"walls_J", number(shares.walls_J)},       {"space_J", number(shares.space_J)},
          {"vented_J", number(shares.vented_J)},     {"condensate_J", number(shares.condensate_J)}};
}

Json steam_of(const PlanReport& report) {
  const Plan& p = report.plan;
  return {{"steam_kg", json_of(p.steam_kg, 1)},
          {"vented_kg", number(p.vented_kg)},
          {"condensate_kg", number(p.condensate_kg)},
          {"kept_kg", number(p.kept_kg)},
          {"water_kg", number(report.water_kg)},
          {"water_with_reserve_kg", number(report.water_with_reserve_kg)},
          {"peak_demand_W", number(p.peak_demand_W)},
          {"hold_demand_W", number(p.hold_demand_W)},
          {"vent_kg_per_s", number(p.most_vented_kg_per_s)},
          {"heat_per_bag_J", number(report.heat_per_bag_J)},
          {"to_hold", json_of(p.to_top)},
          {"to_steam_off", json_of(p.to_off)},
          {"energy_residual_fraction", number(p.energy_residual_share)},
          {"water_residual_fraction", number(p.water_residual_share)}};
}

Json fuel_of(const PlanReport& report) {
  if (!report.fuel) return nullptr;
  const FuelUse& use = *report.fuel;
  return {{"name", use.key},
          {"unit", use.unit},
          {"likely", number(use.units)},
          {"slow", number(use.units_slow)},
          {"per_bag", number(use.units_per_bag)},
          {"cost", number_or_null(use.cost)},
          {"cost_per_bag", number_or_null(use.cost_per_bag)},
          {"current_A", number_or_null(report.current_A)}};
}

Json times_of(const PlanReport& report) {
  const Plan& p = report.plan;
  return {{"boiling_minutes", json_of(p.boiling_s, s_per_minute)},
          {"come_up_minutes", json_of(p.come_up_s, s_per_minute)},
          {"hot_minutes", json_of(p.hot_s, s_per_minute)},
          {"enough_minutes", json_of(p.enough_s, s_per_minute)},
          {"steam_off_minutes", minutes(p.steam_off_s)},
          {"alike_enough_minutes", minutes(p.alike_enough_s)},
          {"margin", number(p.margin)},
          {"ln_sd", number(p.ln_sd)},
          {"slowest_depth_sd", number(p.slowest_depth_sd)},
          {"probed_saves_minutes", minutes(p.probed_saves_s)},
          {"open_minutes", minutes_or_null(p.open_s)},
          {"open_slow_minutes", minutes_or_null(p.open_slow_s)},
          {"cooled_minutes", minutes_or_null(p.cooled_s)},
          {"cooled_slow_minutes", minutes_or_null(p.cooled_slow_s)},
          {"credit_F_minutes", number(p.credit_minutes)},
          {"hot_after_minutes", minutes(p.hot_after_s)},
          {"F_minutes", number(p.F_minutes)},
          {"second_enough_minutes", minutes_or_null(p.second_enough_s)},
          {"first_delayed_minutes", minutes_or_null(p.first_delayed_s)},
          {"bags_per_day", number(report.bags_per_day)}};
}

Json json_of(const BoilerAnswer& answer) {
  return {{"come_up_minutes", minutes(answer.come_up_s)},
          {"most_bags", answer.most_bags ? Json(*answer.most_bags) : Json(nullptr)},
          {"room_is_the_limit", answer.room_is_the_limit},
          {"power_needed_W", number_or_null(answer.power_needed_W)}};
}

Json json_of(const Fitting& fitting) {
  return {{"bags", fitting.total()},
          {"layers", fitting.layers},
          {"on_fullest_layer", fitting.on_fullest_layer},
          {"staggered", fitting.is_staggered}};
}

Json json_of(const PlanComparison& comparison) {
  return {{"name", comparison.seen.name},
          {"come_up_minutes", minutes_or_null(comparison.seen.come_up_s)},
          {"come_up_planned_minutes", json_of(comparison.come_up_s, s_per_minute)},
          {"hot_minutes", minutes_or_null(comparison.seen.hot_s)},
          {"hot_planned_minutes", json_of(comparison.hot_s, s_per_minute)},
          {"steam_kg", number_or_null(comparison.seen.steam_kg)},
          {"steam_planned_kg", number(comparison.steam_kg)},
          {"why", json_of(comparison.why)}};
}

Json json_of(const std::vector<std::string>& heads, const SweepRow& row) {
  Json labels = Json::object();
  for (std::size_t i = 0; i < heads.size(); ++i)
    labels[heads[i]] = row.labels[i];
  Json out{{"of", labels}};
  if (!row.report) {
    Json problems = Json::array();
    for (const Complaint& complaint : row.refused)
      problems.push_back(complaint.problem);
    out["refused"] = std::move(problems);
    return out;
  }
  const Plan& p = row.report->plan;
  out["is_enough"] = p.is_enough;
  out["bags"] = row.report->bag_count;
  out["steam_off_minutes"] = minutes(p.steam_off_s);
  out["come_up_minutes"] = json_of(p.come_up_s, s_per_minute);
  out["enough_likely_minutes"] = minutes(p.enough_s.likely);
  out["slow_reaches_hold"] = p.slow_reaches_top;
  out["steam_kg"] = number(p.steam_kg.likely);
  out["water_kg"] = number(row.report->water_kg);
  out["heat_per_bag_J"] = number(row.report->heat_per_bag_J);
  out["bags_per_day"] = number(row.bags_per_day);
  out["fuel"] = fuel_of(*row.report);
  return out;
}

} // namespace

std::string plan_json(const PlanReport& report, const BesidePlan& beside) {
  Json editions = Json::array();
  for (const Edition& edition : report.editions)
    editions.push_back({{"name", edition.name}, {"origin", edition.origin}, {"sha256", edition.sha256}});
  const CoreNeed& need = report.resolved.input.need;
  const Json root{{"name", report.name.empty() ? Json(nullptr) : Json(report.name)},
                  {"treatment", report.resolved.treatment.key},
                  {"is_enough", report.plan.is_enough},
                  {"reaches_hold", report.plan.reaches_top},
                  {"slow_reaches_hold", report.plan.slow_reaches_top},
                  {"need",
                   {{"F_minutes", need.reference ? number(need.F_minutes) : Json(nullptr)},
                    {"hold_minutes", minutes(need.hold_s)},
                    {"setpoint_degC", number(need.setpoint_degC)},
                    {"u_K", number(report.resolved.u_K)}}},
                  {"bags", bags_of(report)},
                  {"vessel", vessel_of(report)},
                  {"supply", supply_of(report)},
                  {"times", times_of(report)},
                  {"steam", steam_of(report)},
                  {"fuel", fuel_of(report)},
                  {"boiler", beside.boiler ? json_of(*beside.boiler) : Json(nullptr)},
                  {"run", beside.run ? json_of(*beside.run) : Json(nullptr)},
                  {"fitting", beside.fitting ? json_of(*beside.fitting) : Json(nullptr)},
                  {"assumptions", json_of(report.assumptions)},
                  {"cautions", json_of(report.cautions)},
                  {"units", report.units == UnitSystem::us ? "us" : "metric"},
                  {"editions", editions},
                  {"program_version", report.program_version}};
  return root.dump(2, ' ', false, Json::error_handler_t::replace) + "\n";
}

std::string sweep_json(const std::vector<std::string>& heads, const std::vector<SweepRow>& rows,
                       const BestRow& best) {
  Json list = Json::array();
  for (const SweepRow& row : rows)
    list.push_back(json_of(heads, row));
  const Json root{{"rows", list},
                  {"best", best.row ? Json(*best.row) : Json(nullptr)},
                  {"next", best.next ? Json(*best.next) : Json(nullptr)},
                  {"reasons", json_of(best.why_not_next)},
                  {"program_version", COLDBAG_VERSION}};
  return root.dump(2, ' ', false, Json::error_handler_t::replace) + "\n";
}

} // namespace coldbag
