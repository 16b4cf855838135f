#include "run/run_report_json.h"

#include "run/moment_text.h"

#include <nlohmann/json.hpp>

namespace coldbag {

namespace {

using Json = nlohmann::ordered_json;

template <class T>
Json or_null(const std::optional<T>& value) {
  return value ? Json(*value) : Json(nullptr);
}

Json text_or_null(const std::string& text) {
  return text.empty() ? Json(nullptr) : Json(text);
}

Json moment(const RunReport& report, const std::optional<double>& at_s) {
  return at_s ? Json(moment_iso(report.clock, *at_s)) : Json(nullptr);
}

std::string verdict_key(Verdict verdict) {
  return verdict == Verdict::pass ? "pass" : (verdict == Verdict::fail ? "fail" : "unproven");
}

std::string status_key(Status status) {
  return status == Status::met ? "met" : (status == Status::missed ? "missed" : "unproven");
}

bool ends_with(const std::string& name, std::string_view end) {
  return name.size() >= end.size() && name.compare(name.size() - end.size(), end.size(), end) == 0;
}

Json said(const RunReport& report, const Said& what) {
  Json values = Json::object();
  for (const auto& [name, value] : what.values) {
    if (const double* number = std::get_if<double>(&value))
      values[name] = ends_with(name, "_at") ? Json(moment_iso(report.clock, *number)) : Json(*number);
    else
      values[name] = std::get<std::string>(value);
  }
  return {{"key", what.key}, {"values", values}};
}

Json all_said(const RunReport& report, const std::vector<Said>& list) {
  Json array = Json::array();
  for (const Said& one : list)
    array.push_back(said(report, one));
  return array;
}

Json cautions(const RunReport& report) {
  Json array = Json::array();
  for (const Caution& one : report.cautions) {
    const Json plain = said(report, one.said);
    array.push_back({{"kind", one.kind},
                     {"text_key", one.said.key},
                     {"values", plain["values"]},
                     {"basis", one.basis},
                     {"when", moment(report, one.when_s)}});
  }
  return array;
}

Json criterion(const CriterionResult& c) {
  return {{"name", c.name},
          {"kind", c.too_much ? "too_much" : "too_little"},
          {"unit", c.unit},
          {"required", c.required},
          {"required_to", or_null(c.required_to)},
          {"delivered", or_null(c.delivered)},
          {"bound", or_null(c.bound)},
          {"bound_side", text_or_null(c.bound_side)},
          {"decided_by", text_or_null(c.decided_by)},
          {"status", status_key(c.status)},
          {"on_miss", c.fails ? "fail" : "caution"},
          {"evidence", c.evidence},
          {"basis", std::string(basis_text(c.basis))},
          {"source", c.source}};
}

Json probe(const RunReport& report, const ProbeResult& p) {
  Json faults = Json::array();
  for (const Fault& f : p.faults)
    faults.push_back({{"kind", f.kind},
                      {"from", moment_iso(report.clock, f.from_s)},
                      {"to", moment_iso(report.clock, f.to_s)},
                      {"detail", said(report, said_of(f))},
                      {"effect", std::string(effect_text(f.effect))}});
  Json organisms = Json::array();
  for (const OrganismResult& o : p.organisms)
    organisms.push_back({{"organism", o.key},
                         {"decades", o.decades},
                         {"decades_lower", o.decades_lower},
                         {"decades_lower_z_less_one", o.decades_lower_z_less_one},
                         {"beyond_range", o.beyond_range},
                         {"basis", o.basis},
                         {"source", o.source}});
  Json bands = Json::array();
  for (std::size_t i = 0; i < p.F_minutes_by_band.size(); ++i)
    bands.push_back({{"from_degC", i == 0 ? Json(nullptr) : Json(band_edges_degC[i - 1])},
                     {"to_degC", i < band_edges_degC.size() ? Json(band_edges_degC[i]) : Json(nullptr)},
                     {"F_minutes", p.F_minutes_by_band[i]}});
  return {{"name", p.name},
          {"role", std::string(role_text(p.role))},
          {"place", text_or_null(p.place)},
          {"bag", text_or_null(p.bag)},
          {"spot", text_or_null(p.spot)},
          {"F_minutes", p.F_minutes},
          {"F_minutes_all", p.F_minutes_all},
          {"F_minutes_lower", p.F_minutes_lower},
          {"F_minutes_after_steam_off", p.F_minutes_after_steam_off},
          {"F_by_band", bands},
          {"hold_minutes", p.hold_minutes},
          {"hold_minutes_lower", p.hold_minutes_lower},
          {"hold_total_minutes", p.hold_total_minutes},
          {"strict_hold_minutes", p.strict_hold_minutes},
          {"stayed_from", moment(report, p.stayed_from_s)},
          {"stayed_to", moment(report, p.stayed_to_s)},
          {"top_degC", or_null(p.top_degC)},
          {"last_degC", or_null(p.last_degC)},
          {"hot_at", moment(report, p.hot_at_s)},
          {"near_top_at", moment(report, p.near_top_at_s)},
          {"correction_K", p.correction_K},
          {"u_K", p.u_K},
          {"u_from", p.u_from},
          {"noise_K", p.noise_K},
          {"not_credited_minutes", p.not_credited_minutes},
          {"organisms", organisms},
          {"faults", faults}};
}

const ProbeResult* coldest_of(const RunReport& report) {
  for (const ProbeResult& p : report.probes)
    if (p.name == report.coldest) return &p;
  return nullptr;
}

Json coldest(const RunReport& report) {
  const ProbeResult* p = coldest_of(report);
  if (p == nullptr) return nullptr;
  return {{"probe", p->name},
          {"bag", text_or_null(p->bag)},
          {"F_minutes", p->F_minutes},
          {"F_minutes_lower", p->F_minutes_lower},
          {"hold_minutes", p->hold_minutes},
          {"hold_minutes_lower", p->hold_minutes_lower}};
}

Json log(const RunReport& report) {
  std::int64_t rows = 0;
  Json cells = Json::array();
  Json gaps = Json::array();
  Json sources = Json::array();
  for (const LogResult& one : report.logs) {
    rows += one.rows;
    for (const CellTally& tally : one.cells_unread)
      cells.push_back({{"kind", tally.kind},
                       {"count", tally.count},
                       {"source", tally.first.source_name},
                       {"line", tally.first.line},
                       {"column", tally.first.key_path},
                       {"text", tally.text}});
    for (const Gap& gap : one.gaps)
      gaps.push_back({{"source", one.name},
                      {"from", moment_iso(report.clock, one.from_s + gap.from_s)},
                      {"to", moment_iso(report.clock, one.from_s + gap.to_s)},
                      {"minutes", (gap.to_s - gap.from_s) / 60}});
    sources.push_back({{"name", one.name}, {"sha256", one.sha256}});
  }
  return {{"rows", rows},
          {"cells_unread", cells},
          {"interval_s", report.logs.empty() ? Json(nullptr) : Json(report.logs.front().interval_s)},
          {"gaps", gaps},
          {"sources", sources}};
}

Json more_hold_json(const RunReport& report) {
  if (report.treatment.empty()) return nullptr;
  const MoreHold& more = report.more_hold;
  return {{"minutes", more.minutes},
          {"at_degC", or_null(more.at_degC)},
          {"until", moment(report, more.until_s)},
          {"possible", more.possible},
          {"why_not", more.why_not ? said(report, *more.why_not) : Json(nullptr)}};
}

Json reach(const Reach& reach) {
  return {{"probed_bags", reach.probed_bags},
          {"bag_count", or_null(reach.bag_count)},
          {"all_at_cold_spots", reach.all_at_cold_spots},
          {"all_at_random", reach.all_at_random},
          {"share_above_coldest", or_null(reach.share_above_coldest)},
          {"most_short", or_null(reach.most_short)}};
}

Json editions(const RunReport& report) {
  Json array = Json::array();
  for (const Edition& e : report.editions)
    array.push_back({{"name", e.name}, {"origin", e.origin}, {"sha256", e.sha256}});
  return array;
}

Json would_need(const RunReport& report) {
  Json array = Json::array();
  for (const WouldNeed& w : report.would_need) {
    Json short_of = Json::array();
    for (const CriterionResult& c : w.short_of)
      short_of.push_back(criterion(c));
    array.push_back({{"treatment", w.treatment},
                     {"setpoint_degC", w.setpoint_degC},
                     {"hot_at", moment(report, w.hot_at_s)},
                     {"hold_minutes", w.hold_minutes},
                     {"F_minutes", w.F_minutes},
                     {"short_of", short_of}});
  }
  return array;
}

Json ended_json(Ended ended) {
  return ended == Ended::unknown ? Json("unknown") : Json(ended == Ended::yes);
}

} // namespace

std::string report_json(const RunReport& report) {
  const bool judged = report.verdict.has_value();
  Json root;
  root["verdict"] = judged ? Json(verdict_key(*report.verdict)) : Json(nullptr);
  root["so_far"] =
      report.so_far ? Json(*report.so_far == SoFar::enough ? "enough" : "not_yet") : Json(nullptr);
  root["failed_by"] = text_or_null(report.failed_by);
  root["scope"] = report.scope;
  root["ended"] = ended_json(report.ended);
  root["treatment"] = text_or_null(report.treatment);
  root["reference"] = judged ? Json({{"name", report.reference.name},
                                     {"at_degC", report.reference.at_degC},
                                     {"z_K", report.reference.z_K}})
                             : Json(nullptr);
  root["counts_from_degC"] = or_null(report.counts_from_degC);
  root["setpoint_degC"] = judged ? Json(report.setpoint_degC) : Json(nullptr);
  root["coverage"] = report.coverage;
  root["k"] = report.k;
  root["criteria"] = Json::array();
  for (const CriterionResult& c : report.criteria)
    root["criteria"].push_back(criterion(c));
  root["probes"] = Json::array();
  for (const ProbeResult& p : report.probes)
    root["probes"].push_back(probe(report, p));
  root["coldest"] = coldest(report);
  root["slowest_unprobed"] = nullptr;
  root["vessel_hold_minutes"] = or_null(report.vessel_hold_minutes);
  root["log"] = log(report);
  root["more_hold"] = more_hold_json(report);
  root["next"] = all_said(report, report.next);
  root["cautions"] = cautions(report);
  root["blocks"] = all_said(report, report.blocks);
  root["unanswered"] = report.unanswered;
  root["would_need"] = would_need(report);
  root["runs"] = Json::array();
  for (const Stretch& run : report.runs)
    root["runs"].push_back(
        {{"from", moment_iso(report.clock, run.from_s)}, {"to", moment_iso(report.clock, run.to_s)}});
  root["reach"] = reach(report.reach);
  root["steam_off"] = {{"at", moment(report, report.steam_off_at_s)}, {"stated", report.steam_off_stated}};
  root["site"] = {{"name", text_or_null(report.site_name)},
                  {"altitude_m", or_null(report.altitude_m)},
                  {"abs_pressure_Pa", or_null(report.site_pressure_Pa)},
                  {"boiling_degC", or_null(report.boiling_degC)},
                  {"vessel_kind", text_or_null(report.vessel_kind)}};
  root["run"] = text_or_null(report.run_name);
  root["editions"] = editions(report);
  root["program_version"] = report.program_version;
  return root.dump(2, ' ', false, Json::error_handler_t::replace) + "\n";
}

} // namespace coldbag
