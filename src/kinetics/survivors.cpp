#include "kinetics/survivors.h"

#include "errors/our_fault.h"

#include <cmath>

namespace coldbag {

double log_reduction(double F_minutes, double D_minutes) {
  our_check(D_minutes > 0, "D is above zero");
  return F_minutes / D_minutes;
}

double survivors(double n0, double decades) {
  return n0 * std::pow(10.0, -decades);
}

double chance_of_any(double mean) {
  return -std::expm1(-mean);
}

double D_at_minutes(double D_ref_minutes, double ref_degC, double z_K, double t_degC) {
  return D_ref_minutes * std::pow(10.0, (ref_degC - t_degC) / z_K);
}

double z_of_two_D_K(double t1_degC, double D1_minutes, double t2_degC, double D2_minutes) {
  our_check(D1_minutes > 0 && D2_minutes > 0 && D1_minutes != D2_minutes,
            "two D values give z where they differ");
  return (t2_degC - t1_degC) / std::log10(D1_minutes / D2_minutes);
}

} // namespace coldbag
