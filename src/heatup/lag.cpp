#include "heatup/lag.h"

#include "errors/our_fault.h"
#include "farm/fit.h"
#include "heatup/fit.h"
#include "heatup/series.h"
#include "steam/atmosphere.h"
#include "steam/saturation.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <utility>

namespace coldbag {

namespace {

constexpr double one_sided_95 = 1.645;
constexpr double s_per_minute = 60;
constexpr double s_per_day = 86400;
constexpr double longest_s = 60 * s_per_day;
constexpr double least_rise_K = 5;
constexpr double boiling_slack_K = 0.5; ///< a vented vessel at its boiling point may be said so far above it
constexpr double rating_slack_Pa = 500; ///< rounding of temperature and gauge
constexpr double lowest_start_degC = -40;
constexpr double highest_start_degC = 95;
constexpr double lowest_steam_degC = 40;
constexpr double highest_steam_degC = 150;
constexpr double longest_come_up_s = s_per_day;
constexpr std::array round_targets_degC{60.0, 90.0, 100.0};
constexpr std::array targets_under_K{10.0, 5.0, 2.0};

std::string in_C(double degC) {
  return print_fixed(degC, 1) + " C";
}

std::string in_kPa(double Pa) {
  return print_fixed(Pa / 1000, 1) + " kPa";
}

/// Puts the steam together from what was said.
class Steamer {
 public:
  Steamer(const SaidSteam& said, const HeatingFigures& figures) : said_(said), figures_(figures) {}

  LagSteam steam() {
    find_air_outside();
    find_temperature();
    find_start();
    find_come_up();
    if (!complaints_.empty()) throw UserError(std::move(complaints_));
    out_.abs_pressure_Pa = out_.site_pressure_Pa;
    if (out_.steam_degC > out_.boiling_degC)
      out_.abs_pressure_Pa = std::max(out_.site_pressure_Pa, saturation_pressure_Pa(out_.steam_degC));
    return out_;
  }

 private:
  void complain(const Place& place, std::string problem, std::string remedy) {
    complaints_.push_back({Trouble::bad_data, place, std::move(problem), std::move(remedy)});
  }
  void assume(std::string key, SaidValues values) {
    out_.assumptions.push_back({std::move(key), std::move(values)});
  }
  [[nodiscard]] bool is_rated() const { return said_.vessel_kind.value == VesselKind::pressure_rated; }

  void find_air_outside() {
    out_.altitude_m = said_.altitude_m.value;
    if (said_.site_pressure_Pa.known()) {
      out_.site_pressure_Pa = *said_.site_pressure_Pa.value;
      if (out_.altitude_m)
        if (auto misfit =
                pressure_misfit(out_.site_pressure_Pa, said_.site_pressure_Pa.place, *out_.altitude_m))
          complaints_.push_back(*std::move(misfit));
    } else {
      out_.site_pressure_Pa = standard_pressure_Pa(out_.altitude_m.value_or(0));
    }
    out_.boiling_degC = boiling_point_degC(out_.site_pressure_Pa);
    is_site_known_ = out_.altitude_m || said_.site_pressure_Pa.known();
    if (!is_site_known_ && (said_.steam_degC.known() || said_.steam_gauge_Pa.known()))
      assume("lag_assumed_sea_level", {{"boiling_degC", out_.boiling_degC}});
  }

  void find_temperature() {
    if (said_.steam_degC.known() && said_.steam_gauge_Pa.known())
      complain(said_.steam_gauge_Pa.place, "temperature and pressure of the steam are both said",
               "one of them is enough");
    if (said_.steam_gauge_Pa.known()) {
      const double gauge_Pa = *said_.steam_gauge_Pa.value;
      if (gauge_Pa < 0)
        return complain(said_.steam_gauge_Pa.place, "a vessel is not steamed under a vacuum", "0 or more");
      out_.steam_degC = saturation_temperature_degC(std::min(out_.site_pressure_Pa + gauge_Pa, 2e6));
    } else if (said_.steam_degC.known()) {
      out_.steam_degC = *said_.steam_degC.value;
    } else if (said_.vessel_kind.value == VesselKind::vented && is_site_known_) {
      out_.steam_degC = out_.boiling_degC;
      assume("lag_assumed_boiling", {{"boiling_degC", out_.boiling_degC}});
    } else {
      return complain(
          {}, "nobody said how hot the steam is",
          "write for example --steam \"121.1 C\" or --steam \"15 psi gauge\", or for an open vessel "
          "--vented --altitude \"1150 m\"");
    }
    check_temperature(said_.steam_degC.known() ? said_.steam_degC.place : said_.steam_gauge_Pa.place);
  }

  void check_temperature(const Place& place) {
    if (out_.steam_degC < lowest_steam_degC || out_.steam_degC > highest_steam_degC)
      return complain(place, fmt::format("steam of {} is not reckoned", in_C(out_.steam_degC)),
                      fmt::format("from {:.0f} to {:.0f} C", lowest_steam_degC, highest_steam_degC));
    if (out_.steam_degC <= out_.boiling_degC + boiling_slack_K) return;
    if (!is_rated())
      return complain(
          place,
          fmt::format("steam of {} is hotter than water boils in the open here ({})", in_C(out_.steam_degC),
                      in_C(out_.boiling_degC)),
          fmt::format(
              "only a pressure-rated vessel holds it: give its nameplate, for example --rated \"15 psi "
              "gauge\"; in an open vessel write at most {}, and never close a vent to go higher",
              in_C(out_.boiling_degC)));
    const double needs_Pa = saturation_pressure_Pa(out_.steam_degC) - out_.site_pressure_Pa;
    if (!said_.rating_gauge_Pa.known())
      return complain(said_.vessel_kind.place, "the rating of the vessel is not known",
                      "give its nameplate, for example --rated \"15 psi gauge\"");
    const double rating_Pa = *said_.rating_gauge_Pa.value;
    if (needs_Pa > rating_Pa + rating_slack_Pa)
      complain(
          place,
          fmt::format("steam of {} needs {} gauge, the vessel is rated for {}", in_C(out_.steam_degC),
                      in_kPa(needs_Pa), in_kPa(rating_Pa)),
          fmt::format("at most {} here, and never above the nameplate",
                      in_C(saturation_temperature_degC(out_.site_pressure_Pa + std::max(rating_Pa, 0.0)))));
  }

  void find_start() {
    out_.start_degC = said_.start_degC.value.value_or(figures_.start_degC);
    if (!said_.start_degC.known()) assume("lag_assumed_start", {{"start_degC", out_.start_degC}});
    if (out_.start_degC < lowest_start_degC || out_.start_degC > highest_start_degC)
      return complain(said_.start_degC.place,
                      fmt::format("bags of {} are not reckoned", in_C(out_.start_degC)),
                      fmt::format("from {:.0f} to {:.0f} C", lowest_start_degC, highest_start_degC));
    if (out_.steam_degC > 0 && out_.steam_degC < out_.start_degC + least_rise_K)
      complain(said_.start_degC.place,
               fmt::format("bags of {} have little to gain from steam of {}", in_C(out_.start_degC),
                           in_C(out_.steam_degC)),
               fmt::format("the steam is {:.0f} K hotter or more", least_rise_K));
  }

  void find_come_up() {
    out_.come_up_s = said_.come_up_s.value.value_or(0);
    if (!said_.come_up_s.known()) assume("lag_assumed_no_come_up", {});
    if (out_.come_up_s < 0 || out_.come_up_s > longest_come_up_s)
      complain(said_.come_up_s.place, fmt::format("a come-up of {} s is not reckoned", out_.come_up_s),
               "from 0 to 24 h");
  }

  const SaidSteam& said_;
  const HeatingFigures& figures_;
  bool is_site_known_ = false;
  LagSteam out_;
  std::vector<Complaint> complaints_;
};

double air_degC(const LagSteam& steam, double air_share) {
  return saturation_temperature_degC((1 - air_share) * steam.abs_pressure_Pa);
}

std::vector<LagTarget> targets_of(const LagSteam& steam) {
  std::vector<LagTarget> out;
  const double nearest_K = targets_under_K.back();
  for (const double degC : round_targets_degC)
    if (degC > steam.start_degC + 1 && degC <= steam.steam_degC - nearest_K)
      out.push_back({.core_degC = degC, .under_steam_K = {}, .with_air_s = {}});
  for (const double K : targets_under_K)
    if (steam.steam_degC - K > steam.start_degC + 1)
      out.push_back({.core_degC = steam.steam_degC - K, .under_steam_K = K, .with_air_s = {}});
  std::ranges::sort(out, {}, &LagTarget::core_degC);
  return out;
}

/// When the steam itself reaches a temperature.
double steam_reaches_s(const LagSteam& steam, double degC) {
  return steam.come_up_s * (degC - steam.start_degC) / (steam.steam_degC - steam.start_degC);
}

/// Good, likely and slow at one temperature of the core.
struct Reach {
  double core_degC = 0;
  double good_s = 0;
  double likely_s = 0;
  double slow_s = 0;
};

std::vector<double> rungs_degC(const LagSteam& steam, const std::vector<LagTarget>& targets) {
  constexpr int rungs = 120;
  constexpr double first_K = 0.2;
  const double from = steam.start_degC + first_K;
  const double to = targets.back().core_degC;
  std::vector<double> out;
  for (int i = 0; i <= rungs; ++i)
    out.push_back(from + (to - from) * i / rungs);
  return out;
}

/// Times to each temperature; none where the steam does not last.
std::optional<std::vector<Reach>> reaches(const std::vector<double>& cores_degC, const BagBody& body,
                                          const LagSteam& steam, const Fit& fit, const HeatingTables& tables,
                                          double until_s) {
  const auto times =
      times_to(cores_degC, body, steam.start_degC, fit, rising_steam(steam, 0, until_s), tables.vapour);
  std::vector<Reach> out;
  double soonest_good_s = 0;
  double soonest_slow_s = 0;
  for (std::size_t i = 0; i < times.size(); ++i) {
    if (!times[i]) return std::nullopt;
    const double apart = std::exp(one_sided_95 * times[i]->ln_sd);
    // A warmer core is never sooner.
    soonest_good_s = std::max({soonest_good_s, times[i]->s / apart, steam_reaches_s(steam, cores_degC[i])});
    soonest_slow_s = std::max(soonest_slow_s, times[i]->s * apart);
    out.push_back({cores_degC[i], std::min(soonest_good_s, times[i]->s), times[i]->s, soonest_slow_s});
  }
  if (out.back().slow_s > until_s) return std::nullopt;
  return out;
}

BagHistory likely_history(const BagBody& body, const Multipliers& likely, const LagSteam& steam,
                          double air_share, double until_s, const VapourTable& vapour) {
  return heat_bag(body, likely, rising_steam(steam, air_share, until_s), vapour,
                  {.from_s = 0, .to_s = until_s, .start_degC = steam.start_degC, .fineness = {}});
}

/// A bag's moment between two that were reckoned.
BagMoment moment_at(const BagHistory& history, double time_s) {
  const auto after = std::ranges::lower_bound(history.moments, time_s, {}, &BagMoment::time_s);
  if (after == history.moments.begin()) return *after;
  if (after == history.moments.end()) return history.moments.back();
  const BagMoment& a = *(after - 1);
  const double share = (time_s - a.time_s) / (after->time_s - a.time_s);
  BagMoment out = a;
  out.time_s = time_s;
  out.core_degC += share * (after->core_degC - a.core_degC);
  out.surface_degC += share * (after->surface_degC - a.surface_degC);
  out.mean_degC += share * (after->mean_degC - a.mean_degC);
  out.heat_J += share * (after->heat_J - a.heat_J);
  return out;
}

/// Temperature of the core at a moment by one of the three times of the rungs.
double core_degC_at(const std::vector<Reach>& rungs, double Reach::*time_s, double start_degC, double at_s) {
  Reach before{.core_degC = start_degC};
  for (const Reach& rung : rungs) {
    if (rung.*time_s >= at_s) {
      const double span_s = rung.*time_s - before.*time_s;
      const double share = span_s > 0 ? (at_s - before.*time_s) / span_s : 1;
      return before.core_degC + share * (rung.core_degC - before.core_degC);
    }
    before = rung;
  }
  return before.core_degC;
}

std::vector<LagMoment> curve_of(const LagSteam& steam, const std::vector<Reach>& rungs,
                                const BagHistory& likely) {
  std::vector<LagMoment> out;
  const SteamTrace trace = rising_steam(steam, 0, likely.moments.back().time_s);
  const double end_s = rungs.back().slow_s;
  const auto last = static_cast<int>(std::ceil(end_s / s_per_minute));
  for (int minute = 0; minute <= last; ++minute) {
    const double at_s = minute * s_per_minute;
    const BagMoment moment = moment_at(likely, at_s);
    // Past its last rung the good core is known no better than the likely one.
    const double good_degC = core_degC_at(rungs, &Reach::good_s, steam.start_degC, at_s);
    const double slow_degC = core_degC_at(rungs, &Reach::slow_s, steam.start_degC, at_s);
    out.push_back({.time_s = at_s,
                   .steam_degC = trace.at(at_s).degC,
                   .core_good_degC = std::max(good_degC, moment.core_degC),
                   .core_likely_degC = moment.core_degC,
                   .core_slow_degC = std::min(slow_degC, moment.core_degC),
                   .surface_degC = moment.surface_degC,
                   .mean_degC = moment.mean_degC});
  }
  return out;
}

/// As if nothing but conduction carried heat, with the heat capacity half-way to the steam.
ConductionLine conduction_line(const BagBody& body, const LagSteam& steam) {
  const double cp =
      (body.enthalpy.J_per_kg(steam.steam_degC) - body.enthalpy.J_per_kg(std::max(steam.start_degC, 1.0))) /
      (steam.steam_degC - std::max(steam.start_degC, 1.0));
  SeriesBody series;
  series.diffusivity_m2_per_s = body.conductivity_W_per_mK / (body.density_kg_per_m3 * cp);
  for (int d = 0; d < body.directions(); ++d) {
    const auto at = static_cast<std::size_t>(d);
    const bool is_round = body.form == BagForm::column && d == 0;
    const double biot = body.film_W_per_m2K[at] * body.half_m[at] / body.conductivity_W_per_mK;
    series.factors.push_back({StepSeries(is_round ? SeriesShape::infinite_cylinder : SeriesShape::plane_wall,
                                         std::clamp(biot, lowest_biot, highest_biot)),
                              body.half_m[at]});
  }
  const HeatingLine line = centre_line(series);
  return {line.fh_s, line.j};
}

/// What air does, told at the warmest target that is reached all the same.
Said air_caution(const LagAir& air, const std::vector<LagTarget>& targets) {
  SaidValues values{{"air_fraction", air.share}, {"steam_degC", air.steam_degC}};
  for (auto target = targets.rbegin(); target != targets.rend(); ++target) {
    if (!target->with_air_s || *target->with_air_s < target->likely_s) continue;
    values["core_degC"] = target->core_degC;
    values["later_s"] = *target->with_air_s - target->likely_s;
    return {"lag_caution_air", std::move(values)};
  }
  return {"lag_caution_air_never", std::move(values)};
}

std::vector<Said> cautions_of(const LagForecast& forecast) {
  std::vector<Said> out;
  if (forecast.steam.steam_degC > forecast.steam.boiling_degC + boiling_slack_K)
    out.push_back({"lag_caution_pressure",
                   {{"gauge_pressure_Pa", forecast.steam.abs_pressure_Pa - forecast.steam.site_pressure_Pa},
                    {"steam_degC", forecast.steam.steam_degC}}});
  if (forecast.air)
    out.push_back(air_caution(*forecast.air, forecast.targets));
  else
    out.push_back({"lag_caution_steam_and_air", {{"steam_degC", forecast.steam.steam_degC}}});
  out.push_back({"lag_caution_coldest", {}});
  out.push_back({"lag_caution_cooling", {}});
  out.push_back({"lag_caution_probe", {}});
  return out;
}

} // namespace

LagSteam lag_steam(const SaidSteam& said, const HeatingFigures& figures) {
  return Steamer(said, figures).steam();
}

SteamTrace rising_steam(const LagSteam& steam, double air_share, double until_s) {
  our_check(until_s > steam.come_up_s, "a forecast lasts longer than its come-up");
  const double top_degC =
      air_share > 0 ? std::min(steam.steam_degC, air_degC(steam, air_share)) : steam.steam_degC;
  // Pressure bends upwards with temperature: points close enough to follow it.
  constexpr double step_K = 1;
  const auto pressure_Pa = [&](double degC) {
    if (degC >= top_degC) return steam.abs_pressure_Pa;
    const double own_Pa = degC > steam.boiling_degC ? saturation_pressure_Pa(degC) / (1 - air_share) : 0;
    return std::clamp(own_Pa, steam.site_pressure_Pa, steam.abs_pressure_Pa);
  };
  std::vector<SteamPoint> points;
  if (steam.come_up_s > 0) {
    const double rise_K = top_degC - steam.start_degC;
    const auto steps = static_cast<int>(std::ceil(rise_K / step_K));
    for (int i = 0; i < steps; ++i) {
      const double share = static_cast<double>(i) / steps;
      const double degC = steam.start_degC + share * rise_K;
      points.push_back({share * steam.come_up_s, degC, pressure_Pa(degC)});
    }
  }
  points.push_back({steam.come_up_s, top_degC, steam.abs_pressure_Pa});
  points.push_back({until_s, top_degC, steam.abs_pressure_Pa});
  return SteamTrace(std::move(points));
}

LagForecast forecast_lag(const std::string& kind, const DescribedBag& bag, const LagSteam& steam,
                         const HeatingTables& tables, const Learned* learned) {
  const HeatingFigures& figures = tables.figures;
  const LearnedBag* earlier = learned != nullptr ? find_learned(*learned, kind, bag.description) : nullptr;
  const Fit fit = with_bag_spread(
      fit_before_any_log(earlier != nullptr ? earlier->prior : prior_of_tables(figures), figures),
      learned != nullptr ? learned->spread.sd : figures.bag_spread);
  const Multipliers multipliers = fit.multipliers();
  LagForecast out{.kind = kind,
                  .earlier_runs = earlier != nullptr ? earlier->runs : 0,
                  .earlier_bags = earlier != nullptr ? earlier->bags : 0,
                  .bag = bag,
                  .steam = steam,
                  .targets = targets_of(steam),
                  .air = {},
                  .conduction = {},
                  .curve = {},
                  .assumptions = bag.assumptions,
                  .cautions = {},
                  .editions = tables.editions,
                  .program_version = COLDBAG_VERSION};
  std::vector<double> cores_degC = rungs_degC(steam, out.targets);
  for (const LagTarget& target : out.targets)
    cores_degC.push_back(target.core_degC);
  std::ranges::sort(cores_degC);

  double until_s = steam.come_up_s + s_per_day;
  auto rungs = reaches(cores_degC, bag.body, steam, fit, tables, until_s);
  while (!rungs && until_s < longest_s) {
    until_s = std::min(2 * until_s, longest_s);
    rungs = reaches(cores_degC, bag.body, steam, fit, tables, until_s);
  }
  if (!rungs)
    throw UserError(Complaint{Trouble::bad_data,
                              {},
                              "a bag so large may take over 60 days to warm",
                              "check its mass and its sides"});

  const BagHistory likely = likely_history(bag.body, multipliers, steam, 0, until_s, tables.vapour);
  std::optional<BagHistory> with_air;
  const double share = figures.air_left;
  if (steam.steam_degC > steam.boiling_degC - boiling_slack_K &&
      air_degC(steam, share) > steam.start_degC + least_rise_K) {
    out.air = LagAir{share, std::min(air_degC(steam, share), steam.steam_degC)};
    with_air = likely_history(bag.body, multipliers, steam, share, until_s, tables.vapour);
  }
  for (LagTarget& target : out.targets) {
    const auto rung = std::ranges::find(*rungs, target.core_degC, &Reach::core_degC);
    target.good_s = rung->good_s;
    target.likely_s = rung->likely_s;
    target.slow_s = rung->slow_s;
    target.heat_J = moment_at(likely, target.likely_s).heat_J;
    if (with_air) target.with_air_s = core_reaches_s(*with_air, target.core_degC);
  }
  out.conduction = conduction_line(bag.body, steam);
  out.curve = curve_of(steam, *rungs, likely);
  out.assumptions.insert(out.assumptions.end(), steam.assumptions.begin(), steam.assumptions.end());
  out.cautions = cautions_of(out);
  return out;
}

} // namespace coldbag
