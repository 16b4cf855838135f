// Everything a run is judged from, gathered and checked: enough to judge it again years later.
#pragma once

#include "farm/run_file.h"
#include "farm/site.h"
#include "heatup/bag_body.h"
#include "heatup/learned.h"
#include "kinetics/organism.h"
#include "logs/rows.h"
#include "probes/check_limits.h"
#include "probes/uncertainty.h"
#include "run/caution_tables.h"
#include "run/run_report.h"
#include "tables/edition.h"

#include <memory>
#include <optional>
#include <string>
#include <vector>

namespace coldbag {

/// A text file as read by the caller; the engine opens no paths.
struct NamedText {
  std::string name;
  std::string bytes;
};

/// A check of a probe that is written down elsewhere than in the site file.
struct StatedCheck {
  std::string probe;
  ProbeCheck check;
};

/// What the command line (or a page) says beside the files.
struct RunOptions {
  std::string treatment;
  std::vector<std::string> in_bag;
  std::vector<std::string> vessel;
  std::vector<std::string> left_out;    ///< probes not to rely on
  std::vector<StatedCheck> more_checks; ///< beside those of the site file
  std::optional<double> altitude_m;
  std::optional<double> site_pressure_Pa;
  std::optional<VesselKind> vessel_kind;
  std::optional<double> rating_gauge_Pa;
  std::optional<Reference> reference;  ///< the user's own numbers
  std::string probe_class;             ///< for probes whose class nobody stated
  std::optional<double> u_K;           ///< the same, as a figure
  std::optional<double> initial_count; ///< of an organism, in each bag: what survivors are reckoned from
  bool is_running = false;
  bool by_hand = false;
  bool by_tables_alone = false;  ///< not by what earlier runs showed
  bool fits_bags = false;        ///< asks how the bags heated, with or without a load and a treatment
  std::optional<Bag> bag;        ///< the only kind in the vessel, where no run file describes the load
  std::optional<int> bag_count;  ///< of it; else as many as were probed
  std::optional<int> run_number; ///< of several runs in one log, from 1
  std::optional<EventTime> from;
  std::optional<EventTime> to;
  std::vector<RunEvent> events;
  LogOptions log;
};

struct RunRequest {
  std::optional<NamedText> site;
  std::optional<NamedText> run_file;
  std::optional<NamedText> load;
  std::optional<NamedText> learned;
  std::vector<Source> logs; ///< in the order of the run file's [[log]]
  RunOptions options;
};

/// A column of a log as a probe of the run.
struct RunProbe {
  std::string name;
  std::string column;
  int log = 0;   ///< which log
  int value = 0; ///< which column of its blocks
  bool is_pressure = false;
  PressureBasis pressure_basis = PressureBasis::none;
  ProbeRole role = ProbeRole::unstated;
  std::string place;
  std::string bag;
  std::string spot;
  bool left_out = false;
  Correction correction;
  double correction_K = 0; ///< what it adds at the setpoint
  double u_K = 0;
  ProbeErrorParts u_parts;
  std::optional<WallTime> check_on;
  std::string u_from;
};

struct RunLogUse {
  ProbeLog log;
  double starts_s = 0; ///< of the run's time
  bool by_hand = false;
};

struct RunMoment {
  RunEvent event;
  double at_s = 0;
};

struct RunAir {
  AirReading reading;
  double at_s = 0;
};

struct RunInput {
  std::string run_name;
  std::optional<Site> site;
  std::optional<RunFile> run_file;
  std::optional<Load> load;
  RunOptions options;
  std::vector<Treatment> treatments; ///< built in, then the site's own
  std::optional<Treatment> treatment;
  bool treatment_is_assumed = false; ///< to see how bags heat; nothing is judged by it
  std::vector<Organism> organisms;
  std::optional<CheckLimits> check_limits; ///< none: probes are taken at their word
  std::vector<RunLogUse> logs;
  std::vector<RunProbe> probes;
  std::vector<RunMoment> events;
  std::vector<RunAir> air;
  std::optional<double> from_s;
  std::optional<double> to_s;
  /// Probes are checked from here, before what is judged begins; as from_s where nothing is said.
  std::optional<double> checked_from_s;
  RunClock clock;
  std::optional<double> altitude_m;
  std::optional<double> site_pressure_Pa;
  std::optional<VesselKind> vessel_kind;
  std::optional<Vessel> vessel; ///< as the site file describes it
  std::optional<double> rating_gauge_Pa;
  std::vector<Bag> bags; ///< kinds in this run
  CautionTables cautions;
  bool judges_load = true; ///< false where a run is only judged again to see what its probes could show
  std::optional<Learned> learned;               ///< what earlier runs of the site showed of its bags
  std::optional<PatternUse> pattern;            ///< by which the run says it was loaded
  std::shared_ptr<const HeatingTables> heating; ///< how bags heat; none: only probed bags are judged
  double extrapolated_beyond_K = 0;             ///< this far over its upper point a check is taken to hold
  std::vector<Said> blocks;
  std::vector<std::string> unanswered;
  std::optional<double> moisture_wb;
  std::optional<double> heaviest_bag_kg;
  std::optional<double> initial_count;
  UnitSystem units = UnitSystem::metric;
  std::vector<Edition> editions;
};

/// Gathers a run from named bytes. Throws UserError with every complaint found. The one way in for every
/// command.
[[nodiscard]] RunInput open_run(RunRequest request, const TableFiles& tables);

} // namespace coldbag
