#include "steam/saturation.h"

#include "errors/our_fault.h"

#include <cmath>

namespace coldbag {

namespace {

// IAPWS R7-97(2012), Table 34; n1 to n10 as the release numbers them.
constexpr double n1 = 0.11670521452767e4;
constexpr double n2 = -0.72421316703206e6;
constexpr double n3 = -0.17073846940092e2;
constexpr double n4 = 0.12020824702470e5;
constexpr double n5 = -0.32325550322333e7;
constexpr double n6 = 0.14915108613530e2;
constexpr double n7 = -0.48232657361591e4;
constexpr double n8 = 0.40511340542057e6;
constexpr double n9 = -0.23855557567849;
constexpr double n10 = 0.65017534844798e3;

constexpr double zero_degC_K = 273.15;
constexpr double critical_degC = 373.946;
constexpr double lowest_pressure_Pa = 611.213; // at 0 degC
constexpr double critical_pressure_Pa = 22.064e6;

double kelvin(double t_degC) {
  our_check(t_degC >= 0 && t_degC <= critical_degC, "temperature is on the saturation line of water");
  return t_degC + zero_degC_K;
}

/// Eq. 29b
double theta_of(double T_K) {
  return T_K + n9 / (T_K - n10);
}

/// Fourth root of the pressure in MPa, Eq. 30.
double beta_of(double theta) {
  const double A = theta * theta + n1 * theta + n2;
  const double B = n3 * theta * theta + n4 * theta + n5;
  const double C = n6 * theta * theta + n7 * theta + n8;
  return 2 * C / (-B + std::sqrt(B * B - 4 * A * C));
}

} // namespace

double saturation_pressure_Pa(double t_degC) {
  const double beta = beta_of(theta_of(kelvin(t_degC)));
  return beta * beta * beta * beta * 1e6;
}

double saturation_temperature_degC(double abs_pressure_Pa) {
  our_check(abs_pressure_Pa >= lowest_pressure_Pa && abs_pressure_Pa <= critical_pressure_Pa,
            "pressure is on the saturation line of water");
  const double beta = std::sqrt(std::sqrt(abs_pressure_Pa / 1e6));
  const double E = beta * beta + n3 * beta + n6;
  const double F = n1 * beta * beta + n4 * beta + n7;
  const double G = n2 * beta * beta + n5 * beta + n8;
  const double D = 2 * G / (-F - std::sqrt(F * F - 4 * E * G));
  const double sum = n10 + D;
  return (sum - std::sqrt(sum * sum - 4 * (n9 + n10 * D))) / 2 - zero_degC_K;
}

double saturation_slope_Pa_per_K(double t_degC) {
  const double T_K = kelvin(t_degC);
  const double theta = theta_of(T_K);
  const double beta = beta_of(theta);
  // Eq. 29 holds along the line, so its two partial slopes give d(beta)/d(theta).
  const double along_theta =
      beta * beta * (2 * theta + n1) + beta * (2 * n3 * theta + n4) + 2 * n6 * theta + n7;
  const double along_beta =
      2 * beta * (theta * theta + n1 * theta + n2) + n3 * theta * theta + n4 * theta + n5;
  const double dtheta_dT = 1 - n9 / ((T_K - n10) * (T_K - n10));
  return -4 * beta * beta * beta * along_theta / along_beta * dtheta_dT * 1e6;
}

} // namespace coldbag
