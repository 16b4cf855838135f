#include "report/full_blocks.h"

#include "report/figures.h"
#include "report/happenings_blocks.h"
#include "report/layout.h"
#include "report/load_blocks.h"
#include "report/probe_blocks.h"
#include "run/moment_text.h"

#include <fmt/format.h>

#include <algorithm>
#include <map>
#include <string>
#include <utility>

namespace coldbag {

namespace {

constexpr double least_shown = 1e-6; // below it a figure says nothing more

std::string required_amount(const RunReport& report, const CriterionResult& c, const Words& words) {
  std::string from = amount(report, c, c.required, false);
  if (!c.required_to) return from;
  return words.text("full_band", {{"from", from}, {"to", amount(report, c, *c.required_to, false)}});
}

std::string required_text(const RunReport& report, const CriterionResult& c, const Words& words) {
  const std::map<std::string, std::string> values = {{"required", required_amount(report, c, words)}};
  switch (c.sense) {
  case Sense::at_least:
    return words.text("full_at_least", values);
  case Sense::below:
    return words.text("full_below", values);
  default:
    return words.text("full_at_most", values);
  }
}

std::string delivered_text(const RunReport& report, const CriterionResult& c, const Words& words) {
  std::string out =
      c.delivered ? words.text("full_delivered",
                               {{"delivered", amount(report, c, *c.delivered, c.status != Status::met)}})
                  : words.text("full_not_measured");
  if (c.bound)
    out += ", " + words.text(c.bound_side == "upper" ? "full_upper_bound" : "full_lower_bound",
                             {{"bound", amount(report, c, *c.bound, true)}});
  return out;
}

std::string status_text(Status status, const Words& words) {
  switch (status) {
  case Status::met:
    return words.text("status_met");
  case Status::missed:
    return words.text("status_missed");
  default:
    return words.text("status_unproven");
  }
}

std::string on_miss_text(const CriterionResult& c, const Words& words) {
  return words.text(c.fails ? "on_miss_fail" : "on_miss_caution");
}

std::string basis_and_source(const CriterionResult& c, const Words& words) {
  return named(words, "basis", basis_text(c.basis)) + (c.source.empty() ? "" : " [" + c.source + "]");
}

std::string criterion_text(const RunReport& report, const CriterionResult& c, const Words& words) {
  return fmt::format("{}: {}; {}; {}; {}; {}, {}", criterion_name(words, c.name),
                     required_text(report, c, words), delivered_text(report, c, words),
                     status_text(c.status, words), on_miss_text(c, words),
                     named(words, "evidence", c.evidence), basis_and_source(c, words));
}

TableRow criterion_row(const RunReport& report, const CriterionResult& c, const Words& words) {
  return {{criterion_name(words, c.name) + ", " + named(words, "evidence", c.evidence),
           status_text(c.status, words), required_text(report, c, words),
           c.delivered ? amount(report, c, *c.delivered, c.status != Status::met)
                       : words.text("full_not_measured"),
           c.bound ? amount(report, c, *c.bound, true) : "-"},
          on_miss_text(c, words) + "; " + basis_and_source(c, words)};
}

Blocks criterion_items(const RunReport& report, const std::vector<CriterionResult>& criteria,
                       const Words& words) {
  Blocks out;
  for (const CriterionResult& criterion : criteria)
    out.push_back(Item{criterion_text(report, criterion, words)});
  return out;
}

// Moist-heat figures are claimed for moist substrate alone.
bool claims_no_reductions(const RunReport& report) {
  const bool any_bag = std::any_of(report.probes.begin(), report.probes.end(),
                                   [](const ProbeResult& p) { return p.role == ProbeRole::bag; });
  const bool any_claimed = std::any_of(report.probes.begin(), report.probes.end(),
                                       [](const ProbeResult& p) { return !p.organisms.empty(); });
  return any_bag && !any_claimed;
}

std::string few_text(double number, const Words& words) {
  return number > 0 && number < least_shown
             ? words.text("number_under", {{"number", fmt::format("{:g}", least_shown)}})
             : fmt::format("{:.2g}", number);
}

Blocks more_hold_items(const RunReport& report, const Words& words) {
  const MoreHold& more = report.more_hold;
  Blocks out{Item{words.text(more.possible || !more.why_not ? "full_more_hold" : "full_more_hold_untold",
                             {{"minutes", print_duration(more.minutes * 60)}})}};
  const auto add = [&](const char* key, const char* name, const std::string& value) {
    out.push_back(Item{words.text(key, {{name, value}})});
  };
  if (more.at_degC) add("full_more_hold_at", "at_degC", print_temperature(*more.at_degC, report.units));
  if (more.until_s) add("full_more_hold_until", "until_at", moment_for_people(report.clock, *more.until_s));
  if (more.why_not)
    add(more.possible ? "full_more_hold_but" : "full_more_hold_not_possible", "why_not",
        said_text(words, report, *more.why_not));
  return out;
}

Blocks site_items(const RunReport& report, const Words& words) {
  Blocks out;
  const auto add = [&](const char* key, const char* name, const std::string& value) {
    out.push_back(Item{words.text(key, {{name, value}})});
  };
  if (report.site_pressure_Pa)
    add("full_site_pressure", "pressure_Pa", print_pressure(*report.site_pressure_Pa, report.units));
  if (report.check_reaches_degC)
    add("full_check_reaches", "reaches_degC", print_temperature(*report.check_reaches_degC, report.units));
  if (report.steam_off_at_s)
    add(report.steam_off_stated ? "full_steam_off_stated" : "full_steam_off_seen", "at",
        moment_for_people(report.clock, *report.steam_off_at_s));
  return out;
}

// Where nothing was judged, the short report has not told them.
Blocks full_unjudged(const RunReport& report, const Words& words) {
  if (report.verdict) return {};
  Blocks out;
  if (report.reach.bag_count)
    out.push_back(Item{words.text("full_load", {{"total", std::to_string(*report.reach.bag_count)}})});
  append(out, site_items(report, words));
  append(out, event_blocks(report, words));
  return out;
}

Item caution_item(const RunReport& report, const Caution& caution, const SaidValues& values,
                  const Words& words) {
  const std::string when = caution.when_s ? moment_for_people(report.clock, *caution.when_s) : "-";
  return {words.text("full_caution", {{"kind", clean(caution.kind)}, {"when_at", when}}) +
          values_text(report, values)};
}

/// What the words of the cautions leave out.
Blocks untold_caution_values(const RunReport& report, const Words& words) {
  Blocks items;
  for (const Caution& caution : report.cautions) {
    SaidValues values = caution.said.values;
    std::erase_if(values, [&](const auto& value) { return words.tells(caution.said.key, value.first); });
    if (!values.empty()) items.push_back(caution_item(report, caution, values, words));
  }
  return under({words.text("heading_caution_details")}, std::move(items));
}

Blocks figures_of(const RunReport& report, const Words& words, bool is_record) {
  Blocks out = report.verdict ? judgement_blocks(report, words) : Blocks{};
  for (const ProbeResult& probe : report.probes)
    append(out, probe_blocks(report, probe, words, is_record));
  append(out, heating_blocks(report, words));
  append(out, would_need_blocks(report, words));
  append(out, full_unjudged(report, words));
  append(out, is_record ? untold_caution_values(report, words) : caution_detail_blocks(report, words));
  append(out, run_file_blocks(report, words));
  append(out, survival_blocks(report, words));
  append(out, computed_blocks(report, words));
  return out;
}

} // namespace

Blocks criteria_blocks(const RunReport& report, const Words& words) {
  Blocks out{Heading{words.text("heading_criteria")}};
  append(out, criterion_items(report, report.criteria, words));
  return out;
}

Blocks criteria_table_blocks(const RunReport& report, const Words& words) {
  Table table;
  for (const char* title :
       {"record_criterion", "record_result", "record_needed", "record_delivered", "record_bound"})
    table.columns.push_back({words.text(title), 16});
  for (const CriterionResult& criterion : report.criteria)
    table.rows.push_back(criterion_row(report, criterion, words));
  return table.rows.empty() ? Blocks{} : under({words.text("record_criteria")}, {table});
}

Blocks judgement_blocks(const RunReport& report, const Words& words) {
  std::map<std::string, std::string> values = {
      {"setpoint_degC", print_setpoint(report.setpoint_degC, report.units)}};
  if (report.counts_from_degC)
    values["counts_from_degC"] = print_temperature(*report.counts_from_degC, report.units);
  Blocks out{
      Heading{words.text("full_judged")},
      Item{words.text(report.counts_from_degC ? "full_setpoint_counts_from" : "full_setpoint", values)}};
  if (report.unseen_hold)
    out.push_back(
        Item{words.text("full_unseen_hold", {{"probe", clean(report.unseen_hold->probe)},
                                             {"minutes", print_duration(report.unseen_hold->minutes * 60)},
                                             {"gaps", std::to_string(report.unseen_hold->gaps)}})});
  if (report.all_hot_minutes)
    out.push_back(
        Item{words.text("full_all_hot", {{"all_hot_minutes", hold_text(*report.all_hot_minutes)}})});
  append(out, more_hold_items(report, words));
  if (claims_no_reductions(report)) out.push_back(Item{words.text("full_no_log_reductions")});
  append(out, site_items(report, words));
  return out;
}

Blocks would_need_blocks(const RunReport& report, const Words& words) {
  Blocks out;
  for (const WouldNeed& need : report.would_need) {
    out.push_back(Heading{named(words, "treatment", clean(need.name)), 3});
    out.push_back(Item{
        words.text("full_would_need", {{"setpoint_degC", print_setpoint(need.setpoint_degC, report.units)},
                                       {"hot_at", moment_or_dash(report, need.hot_at_s)},
                                       {"hold_minutes", hold_text(need.hold_minutes)},
                                       {"F_minutes", F_text(need.F_minutes)}})});
    append(out, criterion_items(report, need.short_of, words));
  }
  return out;
}

Blocks caution_detail_blocks(const RunReport& report, const Words& words) {
  Blocks items;
  for (const Caution& caution : report.cautions)
    items.push_back(caution_item(report, caution, caution.said.values, words));
  return under({words.text("heading_caution_details")}, std::move(items));
}

Blocks run_file_blocks(const RunReport& report, const Words& words) {
  std::string lots;
  for (const std::string& lot : report.lots)
    lots += (lots.empty() ? "" : ", ") + clean(lot);
  Blocks items;
  const auto add = [&](const char* key, const char* name, const std::string& value) {
    if (!value.empty()) items.push_back(Item{words.text(key, {{name, value}})});
  };
  add("resteam_of", "run", clean(report.resteam_of));
  add("full_by", "by", clean(report.run_by));
  add("full_lots", "lots", lots);
  add("full_run_notes", "notes", clean(report.run_notes));
  return under({words.text("heading_run_file")}, std::move(items));
}

Blocks survival_blocks(const RunReport& report, const Words& words) {
  Blocks items;
  for (const Survival& s : report.survival) {
    std::string line = words.text("full_survival", {{"count", fmt::format("{:.3g}", s.initial_count)},
                                                    {"organism", named(words, "organism", s.name)},
                                                    {"survivors", few_text(s.survivors_at_most, words)},
                                                    {"bags", std::to_string(s.bags)},
                                                    {"bad_bags", few_text(s.expected_bad_bags, words)}});
    if (s.beyond_range) line += "; " + words.text("full_organism_beyond");
    items.push_back(Item{line});
  }
  return under({words.text("heading_survival")}, std::move(items));
}

Blocks computed_blocks(const RunReport& report, const Words& words) {
  Blocks out{Heading{words.text("heading_computed")},
             Item{words.text("computed_lethality",
                             {{"k", fmt::format("{:g}", report.k)},
                              {"coverage_percent", fmt::format("{:g} %", report.coverage * 100)}})},
             Item{words.text("computed_hold")},
             Item{words.text("computed_by", {{"version", report.program_version}})}};
  for (const LogResult& log : report.logs)
    out.push_back(Item{clean(log.name) + " sha256 " + log.sha256});
  for (const Edition& edition : report.editions)
    out.push_back(Item{edition_text(words, edition)});
  return out;
}

Blocks full_blocks(const RunReport& report, const Words& words) {
  Blocks out = report.verdict ? criteria_blocks(report, words) : Blocks{};
  append(out, figures_of(report, words, false));
  return out;
}

Blocks record_figures(const RunReport& report, const Words& words) {
  return figures_of(report, words, true);
}

} // namespace coldbag
