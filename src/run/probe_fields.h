// The keys of what each probe of a run measured.
#pragma once

#include "run/fields.h"
#include "run/probe_faults.h"
#include "run/run_report.h"

#include <optional>
#include <string>
#include <vector>

namespace coldbag {

template <class Way>
void fields(Way& way, Of<Way, Fault>& fault) {
  way.field("kind", fault.kind);
  way.moment("from", fault.from_s);
  way.moment("to", fault.to_s);
  way.object("detail", [&](auto& in) {
    in.derived("key", [&fault] { return said_of(fault).key; });
    in.said_values(fault.values);
  });
  way.field("effect", fault.effect);
  way.text_or_null("variant", fault.variant);
}

template <class Way>
void fields(Way& way, Of<Way, OrganismResult>& o) {
  way.field("organism", o.key);
  way.field("name", o.name);
  way.field("decades", o.decades);
  way.field("decades_lower", o.decades_lower);
  way.field("decades_lower_z_less_one", o.decades_lower_z_less_one);
  way.field("beyond_range", o.beyond_range);
  way.field("basis", o.basis);
  way.field("source", o.source);
}

/// The edge above a band; none above the last.
[[nodiscard]] inline std::optional<double> band_edge(std::size_t band) {
  return band < band_edges_degC.size() ? std::optional(band_edges_degC[band]) : std::nullopt;
}

template <class Way>
void fields(Way& way, Of<Way, ProbeErrorParts>& parts) {
  way.field("check_K", parts.check_K);
  way.field("class_K", parts.class_K);
  way.field("given_K", parts.given_K);
  way.field("extrapolation_K", parts.extrapolation_K);
  way.field("drift_K", parts.drift_K);
  way.field("age_K", parts.age_K);
  way.field("resolution_K", parts.resolution_K);
  way.field("stem_K", parts.stem_K);
}

template <class Way>
void fields(Way& way, Of<Way, ProbeResult>& p) {
  way.field("name", p.name);
  way.field("role", p.role);
  way.text_or_null("place", p.place);
  way.text_or_null("bag", p.bag);
  way.text_or_null("spot", p.spot);
  way.field("F_minutes", p.F_minutes);
  way.field("F_minutes_all", p.F_minutes_all);
  way.field("F_minutes_lower", p.F_minutes_lower);
  way.field("F_minutes_after_steam_off", p.F_minutes_after_steam_off);
  way.list("F_by_band", p.F_minutes_by_band, [](auto& in, auto& F_minutes, std::size_t band) {
    in.derived("from_degC", [band] { return band == 0 ? std::nullopt : band_edge(band - 1); });
    in.derived("to_degC", [band] { return band_edge(band); });
    in.field("F_minutes", F_minutes);
  });
  way.field("hold_minutes", p.hold_minutes);
  way.field("hold_minutes_lower", p.hold_minutes_lower);
  way.field("hold_total_minutes", p.hold_total_minutes);
  way.field("strict_hold_minutes", p.strict_hold_minutes);
  way.moment("stayed_from", p.stayed_from_s);
  way.moment("stayed_to", p.stayed_to_s);
  way.field("top_degC", p.top_degC);
  way.field("last_degC", p.last_degC);
  way.moment("hot_at", p.hot_at_s);
  way.moment("near_top_at", p.near_top_at_s);
  way.field("top_raw_degC", p.top_raw_degC);
  way.field("gain", p.gain);
  way.field("offset_K", p.offset_K);
  way.field("correction_K", p.correction_K);
  way.field("checked_on", p.checked_on);
  way.field("u_K", p.u_K);
  way.field("u_parts", p.u_parts);
  way.field("u_from", p.u_from);
  way.field("noise_K", p.noise_K);
  way.field("not_credited_minutes", p.not_credited_minutes);
  way.field("hold_unseen_minutes", p.hold_unseen_minutes);
  way.field("hold_unseen_gaps", p.hold_unseen_gaps);
  way.field("organisms", p.organisms);
  way.field("faults", p.faults);
}

} // namespace coldbag
