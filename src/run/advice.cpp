#include "run/advice.h"

#include "run/decades.h"

#include <algorithm>
#include <cmath>
#include <string>

namespace coldbag {

namespace {

// A probe checked in ice and at the boil is commonly known to this, K (assumed).
constexpr double checked_u_K = 0.3;
constexpr double least_u_K = 0.01; // no check on a farm shows less
constexpr double hotter_by_K = 2;  // "if it rises by so much", for the second clock time
constexpr double by_hand_both_ends_minutes = 10;

/// Minutes more at one bag for one criterion, or why no time would do.
struct Need {
  double minutes = 0;
  std::optional<Said> why_not;
};

const CriterionResult* result_of(const RunReport& report, const TreatmentCriterion& criterion) {
  for (const CriterionResult& result : report.criteria)
    if (result.name == criterion.name) return &result;
  return nullptr;
}

bool is_judged_bag(const Measured& measured) {
  return measured.probe->role == ProbeRole::bag && measured.is_relied_on && measured.measures.top_degC;
}

std::size_t judged_bags(const std::vector<Measured>& probes) {
  return static_cast<std::size_t>(std::count_if(probes.begin(), probes.end(), is_judged_bag));
}

double ku_K(const Measured& bag) {
  return coverage_k * bag.probe->u_K;
}

Said below_setpoint(const Measured& bag, double setpoint_degC) {
  return {"why_not_below_setpoint",
          {{"last_degC", bag.measures.last_mean_degC},
           {"ku_K", ku_K(bag)},
           {"setpoint_degC", setpoint_degC},
           {"probe", bag.probe->name}}};
}

// Minutes of a reference still missing at the bound, at the rate of the lowered trace.
Need need_minutes(const Measured& bag, double missing_minutes, const Reference& reference, double degC) {
  if (missing_minutes <= 0) return {};
  const double rate =
      lethal_rate(degC - ku_K(bag), reference) / noise_factor(bag.measures.noise_K, reference.z_K);
  if (rate > 0) return {missing_minutes / rate, {}};
  return {0, Said{"why_not_below_counts_from",
                  {{"last_degC", degC},
                   {"ku_K", ku_K(bag)},
                   {"counts_from_degC", reference.lowest_degC.value_or(0)},
                   {"probe", bag.probe->name}}}};
}

Need need_hold(const Measured& bag, double required, double setpoint_degC, bool strict, double degC) {
  if (hold_lower_minutes(bag, strict) >= required) return {};
  if (degC - ku_K(bag) < setpoint_degC) return {0, below_setpoint(bag, setpoint_degC)};
  const auto& open = strict ? bag.measures.open_strict_lower : bag.measures.open_lower;
  const bool was_hot = bag.measures.last_mean_degC - ku_K(bag) >= setpoint_degC;
  const double so_far_minutes = was_hot && open ? open->length_s() / 60 : 0;
  return {required - so_far_minutes + (bag.by_hand ? by_hand_both_ends_minutes : 0), {}};
}

/// What is still needed at one bag if it goes on at a temperature.
class Needs {
 public:
  Needs(const AdviceBasis& basis, const RunReport& report) : basis_(basis), report_(report) {}

  [[nodiscard]] Need at(const TreatmentCriterion& criterion, double required, const Measured& bag,
                        double degC) const {
    const ProbeMeasures& m = bag.measures;
    const Treatment& treatment = basis_.treatment;
    switch (criterion.measure) {
    case Measure::F: {
      if (criterion.reference) {
        const std::size_t i = index_of_reference(treatment, basis_.organisms, criterion);
        const double lower = m.more_lower_minutes[i] / noise_factor(m.noise_K, criterion.reference->z_K);
        return need_minutes(bag, required - lower, *criterion.reference, degC);
      }
      Reference reference = treatment.reference;
      reference.lowest_degC = treatment.counts_from_degC;
      return need_minutes(bag, required - F_lower_minutes(m, reference.z_K), reference, degC);
    }
    case Measure::log_reduction:
      return need_decades(criterion, required, bag, degC);
    case Measure::minutes_at_or_above: {
      const double level_degC = criterion.level_degC.value_or(report_.setpoint_degC);
      const double lower_minutes = m.level_lower_s[index_of_level(treatment, criterion)] / 60;
      if (lower_minutes >= required) return {};
      if (degC - ku_K(bag) < level_degC) return {0, below_setpoint(bag, level_degC)};
      return {required - lower_minutes + (bag.by_hand ? by_hand_both_ends_minutes : 0), {}};
    }
    case Measure::hold:
      return need_hold(bag, required, report_.setpoint_degC, treatment.strict_hold, degC);
    case Measure::all_hot:
      return need_all_hot(required, bag, degC);
    default:
      return {};
    }
  }

  /// The longest need of all requirements that are not met, at all bags, each as hot as `degC_of` says.
  template <class DegC>
  [[nodiscard]] Need longest(DegC&& degC_of) const {
    Need longest;
    for (const Measured& bag : basis_.probes) {
      if (!is_judged_bag(bag)) continue;
      for (const TreatmentCriterion& criterion : basis_.treatment.criteria) {
        const CriterionResult* result = result_of(report_, criterion);
        if (result == nullptr || !criterion.fails || result->too_much) continue;
        const Need need = at(criterion, result->required, bag, degC_of(bag));
        if (need.why_not && !longest.why_not) longest.why_not = need.why_not;
        longest.minutes = std::max(longest.minutes, need.minutes);
      }
    }
    return longest;
  }

 private:
  [[nodiscard]] Need need_decades(const TreatmentCriterion& criterion, double required, const Measured& bag,
                                  double degC) const {
    const auto found = std::find_if(basis_.organisms.begin(), basis_.organisms.end(),
                                    [&](const Organism& o) { return o.key == criterion.organism; });
    const double D_minutes = found->highest_D_minutes.value_or(found->D_minutes);
    const std::size_t first = index_of_reference(basis_.treatment, basis_.organisms, criterion);
    const auto references = references_of(*found);
    Need longest;
    for (std::size_t i = 0; i < references.size(); ++i) {
      if (i == 1) continue; // one kelvin less is shown, not judged
      const double lower =
          bag.measures.more_lower_minutes[first + i] / noise_factor(bag.measures.noise_K, references[i].z_K);
      const Need need = need_minutes(bag, required * D_minutes - lower, references[i], degC);
      if (need.why_not && !longest.why_not) longest.why_not = need.why_not;
      longest.minutes = std::max(longest.minutes, need.minutes);
    }
    return longest;
  }

  // All must be hot at once, so what counts began when the last of them became hot.
  [[nodiscard]] Need need_all_hot(double required, const Measured& bag, double degC) const {
    const bool strict = basis_.treatment.strict_hold;
    Need own = need_hold(bag, required, report_.setpoint_degC, strict, degC);
    if (own.why_not) return own;
    double from_s = -1e18;
    double to_s = bag.measures.last_s;
    for (const Measured& other : basis_.probes) {
      if (!is_judged_bag(other)) continue;
      const auto& open = strict ? other.measures.open_strict_lower : other.measures.open_lower;
      from_s = std::max(from_s, open ? open->from_s : to_s);
      if (open) to_s = std::min(to_s, open->to_s);
    }
    return {std::max(own.minutes, required - std::max(0.0, to_s - from_s) / 60), {}};
  }

  const AdviceBasis& basis_;
  const RunReport& report_;
};

double last_s(const std::vector<Measured>& probes) {
  double last = 0;
  for (const Measured& bag : probes)
    if (is_judged_bag(bag)) last = std::max(last, bag.measures.last_s);
  return last;
}

std::optional<double> coldest_last_degC(const std::vector<Measured>& probes) {
  std::optional<double> coldest;
  for (const Measured& bag : probes)
    if (is_judged_bag(bag)) coldest = std::min(coldest.value_or(1e9), bag.measures.last_mean_degC);
  return coldest;
}

bool any_short(const RunReport& report, bool too_much, Status status) {
  return std::any_of(report.criteria.begin(), report.criteria.end(), [&](const CriterionResult& c) {
    return c.fails && c.too_much == too_much && c.status == status;
  });
}

// How far a trace may be lowered and still meet every too-little criterion: the largest step of the bound
// that does; nothing where not even the trace as it stands does.
std::optional<double> room_K(const AdviceBasis& basis, const RunReport& report) {
  std::optional<double> room;
  for (const Measured& bag : basis.probes) {
    if (!is_judged_bag(bag)) continue;
    int step = bound_steps;
    for (const TreatmentCriterion& criterion : basis.treatment.criteria) {
      const CriterionResult* result = result_of(report, criterion);
      if (result == nullptr || !criterion.fails || result->too_much || result->required_to) continue;
      const auto meets = [&](int at) {
        if (criterion.measure == Measure::F && !criterion.reference)
          return F_at_step_minutes(bag.measures, at, basis.treatment.reference.z_K) >= result->required;
        if (criterion.measure == Measure::hold)
          return hold_at_step_minutes(bag, at, basis.treatment.strict_hold) >= result->required;
        return at == 0 || result->status == Status::met;
      };
      while (step >= 0 && !meets(step))
        --step;
    }
    if (step < 0) return {};
    // What a bag meets at its own bound limits the others in nothing.
    if (step == bound_steps) continue;
    const double K = ku_K(bag) * step / bound_steps;
    if (!room || K < *room) room = K;
  }
  return room;
}

// The second clock time: what more heat would save, or at what heat the hold would count at all.
std::optional<Said> if_hotter(const AdviceBasis& basis, const RunReport& report) {
  const auto coldest_degC = coldest_last_degC(basis.probes);
  if (!coldest_degC) return std::nullopt;
  const Needs needs(basis, report);
  const double now_minutes = report.more_hold.minutes;
  double hotter_degC = *coldest_degC + hotter_by_K;
  if (basis.is_vented && basis.around.boiling_degC) // the boiling point is the roof
    hotter_degC = std::min(hotter_degC, *basis.around.boiling_degC);
  if (report.more_hold.why_not)
    for (const Measured& bag : basis.probes)
      if (is_judged_bag(bag)) hotter_degC = std::max(hotter_degC, report.setpoint_degC + ku_K(bag));
  if (basis.is_vented && basis.around.boiling_degC && hotter_degC > *basis.around.boiling_degC)
    return std::nullopt;
  const Need need =
      needs.longest([&](const Measured& bag) { return std::max(hotter_degC, bag.measures.last_mean_degC); });
  if (need.why_not) return std::nullopt;
  if (!report.more_hold.why_not && need.minutes > now_minutes - 5) return std::nullopt;
  return Said{"next_if_hotter",
              {{"hotter_degC", hotter_degC},
               {"until_at", last_s(basis.probes) + need.minutes * 60},
               {"more_minutes", need.minutes}}};
}

// When a limit on the time spent hot will be reached where it is hottest.
std::optional<Said> not_past(const AdviceBasis& basis, const RunReport& report) {
  std::optional<Said> soonest;
  double soonest_s = 0;
  for (const TreatmentCriterion& criterion : basis.treatment.criteria) {
    const CriterionResult* result = result_of(report, criterion);
    if (criterion.measure != Measure::minutes_at_or_above || result == nullptr || !result->too_much) continue;
    const double level_degC = criterion.level_degC.value_or(report.setpoint_degC);
    const std::size_t i = index_of_level(basis.treatment, criterion);
    for (const Measured& bag : basis.probes) {
      if (!is_judged_bag(bag) || bag.measures.last_mean_degC < level_degC) continue;
      const double left_s = result->required * 60 - bag.measures.level_s[i];
      const double limit_s = bag.measures.last_s + left_s;
      if (left_s <= 0 || (soonest && limit_s >= soonest_s)) continue;
      soonest_s = limit_s;
      soonest = Said{"next_not_past",
                     {{"limit_at", limit_s}, {"probe", bag.probe->name}, {"level_degC", level_degC}}};
    }
  }
  return soonest;
}

std::string names_of(const std::vector<const Measured*>& bags) {
  std::string names;
  for (const Measured* bag : bags)
    names += (names.empty() ? "" : ", ") + bag->probe->name;
  return names;
}

// Where few of the probed bags fell short, the rest is not lost with them.
bool advise_few_bags(const AdviceBasis& basis, std::vector<Said>& out) {
  const auto bags = bags_short(basis.treatment, basis.organisms, basis.probes, basis.around);
  if (bags.empty() || bags.size() * 2 > judged_bags(basis.probes)) return false;
  out.push_back({"next_few_bags", {{"probes", names_of(bags)}}});
  out.push_back({"next_probe_there", {{"probes", names_of(bags)}}});
  return true;
}

bool may_go_on(const RunReport& report) {
  return report.ended != Ended::yes && report.more_hold.possible && report.more_hold.until_s &&
         report.more_hold.minutes > 0;
}

void advise_fail(const AdviceBasis& basis, const RunReport& report, std::vector<Said>& out) {
  const bool little = report.failed_by == "too_little" || report.failed_by == "both";
  if (report.failed_by == "too_much" || report.failed_by == "both") {
    const bool straw = report.treatment.rfind("pasteurize", 0) == 0;
    out.push_back({straw ? "next_too_much_straw" : "next_too_much_wood", {}});
  }
  if (!little || report.failed_by == "both") return; // more heat mends no overshoot
  if (basis.opened) {
    out.push_back({"next_opened_hold_apart", {}});
    (void)advise_few_bags(basis, out);
    return;
  }
  if (may_go_on(report))
    out.push_back({"next_keep_on_if_steam_on",
                   {{"until_at", *report.more_hold.until_s}, {"more_minutes", report.more_hold.minutes}}});
  else if (report.ended != Ended::yes && report.more_hold.why_not)
    out.push_back({"next_no_time_is_enough", {}});
  if (report.ended != Ended::yes)
    if (const auto hotter = if_hotter(basis, report)) out.push_back(*hotter);
  if (!advise_few_bags(basis, out)) out.push_back({"next_resteam_load", {}});
  out.push_back({"next_check_film_moisture", {}});
}

void advise_second_record(const AdviceBasis& basis, std::vector<Said>& out) {
  std::vector<const Measured*> silent;
  double most_s = 0;
  for (const Measured& bag : basis.probes) {
    if (!is_judged_bag(bag) || bag.measures.not_credited_s <= 0) continue;
    silent.push_back(&bag);
    most_s = std::max(most_s, bag.measures.not_credited_s);
  }
  if (silent.empty()) return;
  out.push_back(
      {"next_gap_second_record", {{"probe", names_of(silent)}, {"not_credited_minutes", most_s / 60}}});
}

void advise_unproven(const AdviceBasis& basis, const RunReport& report, std::vector<Said>& out) {
  out.push_back({"next_not_shown_to_be_short", {}});
  if (!any_short(report, false, Status::unproven)) {
    if (any_short(report, true, Status::unproven)) out.push_back({"next_probe_the_hottest_place", {}});
    return;
  }
  if (!basis.opened && may_go_on(report))
    out.push_back({"next_keep_on_if_steam_on",
                   {{"until_at", *report.more_hold.until_s}, {"more_minutes", report.more_hold.minutes}}});
  if (const auto room = room_K(basis, report)) out.push_back(check_advice(report, *room));
  if (report.ended == Ended::yes && report.more_hold.minutes > 0)
    out.push_back({"next_longer_next_time", {{"more_minutes", report.more_hold.minutes}}});
  advise_second_record(basis, out);
  const bool asks_for_decades =
      std::any_of(report.criteria.begin(), report.criteria.end(), [](const CriterionResult& c) {
        return c.fails && c.unit == "decades" && c.status == Status::unproven;
      });
  if (asks_for_decades && !basis.around.moisture_wb) out.push_back({"next_oven_test", {}});
}

// A unit taken wrongly is mended at a desk; nothing should be steamed again for it.
void advise_unit(const AdviceBasis& basis, std::vector<Said>& out) {
  for (const Measured& one : basis.probes)
    for (const Fault& fault : one.faults)
      if (fault.kind == "wrong_unit") {
        SaidValues values = fault.values;
        values["probe"] = one.probe->name;
        out.push_back({"next_see_unit", std::move(values)});
        return;
      }
}

void advise_running(const AdviceBasis& basis, const RunReport& report, std::vector<Said>& out) {
  if (basis.opened && report.so_far == SoFar::not_yet) {
    out.push_back({"next_opened_hold_apart", {}});
    return;
  }
  if (report.so_far == SoFar::enough) {
    out.push_back({"next_enough_so_far", {}});
  } else if (report.more_hold.possible && report.more_hold.until_s) {
    out.push_back({"next_keep_on",
                   {{"until_at", *report.more_hold.until_s},
                    {"more_minutes", report.more_hold.minutes},
                    {"at_degC", report.more_hold.at_degC.value_or(0)}}});
  } else if (report.more_hold.why_not) {
    out.push_back({"next_not_hot_enough_yet", {}});
  }
  if (report.so_far == SoFar::not_yet)
    if (const auto hotter = if_hotter(basis, report)) out.push_back(*hotter);
  if (const auto limit = not_past(basis, report)) out.push_back(*limit);
}

// Cut, not rounded: what is asked of a check is never less than the run needs.
double cut(double value, double step) {
  return std::floor(value / step + 1e-9) * step;
}

} // namespace

Said check_advice(const RunReport& report, double room_K) {
  std::string probes;
  for (const ProbeResult& probe : report.probes)
    if (probe.role == ProbeRole::bag && probe.top_degC && coverage_k * probe.u_K > room_K)
      probes += (probes.empty() ? "" : ", ") + probe.name;
  const double high_K = cut(room_K - coverage_k * checked_u_K, 0.1);
  if (high_K <= 0) return {"next_check_probes_little_room", {{"needed_u_K", cut(room_K / coverage_k, 0.01)}}};
  const bool reaches = !report.check_reaches_degC || report.setpoint_degC <= *report.check_reaches_degC;
  SaidValues values{{"probes", probes}, {"high_K", high_K}, {"u_K", checked_u_K}};
  if (reaches) return {"next_check_probes", std::move(values)};
  values["setpoint_degC"] = report.setpoint_degC;
  return {"next_check_probes_hotter", std::move(values)};
}

void refine_check_advice(RunReport& report, std::optional<double> room_K) {
  const auto is_check = [](const Said& said) {
    return said.key == "next_check_probes" || said.key == "next_check_probes_hotter" ||
           said.key == "next_check_probes_little_room";
  };
  const auto found = std::find_if(report.next.begin(), report.next.end(), is_check);
  if (found == report.next.end()) return;
  if (room_K && *room_K >= coverage_k * least_u_K)
    *found = check_advice(report, *room_K);
  else
    report.next.erase(found);
}

void drop_idle_check_advice(RunReport& report) {
  std::erase_if(report.next, [](const Said& said) {
    return said.key == "next_check_probes_little_room" &&
           std::get<double>(said.values.at("needed_u_K")) < least_u_K;
  });
}

MoreHold more_hold(const AdviceBasis& basis, const RunReport& report) {
  MoreHold more;
  more.at_degC = coldest_last_degC(basis.probes);
  if (!more.at_degC) {
    more.why_not = Said{"why_not_no_bag_probe", {}};
    return more;
  }
  const Need need =
      Needs(basis, report).longest([](const Measured& bag) { return bag.measures.last_mean_degC; });
  more.minutes = need.minutes;
  more.why_not = need.why_not;
  more.possible = !need.why_not;
  const bool is_short = need.minutes > 0 || need.why_not;
  if (is_short && basis.opened) {
    more.possible = false;
    more.why_not = Said{"why_not_opened", {}};
  } else if (is_short && report.ended == Ended::yes) {
    more.possible = false;
    more.why_not = Said{"why_not_gone_cold", {}};
  }
  if (more.possible) more.until_s = last_s(basis.probes) + more.minutes * 60;
  return more;
}

std::vector<Said> advice(const AdviceBasis& basis, const RunReport& report) {
  std::vector<Said> out;
  if (report.verdict != Verdict::pass) advise_unit(basis, out);
  if (report.so_far) {
    advise_running(basis, report, out);
  } else if (report.verdict == Verdict::fail) {
    advise_fail(basis, report, out);
  } else if (report.verdict == Verdict::unproven) {
    for (const Said& block : report.blocks)
      out.push_back({"next_" + block.key, block.values});
    advise_unproven(basis, report, out);
  }
  if (report.verdict != Verdict::pass) out.push_back({"next_do_not_open_to_mend", {}});
  return out;
}

} // namespace coldbag
