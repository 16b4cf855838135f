#include "cli/probe_bench.h"

#include "farm/fit.h"
#include "farm/nearest.h"
#include "steam/atmosphere.h"

#include <fmt/format.h>

namespace coldbag {

namespace {

const Probe* probe_named(const Site& site, const std::string& name) {
  if (name.empty() && site.probes.size() == 1) return &site.probes.front();
  if (const Probe* probe = find_probe(site, name)) return probe;
  std::vector<std::string> names;
  for (const Probe& probe : site.probes)
    names.push_back(probe.name);
  const std::string known =
      names.empty() ? "describe it there first, under [probes.NAME]" : "known: " + list_names(names, false);
  if (name.empty()) throw UserError(usage("which probe of " + site.source_name + " was not said", known));
  throw UserError(
      {Trouble::bad_data, {site.source_name, 0, 0, ""}, "there is no probe \"" + name + '"', known});
}

bool is_degF(const Given& given, const Site& site) {
  if (!given.has("unit")) return site.units == UnitSystem::us;
  const std::string unit = given.text("unit");
  if (unit != "C" && unit != "F")
    refuse_option("unit", "\"" + unit + "\" is none of its values", "choose C or F");
  return unit == "F";
}

} // namespace

Bench make_bench(const Given& given, Site site, const std::string& probe, const TableFiles& tables) {
  Bench bench;
  bench.site = std::move(site);
  const Probe& found = *probe_named(bench.site, probe);
  bench.probe = found.name;
  bench.rules = read_check_rules(tables);
  bench.classes = read_probe_classes(tables);
  bench.bare_in_degF = is_degF(given, bench.site);
  bench.resolution_K = found.resolution_K.value;
  if (given.has("resolution")) {
    bench.resolution_K =
        quantity_option("resolution", given.text("resolution"), Dimension::temperature_difference);
    if (*bench.resolution_K < 0) refuse_option("resolution", "is below zero", "write for example \"0.1 K\"");
  }
  return bench;
}

const Probe& probe_of(const Bench& bench) {
  return *find_probe(bench.site, bench.probe);
}

void find_pressure(const Given& given, Bench& bench) {
  std::optional<double> altitude_m = bench.site.altitude_m.value;
  if (given.has("altitude")) altitude_m = altitude_option(given.text("altitude"));
  bench.altitude_m = altitude_m;
  if (given.has("pressure-at-site") && given.has("pressure-at-sea-level"))
    throw UserError(usage("--pressure-at-site and --pressure-at-sea-level contradict each other",
                          "give the one that the barometer shows"));
  bench.pressure_half_Pa = bench.rules.barometer_half_Pa;
  bench.by_barometer = given.has("pressure-at-site") || given.has("pressure-at-sea-level");
  if (given.has("pressure-at-site")) {
    bench.site_pressure_Pa =
        quantity_option("pressure-at-site", given.text("pressure-at-site"), Dimension::pressure);
  } else if (given.has("pressure-at-sea-level")) {
    if (!altitude_m)
      refuse_option("pressure-at-sea-level", "says nothing here without the altitude",
                    "give --altitude \"1150 m\", or --pressure-at-site");
    const double sea_level_Pa =
        quantity_option("pressure-at-sea-level", given.text("pressure-at-sea-level"), Dimension::pressure);
    if (sea_level_Pa < lowest_at_sea_level_Pa || sea_level_Pa > highest_at_sea_level_Pa)
      refuse_option("pressure-at-sea-level", fmt::format("not {}", sea_level_pressure_words),
                    "write for example \"101.9 kPa\"");
    bench.site_pressure_Pa = site_pressure_from_sea_level_Pa(sea_level_Pa, *altitude_m);
  } else if (altitude_m) {
    bench.site_pressure_Pa = standard_pressure_Pa(*altitude_m);
    bench.pressure_half_Pa = bench.rules.weather_half_Pa;
  }
  if (!bench.site_pressure_Pa) return;
  if (!is_site_pressure(*bench.site_pressure_Pa))
    refuse_option("pressure-at-site", fmt::format("not {}", site_pressure_words),
                  "write the barometer's absolute reading, for example \"88.2 kPa\"");
  if (!altitude_m) return;
  if (const auto misfit = pressure_misfit(*bench.site_pressure_Pa, Place{}, *altitude_m))
    refuse_option("pressure-at-site", misfit->problem,
                  "mend the altitude, or give --pressure-at-sea-level where the barometer is set to it");
}

double boil_here_degC(const Bench& bench) {
  if (!bench.site_pressure_Pa)
    throw UserError(usage("where water boils is not known: the site file has no altitude",
                          R"(give --pressure-at-site "88.2 kPa" or --altitude "1150 m")"));
  return boil_degC(*bench.site_pressure_Pa);
}

PointRead at_ice(const Bench& bench, double reads_degC, double resolution_K, double spread_K) {
  return {{reads_degC, 0}, ice_reference_u_K(bench.rules), resolution_K, spread_K};
}

PointRead at_boil(const Bench& bench, double reads_degC, double resolution_K, double spread_K) {
  const double is_degC = boil_here_degC(bench);
  return {{reads_degC, is_degC},
          boil_reference_u_K(*bench.site_pressure_Pa, bench.pressure_half_Pa, bench.rules),
          resolution_K,
          spread_K};
}

} // namespace coldbag
