#include "report/notes_blocks.h"

#include "quantity/print.h"
#include "report/layout.h"

#include <string>

namespace coldbag {

namespace {

Blocks probe_notes(const RunReport& report, const Words& words) {
  Blocks out;
  for (const ProbeResult& p : report.probes)
    if (p.role == ProbeRole::bag && p.u_from == "u_unstated")
      out.push_back(
          Item{words.text("probe_uncertainty", {{"probe", clean(p.name)},
                                                {"u_K", print_temperature_difference(p.u_K, report.units, 2)},
                                                {"from", words.text(p.u_from)}})});
  for (const ProbeResult& p : report.probes) {
    if (p.role != ProbeRole::bag) continue;
    if (p.u_parts.extrapolation_K > 0)
      out.push_back(
          Item{words.text("note_check_extrapolated",
                          {{"probe", clean(p.name)},
                           {"setpoint_degC", print_setpoint(report.setpoint_degC, report.units)}})});
    if (p.u_parts.age_K > 0) out.push_back(Item{words.text("note_check_old", {{"probe", clean(p.name)}})});
  }
  return out;
}

Blocks reach_notes(const RunReport& report, const Words& words) {
  const Reach& reach = report.reach;
  if (reach.all_at_cold_spots) return {Item{words.text("cold_spots_note")}};
  if (reach.all_at_random && reach.share_above_coldest) {
    const std::string share = value_text(report, "share_percent", *reach.share_above_coldest);
    Blocks out{Item{words.text("random_note", {{"share_percent", share}})}};
    if (reach.most_short && reach.bag_count)
      out.push_back(
          Item{words.text("random_count_note", {{"total", std::to_string(*reach.bag_count)},
                                                {"most_short", std::to_string(*reach.most_short)}})});
    return out;
  }
  if (report.scope == "load") return {Item{words.text("load_judged_note")}};
  if (reach.probed_bags == 0) return {};
  return {Item{words.text("unstated_spots_note")}};
}

} // namespace

Blocks notes_blocks(const RunReport& report, const Words& words) {
  Blocks out = probe_notes(report, words);
  append(out, reach_notes(report, words));
  for (const std::string& note : report.notes)
    if (words.has(note)) out.push_back(Item{words.text(note)});
  std::string unanswered;
  for (const std::string& key : report.unanswered)
    unanswered += (unanswered.empty() ? "" : ", ") + key;
  if (!unanswered.empty()) out.push_back(Item{words.text("unanswered", {{"keys", unanswered}})});
  out.push_back(Item{words.text("no_log_can_show")});
  out.push_back(Item{words.text("not_opened_note")});
  return out;
}

} // namespace coldbag
