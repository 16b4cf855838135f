#include "report/lag_text.h"

#include "report/figures.h"
#include "report/layout.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace coldbag {

namespace {

constexpr double J_per_kWh = 3.6e6;

/// The target that the first line tells: within 5 K of the steam, or as near as there is.
const LagTarget& main_target(const LagForecast& forecast) {
  constexpr double told_under_K = 5;
  const auto found =
      std::ranges::find(forecast.targets, std::optional(told_under_K), &LagTarget::under_steam_K);
  return found == forecast.targets.end() ? forecast.targets.back() : *found;
}

std::string bag_name(const LagForecast& forecast, const Words& words) {
  const std::string form = fmt::format("form_{}", form_text(forecast.bag.body.form));
  return words.text("lag_bag", {{"mass_kg", print_mass(forecast.bag.body.mass_kg, forecast.units)},
                                {"form", words.text(form)},
                                {"material", named(words, "substrate", forecast.bag.material)}});
}

std::string first_line(const LagForecast& forecast, const Words& words) {
  const LagTarget& target = main_target(forecast);
  std::string out = forecast.kind.empty() ? "" : clean(forecast.kind) + "\n";
  return out +
         wrapped(words.text("lag_sentence",
                            {{"bag", bag_name(forecast, words)},
                             {"under_K", print_temperature_difference(*target.under_steam_K, forecast.units)},
                             {"steam_degC", print_setpoint(forecast.steam.steam_degC, forecast.units)},
                             {"good_s", print_duration(target.good_s)},
                             {"slow_s", print_duration(target.slow_s)},
                             {"likely_s", print_duration(target.likely_s)}}),
                 2);
}

std::string target_name(const LagForecast& forecast, const LagTarget& target, const Words& words) {
  std::string core = print_setpoint(target.core_degC, forecast.units);
  if (!target.under_steam_K) return core;
  return words.text("lag_target_under",
                    {{"core_degC", core},
                     {"under_K", print_temperature_difference(*target.under_steam_K, forecast.units)}});
}

std::string target_table(const LagForecast& forecast, const Words& words) {
  constexpr std::size_t first = 38;
  constexpr std::size_t other = 14;
  std::string out = padded(words.text("lag_core_at"), first) + padded(words.text("lag_good"), other) +
                    padded(words.text("lag_likely"), other) + words.text("lag_slow") + "\n";
  for (const LagTarget& target : forecast.targets)
    out += padded(target_name(forecast, target, words), first) +
           padded(print_duration(target.good_s), other) + padded(print_duration(target.likely_s), other) +
           print_duration(target.slow_s) + "\n";
  return out;
}

std::string counted_from(const LagForecast& forecast, const Words& words) {
  const LagSteam& steam = forecast.steam;
  std::string out = wrapped(words.text("lag_counts"), 2);
  if (steam.come_up_s > 0)
    out += wrapped(
        words.text("lag_counts_come_up", {{"start_degC", print_temperature(steam.start_degC, forecast.units)},
                                          {"steam_degC", print_temperature(steam.steam_degC, forecast.units)},
                                          {"come_up_s", print_duration(steam.come_up_s)}}),
        2);
  if (forecast.earlier_runs == 0) return out + wrapped(words.text("lag_rests"), 2);
  return out + wrapped(words.text("lag_rests_learned", {{"runs", std::to_string(forecast.earlier_runs)},
                                                        {"bags", std::to_string(forecast.earlier_bags)}}),
                       2);
}

std::string boils(const LagForecast& forecast, const Words& words) {
  const LagSteam& steam = forecast.steam;
  const std::string boiling = print_temperature(steam.boiling_degC, forecast.units);
  if (steam.altitude_m)
    return wrapped(
        words.text("boils_at_altitude", {{"altitude_m", print_altitude(*steam.altitude_m, forecast.units)},
                                         {"boiling_degC", boiling}}),
        2);
  return wrapped(words.text("boils_here", {{"boiling_degC", boiling}}), 2);
}

std::string list_of(const std::string& heading, const std::vector<Said>& all, const LagForecast& forecast,
                    const Words& words) {
  if (all.empty()) return "";
  std::string out = "\n" + heading + "\n";
  for (const Said& said : all)
    out += item(said_text(words, forecast.units, said));
  return out;
}

std::string sides_text(const LagForecast& forecast, const Words& words) {
  const BagBody& body = forecast.bag.body;
  const auto whole = [&](std::size_t i) { return print_length(2 * body.half_m[i], forecast.units); };
  switch (body.form) {
  case BagForm::column:
    return words.text("full_lag_column", {{"diameter_m", whole(0)}, {"height_m", whole(1)}});
  case BagForm::slab:
    return words.text("full_lag_slab", {{"height_m", whole(0)}});
  default:
    return words.text("full_lag_brick",
                      {{"length_m", whole(0)}, {"width_m", whole(1)}, {"height_m", whole(2)}});
  }
}

std::string films_text(const BagBody& body) {
  std::string out;
  for (int d = 0; d < body.directions(); ++d)
    out += fmt::format("{}{:g}", d > 0 ? ", " : "", body.film_W_per_m2K[static_cast<std::size_t>(d)]);
  return out;
}

std::string bag_lines(const LagForecast& forecast, const Words& words) {
  const BagBody& body = forecast.bag.body;
  const Packing& packing = forecast.bag.packing;
  std::string out = "\n" + words.text("heading_lag_bag") + "\n";
  out += item(words.text("full_lag_body", {{"sides", sides_text(forecast, words)},
                                           {"density", fmt::format("{:.1f}", body.density_kg_per_m3)},
                                           {"dry", fmt::format("{:.1f}", packing.dry_kg_per_m3)},
                                           {"moisture", fmt::format("{:.1f} %", 100 * packing.moisture_wb)},
                                           {"air", fmt::format("{:.1f} %", 100 * packing.air_share)}}));
  out += item(words.text("full_lag_heat", {{"conductivity", print_fixed(body.conductivity_W_per_mK, 4)},
                                           {"vapour", print_fixed(body.vapour_share, 4)},
                                           {"films", films_text(body)}}));
  out += item(words.text(body.is_breathing ? "full_lag_breathing" : "full_lag_sealed"));
  return out;
}

std::string steam_line(const LagForecast& forecast, const Words& words) {
  const LagSteam& steam = forecast.steam;
  return item(words.text("full_lag_steam",
                         {{"start_degC", print_temperature(steam.start_degC, forecast.units)},
                          {"steam_degC", print_temperature(steam.steam_degC, forecast.units)},
                          {"come_up_s", print_duration(steam.come_up_s)},
                          {"abs_pressure_Pa", print_pressure(steam.abs_pressure_Pa, forecast.units)},
                          {"site_pressure_Pa", print_pressure(steam.site_pressure_Pa, forecast.units)}}));
}

std::string more_of_targets(const LagForecast& forecast, const Words& words) {
  std::string out;
  for (const LagTarget& target : forecast.targets) {
    std::string line = words.text("full_lag_target", {{"target", target_name(forecast, target, words)},
                                                      {"heat", print_fixed(target.heat_J / J_per_kWh, 3)}});
    if (forecast.air) {
      const std::map<std::string, std::string> values{
          {"air_fraction", fmt::format("{:.0f} %", 100 * forecast.air->share)},
          {"with_air_s", target.with_air_s ? print_duration(*target.with_air_s) : ""}};
      line += " " + words.text(target.with_air_s ? "full_lag_with_air" : "full_lag_air_never", values);
    }
    out += item(line);
  }
  return out;
}

std::string computed_lines(const LagForecast& forecast, const Words& words) {
  std::string out = "\n" + words.text("heading_computed") + "\n";
  out += item(words.text("computed_lag"));
  out += item(words.text("computed_lag_line", {{"fh_s", print_duration(forecast.conduction.fh_s)},
                                               {"j", print_fixed(forecast.conduction.j, 3)}}));
  out += item(words.text("computed_by", {{"version", forecast.program_version}}));
  for (const Edition& edition : forecast.editions)
    out += item(edition_text(words, edition));
  return out;
}

} // namespace

std::string lag_text(const LagForecast& forecast, const Words& words, bool full) {
  std::string out = first_line(forecast, words) + "\n" + target_table(forecast, words) +
                    counted_from(forecast, words) + boils(forecast, words);
  out += list_of(words.text("heading_assumed"), forecast.assumptions, forecast, words);
  out += list_of(words.text("heading_cautions"), forecast.cautions, forecast, words);
  if (full)
    out += bag_lines(forecast, words) + steam_line(forecast, words) + more_of_targets(forecast, words) +
           computed_lines(forecast, words);
  return out;
}

std::string lag_csv(const LagForecast& forecast) {
  std::string out =
      "minutes,steam_degC,core_good_degC,core_likely_degC,core_slow_degC,surface_degC,mean_degC\n";
  for (const LagMoment& m : forecast.curve)
    out += fmt::format("{:.0f},{:.2f},{:.2f},{:.2f},{:.2f},{:.2f},{:.2f}\n", m.time_s / 60, m.steam_degC,
                       m.core_good_degC, m.core_likely_degC, m.core_slow_degC, m.surface_degC, m.mean_degC);
  return out;
}

} // namespace coldbag
