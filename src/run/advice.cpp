#include "run/advice.h"

#include <algorithm>
#include <cmath>

namespace coldbag {

namespace {

// A probe checked in ice and at the boil is commonly known to this, K (assumed).
constexpr double checked_u_K = 0.3;

struct Need {
  double minutes = 0;
  std::optional<Said> why_not;
};

const CriterionResult* result_of(const RunReport& report, const TreatmentCriterion& criterion) {
  for (const CriterionResult& result : report.criteria)
    if (result.name == criterion.name) return &result;
  return nullptr;
}

Need need_F(const Treatment& treatment, const Measured& bag, double required) {
  const ProbeMeasures& m = bag.measures;
  const double missing = required - F_lower_minutes(m, treatment.reference.z_K);
  if (missing <= 0) return {};
  Reference reference = treatment.reference;
  reference.lowest_degC = treatment.counts_from_degC;
  const double low_degC = m.last_mean_degC - coverage_k * bag.probe->u_K;
  const double rate = lethal_rate(low_degC, reference);
  if (rate <= 0)
    return {0, Said{"why_not_below_counts_from",
                    {{"last_degC", m.last_mean_degC},
                     {"ku_K", coverage_k * bag.probe->u_K},
                     {"counts_from_degC", treatment.counts_from_degC.value_or(0)},
                     {"probe", bag.probe->name}}}};
  return {missing / rate, {}};
}

Need need_hold(const Treatment& treatment, const Measured& bag, double required, double setpoint_degC) {
  const ProbeMeasures& m = bag.measures;
  if (hold_lower_minutes(bag, treatment.strict_hold) >= required) return {};
  const double low_degC = m.last_mean_degC - coverage_k * bag.probe->u_K;
  if (low_degC < setpoint_degC)
    return {0, Said{"why_not_below_setpoint",
                    {{"last_degC", m.last_mean_degC},
                     {"ku_K", coverage_k * bag.probe->u_K},
                     {"setpoint_degC", setpoint_degC},
                     {"probe", bag.probe->name}}}};
  return {required - m.open_lower_s.value_or(0) / 60 + (bag.by_hand ? 10 : 0), {}};
}

bool is_judged_bag(const Measured& measured) {
  return measured.probe->role == ProbeRole::bag && measured.is_relied_on && measured.measures.top_degC;
}

bool any_short(const RunReport& report, bool too_much, Status status) {
  return std::any_of(report.criteria.begin(), report.criteria.end(), [&](const CriterionResult& c) {
    return c.fails && c.too_much == too_much && c.status == status;
  });
}

// How far a trace may be lowered and still meet every too-little criterion: the largest step of the bound
// that does.
std::optional<double> room_K(const Treatment& treatment, const std::vector<Measured>& probes,
                             const RunReport& report) {
  std::optional<double> room;
  for (const Measured& bag : probes) {
    if (!is_judged_bag(bag)) continue;
    int step = bound_steps;
    for (const TreatmentCriterion& criterion : treatment.criteria) {
      const CriterionResult* result = result_of(report, criterion);
      if (result == nullptr || !criterion.fails || result->too_much) continue;
      const auto meets = [&](int at) {
        const auto i = static_cast<std::size_t>(at);
        if (criterion.measure == Measure::F && !criterion.reference)
          return bag.measures.F_step_minutes[i] >= result->required;
        if (criterion.measure == Measure::hold)
          return (treatment.strict_hold ? bag.measures.strict_step_s : bag.measures.hold_step_s)[i] / 60 >=
                 result->required;
        return at == 0;
      };
      while (step > 0 && !meets(step))
        --step;
    }
    const double K = coverage_k * bag.probe->u_K * step / bound_steps;
    if (!room || K < *room) room = K;
  }
  return room;
}

void advise_fail(const RunReport& report, bool opened, std::vector<Said>& out) {
  const bool little = report.failed_by == "too_little" || report.failed_by == "both";
  if (report.failed_by == "too_much" || report.failed_by == "both") {
    const bool straw = report.treatment.rfind("pasteurize", 0) == 0;
    out.push_back({straw ? "next_too_much_straw" : "next_too_much_wood", {}});
  }
  if (!little) return;
  if (opened) {
    out.push_back({"next_opened_hold_apart", {}});
  } else if (report.ended != Ended::yes && report.more_hold.possible && report.more_hold.until_s) {
    out.push_back({"next_keep_on_if_steam_on",
                   {{"until_at", *report.more_hold.until_s}, {"more_minutes", report.more_hold.minutes}}});
    out.push_back({"next_resteam_load", {}});
  } else {
    if (report.ended != Ended::yes && report.more_hold.why_not) out.push_back({"next_no_time_is_enough", {}});
    out.push_back({"next_resteam_load", {}});
    out.push_back({"next_check_film_moisture", {}});
  }
}

void advise_unproven(const Treatment& treatment, const std::vector<Measured>& probes, const RunReport& report,
                     bool opened, std::vector<Said>& out) {
  out.push_back({"next_not_shown_to_be_short", {}});
  if (!any_short(report, false, Status::unproven)) {
    if (any_short(report, true, Status::unproven)) out.push_back({"next_probe_the_hottest_place", {}});
    return;
  }
  if (!opened && report.ended != Ended::yes && report.more_hold.possible && report.more_hold.until_s &&
      report.more_hold.minutes > 0)
    out.push_back({"next_keep_on_if_steam_on",
                   {{"until_at", *report.more_hold.until_s}, {"more_minutes", report.more_hold.minutes}}});
  const auto room = room_K(treatment, probes, report);
  if (room && *room > coverage_k * checked_u_K)
    out.push_back(
        {"next_check_probes", {{"high_K", *room - coverage_k * checked_u_K}, {"u_K", checked_u_K}}});
  else if (room && *room > 0)
    out.push_back({"next_check_probes_little_room", {{"needed_u_K", *room / coverage_k}}});
  if (report.ended == Ended::yes && report.more_hold.minutes > 0)
    out.push_back({"next_longer_next_time", {{"more_minutes", report.more_hold.minutes}}});
  for (const Measured& bag : probes)
    if (is_judged_bag(bag) && bag.measures.not_credited_s > 0)
      out.push_back(
          {"next_gap_second_record",
           {{"probe", bag.probe->name}, {"not_credited_minutes", bag.measures.not_credited_s / 60}}});
}

} // namespace

MoreHold more_hold(const Treatment& treatment, const std::vector<Measured>& probes, const RunReport& report,
                   bool opened) {
  MoreHold more;
  more.possible = true;
  double last_s = 0;
  for (const Measured& bag : probes) {
    if (!is_judged_bag(bag)) continue;
    last_s = std::max(last_s, bag.measures.last_s);
    for (const TreatmentCriterion& criterion : treatment.criteria) {
      const CriterionResult* result = result_of(report, criterion);
      if (result == nullptr || !criterion.fails || result->too_much) continue;
      Need need;
      if (criterion.measure == Measure::F && !criterion.reference)
        need = need_F(treatment, bag, result->required);
      else if (criterion.measure == Measure::hold || criterion.measure == Measure::all_hot)
        need = need_hold(treatment, bag, result->required, report.setpoint_degC);
      if (need.why_not) {
        more.possible = false;
        if (!more.why_not) more.why_not = need.why_not;
      }
      if (need.minutes > more.minutes) more.minutes = need.minutes;
      if (!more.at_degC || bag.measures.last_mean_degC < *more.at_degC)
        more.at_degC = bag.measures.last_mean_degC;
    }
  }
  if (!more.at_degC) {
    more.possible = false;
    more.why_not = Said{"why_not_no_bag_probe", {}};
    return more;
  }
  const bool is_short = more.minutes > 0 || more.why_not;
  if (is_short && opened) {
    more.possible = false;
    more.why_not = Said{"why_not_opened", {}};
  } else if (is_short && report.ended == Ended::yes) {
    more.possible = false;
    more.why_not = Said{"why_not_gone_cold", {}};
  }
  if (more.possible) more.until_s = last_s + more.minutes * 60;
  return more;
}

std::vector<Said> advice(const Treatment& treatment, const std::vector<Measured>& probes,
                         const RunReport& report, bool opened) {
  std::vector<Said> out;
  if (report.so_far == SoFar::enough) {
    out.push_back({"next_enough_so_far", {}});
  } else if (report.so_far == SoFar::not_yet) {
    if (report.more_hold.possible && report.more_hold.until_s)
      out.push_back({"next_keep_on",
                     {{"until_at", *report.more_hold.until_s},
                      {"more_minutes", report.more_hold.minutes},
                      {"at_degC", report.more_hold.at_degC.value_or(0)}}});
    else if (report.more_hold.why_not)
      out.push_back({"next_not_hot_enough_yet", {}});
  } else if (report.verdict == Verdict::fail) {
    advise_fail(report, opened, out);
  } else if (report.verdict == Verdict::unproven) {
    for (const Said& block : report.blocks)
      out.push_back({"next_" + block.key, block.values});
    advise_unproven(treatment, probes, report, opened, out);
  }
  if (report.verdict != Verdict::pass) out.push_back({"next_do_not_open_to_mend", {}});
  return out;
}

} // namespace coldbag
