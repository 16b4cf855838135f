#include "run/judge.h"

#include "errors/our_fault.h"
#include "kinetics/survivors.h"
#include "run/advice.h"
#include "run/probe_faults.h"
#include "run/reach.h"
#include "steam/saturation.h"

#include <tbb/parallel_for.h>

#include <algorithm>

namespace coldbag {

namespace {

constexpr double vessel_gap_s = 300;          // assumed
constexpr double vessel_gap_by_hand_s = 1800; // assumed
constexpr double fall_that_ends_K = 10;
constexpr double coldest_break_degC = 60; // assumed: below it survivors may wake

bool is_opening(EventKind kind) {
  return kind == EventKind::door_opened || kind == EventKind::opened || kind == EventKind::unloaded;
}

std::optional<double> first_of(const RunInput& input, bool (*wanted)(EventKind)) {
  std::optional<double> first;
  for (const RunMoment& moment : input.events)
    if (wanted(moment.event.what) && (!first || moment.at_s < *first)) first = moment.at_s;
  return first;
}

double join_s(const Treatment& treatment, double interval_s) {
  return interval_s <= 600 ? std::max(treatment.join_s, 1.5 * interval_s) : treatment.join_s;
}

// z as stated, one kelvin less, and both ends where the table has a range.
std::vector<double> z_variants_K(const Organism& organism) {
  std::vector<double> variants = {organism.z_K, std::max(organism.z_K - 1, 0.1)};
  if (organism.lowest_z_K) variants.push_back(*organism.lowest_z_K);
  if (organism.highest_z_K) variants.push_back(*organism.highest_z_K);
  return variants;
}

ProbeMeterRule rule_for(const RunInput& input, const Treatment& treatment, const RunProbe& probe) {
  const RunLogUse& log = input.logs[static_cast<std::size_t>(probe.log)];
  ProbeMeterRule rule;
  rule.reference = treatment.reference;
  rule.counts_from_degC = treatment.counts_from_degC;
  rule.setpoint_degC = setpoint_degC(
      treatment, input.site_pressure_Pa ? std::optional(saturation_temperature_degC(*input.site_pressure_Pa))
                                        : std::nullopt);
  rule.break_below_degC = std::min(rule.setpoint_degC - fall_that_ends_K, coldest_break_degC); // assumed
  rule.ku_K = coverage_k * probe.u_K;
  rule.interval_s = log.log.survey().interval_s;
  rule.join_s = join_s(treatment, rule.interval_s);
  if (probe.role == ProbeRole::bag)
    rule.gap_s = log.by_hand ? treatment.gap_by_hand_s : treatment.gap_s;
  else
    rule.gap_s = log.by_hand ? vessel_gap_by_hand_s : vessel_gap_s;
  rule.gap_s = std::max(rule.gap_s, rule.join_s);
  rule.steam_off_at_s = first_of(input, [](EventKind kind) { return kind == EventKind::steam_off; });
  if (const auto opened_s = first_of(input, is_opening)) rule.credit_ends_at_s = *opened_s;
  rule.more = references_of(treatment, input.organisms);
  if (input.moisture_wb) // moist-heat figures are claimed for substrate known to be moist
    for (const Organism& organism : input.organisms)
      for (const double z_K : z_variants_K(organism))
        rule.more.push_back(
            {organism.name, organism.at_degC, z_K, organism.lowest_degC, organism.highest_degC});
  rule.levels_degC = levels_of(
      treatment, input.site_pressure_Pa ? std::optional(saturation_temperature_degC(*input.site_pressure_Pa))
                                        : std::nullopt);
  return rule;
}

bool fell(const ProbeMeasures& m) {
  return m.plateau_degC - m.last_mean_degC >= fall_that_ends_K;
}

// Ended: what is stated, else what the vessel, else every bag, shows.
Ended ended_by(const RunInput& input, const std::vector<Measured>& probes) {
  if (input.options.is_running) return Ended::no;
  if (first_of(input, [](EventKind k) { return is_opening(k) || k == EventKind::steam_off; }))
    return Ended::yes;
  bool any_vessel = false;
  bool vessel_fell = true;
  bool any_bag = false;
  bool bags_fell = true;
  for (const Measured& one : probes) {
    if (!one.measures.top_degC || !one.is_relied_on) continue;
    if (one.probe->role == ProbeRole::vessel) {
      any_vessel = true;
      vessel_fell = vessel_fell && fell(one.measures);
    } else if (one.probe->role == ProbeRole::bag) {
      any_bag = true;
      bags_fell = bags_fell && fell(one.measures);
    }
  }
  if (any_vessel) return vessel_fell ? Ended::yes : Ended::unknown;
  return any_bag && bags_fell ? Ended::yes : Ended::unknown;
}

// The runs that the bags (or, with none probed, the steam) show between breaks.
std::vector<Stretch> runs_in(const std::vector<Measured>& probes) {
  const bool any_bag = std::any_of(probes.begin(), probes.end(),
                                   [](const Measured& m) { return m.probe->role == ProbeRole::bag; });
  std::vector<Stretch> most;
  for (const Measured& one : probes)
    if (one.probe->role != ProbeRole::outside && (!any_bag || one.probe->role == ProbeRole::bag) &&
        one.measures.runs.size() > most.size())
      most = one.measures.runs;
  return most;
}

std::optional<double> steam_off_seen_s(const std::vector<Measured>& probes) {
  std::optional<double> off;
  for (const Measured& one : probes)
    if (one.probe->role == ProbeRole::vessel && one.is_relied_on && one.measures.top_degC &&
        fell(one.measures))
      off = std::max(off.value_or(0), one.measures.last_near_plateau_s);
  return off;
}

bool decides_by_F(const Treatment& treatment) {
  return std::any_of(treatment.criteria.begin(), treatment.criteria.end(), [](const TreatmentCriterion& c) {
    return c.fails && c.measure == Measure::F && c.sense == Sense::at_least;
  });
}

double not_below_zero(double value) {
  return std::max(0.0, value);
}

std::vector<OrganismResult> organism_results(const RunInput& input, const Treatment& treatment,
                                             const Measured& one) {
  std::vector<OrganismResult> results;
  if (!input.moisture_wb) return results; // moist-heat figures need substrate known to be moist
  std::size_t i = references_of(treatment, input.organisms).size();
  for (const Organism& organism : input.organisms) {
    const ProbeMeasures& m = one.measures;
    const std::size_t at = i;
    const std::vector<double> z_K = z_variants_K(organism);
    i += z_K.size();
    if (organism.lowest_moisture_wb && *input.moisture_wb < *organism.lowest_moisture_wb) continue;
    OrganismResult result;
    result.key = organism.key;
    result.name = organism.name;
    result.decades = log_reduction(m.more_minutes[at], organism.D_minutes);
    const double worst_D_minutes = organism.highest_D_minutes.value_or(organism.D_minutes);
    const auto lower = [&](std::size_t variant) {
      return log_reduction(m.more_lower_minutes[at + variant] / noise_factor(m.noise_K, z_K[variant]),
                           worst_D_minutes);
    };
    result.decades_lower = lower(0);
    result.decades_lower_z_less_one = lower(1);
    for (std::size_t variant = 2; variant < z_K.size(); ++variant)
      result.decades_lower = std::min(result.decades_lower, lower(variant));
    result.basis = organism.basis;
    result.source = organism.source;
    // Measured at one temperature alone: that temperature is the whole range.
    result.beyond_range =
        m.top_degC && (*m.top_degC > organism.highest_degC.value_or(organism.at_degC) + 10 ||
                       *m.top_degC < organism.lowest_degC.value_or(organism.at_degC) - 10);
    results.push_back(result);
  }
  return results;
}

ProbeResult probe_result(const RunInput& input, const Treatment& treatment, const Measured& one) {
  const ProbeMeasures& m = one.measures;
  ProbeResult result;
  result.name = one.probe->name;
  result.role = one.probe->role;
  result.place = one.probe->place;
  result.bag = one.probe->bag;
  result.spot = one.probe->spot;
  result.correction_K = one.probe->correction_K;
  result.u_K = one.probe->u_K;
  result.u_from = one.probe->u_from;
  result.noise_K = m.noise_K;
  result.F_minutes = m.F_minutes;
  result.F_minutes_all = m.F_minutes_all;
  result.F_minutes_lower = F_lower_minutes(m, treatment.reference.z_K);
  result.F_minutes_after_steam_off = m.F_after_steam_off_minutes;
  result.hold_minutes = hold_minutes(m, treatment.strict_hold);
  result.hold_minutes_lower = hold_lower_minutes(one, treatment.strict_hold);
  result.hold_total_minutes = m.hold_total_s / 60;
  result.strict_hold_minutes = m.strict_hold.length_s() / 60;
  result.not_credited_minutes = m.not_credited_s / 60;
  result.F_minutes_by_band = m.F_band_minutes;
  result.top_degC = m.top_degC;
  result.hot_at_s = m.hot_at_s;
  result.near_top_at_s = m.near_top_at_s;
  if (m.hold.length_s() > 0) {
    result.stayed_from_s = m.hold.from_s;
    result.stayed_to_s = m.hold.to_s;
  }
  result.last_degC = m.last_degC;
  result.organisms = organism_results(input, treatment, one);
  result.faults = one.faults;
  return result;
}

// Coldest bag first: by the lower bound of what decides, then by the other, then by column.
void put_coldest_first(std::vector<ProbeResult>& probes, const Treatment& treatment) {
  const bool by_F = decides_by_F(treatment);
  std::stable_sort(probes.begin(), probes.end(), [by_F](const ProbeResult& a, const ProbeResult& b) {
    const auto rank = [](const ProbeResult& p) {
      return p.role == ProbeRole::bag ? (is_relied_on(p.faults) ? 0 : 1) : 2;
    };
    if (rank(a) != rank(b)) return rank(a) < rank(b);
    const auto first = [by_F](const ProbeResult& p) {
      return by_F ? p.F_minutes_lower : p.hold_minutes_lower;
    };
    const auto second = [by_F](const ProbeResult& p) {
      return by_F ? p.hold_minutes_lower : p.F_minutes_lower;
    };
    if (first(a) != first(b)) return first(a) < first(b);
    return second(a) < second(b);
  });
}

Reach reach_of(const RunInput& input, const std::vector<std::vector<Fault>>& faults) {
  Reach reach;
  int cold = 0;
  int random = 0;
  for (std::size_t i = 0; i < input.probes.size(); ++i) {
    const RunProbe& probe = input.probes[i];
    if (probe.is_pressure || probe.role != ProbeRole::bag || !is_relied_on(faults[i])) continue;
    ++reach.probed_bags;
    cold += probe.spot == "cold" ? 1 : 0;
    random += probe.spot == "random" ? 1 : 0;
  }
  if (input.load && input.load->bag_count() > 0) reach.bag_count = input.load->bag_count();
  reach.all_at_cold_spots = reach.probed_bags > 0 && cold == reach.probed_bags;
  reach.all_at_random = reach.probed_bags > 0 && random == reach.probed_bags;
  if (reach.all_at_random) {
    reach.share_above_coldest = fraction_above_lowest(reach.probed_bags, 0.95);
    if (reach.bag_count && *reach.bag_count >= reach.probed_bags)
      reach.most_short = most_failing_compatible(*reach.bag_count, reach.probed_bags, 0.95);
  }
  return reach;
}

// The kind is the key without its first word.
Caution caution(std::string key, SaidValues values, std::optional<double> when_s = std::nullopt) {
  return {key.substr(key.find('_') + 1), {key, std::move(values)}, "measured", when_s};
}

void add_cautions(const RunInput& input, const Treatment& treatment, const std::vector<Measured>& probes,
                  RunReport& report) {
  if (input.vessel_kind == VesselKind::vented &&
      std::find(treatment.vessel_kinds.begin(), treatment.vessel_kinds.end(), "vented") ==
          treatment.vessel_kinds.end())
    report.cautions.push_back(caution("caution_vented_for_pressure_treatment",
                                      {{"boiling_degC", report.boiling_degC.value_or(100)}}));
  for (const CriterionResult& criterion : report.criteria)
    if (!criterion.fails && criterion.status == Status::missed) {
      SaidValues values{{"probe", criterion.decided_by}};
      const bool is_F = criterion.name.find("lethality") != std::string::npos;
      const std::string unit = is_F ? "F_minutes" : criterion.unit;
      if (criterion.delivered) values["delivered_" + unit] = *criterion.delivered;
      values["required_" + unit] = criterion.required;
      report.cautions.push_back(caution("caution_" + criterion.name, std::move(values)));
    }
  for (const Measured& one : probes) {
    if (decides_by_F(treatment) || one.probe->role != ProbeRole::bag || !one.measures.top_degC ||
        !one.is_relied_on)
      continue;
    const double needs_degC = report.setpoint_degC + coverage_k * one.probe->u_K;
    if (one.measures.plateau_degC >= report.setpoint_degC && one.measures.plateau_degC < needs_degC)
      report.cautions.push_back(
          caution("caution_probe_cannot_prove",
                  {{"probe", one.probe->name},
                   {"needs_degC", needs_degC},
                   {"plateau_degC", one.measures.plateau_degC},
                   {"needed_u_K", (one.measures.plateau_degC - report.setpoint_degC) / coverage_k}}));
  }
  for (const RunMoment& moment : input.events)
    if (moment.event.what == EventKind::steam_off && report.steam_off_stated)
      if (const auto seen = steam_off_seen_s(probes); seen && std::abs(*seen - moment.at_s) > 900)
        report.cautions.push_back(caution("caution_statement_against_trace",
                                          {{"stated_at", moment.at_s}, {"seen_at", *seen}}, moment.at_s));
}

WouldNeed would_need(const Treatment& treatment, const std::vector<Measured>& probes,
                     std::vector<CriterionResult> criteria, double setpoint) {
  WouldNeed need{treatment.key, treatment.name, setpoint, {}, 0, 0, {}};
  const bool any_bag = std::any_of(probes.begin(), probes.end(),
                                   [](const Measured& m) { return m.probe->role == ProbeRole::bag; });
  const Measured* at = nullptr;
  for (const Measured& one : probes) {
    if (!one.measures.top_degC || !one.is_relied_on || one.probe->role == ProbeRole::outside) continue;
    if (any_bag && one.probe->role != ProbeRole::bag) continue;
    const bool colder = at != nullptr && one.measures.F_minutes < at->measures.F_minutes;
    if (at == nullptr || (any_bag == colder)) at = &one;
  }
  if (at != nullptr) {
    need.hot_at_s = at->measures.hot_at_s;
    need.hold_minutes = hold_minutes(at->measures, treatment.strict_hold);
    need.F_minutes = at->measures.F_minutes;
  }
  for (CriterionResult& result : criteria)
    if (result.fails && (result.too_much ? result.status != Status::met : result.status == Status::missed))
      need.short_of.push_back(std::move(result));
  return need;
}

} // namespace

int exit_status(const RunReport& report) {
  if (!report.verdict) return 2;
  return *report.verdict == Verdict::pass ? 0 : (*report.verdict == Verdict::fail ? 1 : 2);
}

Judge::Judge(RunInput input) : input_(std::move(input)), unread_(input_.logs.size()) {
  std::vector<Treatment> treatments;
  if (input_.treatment)
    treatments.push_back(*input_.treatment);
  else
    treatments = input_.treatments;
  for (Treatment& treatment : treatments) {
    Watch watch{std::move(treatment), {}, {}};
    for (const RunProbe& probe : input_.probes)
      watch.meters.emplace_back(rule_for(input_, watch.treatment, probe));
    for (const TreatmentCriterion& criterion : watch.treatment.criteria)
      if (criterion.measure == Measure::under_saturation)
        watch.short_of_saturation.emplace_back(criterion.required);
    watches_.push_back(std::move(watch));
  }
  for (std::size_t i = 0; i < input_.probes.size(); ++i)
    streams_.emplace_back(input_, i);
}

void Judge::take(int log, const RowBlock& block) {
  our_check(!is_finished_, "a finished judge takes no rows");
  // A probe is one thread's work from first row to last, so threads change no digit.
  tbb::parallel_for(std::size_t{0}, input_.probes.size(), [&](std::size_t i) {
    if (input_.probes[i].log == log) streams_[i].take(block, meters_of(watches_, i, input_.probes[i]));
  });
  for (Watch& watch : watches_)
    take_saturation(watch, log, block);
}

std::vector<ProbeMeter*> Judge::meters_of(std::vector<Watch>& watches, std::size_t i, const RunProbe& probe) {
  std::vector<ProbeMeter*> meters;
  for (Watch& watch : watches)
    if (!probe.is_pressure) meters.push_back(&watch.meters[i]);
  return meters;
}

Judge::Settled Judge::settled() const {
  Settled now{watches_, {}};
  std::vector<ProbeStream> streams = streams_;
  for (std::size_t i = 0; i < streams.size(); ++i)
    streams[i].finish(meters_of(now.watches, i, input_.probes[i]));
  now.faults = faults_of(input_, streams, now.watches.front().meters);
  return now;
}

void Judge::take_saturation(Watch& watch, int log, const RowBlock& block) {
  if (watch.short_of_saturation.empty()) return;
  const RunProbe* pressure = nullptr;
  const RunProbe* steam = nullptr;
  for (const RunProbe& probe : input_.probes) {
    if (probe.log != log) continue;
    if (probe.is_pressure && pressure == nullptr) pressure = &probe;
    if (!probe.is_pressure && probe.role == ProbeRole::vessel && steam == nullptr) steam = &probe;
  }
  if (pressure == nullptr || steam == nullptr) return;
  if (pressure->pressure_basis == PressureBasis::gauge && !input_.site_pressure_Pa) return;
  const double outside_Pa = pressure->pressure_basis == PressureBasis::gauge ? *input_.site_pressure_Pa : 0;
  const auto p = static_cast<std::size_t>(pressure->value);
  const auto t = static_cast<std::size_t>(steam->value);
  const double setpoint = watch.meters.front().rule().setpoint_degC;
  for (std::size_t row = 0; row < block.time_s.size(); ++row) {
    if (block.has[p][row] == 0 || block.has[t][row] == 0) continue;
    const double abs_Pa = block.value[p][row] + outside_Pa;
    if (abs_Pa < 1000 || abs_Pa > 2e7) continue;
    const double saturation_degC = saturation_temperature_degC(abs_Pa);
    const bool gauge_says_hot = saturation_degC >= setpoint;
    const double short_K = gauge_says_hot ? saturation_degC - (block.value[t][row] + steam->correction_K) : 0;
    saturation_seen_ = true;
    most_short_of_saturation_K_ = std::max(most_short_of_saturation_K_, short_K);
    for (HoldMeter& meter : watch.short_of_saturation)
      meter.take(block.time_s[row], short_K, Join::linear);
  }
}

std::vector<Measured> Judge::measured(const Settled& now, const Watch& watch) const {
  std::vector<Measured> all;
  for (std::size_t i = 0; i < input_.probes.size(); ++i)
    if (!input_.probes[i].is_pressure)
      all.push_back({&input_.probes[i], input_.logs[static_cast<std::size_t>(input_.probes[i].log)].by_hand,
                     watch.meters[i].measures(), now.faults[i], is_relied_on(now.faults[i])});
  return all;
}

Surroundings Judge::surroundings(const Watch& watch) const {
  Surroundings around;
  if (input_.site_pressure_Pa) around.boiling_degC = saturation_temperature_degC(*input_.site_pressure_Pa);
  around.moisture_wb = input_.moisture_wb;
  around.heaviest_bag_kg = input_.heaviest_bag_kg;
  for (const HoldMeter& meter : watch.short_of_saturation)
    around.short_of_saturation_s.push_back(meter.longest().length_s());
  if (saturation_seen_) around.short_of_saturation_K = most_short_of_saturation_K_;
  return around;
}

void Judge::judge_into(RunReport& report, const Settled& now) const {
  const Watch& watch = now.watches.front();
  const Treatment& treatment = watch.treatment;
  const auto probes = measured(now, watch);
  if (const auto runs = runs_in(probes); runs.size() > 1) {
    report.runs = runs;
    for (const Measured& one : probes)
      report.probes.push_back(probe_result(input_, treatment, one));
    return;
  }
  report.treatment = treatment.key;
  report.treatment_name = treatment.name;
  report.notes = treatment.notes;
  report.reference = treatment.reference;
  report.counts_from_degC = treatment.counts_from_degC;
  report.setpoint_degC = setpoint_degC(treatment, report.boiling_degC);
  report.criteria = judge_criteria(treatment, input_.organisms, probes, surroundings(watch));
  report.ended = ended_by(input_, probes);
  const auto stated_off = first_of(input_, [](EventKind k) { return k == EventKind::steam_off; });
  report.steam_off_stated = stated_off.has_value();
  report.steam_off_at_s = stated_off ? stated_off : steam_off_seen_s(probes);
  for (std::size_t i = 0, at = 0; i < input_.probes.size(); ++i) {
    if (input_.probes[i].is_pressure) continue;
    ProbeResult result = probe_result(input_, treatment, probes[at++]);
    if (!stated_off && report.steam_off_at_s)
      result.F_minutes_after_steam_off =
          not_below_zero(result.F_minutes - watch.meters[i].F_minutes_until(*report.steam_off_at_s));
    report.probes.push_back(std::move(result));
  }
  put_coldest_first(report.probes, treatment);
  for (const ProbeResult& probe : report.probes)
    if (probe.role == ProbeRole::vessel)
      report.vessel_hold_minutes = std::max(report.vessel_hold_minutes.value_or(0), probe.hold_minutes);
  if (!report.probes.empty() && report.probes.front().role == ProbeRole::bag &&
      is_relied_on(report.probes.front().faults))
    report.coldest = report.probes.front().name;

  bool all_met = true;
  bool asks_for_heat = false; // moisture alone, or limits from above alone, show no treatment
  bool little = false;
  bool much = false;
  for (const CriterionResult& c : report.criteria) {
    if (!c.fails) continue;
    all_met = all_met && c.status == Status::met;
    asks_for_heat = asks_for_heat || (!c.too_much && !c.required_to);
    little = little || (c.status == Status::missed && !c.too_much);
    much = much || (c.status == Status::missed && c.too_much);
  }
  report.blocks = input_.blocks;
  for (const Said& block : blocks_of_faults(probes))
    report.blocks.push_back(block);
  const bool can_pass = all_met && asks_for_heat && report.blocks.empty() && !report.coldest.empty();
  if (report.ended == Ended::no) {
    report.verdict = Verdict::unproven;
    report.so_far = can_pass ? SoFar::enough : SoFar::not_yet;
  } else if (little || much) {
    report.verdict = Verdict::fail;
    report.failed_by = little && much ? "both" : (little ? "too_little" : "too_much");
  } else {
    report.verdict = can_pass ? Verdict::pass : Verdict::unproven;
  }
  const bool opened = first_of(input_, is_opening).has_value();
  report.more_hold = more_hold(treatment, probes, report, opened);
  add_cautions(input_, treatment, probes, report);
  report.next = advice(treatment, probes, report, opened);
}

RunReport Judge::report() const {
  RunReport report;
  report.run_name = input_.run_name;
  if (input_.site) report.site_name = input_.site->name;
  report.altitude_m = input_.altitude_m;
  report.site_pressure_Pa = input_.site_pressure_Pa;
  if (input_.site_pressure_Pa) report.boiling_degC = saturation_temperature_degC(*input_.site_pressure_Pa);
  if (input_.vessel_kind)
    report.vessel_kind = *input_.vessel_kind == VesselKind::vented ? "vented" : "pressure-rated";
  report.unanswered = input_.unanswered;
  report.clock = input_.clock;
  report.units = input_.units;
  report.editions = input_.editions;
  report.program_version = COLDBAG_VERSION;
  const Settled now = settled();
  report.reach = reach_of(input_, now.faults);
  for (std::size_t i = 0; i < input_.logs.size(); ++i) {
    const RunLogUse& use = input_.logs[i];
    const LogSurvey& survey = use.log.survey();
    report.logs.push_back({use.log.source().name(), use.log.source().sha256(), survey.row_count,
                           survey.interval_s, use.starts_s, use.starts_s + survey.last_s, survey.gap_count,
                           survey.gaps, unread_[i], use.log.understanding()});
  }
  if (input_.treatment) {
    judge_into(report, now);
    return report;
  }
  for (const Watch& watch : now.watches) {
    const auto probes = measured(now, watch);
    if (const auto runs = runs_in(probes); report.runs.empty() && runs.size() > 1) report.runs = runs;
    const double setpoint = setpoint_degC(watch.treatment, report.boiling_degC);
    report.would_need.push_back(
        would_need(watch.treatment, probes,
                   judge_criteria(watch.treatment, input_.organisms, probes, surroundings(watch)), setpoint));
    if (!report.probes.empty()) continue;
    for (const Measured& one : probes)
      report.probes.push_back(probe_result(input_, watch.treatment, one));
  }
  return report;
}

RunReport Judge::finish(std::vector<std::vector<CellTally>> unread) {
  unread_ = std::move(unread);
  is_finished_ = true;
  return report();
}

RunReport judge_run(RunInput input, int block_rows) {
  const std::vector<RunLogUse> logs = input.logs;
  Judge judge(std::move(input));
  std::vector<std::vector<CellTally>> unread;
  for (std::size_t i = 0; i < logs.size(); ++i)
    unread.push_back(logs[i].log.for_each_block(
        [&](const RowBlock& block) { judge.take(static_cast<int>(i), block); }, block_rows));
  return judge.finish(std::move(unread));
}

} // namespace coldbag
