// What somebody said of a vessel, its steam and its load, and the plan's input made of it.
#pragma once

#include "farm/bag.h"
#include "farm/treatment.h"
#include "farm/vessel.h"
#include "heatup/learned.h"
#include "sizing/fuel.h"
#include "sizing/plan.h"
#include "sizing/vessel_figures.h"

#include <optional>
#include <string>
#include <vector>

namespace coldbag {

/// Whatever was left out is assumed, and told, where that can be.
struct SaidVessel {
  Stated<VesselKind> kind;
  Stated<double> rating_gauge_Pa;
  Stated<double> volume_m3;
  Stated<double> wall_area_m2;
  Stated<std::string> wall; ///< "bare", "insulated"
  Stated<double> wall_W_per_m2K;
  Stated<std::string> metal;
  Stated<double> metal_kg;
  Stated<double> standing_water_kg;
  Stated<double> air_left;
  Stated<double> purge_volumes;
  bool operator==(const SaidVessel&) const = default;
};

struct SaidSupply {
  std::string name;       ///< where several are compared
  Stated<double> power_W; ///< heat into the water
  Stated<double> rate_kg_per_s;
  Stated<double> burner_W;  ///< heat of the fuel, times the efficiency
  Stated<double> fuel_rate; ///< units of the fuel (kg or m3) a second
  bool fuel_rate_is_mass = false;
  Stated<std::string> fuel;
  Stated<double> efficiency;
  Stated<double> feed_degC;
  Stated<double> dryness;
  Stated<double> boiler_water_kg; ///< of a boiler that starts cold
  Stated<double> price;           ///< of a unit of fuel as it is sold: 1 kWh, 1 kg, 1 L
  Stated<double> volts;
  Stated<int> phases;
  bool boils_within = false;   ///< water boils in the vessel itself
  bool is_turned_down = false; ///< to what is asked, once hot
  bool operator==(const SaidSupply&) const = default;
};

struct SaidSite {
  Stated<double> altitude_m;
  Stated<double> site_pressure_Pa;
  Stated<double> air_degC;   ///< around the vessel
  Stated<double> start_degC; ///< of bags and vessel
  Stated<double> hold_degC;
  Stated<double> hold_gauge_Pa;
  Stated<double> u_K; ///< of the probes in bags
  bool operator==(const SaidSite&) const = default;
};

struct SaidBags {
  Bag bag;
  Stated<int> count;
};

struct PlanRequest {
  std::string name; ///< of the vessel, "" where there is none
  SaidVessel vessel;
  SaidSupply supply;
  SaidSite site;
  std::vector<SaidBags> bags;
  std::string treatment; ///< key; "" : the usual one of the kind of vessel
  std::optional<double> second_after_s;
  std::optional<Learned> learned;
  UnitSystem units = UnitSystem::metric;
};

/// All tables that a plan rests on, read once.
struct SizingTables {
  HeatingTables heating;
  VesselFigures vessel;
  std::vector<Fuel> fuels;
  std::vector<Treatment> treatments;
  std::vector<Edition> editions;
  double u_unstated_K = 0; ///< of a probe whose class nobody stated
  struct FilmLimit {
    std::string key;
    double highest_degC = 0;
  };
  std::vector<FilmLimit> films;
};
[[nodiscard]] SizingTables read_sizing_tables(const TableFiles& tables);

/// A request with everything found: the engine's input and what is told beside the plan.
struct ResolvedPlan {
  PlanInput input;
  Treatment treatment;
  double altitude_m = 0;
  bool altitude_is_known = false;
  double boiling_degC = 0;
  double hold_gauge_Pa = 0; ///< of the steam at the hold, 0 in an open vessel
  double wall_area_m2 = 0;
  double wall_W_per_m2K = 0;
  double metal_kg = 0;
  double vessel_volume_m3 = 0;
  double bags_volume_m3 = 0;
  double u_K = 0;
  double boiler_ready_s = 0;  ///< a cold boiler's own time to first steam
  const Fuel* fuel = nullptr; ///< of the tables; null where unknown
  double efficiency = 1;
  std::optional<double> price;
  std::optional<double> volts;
  int phases = 1;
  double power_W = 0;            ///< heat into the water, of a steam rate too
  std::vector<Said> assumptions; ///< "size_assumed_…", "lag_assumed_…"
  std::vector<Said> cautions;    ///< "size_caution_…"
};

/// Throws UserError with every fault: no bags, mass or steam; an unknown treatment; a hold over the boiling
/// point of an open vessel, over the rating or over a film's limit; bags that do not fit; walls under those
/// of a sphere; a barometer that contradicts the altitude; two supplies at once. `tables` must outlive it.
[[nodiscard]] ResolvedPlan resolve_plan(const PlanRequest& request, const SizingTables& tables);

} // namespace coldbag
