#include "sizing/filled_sheet.h"

#include <algorithm>

namespace coldbag {

namespace {

/// The line on which a time is read off first; null where the sheet ends before.
SheetLine* line_at(RunSheet& sheet, double time_s) {
  constexpr double slack_s = 1;
  const auto found = std::ranges::find_if(
      sheet.lines, [&](const SheetLine& line) { return line.since_steam_on_s >= time_s - slack_s; });
  return found == sheet.lines.end() ? nullptr : &*found;
}

void remark(RunSheet& sheet, double time_s, const char* key, double degC) {
  if (SheetLine* line = line_at(sheet, time_s)) line->remark = Said{key, {{"level_degC", degC}}};
}

} // namespace

RunSheet filled_sheet(RunSheet sheet, const PlanReport& report) {
  const Plan& plan = report.plan;
  const double hold_degC = report.resolved.input.vessel.top_degC;
  const double setpoint_degC = report.resolved.input.need.setpoint_degC;
  // Where two fall on one line, the later in this list stands: what ends the run goes before what is likely.
  remark(sheet, plan.come_up_s.likely, "sheet_plan_vessel_likely", hold_degC);
  remark(sheet, plan.hot_s.likely, "sheet_plan_core_likely", setpoint_degC);
  remark(sheet, plan.come_up_s.slow, "sheet_plan_vessel_latest", hold_degC);
  remark(sheet, plan.hot_s.slow, "sheet_plan_core_latest", setpoint_degC);
  remark(sheet, plan.steam_off_s, "sheet_plan_off", setpoint_degC);
  sheet.vessel_kind = report.resolved.input.vessel.is_rated ? VesselKind::pressure_rated : VesselKind::vented;
  if (report.resolved.altitude_is_known) {
    sheet.altitude_m = report.resolved.altitude_m;
    sheet.boiling_degC = report.resolved.boiling_degC;
  }
  sheet.bags.clear();
  for (const PlannedBags& bags : report.resolved.input.bags)
    sheet.bags.push_back({.kind = bags.kind,
                          .count = bags.count,
                          .mass_kg = bags.bag.body.mass_kg,
                          .moisture_wb = bags.bag.packing.moisture_wb,
                          .lot = ""});
  return sheet;
}

} // namespace coldbag
