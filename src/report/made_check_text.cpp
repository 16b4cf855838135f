#include "report/made_check_text.h"

#include "report/layout.h"

#include <fmt/format.h>

#include <cmath>

namespace coldbag {

namespace {

std::string signed_K(double K, UnitSystem units) {
  return (K >= 0 ? "+" : "") + print_temperature_difference(K, units, 2);
}

std::string day(WallTime time) {
  return print_iso_wall(time).substr(0, 10);
}

std::string row(const std::string& name, const std::string& reads, const std::string& is,
                const std::string& correction) {
  return fmt::format("  {:<16}{:>12}{:>12}{:>12}\n", name, reads, is, correction);
}

std::string point_row(const std::string& name, const CheckPoint& point, UnitSystem units) {
  return row(name, print_temperature(point.reads_degC, units, 2), print_temperature(point.is_degC, units, 2),
             signed_K(point.is_degC - point.reads_degC, units));
}

std::string corrected_line(const ProbeCheck& check, const Words& words) {
  const bool is_line = check.low && check.high;
  const std::string sign = check.correction.offset_K < 0 ? "-" : "+";
  const std::string offset = print_fixed(std::abs(check.correction.offset_K), is_line ? 6 : 3);
  return wrapped("  " + (is_line
                             ? words.text("probe_corrected", {{"gain", print_fixed(check.correction.gain, 6)},
                                                              {"sign", sign},
                                                              {"offset", offset}})
                             : words.text("probe_corrected_one_point", {{"sign", sign}, {"offset", offset}})),
                 4);
}

std::string check_lines(const ProbeCheck& check, UnitSystem units, const Words& words) {
  const bool is_reference = check.how == "reference";
  std::string text =
      words.text(check.state == CheckState::as_left ? "probe_as_left" : "probe_as_found") + "\n" +
      row("", words.text("probe_reads"), words.text("probe_is"), words.text("probe_correction"));
  if (check.low)
    text += point_row(words.text(is_reference ? "probe_low_point" : "probe_in_ice"), *check.low, units);
  if (check.high)
    text += point_row(words.text(is_reference ? "probe_high_point" : "probe_at_boil"), *check.high, units);
  return text + corrected_line(check, words);
}

std::string head(const MadeCheck& made, const Words& words) {
  const ProbeCheck& found = made.checks.front();
  std::string when = print_iso_wall(*found.on);
  when = found.has_clock ? when.substr(0, 10) + " " + when.substr(11, 5) : when.substr(0, 10);
  std::string text = wrapped(
      found.by.empty() ? words.text("probe_checked", {{"probe", clean(made.probe)}, {"when", when}})
                       : words.text("probe_checked_by",
                                    {{"probe", clean(made.probe)}, {"when", when}, {"by", clean(found.by)}}),
      2);
  if (!found.site_pressure_Pa) return text;
  const std::string pressure = print_fixed(*found.site_pressure_Pa / 1000, 2) + " kPa";
  const std::string boiling = print_temperature(found.high->is_degC, made.units, 2);
  if (made.by_barometer || !made.altitude_m)
    return text + wrapped(words.text("probe_boils_by_barometer",
                                     {{"boiling_degC", boiling}, {"pressure_Pa", pressure}}),
                          2);
  return text + wrapped(words.text("probe_boils_by_altitude",
                                   {{"boiling_degC", boiling},
                                    {"pressure_Pa", pressure},
                                    {"altitude_m", print_altitude(*made.altitude_m, made.units)}}),
                        2);
}

} // namespace

std::string made_check_text(const MadeCheck& made, const Words& words) {
  const UnitSystem units = made.units;
  const ProbeCheck& left = made.checks.back();
  std::string text = head(made, words) + "\n";
  for (const ProbeCheck& check : made.checks)
    text += check_lines(check, units, words);
  if (made.checks.size() == 1) text += words.text("probe_nothing_adjusted") + "\n";
  text +=
      "\n" +
      wrapped(words.text("probe_made_u",
                         {{"u_K", print_temperature_difference(*left.u_K, units, 2)},
                          {"reference_u_K", print_temperature_difference(*left.reference_u_K, units, 2)}}),
              2);
  if (made.reach)
    text +=
        wrapped(words.text("probe_made_reach",
                           {{"above_degC", print_temperature(made.reach->above_degC, units)},
                            {"tolerance_K", print_temperature_difference(made.reach->tolerance_K, units, 2)},
                            {"class", made.reach->probe_class}}),
                2);
  if (made.moved)
    text +=
        wrapped(words.text("probe_made_moved", {{"date", day(made.moved->since)},
                                                {"at_degC", print_temperature(made.moved->at_degC, units)},
                                                {"moved_K", signed_K(made.moved->moved_K, units)}}),
                2);
  return text + words.text("probe_made_next_due", {{"date", day(*left.next_due)}}) + "\n";
}

std::string how_to_check_text(const Words& words) {
  return words.text("probe_how_title") + "\n\n" + wrapped(words.text("probe_how_burns"), 0) + "\n" +
         wrapped("1. " + words.text("probe_how_chain"), 3) + wrapped("2. " + words.text("probe_how_ice"), 3) +
         wrapped("3. " + words.text("probe_how_boil"), 3) +
         wrapped("4. " + words.text("probe_how_pressure"), 3) +
         wrapped("5. " + words.text("probe_how_adjust"), 3) +
         "\n  coldbag probe farm.toml core --ice \"0.4 C\" --boil \"99.1 C\" --by A\n"
         "  coldbag probe farm.toml core --log check.csv --by A\n";
}

} // namespace coldbag
