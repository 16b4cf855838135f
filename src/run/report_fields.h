// The keys of a run's report, from its verdict to the tables it was judged with.
#pragma once

#include "run/fields.h"
#include "run/log_fields.h"
#include "run/probe_fields.h"
#include "run/run_report.h"
#include "run/verdict_fields.h"
#include "run/whole_log.h"

#include <optional>
#include <string>
#include <vector>

namespace coldbag {

template <class Way>
void coldest_fields(Way& way, Of<Way, RunReport>& report) {
  const auto of_coldest = [&report](auto member) {
    return [&report, member] { return coldest_of(report)->*member; };
  };
  way.field("probe", report.coldest);
  way.derived("bag", [&report] {
    const std::string& bag = coldest_of(report)->bag;
    return bag.empty() ? std::nullopt : std::optional(bag);
  });
  way.derived("F_minutes", of_coldest(&ProbeResult::F_minutes));
  way.derived("F_minutes_lower", of_coldest(&ProbeResult::F_minutes_lower));
  way.derived("hold_minutes", of_coldest(&ProbeResult::hold_minutes));
  way.derived("hold_minutes_lower", of_coldest(&ProbeResult::hold_minutes_lower));
}

template <class Way>
void fields(Way& way, Of<Way, UnreadCells>& cells) {
  way.field("kind", cells.kind);
  way.field("count", cells.count);
  way.field("source", cells.source);
  way.field("line", cells.line);
  way.field("column", cells.column);
  way.field("text", cells.text);
}

template <class Way>
void fields(Way& way, Of<Way, LogGap>& gap) {
  way.field("source", gap.source);
  way.field("from", gap.from);
  way.field("to", gap.to);
  way.field("minutes", gap.minutes);
}

template <class Way>
void fields(Way& way, Of<Way, LogClockEvent>& event) {
  way.field("kind", event.kind);
  way.field("source", event.source);
  way.field("line", event.line);
  way.field("at", event.at);
  way.field("jump_s", event.jump_s);
  way.field("rows", event.rows);
  way.field("effect", event.effect);
}

template <class Way>
void log_fields(Way& way, Of<Way, RunReport>& report) {
  way.derived("rows", [&report] { return rows_of_all(report); });
  way.derived("cells_unread", [&report] { return unread_cells(report); });
  way.derived("interval_s", [&report] {
    return report.logs.empty() ? std::nullopt : std::optional(report.logs.front().interval_s);
  });
  way.derived("gaps", [&report] { return gaps_of_all(report); });
  way.derived("clock_events", [&report] { return clock_events_of_all(report); });
  way.field("sources", report.logs);
}

template <class Way>
void fields(Way& way, Of<Way, RunReport>& report) {
  way.field("verdict", report.verdict);
  way.field("so_far", report.so_far);
  way.text_or_null("failed_by", report.failed_by);
  way.field("scope", report.scope);
  way.field("ended", report.ended);
  way.text_or_null("treatment", report.treatment);
  way.text_or_null("treatment_name", report.treatment_name);
  way.field("notes", report.notes);
  way.field_if(report.verdict.has_value(), "reference", report.reference);
  way.field("counts_from_degC", report.counts_from_degC);
  way.field_if(report.verdict.has_value(), "setpoint_degC", report.setpoint_degC);
  way.field("coverage", report.coverage);
  way.field("k", report.k);
  way.field("criteria", report.criteria);
  way.field("probes", report.probes);
  way.object_or_null(coldest_of(report) != nullptr, "coldest", [&](auto& in) { coldest_fields(in, report); });
  way.field("slowest_unprobed", report.slowest_unprobed);
  way.field("heating", report.heating);
  way.field("pattern", report.pattern);
  way.field("load_not_judged", report.load_not_judged);
  way.field("vessel_hold_minutes", report.vessel_hold_minutes);
  way.field("all_hot_minutes", report.all_hot_minutes);
  way.field("unseen_hold", report.unseen_hold);
  way.object("log", [&](auto& in) { log_fields(in, report); });
  way.field("survival", report.survival);
  way.field_if(!report.treatment.empty(), "more_hold", report.more_hold);
  way.field("next", report.next);
  way.field("cautions", report.cautions);
  way.field("events", report.events);
  way.field("blocks", report.blocks);
  way.field("unanswered", report.unanswered);
  way.field("would_need", report.would_need);
  way.field("runs", report.runs);
  way.field("reach", report.reach);
  way.object("steam_off", [&](auto& in) {
    in.moment("at", report.steam_off_at_s);
    in.field("stated", report.steam_off_stated);
  });
  way.object("site", [&](auto& in) {
    in.text_or_null("name", report.site_name);
    in.field("altitude_m", report.altitude_m);
    in.field("abs_pressure_Pa", report.site_pressure_Pa);
    in.field("boiling_degC", report.boiling_degC);
    in.field("check_reaches_degC", report.check_reaches_degC);
    in.text_or_null("vessel_kind", report.vessel_kind);
  });
  way.text_or_null("run", report.run_name);
  way.text_or_null("resteam_of", report.resteam_of);
  way.text_or_null("by", report.run_by);
  way.field("lots", report.lots);
  way.text_or_null("run_notes", report.run_notes);
  way.field("clock", report.clock);
  way.field("units", report.units);
  way.field("editions", report.editions);
  way.field("program_version", report.program_version);
  way.field("curves", report.curves);
}

} // namespace coldbag
