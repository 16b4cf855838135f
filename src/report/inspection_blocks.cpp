#include "report/inspection_blocks.h"

#include "report/figures.h"
#include "report/full_blocks.h"
#include "report/happenings_blocks.h"
#include "report/layout.h"
#include "report/load_blocks.h"
#include "report/log_blocks.h"
#include "report/measured_blocks.h"
#include "report/notes_blocks.h"
#include "report/probe_blocks.h"
#include "report/run_blocks.h"
#include "report/unjudged_blocks.h"
#include "report/verdict_blocks.h"
#include "run/moment_text.h"
#include "run/run_report_json.h"
#include "tables/edition.h"

#include <algorithm>

namespace coldbag {

namespace {

Blocks title(const RunReport& report, const Words& words) {
  Blocks out{Heading{report.run_name.empty()
                         ? words.text("record_title")
                         : words.text("record_title_of", {{"run", clean(report.run_name)}}),
                     1}};
  std::string where = clean(report.site_name);
  if (!report.logs.empty()) {
    const double from_s = std::ranges::min_element(report.logs, {}, &LogResult::from_s)->from_s;
    const double to_s = std::ranges::max_element(report.logs, {}, &LogResult::to_s)->to_s;
    const std::optional<WallTime> day = wall_at(report.clock, from_s);
    const std::string begin = moment_for_people(report.clock, from_s);
    where += (where.empty() ? "" : ", ") +
             words.text("record_time",
                        {{"from_at", day ? print_iso_wall(*day).substr(0, 10) + " " + begin : begin},
                         {"to_at", moment_for_people(report.clock, to_s)}});
  }
  if (!where.empty()) out.push_back(Paragraph{where});
  if (!report.resteam_of.empty())
    out.push_back(Paragraph{words.text("resteam_of", {{"run", clean(report.resteam_of)}})});
  return out;
}

Blocks verdict(const RunReport& report, const Words& words) {
  Blocks out = film_blocks(report, words);
  if (!report.verdict) {
    out.push_back(Paragraph{words.text(report.runs.empty() ? "bare_nothing_judged" : "several_runs")});
    append(out, run_items(report, words));
    return out;
  }
  out.push_back(verdict_sentence(report, words));
  append(out, why_blocks(report, words));
  append(out, next_blocks(report, words));
  return out;
}

/// When each probe was last checked, and what is left of doubt.
Blocks probe_checks(const RunReport& report, const Words& words) {
  Table table;
  for (const char* title :
       {"record_probe", "record_place", "record_checked", "record_correction", "record_u"})
    table.columns.push_back({words.text(title), 16, false});
  for (const ProbeResult& p : report.probes) {
    std::string place = role_name(words, p.role);
    for (const std::string& more : {p.bag, p.place})
      if (!more.empty()) place += ", " + clean(more);
    table.rows.push_back(
        {{clean(p.name), place,
          p.checked_on ? print_iso_wall(*p.checked_on).substr(0, 10) : words.text("record_never"),
          print_temperature_difference(p.correction_K, report.units, 2),
          print_temperature_difference(p.u_K, report.units, 2)},
         ""});
  }
  return table.rows.empty() ? Blocks{} : under({words.text("record_probe_checks")}, {table});
}

Blocks load(const RunReport& report, const Words& words) {
  Blocks out;
  for (const BagHeating& kind : report.heating)
    append(out, kind_blocks(report, kind, words));
  if (report.heating.empty() && report.reach.bag_count)
    out.push_back(Paragraph{words.text("full_load", {{"total", std::to_string(*report.reach.bag_count)}})});
  if (out.empty()) out.push_back(Paragraph{words.text("record_load_not_described")});
  return under({words.text("record_load")}, std::move(out));
}

Blocks read(const RunReport& report, const Words& words) {
  Blocks out = site_blocks(report, words);
  append(out, log_blocks(report, words));
  return under({words.text("record_read")}, std::move(out));
}

/// What a person writes: the program knows nothing of it.
Blocks by_hand(const Words& words) {
  const auto line = [&](std::initializer_list<const char*> keys) {
    WritingLine out;
    for (const char* key : keys)
      out.labels.push_back(words.text(key));
    return out;
  };
  TickBoxes disposition{words.text("record_disposition"), {}};
  for (const char* key : {"disposition_held", "disposition_released", "disposition_released_as_a_trial",
                          "disposition_re-steamed", "disposition_discarded"})
    disposition.choices.push_back(words.text(key));
  Blocks out{disposition, line({"record_which_bags"}), line({"record_corrective_action"}),
             line({"record_more"})};
  for (const char* meaning : {"record_steamed_by", "record_reviewed_by"}) {
    out.push_back(Paragraph{words.text(meaning)});
    out.push_back(line({"record_name", "record_date_and_time", "record_signature"}));
  }
  out.push_back(Paragraph{words.text("record_signing_note")});
  return under({words.text("record_by_hand")}, std::move(out));
}

Blocks figures(const RunReport& report, const Words& words, const OfLedger* of) {
  Blocks out = record_figures(report, words);
  out.push_back(Item{words.text(
      "record_json_hash", {{"sha256", of != nullptr ? of->json_sha256 : sha256_hex(report_json(report))}})});
  return out;
}

} // namespace

Blocks inspection_blocks(const RunReport& report, const Words& words, const OfLedger* of) {
  Blocks out = title(report, words);
  append(out, verdict(report, words));
  if (of != nullptr) append(out, of->where);
  out.push_back(ChartPlace{});
  append(out, criteria_table_blocks(report, words));
  if (report.verdict) append(out, under({words.text("record_probes")}, measured_blocks(report, words)));
  append(out, fault_blocks(report, words));
  append(out, caution_blocks(report, words));
  if (report.verdict) append(out, event_blocks(report, words));
  append(out, load(report, words));
  append(out, probe_checks(report, words));
  append(out, read(report, words));
  append(out, under({words.text("record_reach")}, notes_blocks(report, words)));
  append(out, by_hand(words));
  append(out, figures(report, words, of));
  return out;
}

} // namespace coldbag
