#include "probes/check_made.h"

#include "errors/our_fault.h"
#include "farm/check_text.h"
#include "probes/uncertainty.h"
#include "steam/atmosphere.h"
#include "steam/saturation.h"

#include <algorithm>
#include <cmath>

namespace coldbag {

namespace {

double rounded_up_K(double u_K) {
  return std::ceil(u_K * 100 - 1e-9) / 100;
}

} // namespace

double point_u_K(const PointRead& read) {
  return std::hypot(read.reference_u_K, u_of_resolution(read.resolution_K), read.spread_K);
}

double ice_reference_u_K(const CheckRules& rules) {
  return u_of_half_width(rules.ice_half_K);
}

double boil_degC(double site_pressure_Pa) {
  our_check(is_site_pressure(site_pressure_Pa), "the pressure is that of a site");
  return std::round(saturation_temperature_degC(site_pressure_Pa) * 100) / 100;
}

double boil_reference_u_K(double site_pressure_Pa, double pressure_half_Pa, const CheckRules& rules) {
  const double slope_Pa_per_K = saturation_slope_Pa_per_K(boil_degC(site_pressure_Pa));
  return std::hypot(u_of_half_width(pressure_half_Pa / slope_Pa_per_K), u_of_half_width(rules.boil_half_K));
}

ProbeCheck made_check(const std::optional<PointRead>& low, const std::optional<PointRead>& high) {
  our_check(low || high, "a check has a point");
  ProbeCheck check;
  double u_K = 0;
  double reference_u_K = 0;
  for (const std::optional<PointRead>* read : {&low, &high})
    if (*read) {
      u_K = std::max(u_K, point_u_K(**read));
      reference_u_K = std::max(reference_u_K, (*read)->reference_u_K);
    }
  if (low) check.low = low->point;
  if (high) check.high = high->point;
  check.u_K = rounded_up_K(u_K);
  check.reference_u_K = rounded_up_K(reference_u_K);
  return as_written(check);
}

} // namespace coldbag
