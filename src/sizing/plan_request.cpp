#include "sizing/plan_request.h"

#include "errors/our_fault.h"
#include "farm/fit.h"
#include "probes/probe_class.h"
#include "run/caution_tables.h"
#include "sizing/steam_supply.h"
#include "sizing/wall.h"
#include "steam/atmosphere.h"
#include "steam/latent_heat.h"
#include "steam/saturation.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>
#include <utility>

namespace coldbag {

namespace {

constexpr double one_sided_95 = 1.645;
constexpr double boiling_slack_K = 0.5; ///< a vessel at its boiling point may be said so far above it
constexpr double rating_slack_Pa = 500; ///< rounding of temperature and gauge
constexpr double least_rise_K = 5;
constexpr double highest_hold_degC = 150;
constexpr double area_slack = 0.99;
constexpr double near_hold_K = 2;
constexpr double cool_treatment_K = 20; ///< so far under the boiling point a treatment is held by the valve
constexpr double over_setpoint_K = 10;

std::string in_C(double degC) {
  return print_fixed(degC, 1) + " C";
}
std::string in_kPa(double Pa) {
  return print_fixed(Pa / 1000, 1) + " kPa";
}
std::string in_litres(double m3) {
  return print_grouped(std::round(1000 * m3)) + " L";
}

double sides_volume_m3(const BagBody& body) {
  return body.mass_kg / body.density_kg_per_m3;
}

/// Makes a plan's input piece by piece, gathering what was assumed and what is wrong.
class Resolver {
 public:
  Resolver(const PlanRequest& request, const SizingTables& tables)
      : request_(request), said_(request.vessel), supply_(request.supply), site_(request.site),
        tables_(tables), figures_(tables.vessel) {}

  ResolvedPlan resolve() {
    check_signs();
    find_kind();
    find_air_outside();
    find_treatment();
    find_bags();
    find_start();
    find_hold();
    find_vessel();
    find_walls();
    find_supply();
    find_need();
    check_films();
    if (!complaints_.empty()) throw UserError(std::move(complaints_));
    tell_place();
    tell_cautions();
    return std::move(out_);
  }

 private:
  void complain(const Place& place, std::string problem, std::string remedy) {
    complaints_.push_back({place.source_name.empty() ? Trouble::usage : Trouble::bad_data, place,
                           std::move(problem), std::move(remedy)});
  }
  void assume(std::string key, SaidValues values = {}) {
    out_.assumptions.push_back({std::move(key), std::move(values)});
  }
  void caution(std::string key, SaidValues values = {}) {
    out_.cautions.push_back({std::move(key), std::move(values)});
  }
  [[nodiscard]] bool is_rated() const { return kind_ == VesselKind::pressure_rated; }

  /// What a file cannot say a command line can: less than nothing of a thing.
  void check_signs() {
    const auto not_under_0 = [&](const Stated<double>& stated, const char* what) {
      if (stated.value.value_or(0) < 0)
        complain(stated.place, fmt::format("{} is less than nothing", what), "0 or more");
    };
    not_under_0(said_.standing_water_kg, "the standing water");
    not_under_0(said_.wall_W_per_m2K, "the loss of the walls");
    not_under_0(said_.metal_kg, "the mass of the metal");
    not_under_0(said_.purge_volumes, "the steam that leaves with the air");
    not_under_0(supply_.boiler_water_kg, "the water of the boiler");
    not_under_0(supply_.price, "the price");
    if (said_.wall_area_m2.known() && !(*said_.wall_area_m2.value > 0))
      complain(said_.wall_area_m2.place, "a vessel has walls", "above 0");
    if (!complaints_.empty()) throw UserError(std::move(complaints_));
  }

  void find_kind() {
    kind_ = said_.kind.value.value_or(said_.rating_gauge_Pa.known() ? VesselKind::pressure_rated
                                                                    : VesselKind::vented);
    if (!said_.kind.known() && !said_.rating_gauge_Pa.known()) assume("size_assumed_vented");
    out_.input.vessel.is_rated = is_rated();
  }

  void find_air_outside() {
    out_.altitude_is_known = site_.altitude_m.known();
    out_.altitude_m = site_.altitude_m.value.value_or(0);
    double site_Pa = standard_pressure_Pa(out_.altitude_m);
    if (site_.site_pressure_Pa.known()) {
      site_Pa = *site_.site_pressure_Pa.value;
      if (site_.altitude_m.known())
        if (auto misfit = pressure_misfit(site_Pa, site_.site_pressure_Pa.place, out_.altitude_m)) {
          if (misfit->place.source_name.empty()) misfit->trouble = Trouble::usage;
          complaints_.push_back(*std::move(misfit));
        }
    } else if (!site_.altitude_m.known()) {
      assume("lag_assumed_sea_level", {{"boiling_degC", boiling_point_degC(site_Pa)}});
    }
    out_.input.vessel.site_pressure_Pa = site_Pa;
    out_.boiling_degC = boiling_point_degC(site_Pa);
  }

  void find_treatment() {
    const std::string usual = is_rated() ? "sterilize" : "atmospheric_steam";
    const std::string& key = request_.treatment.empty() ? usual : request_.treatment;
    const Treatment* found = find_treatment_of(key);
    if (found == nullptr) {
      std::string known;
      for (const Treatment& each : tables_.treatments)
        known += (known.empty() ? "" : ", ") + each.key;
      return complain({"", 0, 0, "--treatment"}, fmt::format("there is no treatment \"{}\"", key),
                      "choose one of " + known);
    }
    out_.treatment = *found;
    if (request_.treatment.empty()) assume("size_assumed_treatment", {{"name", found->name}});
  }
  [[nodiscard]] const Treatment* find_treatment_of(const std::string& key) const {
    return coldbag::find_treatment(tables_.treatments, key);
  }

  void find_bags() {
    if (request_.bags.empty())
      complain({"", 0, 0, "--bags"}, "nobody said how many bags of what size",
               R"(write for example --bags 30 --mass "5 lb", or name a kind of bag of the site file)");
    for (const SaidBags& said : request_.bags)
      find_kind_of_bags(said);
  }

  void find_kind_of_bags(const SaidBags& said) {
    if (!said.count.known())
      complain(said.count.place.key_path.empty() ? Place{"", 0, 0, "--bags"} : said.count.place,
               "nobody said how many bags there are", "write for example --bags 30");
    try {
      DescribedBag described = describe_bag(said.bag, {}, {}, tables_.heating);
      const HeatingFigures& figures = tables_.heating.figures;
      const LearnedBag* learned =
          request_.learned ? find_learned(*request_.learned, said.bag.name, described.description) : nullptr;
      const FitPrior prior = learned != nullptr ? learned->prior : prior_of_tables(figures);
      const double spread = request_.learned ? request_.learned->spread.sd : figures.bag_spread;
      for (const Said& each : described.assumptions)
        if (std::ranges::find(out_.assumptions, each) == out_.assumptions.end())
          out_.assumptions.push_back(each);
      if (learned != nullptr)
        out_.assumptions.push_back({"size_learned",
                                    {{"kind", said.bag.name},
                                     {"runs", std::to_string(learned->runs)},
                                     {"bags", std::to_string(learned->bags)}}});
      out_.bags_volume_m3 += said.count.value.value_or(0) * sides_volume_m3(described.body);
      out_.input.bags.push_back({.kind = said.bag.name,
                                 .bag = std::move(described),
                                 .count = said.count.value.value_or(1),
                                 .before = fit_before_any_log(prior, figures),
                                 .spread_sd = spread,
                                 .keeps_condensate = said.bag.closure.value == "open",
                                 .earlier_runs = learned != nullptr ? learned->runs : 0,
                                 .earlier_bags = learned != nullptr ? learned->bags : 0});
    } catch (const UserError& error) {
      for (Complaint each : error.complaints()) {
        if (each.place.source_name.empty()) each.trouble = Trouble::usage;
        complaints_.push_back(std::move(each));
      }
    }
  }

  void find_start() {
    VesselBody& vessel = out_.input.vessel;
    vessel.start_degC = site_.start_degC.value.value_or(tables_.heating.figures.start_degC);
    if (!site_.start_degC.known()) assume("lag_assumed_start", {{"start_degC", vessel.start_degC}});
    vessel.air_degC = site_.air_degC.value.value_or(figures_.air_around_degC);
    if (!site_.air_degC.known()) assume("size_assumed_room", {{"room_degC", vessel.air_degC}});
    constexpr double coldest_degC = -40;
    constexpr double hottest_degC = 95;
    if (vessel.start_degC < coldest_degC || vessel.start_degC > hottest_degC)
      complain(site_.start_degC.place, fmt::format("bags of {} are not reckoned", in_C(vessel.start_degC)),
               "from -40 to 95 C");
    if (vessel.air_degC < coldest_degC || vessel.air_degC > 60) {
      complain(site_.air_degC.place, fmt::format("a room of {} is not reckoned", in_C(vessel.air_degC)),
               "from -40 to 60 C");
      vessel.air_degC = figures_.air_around_degC;
    }
  }

  void find_hold() {
    VesselBody& vessel = out_.input.vessel;
    vessel.air_left = said_.air_left.value.value_or(figures_.air_left);
    if (!said_.air_left.known()) assume("size_assumed_air_left", {{"air_fraction", vessel.air_left}});
    if (vessel.air_left < 0 || vessel.air_left > 0.5) {
      complain(said_.air_left.place, "air cannot keep that share of the pressure", "from 0 to 50 %");
      vessel.air_left = 0;
    }
    Place place = site_.hold_degC.place;
    if (site_.hold_degC.known() && site_.hold_gauge_Pa.known())
      complain(site_.hold_gauge_Pa.place, "temperature and pressure of the hold are both said",
               "one of them is enough");
    if (site_.hold_gauge_Pa.known()) {
      place = site_.hold_gauge_Pa.place;
      const double gauge_Pa = *site_.hold_gauge_Pa.value;
      if (gauge_Pa < 0) return complain(place, "a vessel is not steamed under a vacuum", "0 or more");
      vessel.top_degC = saturation_temperature_degC(
          std::min((vessel.site_pressure_Pa + gauge_Pa) * (1 - vessel.air_left), 2e6));
      if (is_rated())
        out_.assumptions.push_back(
            {"size_gauge_is", {{"gauge_pressure_Pa", gauge_Pa}, {"hold_degC", vessel.top_degC}}});
    } else if (site_.hold_degC.known()) {
      vessel.top_degC = *site_.hold_degC.value;
    } else {
      vessel.top_degC = usual_hold_degC();
      assume("size_assumed_hold", {{"hold_degC", vessel.top_degC}});
    }
    check_hold(place);
  }

  /// Steam as hot as an open vessel gets, less what air takes; that of F in a rated one; midway between what
  /// is asked and what is too much.
  [[nodiscard]] double usual_hold_degC() const {
    const VesselBody& vessel = out_.input.vessel;
    const double open_degC = saturation_temperature_degC(vessel.site_pressure_Pa * (1 - vessel.air_left));
    double highest_degC = open_degC;
    if (is_rated() && said_.rating_gauge_Pa.known())
      highest_degC = saturation_temperature_degC((vessel.site_pressure_Pa + *said_.rating_gauge_Pa.value) *
                                                 (1 - vessel.air_left));
    double too_hot_degC = std::numeric_limits<double>::infinity();
    for (const TreatmentCriterion& each : out_.treatment.criteria)
      if (each.measure == Measure::top && each.sense != Sense::at_least)
        too_hot_degC = std::min(too_hot_degC, each.required);
    if (std::isfinite(too_hot_degC))
      return std::min((out_.treatment.setpoint_degC + too_hot_degC) / 2, highest_degC);
    if (!is_rated() && out_.treatment.setpoint_degC < open_degC - cool_treatment_K)
      return out_.treatment.setpoint_degC + over_setpoint_K;
    if (!is_rated()) return open_degC;
    return std::min(std::max(out_.treatment.reference.at_degC, out_.treatment.setpoint_degC), highest_degC);
  }

  void check_hold(const Place& place) {
    VesselBody& vessel = out_.input.vessel;
    if (vessel.top_degC > highest_hold_degC)
      return complain(place, fmt::format("steam of {} is not reckoned", in_C(vessel.top_degC)),
                      "at most 150 C");
    if (vessel.top_degC < vessel.start_degC + least_rise_K)
      complain(place, fmt::format("a hold of {} is hardly warmer than the start", in_C(vessel.top_degC)),
               "at least 5 K warmer");
    const double own_Pa = saturation_pressure_Pa(std::max(vessel.top_degC, 1.0)) / (1 - vessel.air_left);
    if (!is_rated()) {
      const double open_degC = saturation_temperature_degC(vessel.site_pressure_Pa * (1 - vessel.air_left));
      if (vessel.top_degC > open_degC + boiling_slack_K)
        return complain(
            place,
            fmt::format("{} is above where water boils here ({}), and the vessel is not pressure-rated",
                        in_C(vessel.top_degC), in_C(out_.boiling_degC)),
            fmt::format("hold at most {} and for longer, never close a vent to go higher; only a "
                        "vessel with a nameplate holds pressure: --rated \"15 psi gauge\"",
                        in_C(open_degC)));
      vessel.top_degC = std::min(vessel.top_degC, open_degC);
      return;
    }
    out_.hold_gauge_Pa = std::max(own_Pa - vessel.site_pressure_Pa, 0.0);
    if (!said_.rating_gauge_Pa.known())
      return complain(said_.kind.place, "the rating of the vessel is not known",
                      "copy it from the nameplate, for example --rated \"15 psi gauge\"");
    const double rating_Pa = *said_.rating_gauge_Pa.value;
    if (out_.hold_gauge_Pa > rating_Pa + rating_slack_Pa)
      complain(
          place,
          fmt::format("steam of {} needs {} gauge here, the vessel is rated for {}", in_C(vessel.top_degC),
                      in_kPa(out_.hold_gauge_Pa), in_kPa(rating_Pa)),
          fmt::format("at most {} here: hold longer, never above the nameplate",
                      in_C(saturation_temperature_degC((vessel.site_pressure_Pa + std::max(rating_Pa, 0.0)) *
                                                       (1 - vessel.air_left)))));
  }

  void find_vessel() {
    VesselBody& vessel = out_.input.vessel;
    double volume_m3 = said_.volume_m3.value.value_or(out_.bags_volume_m3 / figures_.bags_most);
    if (!said_.volume_m3.known()) assume("size_assumed_volume", {{"volume_m3", volume_m3}});
    if (out_.input.bags.empty()) return; // said already
    if (!(volume_m3 > 0)) {
      complain(said_.volume_m3.place, "a vessel has a volume", "write for example --volume \"208 L\"");
      volume_m3 = 1;
    }
    if (out_.bags_volume_m3 > figures_.bags_most * volume_m3 * (1 + 1e-9))
      complain(said_.volume_m3.place,
               fmt::format("the bags take {} of {}: no way is left for the steam",
                           in_litres(out_.bags_volume_m3), in_litres(volume_m3)),
               fmt::format("at most {:.0f} % (assumed): fewer bags, or a vessel of {} or more",
                           100 * figures_.bags_most, in_litres(out_.bags_volume_m3 / figures_.bags_most)));
    constexpr double water_kg_per_m3 = 998;
    const double water_m3 = said_.standing_water_kg.value.value_or(0) / water_kg_per_m3;
    if (water_m3 > 0 && water_m3 + out_.bags_volume_m3 > volume_m3)
      complain(said_.standing_water_kg.place,
               fmt::format("{} of water do not fit beside {} of bags in {}", in_litres(water_m3),
                           in_litres(out_.bags_volume_m3), in_litres(volume_m3)),
               "less water, fewer bags or a larger vessel");
    out_.vessel_volume_m3 = volume_m3;
    vessel.volume_m3 = std::max(volume_m3 - out_.bags_volume_m3, 0.0);
    vessel.heel_kg = said_.standing_water_kg.value.value_or(0);
    vessel.purge_volumes = said_.purge_volumes.value.value_or(figures_.purge_volumes);
    if (!said_.purge_volumes.known()) assume("size_assumed_purge", {{"volumes", vessel.purge_volumes}});
  }

  [[nodiscard]] double metal_J_per_kgK(const std::string& metal) const {
    const auto holds = [&](std::string_view word) { return metal.find(word) != std::string::npos; };
    if (holds("stainless")) return figures_.stainless_J_per_kgK;
    if (holds("alumin")) return figures_.aluminium_J_per_kgK;
    if (holds("concrete") || holds("brick") || holds("block")) return figures_.concrete_J_per_kgK;
    return figures_.steel_J_per_kgK;
  }
  [[nodiscard]] static bool is_known_metal(const std::string& metal) {
    constexpr std::array known{"stainless", "alumin", "concrete", "brick", "block", "steel", "iron"};
    return std::ranges::any_of(known,
                               [&](const char* word) { return metal.find(word) != std::string::npos; });
  }

  void find_walls() {
    VesselBody& vessel = out_.input.vessel;
    const double least_m2 = least_area_m2(out_.vessel_volume_m3);
    out_.wall_area_m2 = said_.wall_area_m2.value.value_or(least_m2 * figures_.cube_over_sphere);
    if (!said_.wall_area_m2.known()) assume("size_assumed_wall_area", {{"area_m2", out_.wall_area_m2}});
    if (out_.wall_area_m2 < area_slack * least_m2)
      complain(said_.wall_area_m2.place,
               fmt::format("walls of {} m2 cannot enclose {}", print_fixed(out_.wall_area_m2, 2),
                           in_litres(out_.vessel_volume_m3)),
               fmt::format("even a sphere has {} m2: check area and volume", print_fixed(least_m2, 2)));
    if (said_.wall_W_per_m2K.known()) {
      out_.wall_W_per_m2K = *said_.wall_W_per_m2K.value;
    } else {
      const std::string wall = said_.wall.value.value_or("bare");
      if (!said_.wall.known()) assume("size_assumed_bare");
      const std::array<WallLayer, 1> layers{
          {{figures_.insulation_thickness_m, figures_.insulation_W_per_mK}}};
      out_.wall_W_per_m2K = wall == "insulated"
                                ? layered_W_per_m2K(layers, std::numeric_limits<double>::infinity(),
                                                    figures_.insulation_outside_W_per_m2K)
                                : bare_W_per_m2K(vessel.top_degC, vessel.air_degC, figures_.wall_emissivity);
      assume("size_assumed_wall", {{"wall_W_per_m2K", out_.wall_W_per_m2K}});
    }
    vessel.wall_W_per_K = out_.wall_W_per_m2K * out_.wall_area_m2;
    const std::string metal = said_.metal.value.value_or("steel");
    const double plate = is_rated() ? figures_.plate_rated_kg_per_m2 : figures_.plate_vented_kg_per_m2;
    out_.metal_kg = said_.metal_kg.value.value_or(plate * out_.wall_area_m2);
    if (!said_.metal_kg.known()) assume("size_assumed_metal", {{"metal_kg", out_.metal_kg}, {"name", metal}});
    if (!is_known_metal(metal)) assume("size_assumed_steel", {{"name", metal}});
    vessel.metal_J_per_K = out_.metal_kg * metal_J_per_kgK(metal);
  }

  void find_supply() {
    SteamSupply& supply = out_.input.supply;
    supply.kind = supply_.boils_within ? SupplyKind::within : SupplyKind::boiler;
    supply.is_turned_down = supply_.is_turned_down || is_throttled();
    supply.feed_degC = supply_.feed_degC.value.value_or(figures_.feed_water_degC);
    supply.dryness = supply_.dryness.value.value_or(figures_.dryness);
    if (supply.dryness < 0.5 || supply.dryness > 1)
      complain(supply_.dryness.place, "steam is not that wet", "from 50 to 100 %");
    if (supply.feed_degC < 0 || supply.feed_degC > 99)
      complain(supply_.feed_degC.place, "feed water is not that hot or cold", "from 0 to 99 C");
    out_.fuel = supply_.fuel.known() ? find_fuel(tables_.fuels, *supply_.fuel.value) : nullptr;
    if (supply_.fuel.known() && out_.fuel == nullptr) {
      std::string known;
      for (const Fuel& fuel : tables_.fuels)
        known += (known.empty() ? "" : ", ") + fuel.key;
      complain(supply_.fuel.place, fmt::format("\"{}\" is no fuel that is known", *supply_.fuel.value),
               "one of " + known);
    }
    out_.price = supply_.price.value;
    out_.volts = supply_.volts.value;
    out_.phases = supply_.phases.value.value_or(1);
    const bool has_power = supply_.power_W.known();
    const bool has_rate = supply_.rate_kg_per_s.known();
    const bool has_burner = supply_.burner_W.known();
    const bool has_fuel_rate = supply_.fuel_rate.known();
    if (has_power + has_rate + has_burner + has_fuel_rate > 1)
      complain(supply_.power_W.place, "the steam supply is said in several ways",
               "one of --steam, --burner and --fuel-rate is enough");
    else if (has_power + has_rate + has_burner + has_fuel_rate == 0)
      complain({"", 0, 0, "--steam"}, "nobody said how much steam there is",
               R"(write for example --steam "6 kW", --steam "12 kg/h" or --burner "20 kW" --fuel propane)");
    find_efficiency(has_burner || has_fuel_rate);
    constexpr double most_power_W = 1e9;
    const auto positive = [&](const Stated<double>& stated) {
      if (stated.known() && !(*stated.value > 0)) complain(stated.place, "no steam comes of that", "above 0");
      if (stated.value.value_or(0) > most_power_W) {
        complain(stated.place, "no boiler is so large", "at most 1 GW");
        return most_power_W;
      }
      return stated.value.value_or(0);
    };
    if (has_rate) {
      if (supply_.boils_within)
        complain(supply_.rate_kg_per_s.place, "water that boils in the vessel is told by its heat",
                 "write the power, for example --steam \"6 kW\"");
      supply.kind = SupplyKind::rate;
      supply.rate_kg_per_s = positive(supply_.rate_kg_per_s);
      supply.power_W = boiler_power_W(supply.rate_kg_per_s, supply.feed_degC,
                                      saturation_pressure_Pa(std::max(out_.input.vessel.top_degC, 99.0)),
                                      std::clamp(supply.dryness, 0.5, 1.0));
    } else if (has_burner) {
      supply.power_W = positive(supply_.burner_W) * out_.efficiency;
    } else if (has_fuel_rate) {
      if (out_.fuel == nullptr || out_.fuel->sold_by == SoldBy::energy)
        complain(supply_.fuel_rate.place, "what is burned is not said", "write for example --fuel propane");
      else if ((out_.fuel->sold_by == SoldBy::mass) != supply_.fuel_rate_is_mass)
        complain(supply_.fuel_rate.place,
                 out_.fuel->sold_by == SoldBy::mass ? "\"" + out_.fuel->key + "\" is reckoned by its mass"
                                                    : "\"" + out_.fuel->key + "\" is reckoned by its volume",
                 out_.fuel->sold_by == SoldBy::mass
                     ? "write for example \"5 kg/h\""
                     : R"(write for example "2 L/h" (of the liquid) or "3 m3/h")");
      else
        supply.power_W = positive(supply_.fuel_rate) * out_.fuel->heat_J_per_unit * out_.efficiency;
    } else {
      supply.power_W = positive(supply_.power_W);
    }
    out_.power_W = supply.power_W;
    if (supply.kind != SupplyKind::within && !supply_.feed_degC.known())
      assume("size_assumed_feed", {{"feed_degC", supply.feed_degC}});
    out_.input.doubt = {figures_.doubt_supply, figures_.doubt_walls, figures_.doubt_metal};
    if (out_.fuel != nullptr && out_.fuel->key == "wood-open-fire")
      out_.input.doubt.supply = figures_.doubt_open_fire;
    if (supply_.boiler_water_kg.known() && supply.power_W > 0)
      out_.boiler_ready_s = *supply_.boiler_water_kg.value *
                            (water_enthalpy_J_per_kg(std::max(out_.boiling_degC, 1.0)) -
                             water_enthalpy_J_per_kg(std::max(supply.feed_degC, 0.01))) /
                            supply.power_W;
  }

  /// A hold under the boiling point is kept by the valve, not by the vent.
  [[nodiscard]] bool is_throttled() const {
    return !is_rated() && out_.input.vessel.top_degC < out_.boiling_degC - 2;
  }

  void find_efficiency(bool is_needed) {
    if (supply_.efficiency.known()) {
      out_.efficiency = *supply_.efficiency.value;
      if (!(out_.efficiency > 0 && out_.efficiency <= 1))
        complain(supply_.efficiency.place, "no boiler is that good or bad", "above 0, and 100 % at most");
      return;
    }
    if (out_.fuel == nullptr) {
      if (is_needed && !supply_.fuel.known())
        complain({"", 0, 0, "--efficiency"}, "neither fuel nor efficiency is said",
                 "write for example --fuel propane, or --efficiency 75%");
      return;
    }
    out_.efficiency = (out_.fuel->lowest_efficiency + out_.fuel->highest_efficiency) / 2;
    if (out_.efficiency < 1)
      assume("size_assumed_efficiency",
             {{"efficiency_fraction", out_.efficiency}, {"fuel", out_.fuel->name}});
  }

  void find_need() {
    out_.u_K = site_.u_K.value.value_or(tables_.u_unstated_K);
    if (out_.u_K < 0) {
      complain(site_.u_K.place, "an uncertainty is not negative", "write for example --u \"0.3 K\"");
      out_.u_K = 0;
    }
    if (!site_.u_K.known()) assume("size_assumed_u", {{"u_K", out_.u_K}});
    double heaviest_kg = 0;
    for (const PlannedBags& bags : out_.input.bags)
      heaviest_kg = std::max(heaviest_kg, bags.bag.body.mass_kg);
    NeedOfTreatment need = need_of(out_.treatment, out_.boiling_degC, heaviest_kg, one_sided_95 * out_.u_K);
    out_.input.need = need.need;
    if (out_.input.need.hold_s <= 0 &&
        out_.input.need.setpoint_degC > out_.input.vessel.top_degC - near_hold_K) {
      // F alone is asked: a core counts as hot near the steam, were that colder than the treatment's
      // setpoint.
      out_.input.need.setpoint_degC = out_.input.vessel.top_degC - near_hold_K;
      assume("size_assumed_setpoint", {{"level_degC", out_.input.need.setpoint_degC}});
    }
    for (const std::string& name : need.left_out)
      caution("size_caution_not_planned", {{"criterion", name}});
    out_.input.open_degC = figures_.open_steam_degC;
    const bool is_straw = out_.treatment.key.find("straw") != std::string::npos;
    out_.input.cool_degC = is_straw ? figures_.cool_core_straw_degC : figures_.cool_core_degC;
    out_.input.film_in_air_W_per_m2K = figures_.film_in_air_W_per_m2K;
    out_.input.most_steam_s = figures_.longest_steam_s;
    out_.input.second_after_s = request_.second_after_s;
    check_reach();
  }

  /// What the probe could show at the hold, however long it lasts.
  void check_reach() {
    const CoreNeed& need = out_.input.need;
    const double lowered_degC = out_.input.vessel.top_degC - need.ku_K;
    double asked_degC = need.hold_s > 0 ? need.setpoint_degC : -1e9;
    if (need.reference && need.reference->lowest_degC && need.F_minutes > 0)
      asked_degC = std::max(asked_degC, *need.reference->lowest_degC);
    if (out_.treatment.key.empty() || lowered_degC > asked_degC) return;
    if (out_.input.vessel.top_degC <= asked_degC)
      return complain(site_.hold_degC.place,
                      fmt::format("\"{}\" asks for {} in the bags, and the steam is {}", out_.treatment.key,
                                  in_C(asked_degC), in_C(out_.input.vessel.top_degC)),
                      is_rated()
                          ? "a hotter hold that the rating allows, or another treatment"
                          : "an open vessel gets no hotter: another treatment, or a vessel that a nameplate "
                            "rates for the pressure");
    complain(
        site_.hold_degC.place,
        fmt::format("steam of {} cannot show {} in a bag: the probe may read {} K too high",
                    in_C(out_.input.vessel.top_degC), in_C(asked_degC), print_fixed(need.ku_K, 1)),
        "a better probe (check it: coldbag probe, then --u \"0.3 K\"), hotter steam in a vessel that may "
        "hold it, or another treatment");
  }

  void check_films() {
    for (const SaidBags& said : request_.bags) {
      std::optional<double> limit = said.bag.film_highest_degC.value;
      if (!limit && said.bag.film.known())
        for (const SizingTables::FilmLimit& film : tables_.films)
          if (film.key == *said.bag.film.value) limit = film.highest_degC;
      if (limit && out_.input.vessel.top_degC > *limit + boiling_slack_K)
        complain(said.bag.film.known() ? said.bag.film.place : said.bag.film_highest_degC.place,
                 fmt::format("film {} bears {} when filled, the hold is {}",
                             said.bag.film.value.value_or("of the maker's figure"), in_C(*limit),
                             in_C(out_.input.vessel.top_degC)),
                 "other bags, or a cooler and longer treatment");
    }
  }

  /// What height and temperature change, in figures a grower asks for.
  void tell_place() {
    constexpr double told_from_m = 300;
    const double reference_degC = out_.treatment.reference.at_degC;
    if (std::abs(out_.altitude_m) >= told_from_m && is_rated())
      out_.assumptions.push_back(
          {"size_altitude_is",
           {{"boiling_degC", out_.boiling_degC},
            {"gauge_pressure_Pa", saturation_pressure_Pa(121.1) - out_.input.vessel.site_pressure_Pa}}});
    constexpr double told_from_K = 0.5;
    const double off_K = out_.input.vessel.top_degC - reference_degC;
    if (out_.input.need.reference && std::abs(off_K) >= told_from_K)
      out_.assumptions.push_back(
          {"size_minute_is",
           {{"hold_degC", out_.input.vessel.top_degC},
            {"reference_degC", reference_degC},
            {"worth", print_fixed(std::pow(10.0, off_K / out_.treatment.reference.z_K), 2)}}});
  }

  void tell_cautions() {
    const VesselBody& vessel = out_.input.vessel;
    const bool is_meant =
        out_.treatment.vessel_kinds.empty() ||
        std::ranges::find(out_.treatment.vessel_kinds, is_rated() ? "pressure-rated" : "vented") !=
            out_.treatment.vessel_kinds.end();
    if (!is_meant) caution("size_caution_other_vessel", {{"name", out_.treatment.name}});
    if (is_rated() && out_.hold_gauge_Pa > 0)
      caution("size_caution_pressure", {{"gauge_pressure_Pa", out_.hold_gauge_Pa}});
    else
      caution("size_caution_vent", {{"back_pressure_Pa", figures_.vent_back_pressure_Pa}});
    for (const TreatmentCriterion& each : out_.treatment.criteria)
      if (each.measure == Measure::top && each.sense != Sense::at_least && vessel.top_degC >= each.required)
        caution("size_caution_too_hot", {{"hold_degC", vessel.top_degC}, {"limit_degC", each.required}});
    if (vessel.air_left <= 0) caution("size_caution_air");
    caution("size_caution_water");
    caution("size_caution_opening");
    caution("size_caution_burns");
    caution("size_caution_collapse");
    if (out_.fuel != nullptr && out_.fuel->sold_by != SoldBy::energy) caution("size_caution_fumes");
  }

  const PlanRequest& request_;
  const SaidVessel& said_;
  const SaidSupply& supply_;
  const SaidSite& site_;
  const SizingTables& tables_;
  const VesselFigures& figures_;
  VesselKind kind_ = VesselKind::vented;
  ResolvedPlan out_;
  std::vector<Complaint> complaints_;
};

} // namespace

SizingTables read_sizing_tables(const TableFiles& tables) {
  SizingTables out{
      .heating = read_heating_tables(tables),
      .vessel = read_vessel_figures(tables),
      .fuels = read_fuels(tables),
      .treatments = read_treatments(tables.source_name("treatments.toml"), tables.bytes("treatments.toml")),
      .editions = tables.editions(),
      .u_unstated_K = 0,
      .films = {}};
  const std::vector<ProbeClass> classes = read_probe_classes(tables);
  const ProbeClass* unstated = find_probe_class(classes, "unstated");
  our_check(unstated != nullptr, "the table has a class for probes nobody described");
  out.u_unstated_K = class_u_K(*unstated, 100);
  for (const Film& film : read_caution_tables(tables).films)
    out.films.push_back({film.key, film.loaded_highest_degC});
  std::erase_if(out.editions, [](const Edition& edition) {
    constexpr std::array used{"bag-heating.csv", "films.csv",       "fuels.csv",         "probe-classes.csv",
                              "substrates.csv",  "treatments.toml", "vessel-figures.csv"};
    return std::ranges::find(used, edition.name) == used.end();
  });
  return out;
}

ResolvedPlan resolve_plan(const PlanRequest& request, const SizingTables& tables) {
  return Resolver(request, tables).resolve();
}

} // namespace coldbag
