#include "report/measured_blocks.h"

#include "quantity/print.h"
#include "report/figures.h"
#include "report/layout.h"
#include "report/load_blocks.h"

#include <string>

namespace coldbag {

namespace {

Table probe_table(const RunReport& report, const Words& words) {
  Table table;
  table.columns = {{"", 16, true},
                   {words.text("table_first_hot"), 17},
                   {words.text("table_hold"), 13},
                   {words.text("table_top"), 8},
                   {words.text("table_lethality"), 11},
                   {words.text("table_lethality_at_least")}};
  for (const ProbeResult& p : report.probes)
    table.rows.push_back(
        {{clean(p.name), moment_or_dash(report, p.hot_at_s), hold_or_dash(p.hold_minutes),
          temperature_or_dash(report, p.top_degC), F_text(p.F_minutes),
          p.role == ProbeRole::bag ? F_bound_text(p.F_minutes_lower) : role_name(words, p.role)},
         ""});
  return table;
}

// Both hold times side by side: the clock started at the gauge is the classic mistake.
Blocks both_holds(const RunReport& report, const Words& words) {
  const ProbeResult* cold = find_probe(report, report.coldest);
  if (cold == nullptr || !report.vessel_hold_minutes) return {};
  return {Paragraph{
      words.text("both_holds", {{"setpoint_degC", print_setpoint(report.setpoint_degC, report.units)},
                                {"vessel_minutes", hold_text(*report.vessel_hold_minutes)},
                                {"bag_minutes", hold_text(cold->hold_minutes)}})}};
}

// What of the holds nobody saw, bag by bag: it counts at the colder of the readings beside each gap, or
// straight between them where they stand near enough.
Blocks unseen_holds(const RunReport& report, const Words& words) {
  std::string bags;
  for (const ProbeResult& p : report.probes)
    if (p.role == ProbeRole::bag && p.hold_unseen_minutes > 0)
      bags += (bags.empty() ? "" : "; ") +
              words.text("unseen_bag", {{"probe", clean(p.name)},
                                        {"minutes", print_duration(p.hold_unseen_minutes * 60)},
                                        {"gaps", gaps_text(p.hold_unseen_gaps, words)}});
  if (bags.empty()) return {};
  return {Paragraph{words.text("unseen_in_hold", {{"bags", bags}})}};
}

} // namespace

Blocks measured_blocks(const RunReport& report, const Words& words) {
  Blocks out{probe_table(report, words)};
  append(out, both_holds(report, words));
  append(out, slowest_bag_blocks(report, words));
  append(out, unseen_holds(report, words));
  return out;
}

} // namespace coldbag
