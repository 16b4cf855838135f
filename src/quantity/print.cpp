#include "quantity/print.h"

#include "errors/our_fault.h"
#include "quantity/unit.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <charconv>
#include <cmath>
#include <cstdint>
#include <string_view>
#include <system_error>

namespace coldbag {
namespace {

constexpr int most_decimals = 6;
constexpr double s_per_minute = 60;

enum class Rounding { half_even, down, up };

/// The shortest decimal that reads back as the same number, without exponent.
std::string shortest_decimal(double value) {
  std::array<char, 400> buffer{};
  const auto [end, error] =
      std::to_chars(buffer.data(), buffer.data() + buffer.size(), value, std::chars_format::fixed);
  our_check(error == std::errc{}, "400 letters hold every double");
  return {buffer.data(), end};
}

/// Whether the digits kept grow by one in the last place, from the digits dropped.
bool grows(std::string_view kept, std::string_view dropped, Rounding rounding, bool negative) {
  const bool nothing_dropped = dropped.find_first_not_of('0') == std::string_view::npos;
  if (nothing_dropped) return false;
  if (rounding == Rounding::down) return negative;
  if (rounding == Rounding::up) return !negative;
  if (dropped.front() != '5') return dropped.front() > '5';
  const bool tie = dropped.find_first_not_of('0', 1) == std::string_view::npos;
  return !tie || (kept.back() - '0') % 2 == 1;
}

std::string plus_one(std::string digits) {
  for (std::size_t i = digits.size(); i-- > 0;) {
    if (digits[i] != '9') {
      ++digits[i];
      return digits;
    }
    digits[i] = '0';
  }
  return "1" + digits;
}

/// Works on the decimal digits, so that 0.15 is a tie and not a little less than one.
std::string print_rounded(double value, int decimals, Rounding rounding) {
  our_check(std::isfinite(value), "a number to print is finite");
  our_check(decimals >= 0, "decimals are not negative");
  std::string digits = shortest_decimal(std::abs(value));
  const std::size_t point = std::min(digits.find('.'), digits.size());
  digits.erase(point, 1);
  const std::size_t keep = point + static_cast<std::size_t>(decimals);
  if (digits.size() < keep) digits.append(keep - digits.size(), '0');
  const bool negative = value < 0;
  std::string kept = digits.substr(0, keep);
  if (grows(kept, std::string_view{digits}.substr(keep), rounding, negative)) kept = plus_one(kept);
  const bool zero = kept.find_first_not_of('0') == std::string::npos;
  if (decimals > 0) kept.insert(kept.size() - static_cast<std::size_t>(decimals), 1, '.');
  return negative && !zero ? "-" + kept : kept;
}

double read_back(const std::string& text) {
  double value = 0;
  std::from_chars(text.data(), text.data() + text.size(), value);
  return value;
}

bool meets(double value, double required, Sense sense) {
  switch (sense) {
  case Sense::at_least:
    return value >= required;
  case Sense::at_most:
    return value <= required;
  case Sense::below:
    return value < required;
  }
  return false;
}

/// The way of cutting that can turn what is met into a miss, but no miss into what is met.
Rounding further_from_required(Sense sense) {
  return sense == Sense::at_least ? Rounding::down : Rounding::up;
}

std::string with_thousands(std::string digits) {
  const std::size_t first = digits.starts_with('-') ? 1 : 0;
  const std::size_t point = std::min(digits.find('.'), digits.size());
  for (std::size_t i = point; i > first + 3; i -= 3)
    digits.insert(i - 3, 1, ',');
  return digits;
}

std::string without_zero_decimals(std::string digits) {
  if (digits.find('.') == std::string::npos) return digits;
  digits.erase(digits.find_last_not_of('0') + 1);
  if (digits.ends_with('.')) digits.pop_back();
  return digits;
}

/// What one of a unit is in the unit inside the program.
double factor(std::string_view symbol, Dimension dimension) {
  const Unit* unit = find_unit(symbol, dimension);
  our_check(unit != nullptr, "a unit that is printed is in the table");
  return unit->factor;
}

double in_F(double degC) {
  return degC * 9 / 5 + 32;
}

/// A duration counted in whole steps of one minute or one second.
enum class Step { minute = 60, second = 1 };

/// Longer times than this are told in whole minutes.
constexpr double s_told_in_seconds = 600;

Step usual_step(double seconds) {
  return seconds < s_told_in_seconds ? Step::second : Step::minute;
}

double in_steps(double seconds, Step step, Rounding rounding) {
  const auto size_s = static_cast<double>(step);
  return read_back(print_rounded(seconds / size_s, 0, rounding)) * size_s;
}

std::string words_of_duration(double whole_s) {
  our_check(whole_s >= 0 && whole_s < 1e15, "a time to print is not negative and is shorter than ages");
  const auto all_s = static_cast<std::int64_t>(whole_s);
  const std::int64_t h = all_s / 3600;
  const std::int64_t min = all_s % 3600 / 60;
  const std::int64_t s = all_s % 60;
  std::string text;
  if (h > 0) text += fmt::format("{} h ", h);
  if (min > 0 || all_s == 0) text += fmt::format("{} min ", min);
  if (s > 0) text += fmt::format("{} s ", s);
  text.pop_back();
  return text;
}

} // namespace

std::string print_fixed(double value, int decimals) {
  return print_rounded(value, decimals, Rounding::half_even);
}

std::string print_grouped(double value) {
  return with_thousands(print_fixed(value, 0));
}

std::string print_against(double value, double required, Sense sense, int decimals) {
  our_check(std::isfinite(required), "a requirement is finite");
  const bool met = meets(value, required, sense);
  // The reader may see the requirement rounded in the same way, so the side must show against that as well.
  const auto side_shows = [&](const std::string& text, int shown) {
    const double told = read_back(text);
    return meets(told, required, sense) == met &&
           meets(told, read_back(print_fixed(required, shown)), sense) == met;
  };
  for (int shown = decimals; shown <= most_decimals; ++shown) {
    std::string rounded = print_fixed(value, shown);
    if (side_shows(rounded, shown)) return rounded;
    std::string cut = print_rounded(value, shown, further_from_required(sense));
    if (side_shows(cut, shown)) return cut;
  }
  return print_rounded(value, std::max(decimals, most_decimals), further_from_required(sense));
}

std::string print_duration(double seconds) {
  return words_of_duration(in_steps(seconds, usual_step(seconds), Rounding::half_even));
}

std::string print_duration_against(double seconds, double required_s, Sense sense) {
  our_check(seconds >= 0 && required_s >= 0, "a time to print is not negative");
  const bool met = meets(seconds, required_s, sense);
  const auto side_shows = [&](double told_s, Step step) {
    return meets(told_s, required_s, sense) == met &&
           meets(told_s, in_steps(required_s, step, Rounding::half_even), sense) == met;
  };
  for (const Step step : {usual_step(seconds), Step::second}) {
    const double rounded_s = in_steps(seconds, step, Rounding::half_even);
    if (side_shows(rounded_s, step)) return words_of_duration(rounded_s);
    const double cut_s = in_steps(seconds, step, further_from_required(sense));
    if (side_shows(cut_s, step)) return words_of_duration(cut_s);
  }
  return words_of_duration(in_steps(seconds, Step::second, further_from_required(sense)));
}

std::string print_duration_up(double seconds) {
  constexpr double step_s = 5 * s_per_minute;
  constexpr double noise_s = 1e-6; // a sum of steps may end a hair past the mark
  return words_of_duration(std::max(0.0, std::ceil((seconds - noise_s) / step_s)) * step_s);
}

std::string print_temperature(double degC, UnitSystem system, int decimals) {
  if (system == UnitSystem::us) return print_fixed(in_F(degC), decimals) + " F";
  return print_fixed(degC, decimals) + " C";
}

std::string print_setpoint(double degC, UnitSystem system) {
  const bool us = system == UnitSystem::us;
  const double own = us ? in_F(degC) : degC;
  const double other = us ? degC : in_F(degC);
  return fmt::format("{} {} ({} {})", without_zero_decimals(print_fixed(own, 1)), us ? "F" : "C",
                     print_fixed(other, 0), us ? "C" : "F");
}

std::string print_temperature_difference(double K, UnitSystem system, int decimals) {
  if (system == UnitSystem::us) return print_fixed(K * 9 / 5, decimals) + " F";
  return print_fixed(K, decimals) + " K";
}

std::string print_altitude(double m, UnitSystem system) {
  if (system == UnitSystem::us)
    return with_thousands(print_fixed(m / factor("ft", Dimension::length), 0)) + " ft";
  return with_thousands(print_fixed(m, 0)) + " m";
}

std::string print_length(double m, UnitSystem system) {
  const bool us = system == UnitSystem::us;
  const std::string_view unit = us ? "in" : "cm";
  return fmt::format("{} {}", without_zero_decimals(print_fixed(m / factor(unit, Dimension::length), 1)),
                     unit);
}

std::string print_pressure(double Pa, UnitSystem system) {
  const std::string kPa = print_fixed(Pa / 1000, 1) + " kPa";
  const std::string psi = print_fixed(Pa / factor("psi", Dimension::pressure), 1) + " psi";
  return system == UnitSystem::us ? fmt::format("{} ({})", psi, kPa) : fmt::format("{} ({})", kPa, psi);
}

std::string print_mass(double kg, UnitSystem system) {
  constexpr double told_in_whole = 100;
  const double own = system == UnitSystem::us ? kg / factor("lb", Dimension::mass) : kg;
  const int decimals = std::abs(own) < told_in_whole ? 1 : 0;
  return with_thousands(print_fixed(own, decimals)) + (system == UnitSystem::us ? " lb" : " kg");
}

std::string print_volume(double m3, UnitSystem system) {
  constexpr double told_in_small_m3 = 1;
  const bool is_small = std::abs(m3) < told_in_small_m3;
  const std::string_view unit =
      system == UnitSystem::us ? (is_small ? "gal" : "ft3") : (is_small ? "L" : "m3");
  const double own = m3 / factor(unit, Dimension::volume);
  return fmt::format("{} {}", without_zero_decimals(print_fixed(own, own < 100 ? 1 : 0)), unit);
}

std::string print_area(double m2, UnitSystem system) {
  const std::string_view unit = system == UnitSystem::us ? "ft2" : "m2";
  return fmt::format("{} {}", print_fixed(m2 / factor(unit, Dimension::area), 1), unit);
}

std::string print_power(double W, UnitSystem system) {
  constexpr double told_in_watts = 1000;
  const std::string metric = std::abs(W) < told_in_watts
                                 ? print_fixed(W, 0) + " W"
                                 : without_zero_decimals(print_fixed(W / 1000, 1)) + " kW";
  if (system == UnitSystem::metric) return metric;
  return fmt::format("{} ({} Btu/h)", metric,
                     print_grouped(std::round(W / factor("Btu/h", Dimension::power))));
}

std::string print_energy(double J) {
  return print_fixed(J / factor("kWh", Dimension::energy), 1) + " kWh";
}

std::string print_transmittance(double W_per_m2K, UnitSystem system) {
  const std::string_view unit = system == UnitSystem::us ? "Btu/h ft2 F" : "W/m2K";
  return fmt::format("{} {}", print_fixed(W_per_m2K / factor(unit, Dimension::transmittance), 2), unit);
}

std::string print_mass_rate(double kg_per_s, UnitSystem system) {
  const std::string_view unit = system == UnitSystem::us ? "lb/h" : "kg/h";
  return fmt::format("{} {}", print_fixed(kg_per_s / factor(unit, Dimension::mass_rate), 1), unit);
}

} // namespace coldbag
