// What stands printed on the paper sheet of one run before anything is written on it: blank, or filled by a
// plan.
#pragma once

#include "clock/instant.h"
#include "farm/probe.h"
#include "farm/run_file.h"
#include "farm/site.h"
#include "farm/treatment.h"
#include "farm/vessel.h"
#include "quantity/print.h"
#include "quantity/said.h"
#include "run/caution_tables.h"

#include <optional>
#include <string>
#include <vector>

namespace coldbag {

/// A sheet has room for so many columns of temperature.
inline constexpr std::size_t most_sheet_probes = 8;
/// No run is read by hand on more lines than this.
inline constexpr std::size_t most_sheet_lines = 400;

/// When steam is to go on, by the clock on the wall.
struct SheetStart {
  WallTime at;
  bool has_date = false; ///< false: a clock alone, on 1970-01-01
  bool operator==(const SheetStart&) const = default;
};

/// What somebody wants on the sheet; what is empty is taken from the site file or left to be written.
struct SheetAsked {
  std::string vessel;
  std::string treatment; ///< its key
  std::string bag;
  std::optional<int> bag_count;
  std::vector<std::string> probes; ///< columns, or names of the site file's probes; empty: all of the site's
  std::optional<double> every_s;   ///< between readings, 1 min to 12 h
  std::optional<double> for_s;     ///< from steam on to the last reading, above 0
  std::optional<SheetStart> start; ///< none: minutes since steam on
  std::optional<UnitSystem> units; ///< none: the site's, else metric
  std::string run_name;
};

/// One kind of bag in the load; what is not known is asked on the sheet.
struct SheetBags {
  std::string kind;
  std::optional<int> count;
  std::optional<double> mass_kg;
  std::optional<double> moisture_wb;
  std::string lot;
  bool operator==(const SheetBags&) const = default;
};

/// A column of temperatures, in C or F by the sheet's units.
struct SheetProbe {
  std::string column; ///< as a log calls it
  ProbeRole role = ProbeRole::unstated;
  std::string position; ///< in words; empty: asked on the sheet
  bool operator==(const SheetProbe&) const = default;
};

/// A reading to be taken.
struct SheetLine {
  double since_steam_on_s = 0;
  std::optional<Said> remark; ///< what a plan expects by then
  bool operator==(const SheetLine&) const = default;
};

struct RunSheet {
  std::string site_name;
  std::string run_name;
  std::string operator_name;
  std::string vessel;
  std::optional<VesselKind> vessel_kind;
  std::optional<double> rating_gauge_Pa;
  std::optional<double> altitude_m;
  std::optional<double> boiling_degC; ///< in the open; none where the altitude is not known
  std::string treatment;              ///< its name; "" where none was chosen
  std::vector<Said>
      requirements; ///< "sheet_needs_…", "sheet_wants_…", "sheet_limit_…"; basis in their values
  std::vector<SheetBags> bags;           ///< at least one, which may be empty
  UnitSystem units = UnitSystem::metric; ///< of all that is printed and asked: C and kPa, or F and psi
  std::optional<SheetStart> start;
  double every_s = 0;
  std::vector<SheetLine> lines; ///< earliest first
  std::vector<SheetProbe> probes;
  std::vector<Said> reminders;     ///< "sheet_mind_…", above the readings
  std::vector<EventKind> events;   ///< to be written with their times; one that comes again stands again
  std::vector<Said> cautions;      ///< "sheet_caution_…", for the front
  std::vector<Said> if_it_happens; ///< "sheet_do_…", for the back: what to do
  bool operator==(const RunSheet&) const = default;
};

/// A sheet with nothing filled in but what options and site file say. `site` may be null; `built_in` are the
/// treatments of the tables, the site's own go before them. Without `every_s` readings are as far apart as
/// the treatment bridges in a log by hand, each time being good to 5 min (where no treatment was chosen, as
/// the strictest does); without `for_s` there are 36 lines, or half as many again as the longest hold takes.
/// Throws UserError (usage) with every fault: a vessel, treatment, kind of bag or probe that the site does
/// not have; several vessels and none named, or probes left out beside several vessels (a site file does not
/// say which probe is in which vessel); over most_sheet_probes; columns that `coldbag type` would not take;
/// over most_sheet_lines; a treatment that the vessel cannot reach: over the boiling point in a vented one,
/// over the rating in another. Guarded by tests/sizing/run_sheet_test.cpp.
[[nodiscard]] RunSheet blank_run_sheet(const SheetAsked& asked, const Site* site,
                                       const std::vector<Treatment>& built_in, const CautionTables& tables);

} // namespace coldbag
