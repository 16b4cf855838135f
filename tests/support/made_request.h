// Requests for plans of invented vessels.
#pragma once

#include "sizing/plan_request.h"
#include "support/made_bag.h"

namespace coldbag::test {

inline const SizingTables& sizing_tables() {
  static const SizingTables tables = read_sizing_tables(TableFiles::built_in());
  return tables;
}

inline SaidBags said_bags(int count) {
  SaidBags out;
  out.bag = tried_bag();
  out.count = stated(count);
  return out;
}

/// A pressure-rated vessel of 2 m3 with insulated walls and 120 bags.
inline PlanRequest rated_request(int count = 120) {
  PlanRequest out;
  out.vessel.rating_gauge_Pa = stated(140e3);
  out.vessel.volume_m3 = stated(2.0);
  out.vessel.wall = stated<std::string>("insulated");
  out.supply.power_W = stated(30e3);
  out.site.altitude_m = stated(300.0);
  out.site.u_K = stated(0.3);
  out.bags.push_back(said_bags(count));
  return out;
}

/// A bare drum, open to the air.
inline PlanRequest drum_request(int count = 24) {
  PlanRequest out;
  out.vessel.kind = stated(VesselKind::vented);
  out.vessel.volume_m3 = stated(0.208);
  out.supply.power_W = stated(6e3);
  out.site.altitude_m = stated(1150.0);
  out.site.u_K = stated(0.4);
  out.bags.push_back(said_bags(count));
  return out;
}

} // namespace coldbag::test
