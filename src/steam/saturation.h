// Water and its steam at saturation: pressure from temperature and back.
#pragma once

namespace coldbag {

/// Saturation pressure of water, Pa (absolute).
/// t_degC: 0 to 373.946; outside that is a caller's fault (checked).
/// IAPWS R7-97(2012), region 4, Eqs. 29-30; guarded by tests/published/steam_test.cpp (Table 35).
[[nodiscard]] double saturation_pressure_Pa(double t_degC);

/// Saturation temperature of water, degC.
/// abs_pressure_Pa: 611.213 to 22.064e6; outside that is a caller's fault (checked).
/// IAPWS R7-97(2012), region 4, Eq. 31; guarded by tests/published/steam_test.cpp (Table 36).
[[nodiscard]] double saturation_temperature_degC(double abs_pressure_Pa);

/// Slope of the saturation line, Pa/K, at t_degC (same range), from the derivative of Eq. 30.
[[nodiscard]] double saturation_slope_Pa_per_K(double t_degC);

} // namespace coldbag
