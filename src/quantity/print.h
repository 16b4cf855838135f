// Quantities to text. Rounding never shows a miss as met: the sense of the requirement decides which way a
// doubtful last digit goes.
#pragma once

#include <optional>
#include <string>

namespace coldbag {

enum class Sense { at_least, at_most, below };

/// Fixed decimals, round half to even on the decimal value; "-0.0" is written "0.0".
[[nodiscard]] std::string print_fixed(double value, int decimals);

/// Whole, with a comma between thousands: "107,762".
[[nodiscard]] std::string print_grouped(double value);

/// As print_fixed, but where rounding would carry a value that misses `required` onto or past it, it is cut
/// instead. Decimals are raised (to at most 6) where that still would not show on which side it lies, of
/// `required` and of `required` as print_fixed shows it. Where six cannot tell, a miss shows as a miss, and
/// what is met by less may show as one too.
[[nodiscard]] std::string print_against(double value, double required, Sense sense, int decimals);

/// "12 h 20 min", "45 min", "1 min 30 s" (seconds only below ten minutes, none where zero); negative is a
/// caller's fault.
[[nodiscard]] std::string print_duration(double seconds);
/// The same cut or raised as print_against says, to whole minutes (or seconds below ten minutes).
[[nodiscard]] std::string print_duration_against(double seconds, double required_s, Sense sense);
/// Rounded up to the next five minutes: what a person is told to wait.
[[nodiscard]] std::string print_duration_up(double seconds);

enum class UnitSystem { metric, us };

/// "96.2 C" or "205.2 F".
[[nodiscard]] std::string print_temperature(double degC, UnitSystem system, int decimals = 1);
/// The site's unit with the other in brackets: "88 C (190 F)", for setpoints; trailing ".0" left out.
[[nodiscard]] std::string print_setpoint(double degC, UnitSystem system);
[[nodiscard]] std::string print_temperature_difference(double K, UnitSystem system, int decimals = 1);
/// "1,150 m" or "3,773 ft".
[[nodiscard]] std::string print_altitude(double m, UnitSystem system);
/// Of something held in the hand: "13.2 cm" or "5.2 in".
[[nodiscard]] std::string print_length(double m, UnitSystem system);
/// "16.9 kPa (2.4 psi)".
[[nodiscard]] std::string print_pressure(double Pa, UnitSystem system);
[[nodiscard]] std::string print_mass(double kg, UnitSystem system);
/// "208 L", "2.4 m3"; "55 gal", "85 ft3".
[[nodiscard]] std::string print_volume(double m3, UnitSystem system);
[[nodiscard]] std::string print_area(double m2, UnitSystem system);
/// "6 kW", "350 W"; with Btu/h behind it in US units.
[[nodiscard]] std::string print_power(double W, UnitSystem system);
/// "12.3 kWh".
[[nodiscard]] std::string print_energy(double J);
[[nodiscard]] std::string print_transmittance(double W_per_m2K, UnitSystem system);
/// Of steam: "12.3 kg/h" or "27.1 lb/h".
[[nodiscard]] std::string print_mass_rate(double kg_per_s, UnitSystem system);

} // namespace coldbag
