#include "run/events.h"

#include <algorithm>

namespace coldbag {

namespace {

constexpr double fall_that_ends_K = 10;
constexpr double still_steaming_s = 600; // assumed: steam was near its plateau again so long after a fall

bool is_bag(const RunProbe& probe) {
  return !probe.is_pressure && probe.role == ProbeRole::bag && !probe.left_out;
}

bool is_steam(const RunProbe& probe) {
  return !probe.is_pressure && probe.role == ProbeRole::vessel;
}

// What the steam probes showed, or without one the bags.
std::vector<DangerSeen> told_by(const RunInput& input, const Dangers& dangers) {
  std::vector<DangerSeen> steam;
  std::vector<DangerSeen> bags;
  for (std::size_t i = 0; i < input.probes.size(); ++i) {
    const RunProbe& probe = input.probes[i];
    if (!is_watched(input, probe)) continue;
    if (!is_steam(probe) && !is_bag(probe)) continue;
    DangerSeen seen = dangers.probe(i);
    if (seen.readings > 0) (is_steam(probe) ? steam : bags).push_back(std::move(seen));
  }
  return steam.empty() ? bags : steam;
}

// Last of the bags to go cold, else of the steam probes; nothing where one has not.
std::optional<double> cooled_seen_s(const RunInput& input, const Dangers& dangers) {
  const bool any_bag = std::any_of(input.probes.begin(), input.probes.end(), is_bag);
  std::optional<double> cooled;
  for (std::size_t i = 0; i < input.probes.size(); ++i) {
    const RunProbe& probe = input.probes[i];
    if (any_bag ? !is_bag(probe) : !is_steam(probe)) continue;
    const auto own = dangers.probe(i).trace.cooled_at_s;
    if (!own) return std::nullopt;
    cooled = std::max(cooled.value_or(*own), *own);
  }
  return cooled;
}

} // namespace

bool fell(const ProbeMeasures& m) {
  return m.plateau_degC - m.last_mean_degC >= fall_that_ends_K;
}

bool is_opening(EventKind kind) {
  return kind == EventKind::door_opened || kind == EventKind::opened || kind == EventKind::unloaded;
}

std::optional<double> stated_s(const RunInput& input, EventKind kind) {
  for (const RunMoment& moment : input.events)
    if (moment.event.what == kind) return moment.at_s;
  return std::nullopt;
}

std::optional<double> steam_off_seen_s(const std::vector<Measured>& probes) {
  std::optional<double> off;
  bool any_steam = false;
  std::optional<double> first_bag;
  bool bags_fell = true;
  for (const Measured& one : probes) {
    if (!one.measures.top_degC) continue;
    if (one.probe->role == ProbeRole::vessel) {
      any_steam = true;
      if (fell(one.measures)) off = std::max(off.value_or(0), one.measures.last_near_plateau_s);
    } else if (one.probe->role == ProbeRole::bag && one.is_relied_on) {
      bags_fell = bags_fell && fell(one.measures);
      first_bag =
          std::min(first_bag.value_or(one.measures.last_near_plateau_s), one.measures.last_near_plateau_s);
    }
  }
  if (any_steam) return off;
  return bags_fell ? first_bag : std::nullopt;
}

std::optional<double> steam_on_seen_s(const RunInput& input, const Dangers& dangers) {
  std::optional<double> on;
  for (const DangerSeen& seen : told_by(input, dangers))
    if (seen.trace.rose_at_s) on = std::min(on.value_or(*seen.trace.rose_at_s), *seen.trace.rose_at_s);
  return on;
}

std::vector<double> openings_seen_s(const RunInput& input, const Dangers& dangers) {
  std::vector<double> all;
  for (const DangerSeen& seen : told_by(input, dangers))
    all.insert(all.end(), seen.trace.fell_fast_at_s.begin(), seen.trace.fell_fast_at_s.end());
  std::sort(all.begin(), all.end());
  return all;
}

std::vector<EventResult> events_of(const RunInput& input, const Dangers& dangers,
                                   const std::vector<Measured>& probes) {
  std::vector<EventResult> events;
  bool opening_stated = false;
  for (const RunMoment& moment : input.events) {
    const RunEvent& event = moment.event;
    events.push_back(
        {std::string(event_text(event.what)), moment.at_s, true, event.note, event.who, event.probe});
    opening_stated = opening_stated || is_opening(event.what);
  }
  const auto add_seen = [&](EventKind kind, std::optional<double> at_s) {
    if (at_s && !stated_s(input, kind))
      events.push_back({std::string(event_text(kind)), *at_s, false, "", "", ""});
  };
  const auto off_s = steam_off_seen_s(probes);
  add_seen(EventKind::steam_on, steam_on_seen_s(input, dangers));
  add_seen(EventKind::steam_off, off_s);
  if (const auto openings = openings_seen_s(input, dangers); !opening_stated && !openings.empty())
    add_seen(off_s && openings.front() + still_steaming_s < *off_s ? EventKind::door_opened
                                                                   : EventKind::opened,
             openings.front());
  add_seen(EventKind::cooled, cooled_seen_s(input, dangers));
  std::stable_sort(events.begin(), events.end(),
                   [](const EventResult& a, const EventResult& b) { return a.at_s < b.at_s; });
  return events;
}

} // namespace coldbag
