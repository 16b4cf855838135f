// The keys of what a run was judged by and what is said about it.
#pragma once

#include "run/fields.h"
#include "run/run_report.h"

#include <optional>
#include <string>
#include <vector>

namespace coldbag {

template <class Way>
void fields(Way& way, Of<Way, Said>& said) {
  way.field("key", said.key);
  way.said_values(said.values);
}

template <class Way>
void fields(Way& way, Of<Way, Caution>& caution) {
  way.field("kind", caution.kind);
  way.field("text_key", caution.said.key);
  way.said_values(caution.said.values);
  way.field("basis", caution.basis);
  way.moment("when", caution.when_s);
}

template <class Way>
void fields(Way& way, Of<Way, CriterionResult>& c) {
  way.field("name", c.name);
  way.either("kind", c.too_much, "too_much", "too_little");
  way.field("unit", c.unit);
  way.field("required", c.required);
  way.field("required_to", c.required_to);
  way.field("sense", c.sense);
  way.field("delivered", c.delivered);
  way.field("bound", c.bound);
  way.text_or_null("bound_side", c.bound_side);
  way.text_or_null("decided_by", c.decided_by);
  way.field("status", c.status);
  way.either("on_miss", c.fails, "fail", "caution");
  way.field("evidence", c.evidence);
  way.field("basis", c.basis);
  way.field("source", c.source);
}

template <class Way>
void fields(Way& way, Of<Way, EventResult>& event) {
  way.field("what", event.what);
  way.moment("at", event.at_s);
  way.field("stated", event.is_stated);
  way.text_or_null("note", event.note);
  way.text_or_null("who", event.who);
  way.text_or_null("probe", event.probe);
}

template <class Way>
void fields(Way& way, Of<Way, Survival>& s) {
  way.field("organism", s.organism);
  way.field("name", s.name);
  way.field("initial_count", s.initial_count);
  way.field("survivors_at_most", s.survivors_at_most);
  way.field("expected_bad_bags", s.expected_bad_bags);
  way.field("bags", s.bags);
  way.field("beyond_range", s.beyond_range);
}

template <class Way>
void fields(Way& way, Of<Way, WouldNeed>& need) {
  way.field("treatment", need.treatment);
  way.field("name", need.name);
  way.field("setpoint_degC", need.setpoint_degC);
  way.moment("hot_at", need.hot_at_s);
  way.field("hold_minutes", need.hold_minutes);
  way.field("F_minutes", need.F_minutes);
  way.field("short_of", need.short_of);
}

template <class Way>
void fields(Way& way, Of<Way, MoreHold>& more) {
  way.field("minutes", more.minutes);
  way.field("at_degC", more.at_degC);
  way.moment("until", more.until_s);
  way.field("possible", more.possible);
  way.field("why_not", more.why_not);
}

template <class Way>
void fields(Way& way, Of<Way, Reach>& reach) {
  way.field("probed_bags", reach.probed_bags);
  way.field("bag_count", reach.bag_count);
  way.field("all_at_cold_spots", reach.all_at_cold_spots);
  way.field("all_at_random", reach.all_at_random);
  way.field("share_above_coldest", reach.share_above_coldest);
  way.field("most_short", reach.most_short);
}

template <class Way>
void fields(Way& way, Of<Way, UnprobedBag>& bag) {
  way.field("bag", bag.bag);
  way.field("count", bag.count);
  way.field("speed", bag.speed);
  way.field("lag_minutes", bag.lag_minutes);
  way.field("F_minutes", bag.F_minutes);
  way.field("F_minutes_lower", bag.F_minutes_lower);
  way.field("hold_minutes", bag.hold_minutes);
  way.field("hold_minutes_lower", bag.hold_minutes_lower);
  way.field("more_minutes", bag.more_minutes);
}

template <class Way>
void fields(Way& way, Of<Way, ProbeHeating>& probe) {
  way.field("probe", probe.probe);
  way.field("lag_minutes", probe.lag_minutes);
  way.field("expected_minutes", probe.expected_minutes);
  way.field("expected_lower_minutes", probe.expected_lower_minutes);
  way.field("expected_upper_minutes", probe.expected_upper_minutes);
  way.field("fitted_minutes", probe.fitted_minutes);
  way.field("fitted_lower_minutes", probe.fitted_lower_minutes);
  way.field("fitted_upper_minutes", probe.fitted_upper_minutes);
  way.field("speed", probe.speed);
  way.field("speed_sd", probe.speed_sd);
  way.field("rms_K", probe.rms_K);
  way.text_or_null("remark", probe.remark);
  way.field("would_weigh_kg", probe.would_weigh_kg);
  way.field("would_be_moist_fraction", probe.would_be_moist_wb);
  way.field("would_be_off_m", probe.would_be_off_m);
}

template <class Way>
void fields(Way& way, Of<Way, BagHeating>& kind) {
  way.field("bag", kind.bag);
  way.field("count", kind.count);
  way.field("probed", kind.probed);
  way.field("described", kind.described);
  way.field("mass_kg", kind.mass_kg);
  way.field("moisture_fraction", kind.moisture_wb);
  way.field("evidence", kind.evidence);
  way.text_or_null("not_fitted", kind.not_fitted);
  way.field("conductivity", kind.conductivity);
  way.field("vapour", kind.vapour);
  way.field("film", kind.film);
  way.field("conductivity_learned", kind.conductivity_learned);
  way.field("vapour_learned", kind.vapour_learned);
  way.field("film_learned", kind.film_learned);
  way.field("conductivity_far", kind.conductivity_far);
  way.field("vapour_far", kind.vapour_far);
  way.field("film_far", kind.film_far);
  way.field("covariance", kind.covariance);
  way.field("lag_powers", kind.lag_powers);
  way.field("rms_K", kind.rms_K);
  way.field("spread", kind.spread);
  way.field("spread_freedom", kind.spread_freedom);
  way.field("earlier_runs", kind.earlier_runs);
  way.field("earlier_bags", kind.earlier_bags);
  way.field("probes", kind.probes);
  way.field("slowest", kind.slowest);
  way.field("assumptions", kind.assumptions);
}

template <class Way>
void fields(Way& way, Of<Way, PatternUse>& pattern) {
  way.field("name", pattern.name);
  way.field("runs", pattern.runs);
  way.field("last", pattern.last);
  way.field("proven", pattern.is_proven);
  way.field("why_not", pattern.why_not);
}

template <class Way>
void fields(Way& way, Of<Way, UnseenHold>& unseen) {
  way.field("probe", unseen.probe);
  way.field("minutes", unseen.minutes);
  way.field("gaps", unseen.gaps);
  way.field("tells_verdict", unseen.tells_verdict);
}

template <class Way>
void fields(Way& way, Of<Way, Stretch>& run) {
  way.moment("from", run.from_s);
  way.moment("to", run.to_s);
  way.field("withheld_s", run.withheld_s);
}

template <class Way>
void fields(Way& way, Of<Way, Reference>& reference) {
  way.field("name", reference.name);
  way.field("at_degC", reference.at_degC);
  way.field("z_K", reference.z_K);
  way.field("lowest_degC", reference.lowest_degC);
  way.field("highest_degC", reference.highest_degC);
}

template <class Way>
void fields(Way& way, Of<Way, RunClock>& clock) {
  way.field("start", clock.start);
  way.field("start_wall", clock.start_wall);
  way.text_or_null("zone", clock.zone);
}

template <class Way>
void fields(Way& way, Of<Way, ProbeCurve>& curve) {
  way.field("probe", curve.probe);
  way.field("at_s", curve.at_s);
  way.field("lowest_degC", curve.lowest_degC);
  way.field("highest_degC", curve.highest_degC);
  way.field("credited_share", curve.credited_share);
  way.field("F_minutes", curve.F_minutes);
  way.field("F_minutes_lower", curve.F_minutes_lower);
}

template <class Way>
void fields(Way& way, Of<Way, SlowestCurve>& curve) {
  way.field("bag", curve.bag);
  way.field("at_s", curve.at_s);
  way.field("core_degC", curve.core_degC);
  way.field("core_lower_degC", curve.core_lower_degC);
}

template <class Way>
void fields(Way& way, Of<Way, Curves>& curves) {
  way.field("width_s", curves.width_s);
  way.field("probes", curves.probes);
  way.field("slowest", curves.slowest);
}

template <class Way>
void fields(Way& way, Of<Way, Edition>& edition) {
  way.field("name", edition.name);
  way.field("origin", edition.origin);
  way.field("sha256", edition.sha256);
}

} // namespace coldbag
