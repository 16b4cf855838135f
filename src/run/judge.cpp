#include "run/judge.h"

#include "errors/our_fault.h"
#include "run/advice.h"
#include "run/cautions.h"
#include "run/curves.h"
#include "run/decades.h"
#include "run/events.h"
#include "run/one_run.h"
#include "run/probe_faults.h"
#include "run/reach.h"
#include "run/room.h"
#include "steam/saturation.h"

#include <fmt/format.h>

#include <tbb/parallel_for.h>
#include <tbb/task_group.h>

#include <algorithm>

namespace coldbag {

namespace {

constexpr double vessel_gap_s = 300;          // assumed
constexpr double vessel_gap_by_hand_s = 1800; // assumed
constexpr double fall_that_ends_K = 10;
constexpr double weather_and_steam_K = 2; // what weather and a little superheat may add (assumed)
constexpr double gap_in_intervals = 1.5;  // as logs count their gaps
constexpr double hot_start_degC = 35; // a vessel this warm at the start kept heat of another load (assumed)
constexpr double colder_bags_K = 10;
constexpr double coldest_break_degC = 60; // assumed: below it survivors may wake

std::optional<double> first_of(const RunInput& input, bool (*wanted)(EventKind)) {
  std::optional<double> first;
  for (const RunMoment& moment : input.events)
    if (wanted(moment.event.what) && (!first || moment.at_s < *first)) first = moment.at_s;
  return first;
}

double join_s(const Treatment& treatment, double interval_s) {
  return interval_s <= 600 ? std::max(treatment.join_s, 1.5 * interval_s) : treatment.join_s;
}

ProbeMeterRule rule_for(const RunInput& input, const Treatment& treatment, const RunProbe& probe) {
  const RunLogUse& log = input.logs[static_cast<std::size_t>(probe.log)];
  ProbeMeterRule rule;
  rule.reference = treatment.reference;
  rule.counts_from_degC = treatment.counts_from_degC;
  rule.setpoint_degC = setpoint_degC(
      treatment, input.site_pressure_Pa ? std::optional(saturation_temperature_degC(*input.site_pressure_Pa))
                                        : std::nullopt);
  rule.has_strict_hold = treatment.strict_hold;
  rule.break_below_degC = std::min(rule.setpoint_degC - fall_that_ends_K, coldest_break_degC); // assumed
  rule.ku_K = coverage_k * probe.u_K;
  const LogSurvey& survey = log.log.survey();
  rule.interval_s = survey.column_interval_s.empty()
                        ? survey.interval_s
                        : survey.column_interval_s[static_cast<std::size_t>(probe.value)];
  rule.join_s = join_s(treatment, rule.interval_s);
  rule.unseen_from_s = std::max(input.cautions.limits.unseen_step_s, gap_in_intervals * rule.interval_s);
  if (probe.role == ProbeRole::bag)
    rule.gap_s = log.by_hand ? treatment.gap_by_hand_s : treatment.gap_s;
  else
    rule.gap_s = log.by_hand ? vessel_gap_by_hand_s : vessel_gap_s;
  rule.gap_s = std::max(rule.gap_s, rule.join_s);
  rule.steam_off_at_s = first_of(input, [](EventKind kind) { return kind == EventKind::steam_off; });
  if (const auto opened_s = first_of(input, is_opening)) rule.credit_ends_at_s = *opened_s;
  for (const RunMoment& moment : input.events) // from then on it tells of another place
    if ((moment.event.what == EventKind::probe_moved || moment.event.what == EventKind::probe_replaced) &&
        moment.event.probe == probe.name && moment.at_s > 0)
      rule.elsewhere_from_s = std::min(rule.elsewhere_from_s, moment.at_s);
  rule.more = references_of(treatment, input.organisms);
  // Moist-heat figures are claimed for substrate known to be moist.
  rule.keeps_time_at_temperature = input.moisture_wb.has_value() && probe.role == ProbeRole::bag;
  rule.levels_degC = levels_of(
      treatment, input.site_pressure_Pa ? std::optional(saturation_temperature_degC(*input.site_pressure_Pa))
                                        : std::nullopt);
  return rule;
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
    if ((one.probe->role == ProbeRole::bag || (!any_bag && is_steam_space(one.probe->role))) &&
        one.measures.runs.size() > most.size())
      most = one.measures.runs;
  return most;
}

double not_below_zero(double value) {
  return std::max(0.0, value);
}

std::vector<OrganismResult> organism_results(const RunInput& input, const Measured& one) {
  std::vector<OrganismResult> results;
  if (!input.moisture_wb || one.probe->role != ProbeRole::bag) return results;
  for (const Organism& organism : input.organisms) {
    if (organism.lowest_moisture_wb && *input.moisture_wb < *organism.lowest_moisture_wb) continue;
    const Decades decades = decades_shown(organism, one.measures, coverage_k * one.probe->u_K);
    results.push_back({organism.key, organism.name, decades.estimate, decades.lower, decades.lower_z_less_one,
                       organism.basis, organism.source, is_beyond_range(organism, one.measures)});
  }
  return results;
}

ProbeResult probe_result(const RunInput& input, const Treatment& treatment, const Measured& one,
                         const std::vector<ProbeStream>& streams) {
  const ProbeMeasures& m = one.measures;
  ProbeResult result;
  result.name = one.probe->name;
  result.role = one.probe->role;
  result.place = one.probe->place;
  result.bag = one.probe->bag;
  result.spot = one.probe->spot;
  result.gain = one.probe->correction.gain;
  result.offset_K = one.probe->correction.offset_K;
  result.correction_K = one.probe->correction_K;
  result.checked_on = one.probe->check_on;
  result.u_K = one.probe->u_K;
  result.u_parts = one.probe->u_parts;
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
  const Unseen unseen = unseen_within(m.unseen, treatment.strict_hold ? m.strict_hold : m.hold);
  result.hold_unseen_minutes = unseen.s / 60;
  result.hold_unseen_gaps = unseen.gaps;
  result.not_credited_minutes = m.not_credited_s / 60;
  result.F_minutes_by_band = m.F_band_minutes;
  result.top_degC = m.top_degC;
  result.top_raw_degC = streams[static_cast<std::size_t>(one.probe - input.probes.data())].top_raw();
  result.hot_at_s = m.hot_at_s;
  result.near_top_at_s = m.near_top_at_s;
  if (m.hold.length_s() > 0) {
    result.stayed_from_s = m.hold.from_s;
    result.stayed_to_s = m.hold.to_s;
  }
  result.last_degC = m.last_degC;
  result.organisms = organism_results(input, one);
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

// The bag of which the largest part of its hold was not seen; `much` is a part of a hold.
std::optional<UnseenHold> unseen_hold(const std::vector<ProbeResult>& probes, double much) {
  const ProbeResult* most = nullptr;
  const auto part = [](const ProbeResult& p) { return p.hold_unseen_minutes / p.hold_minutes; };
  for (const ProbeResult& p : probes)
    if (p.role == ProbeRole::bag && is_relied_on(p.faults) && p.hold_unseen_minutes > 0 &&
        (most == nullptr || part(p) > part(*most)))
      most = &p;
  if (most == nullptr) return std::nullopt;
  return UnseenHold{most->name, most->hold_unseen_minutes, most->hold_unseen_gaps, part(*most) > much};
}

// In a vented vessel no bag is hotter than water boils: a probe further over than it may be off is off by
// more than is said of it, or the vessel holds pressure. Neither lets a run pass.
std::vector<Said> blocks_over_boiling(const std::vector<Measured>& probes, double boiling_degC) {
  std::vector<Said> blocks;
  for (const Measured& one : probes) {
    if (one.probe->role != ProbeRole::bag || !one.is_relied_on || !one.measures.top_degC) continue;
    const double over_K = one.measures.plateau_degC - boiling_degC;
    if (over_K > coverage_k * one.probe->u_K + weather_and_steam_K)
      blocks.push_back({"block_over_boiling",
                        {{"probe", one.probe->name}, {"over_K", over_K}, {"boiling_degC", boiling_degC}}});
  }
  return blocks;
}

// A fault that lasts to the end before the bag had enough leaves the bag unprobed; after that it costs
// nothing.
void set_aside_faulty_to_the_end(const Treatment& treatment, const std::vector<Organism>& organisms,
                                 std::vector<Measured>& probes, const Surroundings& around) {
  for (Measured& one : probes) {
    if (one.probe->role != ProbeRole::bag || !one.is_relied_on || !one.measures.faulty_to_the_end) continue;
    if (is_enough(treatment, organisms, one, around)) continue;
    const auto last =
        std::max_element(one.faults.begin(), one.faults.end(), [](const Fault& a, const Fault& b) {
          const auto costs_s = [](const Fault& fault) {
            return fault.effect == FaultEffect::told ? -1 : fault.to_s;
          };
          return costs_s(a) < costs_s(b);
        });
    if (last == one.faults.end() || last->effect == FaultEffect::told) continue;
    last->effect = FaultEffect::probe_not_relied_on;
    one.is_relied_on = false;
  }
}

Reach reach_of(const RunInput& input, const std::vector<Measured>& probes) {
  Reach reach;
  int cold = 0;
  int random = 0;
  for (const Measured& one : probes) {
    if (one.probe->role != ProbeRole::bag || !one.is_relied_on) continue;
    ++reach.probed_bags;
    cold += one.probe->spot == "cold" ? 1 : 0;
    random += one.probe->spot == "random" ? 1 : 0;
  }
  if (input.load && input.load->bag_count() > 0) {
    const auto burst = std::count_if(input.events.begin(), input.events.end(), [](const RunMoment& moment) {
      return moment.event.what == EventKind::bag_burst;
    });
    reach.bag_count = std::max(0, input.load->bag_count() - static_cast<int>(burst));
  }
  reach.all_at_cold_spots = reach.probed_bags > 0 && cold == reach.probed_bags;
  reach.all_at_random = reach.probed_bags > 0 && random == reach.probed_bags;
  if (reach.all_at_random) {
    reach.share_above_coldest = fraction_above_lowest(reach.probed_bags, 0.95);
    if (reach.bag_count && *reach.bag_count >= reach.probed_bags)
      reach.most_short = most_failing_compatible(*reach.bag_count, reach.probed_bags, 0.95);
  }
  return reach;
}

// The vessel was still warm from the load before, the bags were not.
bool is_hot_start(const std::vector<Measured>& probes) {
  std::optional<double> warmest_bag_degC;
  std::optional<double> vessel_degC;
  for (const Measured& one : probes) {
    if (!one.measures.first_degC || !one.is_relied_on) continue;
    const double first_degC = *one.measures.first_degC;
    if (one.probe->role == ProbeRole::bag)
      warmest_bag_degC = std::max(warmest_bag_degC.value_or(first_degC), first_degC);
    if (one.probe->role == ProbeRole::vessel)
      vessel_degC = std::max(vessel_degC.value_or(first_degC), first_degC);
  }
  return warmest_bag_degC && vessel_degC && *vessel_degC > hot_start_degC &&
         *warmest_bag_degC < *vessel_degC - colder_bags_K;
}

WouldNeed would_need(const Treatment& treatment, const std::vector<Measured>& probes,
                     std::vector<CriterionResult> criteria, double setpoint) {
  WouldNeed need{treatment.key, treatment.name, setpoint, {}, 0, 0, {}};
  const bool any_bag = std::any_of(probes.begin(), probes.end(),
                                   [](const Measured& m) { return m.probe->role == ProbeRole::bag; });
  const Measured* at = nullptr;
  for (const Measured& one : probes) {
    if (!one.measures.top_degC || !one.is_relied_on) continue;
    if (one.probe->role != ProbeRole::bag && !is_steam_space(one.probe->role)) continue;
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

Judge::Judge(RunInput input) : input_(std::move(input)), dangers_(input_), unread_(input_.logs.size()) {
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
  dangers_.take(input_, log, block);
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
  Settled now{watches_, {}, streams_};
  for (std::size_t i = 0; i < now.streams.size(); ++i)
    now.streams[i].finish(meters_of(now.watches, i, input_.probes[i]));
  now.faults = faults_of(input_, now.streams, now.watches.front().meters);
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
  const double starts_s = input_.logs[static_cast<std::size_t>(log)].starts_s;
  for (std::size_t row = 0; row < block.time_s.size(); ++row) {
    const double time_s = starts_s + block.time_s[row];
    if (block.has[p][row] == 0 || block.has[t][row] == 0 || time_s < input_.from_s.value_or(time_s) ||
        time_s > input_.to_s.value_or(time_s))
      continue;
    const double abs_Pa = block.value[p][row] + outside_Pa;
    if (abs_Pa < 1000 || abs_Pa > 2e7) continue;
    const double saturation_degC = saturation_temperature_degC(abs_Pa);
    const bool gauge_says_hot = saturation_degC >= setpoint;
    const double short_K =
        gauge_says_hot ? saturation_degC - corrected_degC(steam->correction, block.value[t][row]) : 0;
    saturation_seen_ = true;
    most_short_of_saturation_K_ = std::max(most_short_of_saturation_K_, short_K);
    for (HoldMeter& meter : watch.short_of_saturation)
      meter.take(block.time_s[row], short_K, breaks_before(block, row) ? Join::broken : Join::linear);
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
  std::vector<HoldMeter> short_of_saturation = watch.short_of_saturation;
  if (saturation_seen_) around.short_of_saturation_K = most_short_of_saturation_K_;
  if (!saturation_seen_ && !short_of_saturation.empty() && input_.site_pressure_Pa)
    for (const TimedPair& pair : dangers_.gauge_in_another_log(input_)) {
      const double saturation_degC = saturation_temperature_degC(*input_.site_pressure_Pa + pair.first);
      const bool says_hot = saturation_degC >= watch.meters.front().rule().setpoint_degC;
      const double short_K = says_hot ? saturation_degC - pair.second : 0;
      around.short_of_saturation_K = std::max(around.short_of_saturation_K.value_or(short_K), short_K);
      for (HoldMeter& meter : short_of_saturation)
        meter.take(pair.time_s, short_K, Join::linear);
    }
  for (const HoldMeter& meter : short_of_saturation)
    around.short_of_saturation_s.push_back(meter.longest().length_s());
  return around;
}

LoadJudgement Judge::judged_load(const Settled& now, const std::vector<Measured>& probes,
                                 const RunReport& report) const {
  if (!input_.judges_load) return {};
  const Watch& watch = now.watches.front();
  LoadBasis basis{input_,
                  watch.treatment,
                  probes,
                  {},
                  {},
                  nullptr,
                  PressureBasis::none,
                  {},
                  surroundings(watch),
                  report.steam_off_at_s};
  for (std::size_t i = 0; i < input_.probes.size(); ++i) {
    const RunProbe& probe = input_.probes[i];
    if (!probe.is_pressure) {
      basis.thin.push_back(&now.streams[i].thin());
      basis.gap_s.push_back(watch.meters[i].rule().gap_s);
    } else if (basis.pressure == nullptr) {
      basis.pressure = &now.streams[i].thin();
      basis.pressure_basis = probe.pressure_basis;
    }
    if (probe.role == ProbeRole::bag) basis.rule = watch.meters[i].rule();
  }
  return judge_load(basis);
}

namespace {

// The probed bags had enough; of the others that is not shown.
bool is_only_load_unproven(const RunReport& report, const LoadJudgement& load) {
  const auto is_met = [](const CriterionResult& c) { return !c.fails || c.status == Status::met; };
  return report.verdict == Verdict::unproven && report.blocks.empty() &&
         std::ranges::all_of(report.criteria, is_met) && !std::ranges::all_of(load.criteria, is_met);
}

Said unprobed_advice(const UnprobedBag& slowest) {
  SaidValues values{{"bag", slowest.bag}, {"count", static_cast<double>(slowest.count)}};
  if (!slowest.more_minutes) return {"next_unprobed_bags", std::move(values)};
  values["more_minutes"] = *slowest.more_minutes;
  return {"next_unprobed_bags_longer", std::move(values)};
}

} // namespace

void Judge::judge_into(RunReport& report, const Settled& now) const {
  const Watch& watch = now.watches.front();
  const Treatment& treatment = watch.treatment;
  auto probes = measured(now, watch);
  set_aside_faulty_to_the_end(treatment, input_.organisms, probes, surroundings(watch));
  report.reach = reach_of(input_, probes);
  if (const auto runs = runs_in(probes); runs.size() > 1) {
    report.runs = runs;
    for (const Measured& one : probes)
      report.probes.push_back(probe_result(input_, treatment, one, streams_));
    return;
  }
  report.treatment = treatment.key;
  report.treatment_name = treatment.name;
  report.notes = treatment.notes;
  if (treatment.needs_moist_wood_note) report.notes.emplace_back("note_moist_wood");
  if (is_hot_start(probes)) report.notes.emplace_back("note_hot_start");
  report.reference = treatment.reference;
  report.counts_from_degC = treatment.counts_from_degC;
  report.setpoint_degC = setpoint_degC(treatment, report.boiling_degC);
  report.criteria = judge_criteria(treatment, input_.organisms, probes, surroundings(watch));
  report.all_hot_minutes = all_hot_minutes(treatment, probes);
  report.ended = ended_by(input_, probes);
  const auto stated_off = first_of(input_, [](EventKind k) { return k == EventKind::steam_off; });
  report.steam_off_stated = stated_off.has_value();
  report.steam_off_at_s = stated_off ? stated_off : steam_off_seen_s(probes);
  std::vector<ProbeResult> results(probes.size());
  tbb::parallel_for(std::size_t{0}, probes.size(), [&](std::size_t i) {
    results[i] = probe_result(input_, treatment, probes[i], streams_);
  });
  for (std::size_t i = 0, at = 0; i < input_.probes.size(); ++i) {
    if (input_.probes[i].is_pressure) continue;
    ProbeResult result = std::move(results[at++]);
    if (!stated_off && report.steam_off_at_s)
      result.F_minutes_after_steam_off =
          not_below_zero(result.F_minutes - watch.meters[i].F_minutes_until(*report.steam_off_at_s));
    report.probes.push_back(std::move(result));
  }
  put_coldest_first(report.probes, treatment);
  report.unseen_hold = unseen_hold(report.probes, input_.cautions.limits.unseen_hold);
  if (input_.initial_count) report.survival = survival_of(report.probes, *input_.initial_count);
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
  const LoadJudgement load = judged_load(now, probes, report);
  report.heating = load.heating;
  report.slowest_unprobed = load.slowest;
  report.load_not_judged = load.not_judged;
  report.curves.slowest = load.slowest_curve;
  report.pattern = input_.pattern;
  report.scope = load.not_judged || !input_.judges_load ? "probed" : "load";
  for (const CriterionResult& c : load.criteria)
    all_met = all_met && (!c.fails || c.status == Status::met);
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
  if (input_.vessel_kind == VesselKind::vented && report.boiling_degC)
    for (const Said& block : blocks_over_boiling(probes, *report.boiling_degC))
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
  const Surroundings around = surroundings(watch);
  const AdviceBasis basis{treatment, input_.organisms, probes,
                          around,    opened,           input_.vessel_kind == VesselKind::vented};
  report.more_hold = more_hold(basis, report);
  report.next = advice(basis, report);
  if (is_only_load_unproven(report, load))
    report.next.insert(report.next.begin(), unprobed_advice(*load.slowest));
  report.criteria.insert(report.criteria.end(), load.criteria.begin(), load.criteria.end());
}

// Where two logs have a column of one name, what it is called in the run.
Understanding Judge::understood(std::size_t log) const {
  Understanding understood = input_.logs[log].log.understanding();
  for (const RunProbe& probe : input_.probes) {
    if (static_cast<std::size_t>(probe.log) != log) continue;
    const int at = input_.logs[log].log.value_columns()[static_cast<std::size_t>(probe.value)];
    LogColumn& column = understood.columns[static_cast<std::size_t>(at)];
    if (column.name == probe.column) continue;
    column.kind.evidence =
        fmt::format("{}; another log of the run has a column \"{}\"", column.kind.evidence, column.name);
    column.name = probe.column;
  }
  return understood;
}

RunReport Judge::judged(const Settled& now) const {
  RunReport report;
  report.run_name = input_.run_name;
  if (input_.site) report.site_name = input_.site->name;
  if (input_.run_file) {
    report.resteam_of = input_.run_file->resteam_of;
    report.run_by = input_.run_file->by;
    report.lots = input_.run_file->lots;
    report.run_notes = input_.run_file->notes;
  }
  report.altitude_m = input_.altitude_m;
  report.site_pressure_Pa = input_.site_pressure_Pa;
  if (input_.site_pressure_Pa) report.boiling_degC = saturation_temperature_degC(*input_.site_pressure_Pa);
  if (report.boiling_degC) report.check_reaches_degC = *report.boiling_degC + input_.extrapolated_beyond_K;
  if (input_.vessel_kind)
    report.vessel_kind = *input_.vessel_kind == VesselKind::vented ? "vented" : "pressure-rated";
  report.unanswered = input_.unanswered;
  report.clock = input_.clock;
  report.units = input_.units;
  report.editions = input_.editions;
  report.program_version = COLDBAG_VERSION;
  for (std::size_t i = 0; i < input_.logs.size(); ++i) {
    const RunLogUse& use = input_.logs[i];
    const LogSurvey& survey = use.log.survey();
    report.logs.push_back({use.log.source().name(), use.log.source().sha256(), survey.row_count,
                           survey.interval_s, use.starts_s, use.starts_s + survey.last_s, survey.gap_count,
                           survey.gaps, survey.clock_events, unread_[i], understood(i), use.by_hand});
  }
  if (input_.treatment) {
    judge_into(report, now);
    return report;
  }
  report.reach = reach_of(input_, measured(now, now.watches.front()));
  for (const Watch& watch : now.watches) {
    const auto probes = measured(now, watch);
    if (const auto runs = runs_in(probes); report.runs.empty() && runs.size() > 1) report.runs = runs;
    const double setpoint = setpoint_degC(watch.treatment, report.boiling_degC);
    report.would_need.push_back(
        would_need(watch.treatment, probes,
                   judge_criteria(watch.treatment, input_.organisms, probes, surroundings(watch)), setpoint));
    if (!report.probes.empty()) continue;
    for (const Measured& one : probes)
      report.probes.push_back(probe_result(input_, watch.treatment, one, streams_));
  }
  return report;
}

// In the order of the report's probes, which is not that of the input.
Curves Judge::curves(const Settled& now, const RunReport& report) const {
  const Watch& watch = now.watches.front();
  std::vector<CurveBasis> basis;
  for (const ProbeResult& result : report.probes)
    for (std::size_t i = 0; i < input_.probes.size(); ++i) {
      if (input_.probes[i].is_pressure || input_.probes[i].name != result.name) continue;
      const ProbeMeasures measures = watch.meters[i].measures();
      basis.push_back({&result, &now.streams[i].thin(), &watch.meters[i].F_marks(), measures.F_minutes,
                       measures.F_step_minutes.back()});
      break;
    }
  return curves_of(basis);
}

RunReport Judge::report() const {
  const Settled now = settled();
  RunReport report = judged(now);
  std::optional<SlowestCurve> slowest = std::move(report.curves.slowest);
  report.curves = curves(now, report);
  report.curves.slowest = std::move(slowest);
  const auto probes = measured(now, now.watches.front());
  report.events = events_of(input_, dangers_, probes);
  report.cautions = cautions_of(input_, dangers_, probes, report);
  return report;
}

RunReport Judge::finish(std::vector<std::vector<CellTally>> unread) {
  unread_ = std::move(unread);
  is_finished_ = true;
  return report();
}

namespace {

// Past this many cells the steps of the bound must do: judging again takes as long as judging.
constexpr std::int64_t most_cells_again = 100000;

RunReport judge_whole(RunInput input, int block_rows) {
  const std::vector<RunLogUse> logs = input.logs;
  Judge judge(std::move(input));
  std::vector<std::vector<CellTally>> unread;
  // One block is judged while the next is read; they are taken in order, one at a time.
  tbb::task_group taking;
  RowBlock taken;
  for (std::size_t i = 0; i < logs.size(); ++i)
    unread.push_back(logs[i].log.for_each_block(
        [&](const RowBlock& block) {
          taking.wait();
          taken = block;
          taking.run([&judge, &taken, i] { judge.take(static_cast<int>(i), taken); });
        },
        block_rows));
  taking.wait();
  return judge.finish(std::move(unread));
}

// Leaving a probe out never makes a pass: what it tells against the others counts all the same.
void hold_against_all_probes(RunReport& report, const RunInput& input, int block_rows) {
  std::string names;
  RunInput with_all = input;
  for (RunProbe& probe : with_all.probes) {
    const auto& out = input.options.left_out;
    const bool is_named = std::find(out.begin(), out.end(), probe.column) != out.end() ||
                          std::find(out.begin(), out.end(), probe.name) != out.end();
    if (!is_named || !probe.left_out) continue;
    probe.left_out = false;
    names += (names.empty() ? "" : ", ") + probe.name;
  }
  if (names.empty() || judge_whole(std::move(with_all), block_rows).verdict == Verdict::pass) return;
  report.verdict = Verdict::unproven;
  report.blocks.push_back({"block_left_out_evidence", {{"probe", names}}});
  report.next.insert(report.next.begin(), {"next_block_left_out_evidence", {{"probe", names}}});
}

// What was cut away at the beginning counts no heat, but what it tells of the probes counts: the runs of the
// whole log say how much of it belongs to the run that is judged.
void check_probes_before(RunInput& input, int block_rows) {
  if (!input.from_s || input.checked_from_s || !input.check_limits) return;
  RunInput whole = input;
  whole.from_s.reset();
  input.checked_from_s = checked_from_s(judge_whole(std::move(whole), block_rows).runs, *input.from_s);
}

} // namespace

RunReport judge_run(RunInput input, int block_rows) {
  std::int64_t cells = 0;
  for (const RunLogUse& use : input.logs)
    cells += use.log.survey().row_count * static_cast<std::int64_t>(use.log.value_columns().size());
  if (!input.options.run_number) check_probes_before(input, block_rows);
  const RunInput kept = input;
  RunReport report = judge_whole(std::move(input), block_rows);
  if (kept.options.run_number) {
    RunInput one = cut_to_run(kept, report.runs, *kept.options.run_number);
    one.options.run_number.reset();
    return judge_run(std::move(one), block_rows);
  }
  if (report.verdict == Verdict::pass) hold_against_all_probes(report, kept, block_rows);
  if (report.verdict != Verdict::unproven || report.so_far) return report;
  if (cells <= most_cells_again)
    refine_check_advice(report, room_for_error_K(kept, [&](RunInput again) {
                          again.judges_load = false;
                          return judge_whole(std::move(again), block_rows);
                        }));
  else
    drop_idle_check_advice(report);
  return report;
}

} // namespace coldbag
