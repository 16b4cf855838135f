#include "quantity/unit.h"

#include <array>
#include <cmath>
#include <string>
#include <utility>

namespace coldbag {
namespace {

// Definitions, exact. Values from memory; each agrees to its seven digits with NIST SP 811 (2008) appendix
// B.8 as the SysML v2 library USCustomaryUnits restates it (the Guide itself was not seen).
constexpr double kg_per_lb = 0.45359237;
constexpr double m_per_in = 0.0254;
constexpr double m_per_ft = 12 * m_per_in;
constexpr double m3_per_gal = 3.785411784e-3; // US gallon: 231 cubic inches
constexpr double m3_per_ft3 = m_per_ft * m_per_ft * m_per_ft;
constexpr double m2_per_ft2 = m_per_ft * m_per_ft;
constexpr double J_per_Btu = 1055.05585262;   // International Table
constexpr double Pa_per_psi = 6894.757293168; // lb * 9.80665 m/s2 over a square inch
constexpr double Pa_per_atm = 101325;         // from memory: SP 811 B.8, exact
constexpr double Pa_per_mmHg = 133.3224;      // conventional; from memory: SP 811 B.8
constexpr double Pa_per_inHg = 3386.389;      // conventional; SP 811 B.8 as above
constexpr double Pa_per_kgf_cm2 = 98066.5;    // from memory: SP 811 B.8, exact
// ASME: 34.5 lb/h of steam from and at 212 F (from memory). The watts are SP 811's, as above.
constexpr double W_per_boiler_hp = 9809.5;

constexpr double s_per_h = 3600;
constexpr double K_per_F = 5.0 / 9.0;

using enum Dimension;
constexpr std::array units{
    Unit{"C", temperature, 1, 0},
    Unit{"F", temperature, K_per_F, -32 * 5.0 / 9.0},
    Unit{"K", temperature, 1, -273.15},
    Unit{"K", temperature_difference, 1, 0},
    Unit{"C", temperature_difference, 1, 0},
    Unit{"F", temperature_difference, K_per_F, 0},
    Unit{"s", duration, 1, 0},
    Unit{"min", duration, 60, 0},
    Unit{"h", duration, s_per_h, 0},
    Unit{"d", duration, 86400, 0},
    Unit{"kg", mass, 1, 0},
    Unit{"g", mass, 0.001, 0},
    Unit{"t", mass, 1000, 0},
    Unit{"lb", mass, kg_per_lb, 0},
    Unit{"oz", mass, kg_per_lb / 16, 0},
    Unit{"m", length, 1, 0},
    Unit{"cm", length, 0.01, 0},
    Unit{"mm", length, 0.001, 0},
    Unit{"km", length, 1000, 0},
    Unit{"in", length, m_per_in, 0},
    Unit{"ft", length, m_per_ft, 0},
    Unit{"m2", area, 1, 0},
    Unit{"cm2", area, 1e-4, 0},
    Unit{"ft2", area, m2_per_ft2, 0},
    Unit{"in2", area, m_per_in* m_per_in, 0},
    Unit{"m3", volume, 1, 0},
    Unit{"L", volume, 0.001, 0},
    Unit{"mL", volume, 1e-6, 0},
    Unit{"gal", volume, m3_per_gal, 0},
    Unit{"ft3", volume, m3_per_ft3, 0},
    Unit{"W", power, 1, 0},
    Unit{"kW", power, 1000, 0},
    Unit{"MW", power, 1e6, 0},
    Unit{"Btu/h", power, J_per_Btu / s_per_h, 0},
    // A bare "hp" is left out: on a boiler it means one thing and on a motor a thirteenth of it.
    Unit{"boiler hp", power, W_per_boiler_hp, 0},
    Unit{"J", energy, 1, 0},
    Unit{"kJ", energy, 1000, 0},
    Unit{"MJ", energy, 1e6, 0},
    Unit{"Wh", energy, s_per_h, 0},
    Unit{"kWh", energy, 1000 * s_per_h, 0},
    Unit{"Btu", energy, J_per_Btu, 0},
    Unit{"kg/s", mass_rate, 1, 0},
    Unit{"kg/h", mass_rate, 1 / s_per_h, 0},
    Unit{"lb/h", mass_rate, kg_per_lb / s_per_h, 0},
    Unit{"Pa", pressure, 1, 0},
    Unit{"hPa", pressure, 100, 0},
    Unit{"kPa", pressure, 1000, 0},
    Unit{"MPa", pressure, 1e6, 0},
    Unit{"mbar", pressure, 100, 0},
    Unit{"bar", pressure, 1e5, 0},
    Unit{"psi", pressure, Pa_per_psi, 0},
    Unit{"atm", pressure, Pa_per_atm, 0},
    Unit{"mmHg", pressure, Pa_per_mmHg, 0},
    Unit{"inHg", pressure, Pa_per_inHg, 0},
    Unit{"kgf/cm2", pressure, Pa_per_kgf_cm2, 0},
    Unit{"%", fraction, 0.01, 0},
    Unit{"ppm", fraction, 1e-6, 0},
    Unit{"W/m2K", transmittance, 1, 0},
    Unit{"Btu/h ft2 F", transmittance, J_per_Btu / (s_per_h * m2_per_ft2 * K_per_F), 0},
    Unit{"kg/s", fuel_rate, 1, 0},
    Unit{"kg/h", fuel_rate, 1 / s_per_h, 0},
    Unit{"lb/h", fuel_rate, kg_per_lb / s_per_h, 0},
    Unit{"m3/s", fuel_rate, 1, 0},
    Unit{"m3/h", fuel_rate, 1 / s_per_h, 0},
    Unit{"L/h", fuel_rate, 0.001 / s_per_h, 0},
    Unit{"gal/h", fuel_rate, m3_per_gal / s_per_h, 0},
    Unit{"ft3/h", fuel_rate, m3_per_ft3 / s_per_h, 0},
};

/// Other spellings, in small letters and without blanks, and the symbol each stands for.
struct Spelling {
  std::string_view written;
  std::string_view symbol;
};
constexpr std::array spellings{
    Spelling{"celsius", "C"},
    Spelling{"fahrenheit", "F"},
    Spelling{"kelvin", "K"},
    Spelling{"kelvins", "K"},
    Spelling{"sec", "s"},
    Spelling{"secs", "s"},
    Spelling{"second", "s"},
    Spelling{"seconds", "s"},
    Spelling{"min", "min"},
    Spelling{"mins", "min"},
    Spelling{"minute", "min"},
    Spelling{"minutes", "min"},
    Spelling{"hr", "h"},
    Spelling{"hrs", "h"},
    Spelling{"hour", "h"},
    Spelling{"hours", "h"},
    Spelling{"day", "d"},
    Spelling{"days", "d"},
    Spelling{"kgs", "kg"},
    Spelling{"kilogram", "kg"},
    Spelling{"kilograms", "kg"},
    Spelling{"gram", "g"},
    Spelling{"grams", "g"},
    Spelling{"tonne", "t"},
    Spelling{"tonnes", "t"},
    Spelling{"lbs", "lb"},
    Spelling{"pound", "lb"},
    Spelling{"pounds", "lb"},
    Spelling{"ounce", "oz"},
    Spelling{"ounces", "oz"},
    Spelling{"metre", "m"},
    Spelling{"metres", "m"},
    Spelling{"meter", "m"},
    Spelling{"meters", "m"},
    Spelling{"inch", "in"},
    Spelling{"inches", "in"},
    Spelling{"foot", "ft"},
    Spelling{"feet", "ft"},
    Spelling{"sqm", "m2"},
    Spelling{"sqft", "ft2"},
    Spelling{"squarefeet", "ft2"},
    Spelling{"squaremetres", "m2"},
    Spelling{"squaremeters", "m2"},
    Spelling{"sqin", "in2"},
    Spelling{"litre", "L"},
    Spelling{"litres", "L"},
    Spelling{"liter", "L"},
    Spelling{"liters", "L"},
    Spelling{"usgal", "gal"},
    Spelling{"gallon", "gal"},
    Spelling{"gallons", "gal"},
    Spelling{"cuft", "ft3"},
    Spelling{"cubicfeet", "ft3"},
    Spelling{"cubicmetres", "m3"},
    Spelling{"cubicmeters", "m3"},
    Spelling{"btu/hr", "Btu/h"},
    Spelling{"btuh", "Btu/h"},
    Spelling{"boilerhorsepower", "boiler hp"},
    Spelling{"hpboiler", "boiler hp"},
    Spelling{"kg/hr", "kg/h"},
    Spelling{"lb/hr", "lb/h"},
    Spelling{"lbs/h", "lb/h"},
    Spelling{"lbs/hr", "lb/h"},
    Spelling{"l/hr", "L/h"},
    Spelling{"gal/hr", "gal/h"},
    Spelling{"gph", "gal/h"},
    Spelling{"ft3/hr", "ft3/h"},
    Spelling{"cuft/h", "ft3/h"},
    Spelling{"cuft/hr", "ft3/h"},
    Spelling{"percent", "%"},
    Spelling{"w/m2/k", "W/m2K"},
    Spelling{"btu/hrft2f", "Btu/h ft2 F"},
};

/// Marks that are written in several ways, as UTF-8, and what stands for them here.
constexpr std::array<std::pair<std::string_view, std::string_view>, 10> marks{{
    {"\u00b0", ""},  // degree sign
    {"\u00ba", ""},  // ordinal sign, often typed for it
    {"\u2103", "C"}, // degree Celsius as one letter
    {"\u2109", "F"}, // degree Fahrenheit as one letter
    {"\u00b2", "2"},
    {"\u00b3", "3"},
    {"\u00b7", ""}, // middle dot
    {"\u22c5", ""}, // dot operator
    {"\u00a0", ""}, // blank that does not break
    {"\u202f", ""}, // narrow blank that does not break
}};

std::string without_marks(std::string_view text) {
  std::string result;
  while (!text.empty()) {
    bool replaced = false;
    for (const auto& [mark, plain] : marks) {
      if (!text.starts_with(mark)) continue;
      result += plain;
      text.remove_prefix(mark.size());
      replaced = true;
      break;
    }
    if (replaced) continue;
    constexpr std::string_view dropped = " \t()*^";
    if (dropped.find(text.front()) == std::string_view::npos) result += text.front();
    text.remove_prefix(1);
  }
  return result;
}

char lower(char c) {
  return c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c;
}

std::string in_small_letters(std::string text) {
  for (char& c : text)
    c = lower(c);
  return text;
}

std::string without_degree_word(std::string text) {
  for (const std::string_view word : {"degrees", "degree", "deg"}) {
    if (text.size() > word.size() && in_small_letters(text).starts_with(word))
      return text.substr(word.size());
  }
  return text;
}

/// M and m are kept apart: they are mega and milli.
std::string folded_but_m(std::string text) {
  for (char& c : text)
    c = c == 'M' ? c : lower(c);
  return text;
}

const Unit* unit_of_symbol(std::string_view symbol, Dimension dimension) {
  for (const Unit& unit : units) {
    if (unit.dimension == dimension && unit.symbol == symbol) return &unit;
  }
  return nullptr;
}

} // namespace

std::span<const Unit> all_units() {
  return units;
}

const Unit* find_unit(std::string_view symbol, Dimension dimension) {
  const std::string plain = without_degree_word(without_marks(symbol));
  const std::string folded = folded_but_m(plain);
  for (const Unit& unit : units) {
    if (unit.dimension == dimension && folded_but_m(without_marks(unit.symbol)) == folded) return &unit;
  }
  const std::string small = in_small_letters(plain);
  for (const Spelling& spelling : spellings) {
    if (spelling.written != small) continue;
    if (const Unit* unit = unit_of_symbol(spelling.symbol, dimension)) return unit;
  }
  return nullptr;
}

double inside_value(const Unit& unit, double written) {
  // 212 F is 100 C to the last digit only when 32 is taken off first.
  if (unit.dimension == temperature && unit.symbol == "F") return (written - 32) * 5 / 9;
  // Dividing by 100 rounds once where multiplying by 0.01 rounds twice.
  const double parts = std::round(1 / unit.factor);
  if (parts > 1 && 1 / parts == unit.factor) return written / parts;
  return written * unit.factor + unit.offset;
}

std::string_view units_to_name(Dimension dimension) {
  switch (dimension) {
  case temperature:
    return "C, F or K";
  case temperature_difference:
    return "K, C or F";
  case duration:
    return "s, min, h or d";
  case mass:
    return "kg, g, t, lb or oz";
  case length:
    return "m, cm, mm, ft or in";
  case area:
    return "m2, cm2, ft2 or in2";
  case volume:
    return "m3, L, gal or ft3";
  case power:
    return "W, kW, Btu/h or boiler hp";
  case energy:
    return "J, kJ, MJ, kWh or Btu";
  case mass_rate:
    return "kg/h, kg/s or lb/h";
  case pressure:
    return "Pa, kPa, bar, mbar, psi or inHg";
  case fraction:
    return "%";
  case transmittance:
    return "W/m2K or Btu/h ft2 F";
  case fuel_rate:
    return "kg/h, lb/h, L/h, gal/h, m3/h or ft3/h";
  }
  return "";
}

} // namespace coldbag
