// What a run was found to be: values and keys of words, no prose. Text, JSON, chart, page and ledger read
// this alone.
#pragma once

#include "farm/probe.h"
#include "farm/treatment.h"
#include "kinetics/exposure.h"
#include "logs/rows.h"
#include "probes/fault.h"
#include "probes/uncertainty.h"
#include "quantity/said.h"
#include "tables/edition.h"

#include <optional>
#include <string>
#include <vector>

namespace coldbag {

/// One-sided 95 % of the normal distribution, as decision rules round it (ISO 14253-1 level; from memory).
inline constexpr double coverage_k = 1.645;

enum class Verdict { pass, fail, unproven };
enum class SoFar { not_yet, enough };
enum class Ended { no, yes, unknown };
enum class Status { met, missed, unproven };

/// One criterion at the bag or place that decides it.
struct CriterionResult {
  std::string name;
  bool too_much = false;
  std::string unit; ///< "minutes", "degC", "K", "fraction", "decades"
  double required = 0;
  std::optional<double> required_to;
  Sense sense = Sense::at_least;
  std::optional<double> delivered;
  std::optional<double> bound;
  std::string bound_side; ///< "lower" or "upper"
  std::string decided_by; ///< name of the probe, "" where none can decide
  Status status = Status::unproven;
  bool fails = true;
  std::string evidence = "measured";
  Basis basis = Basis::assumed;
  std::string source;
  bool operator==(const CriterionResult&) const = default;
};

struct OrganismResult {
  std::string key;
  std::string name;
  double decades = 0;
  double decades_lower = 0;            ///< lowered trace, largest D, z of least credit
  double decades_lower_z_less_one = 0; ///< lowered trace, largest D, z as stated less 1 K
  std::string basis;
  std::string source;
  bool beyond_range = false; ///< more than 10 K beyond the measured temperatures
  bool operator==(const OrganismResult&) const = default;
};

/// What would be left if each probed bag had held so many of an organism.
struct Survival {
  std::string organism; ///< its key
  std::string name;
  double initial_count = 0;
  double survivors_at_most = 0; ///< in the worst probed bag, by the lower bound
  double expected_bad_bags = 0; ///< of the probed ones
  int bags = 0;
  bool beyond_range = false;
  bool operator==(const Survival&) const = default;
};

struct ProbeResult {
  std::string name;
  ProbeRole role = ProbeRole::unstated;
  std::string place;
  std::string bag;
  std::string spot;
  double gain = 1; ///< corrected = gain reading + offset_K
  double offset_K = 0;
  double correction_K = 0; ///< what that adds at the setpoint
  std::optional<WallTime> checked_on;
  double u_K = 0;
  ProbeErrorParts u_parts;
  std::string u_from; ///< key of words: "u_check", "u_class", "u_unstated"
  double noise_K = 0;
  double F_minutes = 0;
  double F_minutes_all = 0;
  double F_minutes_lower = 0;
  double F_minutes_after_steam_off = 0;
  double hold_minutes = 0;
  double hold_minutes_lower = 0;
  double hold_total_minutes = 0;
  double strict_hold_minutes = 0;
  double hold_unseen_minutes = 0; ///< part of hold_minutes that lies in gaps
  int hold_unseen_gaps = 0;
  double not_credited_minutes = 0;
  std::vector<double> F_minutes_by_band;
  std::optional<double> top_degC;
  std::optional<double> top_raw_degC;  ///< highest reading as it stands in the log
  std::optional<double> hot_at_s;      ///< first at or above the setpoint
  std::optional<double> near_top_at_s; ///< first within 2 K of its top
  std::optional<double> stayed_from_s; ///< longest stretch
  std::optional<double> stayed_to_s;
  std::optional<double> last_degC;
  std::vector<Fault> faults;
  std::vector<OrganismResult> organisms;
  bool operator==(const ProbeResult&) const = default;
};

struct LogResult {
  std::string name;
  std::string sha256;
  std::int64_t rows = 0;
  double interval_s = 0;
  double from_s = 0; ///< of the run's time
  double to_s = 0;
  std::int64_t gap_count = 0;
  std::vector<Gap> gaps;
  std::vector<ClockEvent> clock_events;
  std::vector<CellTally> cells_unread;
  Understanding understanding;
  bool by_hand = false; ///< stated, or marked so in the log: times good to five minutes
  bool operator==(const LogResult&) const = default;
};

struct MoreHold {
  double minutes = 0;
  std::optional<double> at_degC;
  std::optional<double> until_s;
  bool possible = false;
  std::optional<Said> why_not;
  bool operator==(const MoreHold&) const = default;
};

/// A danger or a shortcoming that the log shows or the files state. Told on the best estimate.
struct Caution {
  std::string kind;               ///< "above_boiling"
  Said said;                      ///< its key is "caution_" and the kind, or a variant of that
  std::string basis = "measured"; ///< "measured", "stated", "computed"
  std::optional<double> when_s;   ///< when it was first seen
  bool operator==(const Caution&) const = default;
};

/// Something that happened.
struct EventResult {
  std::string what; ///< "steam_off"
  double at_s = 0;
  bool is_stated = true; ///< false: seen in the log
  std::string note;
  std::string who;
  std::string probe;
  bool operator==(const EventResult&) const = default;
};

/// One treatment against a log where none was chosen.
struct WouldNeed {
  std::string treatment;
  std::string name;
  double setpoint_degC = 0;
  std::optional<double> hot_at_s;
  double hold_minutes = 0;
  double F_minutes = 0;
  std::vector<CriterionResult> short_of; ///< too-little criteria not reached by the best estimate
  bool operator==(const WouldNeed&) const = default;
};

/// The bag whose hold, the longest stretch, lies most in gaps.
struct UnseenHold {
  std::string probe;
  double minutes = 0;
  int gaps = 0;
  bool tells_verdict = false; ///< so much of it that the verdict says so
  bool operator==(const UnseenHold&) const = default;
};

/// How a probed bag heated, beside what its mass and moisture foretold.
struct ProbeHeating {
  std::string probe;
  std::optional<double>
      lag_minutes; ///< core behind steam: from within 2 K of the steam's top to that of its own
  /// The same before any log, with its 90 % range; none where the steam would have to stand over a day.
  std::optional<double> expected_minutes, expected_lower_minutes, expected_upper_minutes;
  /// The same by the fit, with its 95 % band; none where nothing was fitted, or over a day.
  std::optional<double> fitted_minutes, fitted_lower_minutes, fitted_upper_minutes;
  double speed = 1;    ///< factor on conduction, vapour and film, beside those of its kind
  double speed_sd = 0; ///< standard deviation of its logarithm
  double rms_K = 0;    ///< of the fit
  std::string remark;  ///< key of words; "" for nothing out of the way
  /// What each alone would explain a remark: the bag's mass in the same skin, its moisture, the probe's
  /// distance from the middle. None where none would.
  std::optional<double> would_weigh_kg, would_be_moist_wb, would_be_off_m;
  bool operator==(const ProbeHeating&) const = default;
};

/// The slowest bag of a kind that had no probe, at its 95 % bound.
struct UnprobedBag {
  std::string bag;                   ///< kind
  int count = 0;                     ///< how many had no probe
  double speed = 1;                  ///< factor on conduction, vapour and film at the bound
  std::optional<double> lag_minutes; ///< core within 2 K of the steam's top; none: not in this run
  double F_minutes = 0;              ///< of the slowest as it is most likely
  double F_minutes_lower = 0;
  double hold_minutes = 0;
  double hold_minutes_lower = 0;
  std::optional<double> more_minutes; ///< of steam that would have been enough; none: over 24 h
  bool operator==(const UnprobedBag&) const = default;
};

/// One kind of bag: what the log taught of it.
struct BagHeating {
  std::string bag;
  int count = 0;
  int probed = 0;        ///< with a probe that is relied on
  std::string described; ///< form, substrate, closure, neighbours
  double mass_kg = 0;
  double moisture_wb = 0;
  /// "fitted" (two probes or more, the fit accepted), "pattern" (a proven one of the site) or "model"
  std::string evidence;
  std::string not_fitted;  ///< key of words, "" where it was
  double conductivity = 1; ///< multipliers
  double vapour = 1;
  double film = 1;
  bool conductivity_learned = false; ///< else the figure is the table's
  bool vapour_learned = false;
  bool film_learned = false;
  bool conductivity_far = false; ///< further from the tables than they allow for
  bool vapour_far = false;
  bool film_far = false;
  /// Of the logarithms of the three, row by row of the lower triangle; empty where nothing was fitted.
  std::vector<double> covariance;
  std::vector<double> lag_powers; ///< the lag goes with these powers of the three
  double rms_K = 0;
  double spread = 0; ///< standard deviation of the logarithm of the speed, bag to bag, as it was taken
  double spread_freedom = 0; ///< degrees of freedom it rests on
  int earlier_runs = 0;      ///< of the farm, that the figures rest on beside this log; 0: on the tables
  int earlier_bags = 0;
  std::vector<ProbeHeating> probes;
  std::optional<UnprobedBag> slowest; ///< none: every bag has a probe
  std::vector<Said> assumptions;
  bool operator==(const BagHeating&) const = default;
};

/// The pattern of the site by which a run says it was loaded.
struct PatternUse {
  std::string name;
  int runs = 0;                 ///< that showed it
  std::optional<WallTime> last; ///< day of the latest
  bool is_proven = false;
  std::optional<Said> why_not;
  bool operator==(const PatternUse&) const = default;
};

struct Reach {
  int probed_bags = 0;
  std::optional<int> bag_count;
  bool all_at_cold_spots = false;
  bool all_at_random = false;
  std::optional<double> share_above_coldest; ///< random bags: of all bags, 95 %
  std::optional<int> most_short;             ///< random bags of a described load: how many may still be short
  bool operator==(const Reach&) const = default;
};

/// The clock behind every time in the report.
struct RunClock {
  std::optional<Instant> start;       ///< of the first reading
  std::optional<WallTime> start_wall; ///< where only a wall clock is known
  std::string zone;
  bool operator==(const RunClock&) const = default;
};

/// What a probe read, thinned for drawing: point i holds the readings from at_s[i] on, for a width of the
/// curves. All lists are as long as at_s; a width without a reading has no point.
struct ProbeCurve {
  std::string probe;
  std::vector<double> at_s; ///< rising
  std::vector<double> lowest_degC;
  std::vector<double> highest_degC;
  std::vector<double> credited_share; ///< of the readings: 1 where none is faulty
  std::vector<double> F_minutes;      ///< earned so far
  std::vector<double> F_minutes_lower;
  bool operator==(const ProbeCurve&) const = default;
};

/// The core of the slowest bag without a probe, as it was reckoned.
struct SlowestCurve {
  std::string bag; ///< kind
  std::vector<double> at_s;
  std::vector<double> core_degC;       ///< as it is most likely
  std::vector<double> core_lower_degC; ///< at the 95 % bound
  bool operator==(const SlowestCurve&) const = default;
};

struct Curves {
  double width_s = 0;             ///< 0: nothing was read
  std::vector<ProbeCurve> probes; ///< in the order of the report's probes
  std::optional<SlowestCurve> slowest;
  bool operator==(const Curves&) const = default;
};

struct RunReport {
  std::string run_name;
  std::string resteam_of;        ///< the run whose load was steamed again, "" for none
  std::string run_by;            ///< who ran it
  std::vector<std::string> lots; ///< as the run file says
  std::string run_notes;
  std::string site_name;
  std::optional<Verdict> verdict; ///< none where nothing was judged
  std::optional<SoFar> so_far;
  std::string failed_by;        ///< "too_little", "too_much", "both", "" for none
  std::string scope = "probed"; ///< or "load": the bags without a probe too
  Ended ended = Ended::unknown;
  std::string treatment; ///< key, "" for none
  std::string treatment_name;
  std::vector<std::string> notes; ///< keys of words that go with the treatment
  Reference reference;            ///< without cut-off
  std::optional<double> counts_from_degC;
  double setpoint_degC = 0;
  double coverage = 0.95;
  double k = coverage_k;
  std::vector<CriterionResult> criteria;
  std::vector<ProbeResult> probes; ///< coldest bag first, then the other bags, then steam space
  std::string coldest;             ///< name of the probe, "" for none
  std::vector<BagHeating> heating; ///< kinds of bag in the load
  std::optional<UnprobedBag> slowest_unprobed;
  std::optional<PatternUse> pattern;   ///< none where the run names none
  std::optional<Said> load_not_judged; ///< why the scope is the probed bags alone
  std::vector<WouldNeed> would_need;
  std::vector<LogResult> logs;
  std::vector<Survival> survival; ///< where somebody said how many a bag held
  MoreHold more_hold;
  std::vector<Said> next;
  std::vector<Caution> cautions;   ///< film first, then dangers, then the rest
  std::vector<EventResult> events; ///< in order of time
  std::vector<Said> blocks;        ///< why no PASS is possible whatever the heat: unanswered questions
  std::vector<std::string> unanswered;
  std::optional<double> altitude_m;
  std::optional<double> site_pressure_Pa;
  std::optional<double> boiling_degC;
  std::optional<double> check_reaches_degC;  ///< to where a check in ice and at the boil is taken to hold
  std::string vessel_kind;                   ///< "vented", "pressure-rated", ""
  std::optional<double> vessel_hold_minutes; ///< hold by the steam space, beside that by the coldest bag
  /// Time during which every bag with a probe was in its longest stretch: all were hot at once for at least
  /// that. None where no bag was probed, or a probe in a bag gave no reading.
  std::optional<double> all_hot_minutes;
  std::optional<UnseenHold> unseen_hold; ///< none where every hold was seen
  std::optional<double> steam_off_at_s;
  bool steam_off_stated = false;
  Reach reach;
  std::vector<Stretch> runs; ///< where a log holds several: when the bags were warm; nothing is judged then
  RunClock clock;
  UnitSystem units = UnitSystem::metric;
  std::vector<Edition> editions;
  std::string program_version;
  Curves curves;
  bool operator==(const RunReport&) const = default;
};

/// 0 pass, 1 fail, 2 unproven or nothing judged.
[[nodiscard]] int exit_status(const RunReport& report);

} // namespace coldbag
