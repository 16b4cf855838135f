// A site file: the farm's vessels, bags, probes and own treatments.
#pragma once

#include "clock/zone.h"
#include "farm/bag.h"
#include "farm/probe.h"
#include "farm/site_log.h"
#include "farm/treatment.h"
#include "farm/vessel.h"
#include "quantity/print.h"

#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace coldbag {

/// A loading pattern: which kind of bag, how many, how stacked, in which vessel. Runs loaded by it may prove
/// it.
struct Pattern {
  std::string name;
  Stated<std::string> vessel;
  Stated<std::string> bag;
  Stated<int> count;
  Stated<std::string> stacking;
  Place place;
  bool operator==(const Pattern&) const = default;
};

struct Site {
  std::string source_name;
  std::string name;
  Stated<double> altitude_m;
  Stated<std::string> zone; ///< IANA name
  UnitSystem units = UnitSystem::metric;
  std::string language = "en";
  std::string learned_file;    ///< what earlier runs showed, as written; "" where none
  std::vector<LogSetting> log; ///< how the recorder writes; an option of the same name goes before it
  std::vector<Vessel> vessels;
  std::vector<Bag> bags;
  std::vector<Probe> probes;
  std::vector<Treatment> treatments;
  std::vector<Pattern> patterns;
  std::vector<Place> also_asked; ///< "?" at keys that are kept without a Stated (name, check's date, ...)
  bool operator==(const Site&) const = default;
};

/// Reads a site file. Throws UserError with every fault: bad TOML, unknown key (nearest key named), missing
/// unit, value out of what is possible, doubled name, unknown zone, bare `pressure`.
[[nodiscard]] Site read_site(std::string_view source_name, std::string_view toml);

/// Every place where the file says "?", in file order.
[[nodiscard]] std::vector<Place> unanswered(const Site& site);

/// The thing of this name, or null.
[[nodiscard]] const Vessel* find_vessel(const Site& site, std::string_view name);
[[nodiscard]] const Bag* find_bag(const Site& site, std::string_view name);
[[nodiscard]] const Probe* find_probe(const Site& site, std::string_view name);

} // namespace coldbag
