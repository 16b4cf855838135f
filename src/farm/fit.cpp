#include "farm/fit.h"

#include "farm/nearest.h"
#include "quantity/print.h"
#include "steam/atmosphere.h"

#include <algorithm>
#include <cmath>
#include <utility>

namespace coldbag {

namespace {

constexpr double largest_misfit_Pa = 4000;

/// Complains of a name that stands for nothing.
class Names {
 public:
  Names(std::string what, std::vector<std::string> known)
      : what_(std::move(what)), known_(std::move(known)) {}

  void check(const Stated<std::string>& name, std::vector<Complaint>& complaints) const {
    if (name.value) check(*name.value, name.place, complaints);
  }
  void check(const std::string& name, const Place& place, std::vector<Complaint>& complaints) const {
    if (auto complaint = unknown_name(what_, name, place, known_))
      complaints.push_back(*std::move(complaint));
  }

 private:
  std::string what_;
  std::vector<std::string> known_;
};

std::string print_kPa(double Pa) {
  return print_fixed(Pa / 1000, 1) + " kPa";
}

template <class Value>
void override_with(Stated<Value>& site, const Stated<Value>& run) {
  if (run.known() || run.asked) site = run;
}

void override_probe(Probe& probe, const Probe& run) {
  override_with(probe.column, run.column);
  override_with(probe.role, run.role);
  override_with(probe.bag, run.bag);
  override_with(probe.position, run.position);
  override_with(probe.spot, run.spot);
  override_with(probe.probe_class, run.probe_class);
  override_with(probe.resolution_K, run.resolution_K);
  probe.checks.insert(probe.checks.end(), run.checks.begin(), run.checks.end());
  // A probe that the run takes out of its bag is in none.
  if (run.role.known() && run.role.value != ProbeRole::bag && !run.bag.known()) probe.bag = {};
}

} // namespace

std::optional<Complaint> unknown_name(const std::string& what, const std::string& name, const Place& place,
                                      const std::vector<std::string>& known) {
  if (std::find(known.begin(), known.end(), name) != known.end()) return {};
  const std::string near = nearest_word(name, known);
  std::string remedy = known.empty() ? "describe it there first" : "known: " + list_names(known, false);
  if (!near.empty()) remedy = "did you mean " + near + "?";
  return Complaint{Trouble::bad_data, place, "there is no " + what + " \"" + name + '"', remedy};
}

std::optional<Complaint> pressure_misfit(double site_pressure_Pa, const Place& place, double altitude_m) {
  const double standard_Pa = standard_pressure_Pa(altitude_m);
  if (std::abs(site_pressure_Pa - standard_Pa) <= largest_misfit_Pa) return {};
  return Complaint{
      Trouble::bad_data, place,
      print_kPa(site_pressure_Pa) + " does not fit the altitude: the standard atmosphere has " +
          print_kPa(standard_Pa) + " at " + print_altitude(altitude_m, UnitSystem::metric),
      "mend the altitude, or write pressure_at_sea_level where the barometer is set to sea level"};
}

void check_fit(const Site& site, const RunFile& run, const Load& load) {
  std::vector<Complaint> complaints;
  const Names vessels("vessel in the site file called", names_of(site.vessels));
  const Names bags("kind of bag in the site file called", names_of(site.bags));
  vessels.check(run.vessel, complaints);
  Names("pattern in the site file called", names_of(site.patterns)).check(run.pattern, complaints);
  for (const Probe& probe : run.probes)
    bags.check(probe.bag, complaints);
  for (const LoadLine& line : load.lines)
    if (!line.bag.empty()) bags.check(line.bag, line.place, complaints);
  if (!complaints.empty()) throw UserError(std::move(complaints));
}

std::vector<Probe> probes_of_run(const Site& site, const RunFile& run) {
  std::vector<Probe> probes = site.probes;
  for (const Probe& said : run.probes) {
    const auto same =
        std::find_if(probes.begin(), probes.end(), [&](const Probe& each) { return each.name == said.name; });
    if (same == probes.end())
      probes.push_back(said);
    else
      override_probe(*same, said);
  }
  return probes;
}

} // namespace coldbag
