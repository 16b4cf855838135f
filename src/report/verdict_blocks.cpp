#include "report/verdict_blocks.h"

#include "quantity/print.h"
#include "report/figures.h"
#include "report/layout.h"
#include "report/load_blocks.h"

#include <algorithm>
#include <map>
#include <string>
#include <utility>

namespace coldbag {

namespace {

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

Mark mark_of(const RunReport& report) {
  if (report.so_far) return Mark::none; // not decided before it ends
  switch (*report.verdict) {
  case Verdict::pass:
    return Mark::pass;
  case Verdict::fail:
    return Mark::fail;
  default:
    return Mark::unproven;
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

Paragraph reason(std::string text) {
  return {std::move(text), 5, Tone::reason};
}

Paragraph why_blocked(const RunReport& report, const Words& words, const Said& block) {
  return reason(words.text("why_block", {{"block", said_text(words, report, block)}}));
}

} // namespace

VerdictSentence verdict_sentence(const RunReport& report, const Words& words) {
  return {verdict_word(report, words), sentence(report, words), mark_of(report)};
}

Blocks why_blocks(const RunReport& report, const Words& words) {
  if (*report.verdict == Verdict::pass) return {};
  Blocks out;
  const auto says_unprobed = [](const Said& block) {
    return block.key == "block_fault" || block.key == "block_left_out";
  };
  for (const Said& block : report.blocks)
    if (says_unprobed(block)) out.push_back(why_blocked(report, words, block));
  for (const CriterionResult& c : report.criteria)
    if (c.fails && (report.verdict == Verdict::fail ? c.status == Status::missed : c.status != Status::met))
      out.push_back(
          reason(c.evidence == "measured" ? why(report, words, c) : why_unprobed(report, words, c)));
  for (const Said& block : report.blocks)
    if (!says_unprobed(block)) out.push_back(why_blocked(report, words, block));
  return out;
}

Blocks next_blocks(const RunReport& report, const Words& words) {
  Blocks items;
  for (const Said& next : report.next)
    items.push_back(Item{said_text(words, report, next)});
  Blocks out = under({words.text("heading_next")}, std::move(items));
  if (report.more_hold.why_not && !report.more_hold.possible && report.ended != Ended::yes &&
      *report.verdict != Verdict::pass)
    out.push_back(Item{said_text(words, report, *report.more_hold.why_not)});
  return out;
}

} // namespace coldbag
