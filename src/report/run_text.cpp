#include "report/run_text.h"

#include "quantity/print.h"
#include "report/figures.h"
#include "report/full_text.h"
#include "report/happenings_text.h"
#include "report/layout.h"
#include "report/load_text.h"
#include "report/log_lines.h"
#include "report/unjudged_text.h"

#include <algorithm>

namespace coldbag {

namespace {

std::string gaps_text(int gaps, const Words& words) {
  return gaps == 1 ? words.text("log_gap") : words.text("log_gaps", {{"count", std::to_string(gaps)}});
}

std::string reach_text(const RunReport& report, const Words& words) {
  const std::map<std::string, std::string> values = {
      {"count", std::to_string(report.reach.probed_bags)},
      {"total", std::to_string(report.reach.bag_count.value_or(0))}};
  return words.text(report.reach.bag_count ? "reach_count" : "reach_no_load", values);
}

std::string verdict_word(const RunReport& report, const Words& words) {
  if (report.so_far) return words.text(*report.so_far == SoFar::enough ? "so_far_enough" : "so_far_not_yet");
  switch (*report.verdict) {
  case Verdict::pass:
    return words.text("verdict_pass");
  case Verdict::fail:
    return words.text("verdict_fail");
  default:
    return words.text("verdict_unproven");
  }
}

bool is_by_F(const RunReport& report) {
  return std::any_of(report.criteria.begin(), report.criteria.end(),
                     [](const CriterionResult& c) { return c.fails && c.name == "lethality"; });
}

// So much of a hold that nobody saw belongs to the verdict.
std::string unseen_text(const RunReport& report, const Words& words) {
  if (!report.unseen_hold || !report.unseen_hold->tells_verdict) return "";
  return "; " +
         words.text("sentence_unseen", {{"gaps", gaps_text(report.unseen_hold->gaps, words)},
                                        {"minutes", print_duration(report.unseen_hold->minutes * 60)}});
}

std::string sentence(const RunReport& report, const Words& words) {
  const ProbeResult* at = find_probe(report, report.coldest);
  const bool in_bag = at != nullptr;
  for (const ProbeResult& p : report.probes)
    if (!in_bag && p.role != ProbeRole::bag && (at == nullptr || p.hold_minutes > at->hold_minutes)) at = &p;
  std::map<std::string, std::string> values = {
      {"treatment", named(words, "treatment", report.treatment_name)}, {"reach", reach_text(report, words)}};
  if (at == nullptr) return words.text("sentence_nothing", values);
  values["hold_minutes"] = hold_text(at->hold_minutes);
  values["setpoint_degC"] = print_setpoint(report.setpoint_degC, report.units);
  values["name"] = named(words, "reference", report.reference.name);
  values["F_minutes"] = F_text(at->F_minutes);
  values["F_lower_minutes"] = F_bound_text(at->F_minutes_lower);
  const bool by_F = is_by_F(report);
  if (in_bag)
    return words.text(by_F ? "sentence_lethality" : "sentence_hold", values) + unseen_text(report, words);
  return words.text(by_F ? "sentence_steam_lethality" : "sentence_steam_hold", values);
}

std::string first_line(const RunReport& report, const Words& words, bool has_colour) {
  const std::string verdict = verdict_word(report, words);
  const std::string line = wrapped(verdict + " " + sentence(report, words), 2);
  return has_colour ? "\x1b[1m" + verdict + "\x1b[0m" + line.substr(verdict.size()) : line;
}

std::string why(const RunReport& report, const Words& words, const CriterionResult& c) {
  if (!c.delivered) return words.text("why_unmeasured", {{"criterion", criterion_name(words, c.name)}});
  std::string bound;
  if (c.bound && c.status != Status::missed)
    bound = words.text(c.bound_side == "upper" ? "bound_upper" : "bound_lower",
                       {{"bound", amount(report, c, *c.bound, true)}});
  const std::map<std::string, std::string> values = {
      {"criterion", criterion_name(words, c.name)},
      {"required", amount(report, c, c.required, false)},
      {"delivered", amount(report, c, *c.delivered, c.status == Status::missed)},
      {"probe", clean(c.decided_by)},
      {"bound", bound}};
  if (c.status == Status::missed) return words.text(c.too_much ? "why_too_much" : "why_too_little", values);
  return words.text(c.too_much ? "why_unproven_much" : "why_unproven", values);
}

std::string why_blocked(const RunReport& report, const Words& words, const Said& block) {
  return wrapped(words.text("why_block", {{"block", said_text(words, report, block)}}), 5);
}

std::string whys(const RunReport& report, const Words& words) {
  if (*report.verdict == Verdict::pass) return "";
  std::string out;
  const auto says_unprobed = [](const Said& block) {
    return block.key == "block_fault" || block.key == "block_left_out";
  };
  for (const Said& block : report.blocks)
    if (says_unprobed(block)) out += why_blocked(report, words, block);
  for (const CriterionResult& c : report.criteria)
    if (c.fails && (report.verdict == Verdict::fail ? c.status == Status::missed : c.status != Status::met))
      out += wrapped(c.evidence == "measured" ? why(report, words, c) : why_unprobed(report, words, c), 5);
  for (const Said& block : report.blocks)
    if (!says_unprobed(block)) out += why_blocked(report, words, block);
  return out;
}

std::string next_lines(const RunReport& report, const Words& words) {
  std::string out;
  if (!report.next.empty()) out += "\n" + words.text("heading_next") + "\n";
  for (const Said& next : report.next)
    out += item(said_text(words, report, next));
  if (report.more_hold.why_not && !report.more_hold.possible && report.ended != Ended::yes &&
      *report.verdict != Verdict::pass)
    out += item(said_text(words, report, *report.more_hold.why_not));
  return out;
}

std::string probe_table(const RunReport& report, const Words& words) {
  std::string out = padded("", 16) + padded(words.text("table_first_hot"), 17) +
                    padded(words.text("table_hold"), 13) + padded(words.text("table_top"), 8) +
                    padded(words.text("table_lethality"), 11) + words.text("table_lethality_at_least") + "\n";
  for (const ProbeResult& p : report.probes)
    out += padded(cut(clean(p.name), 15), 16) + padded(moment_or_dash(report, p.hot_at_s), 17) +
           padded(hold_or_dash(p.hold_minutes), 13) + padded(temperature_or_dash(report, p.top_degC), 8) +
           padded(F_text(p.F_minutes), 10) + " " +
           (p.role == ProbeRole::bag ? F_bound_text(p.F_minutes_lower) : role_name(words, p.role)) + "\n";
  return out;
}

// Both hold times side by side: the clock started at the gauge is the classic mistake.
std::string both_holds(const RunReport& report, const Words& words) {
  const ProbeResult* cold = find_probe(report, report.coldest);
  if (cold == nullptr || !report.vessel_hold_minutes) return "";
  return wrapped(
      words.text("both_holds", {{"setpoint_degC", print_setpoint(report.setpoint_degC, report.units)},
                                {"vessel_minutes", hold_text(*report.vessel_hold_minutes)},
                                {"bag_minutes", hold_text(cold->hold_minutes)}}),
      2);
}

// What of the holds nobody saw, bag by bag: it counts at the colder of the readings beside each gap, or
// straight between them where they stand near enough.
std::string unseen_lines(const RunReport& report, const Words& words) {
  std::string bags;
  for (const ProbeResult& p : report.probes)
    if (p.role == ProbeRole::bag && p.hold_unseen_minutes > 0)
      bags += (bags.empty() ? "" : "; ") +
              words.text("unseen_bag", {{"probe", clean(p.name)},
                                        {"minutes", print_duration(p.hold_unseen_minutes * 60)},
                                        {"gaps", gaps_text(p.hold_unseen_gaps, words)}});
  return bags.empty() ? "" : wrapped(words.text("unseen_in_hold", {{"bags", bags}}), 2);
}

std::string probe_uncertainty_lines(const RunReport& report, const Words& words) {
  std::string out;
  for (const ProbeResult& p : report.probes)
    if (p.role == ProbeRole::bag && p.u_from == "u_unstated")
      out +=
          item(words.text("probe_uncertainty", {{"probe", clean(p.name)},
                                                {"u_K", print_temperature_difference(p.u_K, report.units, 2)},
                                                {"from", words.text(p.u_from)}}));
  for (const ProbeResult& p : report.probes) {
    if (p.role != ProbeRole::bag) continue;
    if (p.u_parts.extrapolation_K > 0)
      out += item(words.text(
          "note_check_extrapolated",
          {{"probe", clean(p.name)}, {"setpoint_degC", print_setpoint(report.setpoint_degC, report.units)}}));
    if (p.u_parts.age_K > 0) out += item(words.text("note_check_old", {{"probe", clean(p.name)}}));
  }
  return out;
}

std::string reach_notes(const RunReport& report, const Words& words) {
  const Reach& reach = report.reach;
  if (reach.all_at_cold_spots) return item(words.text("cold_spots_note"));
  if (reach.all_at_random && reach.share_above_coldest) {
    const std::string share = value_text(report, "share_percent", *reach.share_above_coldest);
    std::string out = item(words.text("random_note", {{"share_percent", share}}));
    if (reach.most_short && reach.bag_count)
      out += item(words.text("random_count_note", {{"total", std::to_string(*reach.bag_count)},
                                                   {"most_short", std::to_string(*reach.most_short)}}));
    return out;
  }
  if (report.scope == "load") return item(words.text("load_judged_note"));
  return reach.probed_bags > 0 ? item(words.text("unstated_spots_note")) : "";
}

std::string notes(const RunReport& report, const Words& words) {
  std::string out = probe_uncertainty_lines(report, words) + reach_notes(report, words);
  for (const std::string& note : report.notes)
    if (words.has(note)) out += item(words.text(note));
  std::string unanswered;
  for (const std::string& key : report.unanswered)
    unanswered += (unanswered.empty() ? "" : ", ") + key;
  if (!unanswered.empty()) out += item(words.text("unanswered", {{"keys", unanswered}}));
  return out + item(words.text("no_log_can_show")) + item(words.text("not_opened_note"));
}

} // namespace

std::string run_text(const RunReport& report, const Words& words, const TextOptions& options) {
  const std::string full = options.is_full ? full_text(report, words) : "";
  if (!report.runs.empty())
    return several_runs_text(report, words, "coldbag check " + options.log_argument) + full;
  if (!report.verdict) return bare_text(report, words, options.log_argument) + full;
  std::string out;
  if (!report.run_name.empty()) out += wrapped(clean(report.run_name), 0);
  if (!report.resteam_of.empty())
    out += wrapped(words.text("resteam_of", {{"run", clean(report.resteam_of)}}), 2);
  out += film_lines(report, words);
  out += first_line(report, words, options.has_colour) + whys(report, words) + next_lines(report, words);
  out += "\n" + probe_table(report, words) + both_holds(report, words) + slowest_bag_lines(report, words) +
         unseen_lines(report, words) + fault_lines(report, words) + caution_lines(report, words);
  out += event_lines(report, words);
  out += "\n" + site_line(report, words) + log_lines(report, words);
  return out + "\n" + notes(report, words) + full;
}

std::string run_line(const RunReport& report, const Words& words) {
  if (!report.runs.empty()) return words.text("line_several_runs");
  if (!report.verdict) return words.text("line_no_treatment");
  return verdict_word(report, words) + " " + sentence(report, words);
}

} // namespace coldbag
