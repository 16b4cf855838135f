#include "run/dangers.h"

#include "run/criteria.h"
#include "steam/saturation.h"

#include <tbb/parallel_for.h>

#include <algorithm>
#include <cmath>

namespace coldbag {

namespace {

constexpr double sea_level_Pa =
    101325; // where neither altitude nor barometer is known: the least that it tells

bool ends_shut(EventKind kind) {
  return kind == EventKind::vent_opened || kind == EventKind::opened || kind == EventKind::door_opened ||
         kind == EventKind::unloaded;
}

// From each closing of the vent to the next opening of vent or door.
std::vector<Stretch> shut_by(const RunInput& input) {
  std::vector<Stretch> shut;
  if (input.vessel && input.vessel->has_vacuum_breaker) return shut;
  for (const RunMoment& moment : input.events) {
    const bool is_open = shut.empty() || !std::isinf(shut.back().to_s);
    if (moment.event.what == EventKind::vent_closed && is_open)
      shut.push_back({moment.at_s, std::numeric_limits<double>::infinity()});
    else if (ends_shut(moment.event.what) && !is_open)
      shut.back().to_s = moment.at_s;
  }
  return shut;
}

std::optional<double> lowest_film_degC(const RunInput& input) {
  std::optional<double> lowest;
  for (const Bag& bag : input.bags)
    if (const auto limit = film_limit_degC(input, bag); limit && (!lowest || *limit < *lowest))
      lowest = limit;
  return lowest;
}

DangerRule rule_of(const RunInput& input) {
  DangerRule rule;
  rule.limits = input.cautions.limits;
  rule.outside_Pa = Dangers::outside_Pa(input);
  rule.boiling_degC = saturation_temperature_degC(rule.outside_Pa);
  rule.rating_gauge_Pa = input.rating_gauge_Pa;
  rule.film_degC = lowest_film_degC(input);
  rule.vent_shut = shut_by(input);
  for (const RunMoment& moment : input.events) {
    rule.moments_s.push_back(moment.at_s);
    if (moment.event.what == EventKind::steam_off && !rule.steam_off_at_s) rule.steam_off_at_s = moment.at_s;
  }
  return rule;
}

// From a log's time to the run's, and what of it belongs to the run.
class RunRows {
 public:
  RunRows(const RunInput& input, int log)
      : starts_s_(input.logs[static_cast<std::size_t>(log)].starts_s),
        from_s_(input.from_s.value_or(-std::numeric_limits<double>::infinity())),
        to_s_(input.to_s.value_or(std::numeric_limits<double>::infinity())) {}
  [[nodiscard]] double run_time_s(double log_time_s) const { return starts_s_ + log_time_s; }
  [[nodiscard]] bool has(double log_time_s) const {
    return run_time_s(log_time_s) >= from_s_ && run_time_s(log_time_s) <= to_s_;
  }

 private:
  double starts_s_, from_s_, to_s_;
};

double interval_s(const RunInput& input, std::size_t index) {
  return input.logs[static_cast<std::size_t>(input.probes[index].log)].log.survey().interval_s;
}

} // namespace

std::optional<double> film_limit_degC(const RunInput& input, const Bag& bag) {
  if (bag.film_highest_degC.known()) return bag.film_highest_degC.value;
  if (!bag.film.known()) return std::nullopt;
  const Film* film = find_film(input.cautions.films, *bag.film.value);
  return film == nullptr ? std::nullopt : std::optional(film->loaded_highest_degC);
}

bool is_watched(const RunInput& input, const RunProbe& probe) {
  const auto& out = input.options.left_out;
  return std::find(out.begin(), out.end(), probe.name) == out.end() &&
         std::find(out.begin(), out.end(), probe.column) == out.end();
}

double Dangers::outside_Pa(const RunInput& input) {
  return input.site_pressure_Pa.value_or(sea_level_Pa);
}

Dangers::Dangers(const RunInput& input) : kept_(input.probes.size()), is_kept_(input.probes.size(), false) {
  const DangerRule rule = rule_of(input);
  const CautionLimits& limits = rule.limits;
  const std::size_t count = input.probes.size();
  for (std::size_t i = 0; i < count; ++i) {
    meters_.emplace_back(rule);
    gauges_.emplace_back(rule);
  }
  air_watched_from_degC_ = saturation_temperature_degC(rule.outside_Pa + limits.air_watched_from_Pa);
  if (input.treatment)
    air_watched_from_degC_ =
        std::max(air_watched_from_degC_, setpoint_degC(*input.treatment, rule.boiling_degC));
  apart_watched_from_degC_ = rule.boiling_degC - limits.disagreement_watched_within_K;
  const auto is_steam = [&](std::size_t i) {
    const RunProbe& probe = input.probes[i];
    return !probe.is_pressure && probe.role == ProbeRole::vessel && is_watched(input, probe);
  };
  for (std::size_t i = 0; i < count; ++i)
    for (std::size_t j = 0; j < count; ++j) {
      const bool is_air = input.probes[i].is_pressure && is_steam(j);
      const bool is_apart = i < j && is_steam(i) && is_steam(j);
      if (is_air) air_.push_back({i, j, OverMeter(limits.air_short_K, limits.air_short_held_s)});
      if (is_apart) apart_.push_back({i, j, OverMeter(limits.disagreement_K, limits.disagreement_held_s)});
      if ((is_air || is_apart) && input.probes[i].log != input.probes[j].log)
        is_kept_[i] = is_kept_[j] = true;
    }
}

// A probe's reading corrected, a gauge's as gauge pressure.
double Dangers::value_at(const RunInput& input, std::size_t index, double raw) {
  const RunProbe& probe = input.probes[index];
  if (!probe.is_pressure) return corrected_degC(probe.correction, raw);
  return probe.pressure_basis == PressureBasis::absolute ? raw - outside_Pa(input) : raw;
}

double Dangers::apart_K(const RunInput& input, const Watch& watch, double first, double second) const {
  const CautionLimits& limits = input.cautions.limits;
  const auto is_readable = [&](double degC) {
    return degC <= limits.reading_highest_degC && degC >= limits.reading_lowest_degC;
  };
  if (!is_readable(second)) return 0;
  if (input.probes[watch.first].is_pressure) {
    const double abs_Pa = first + outside_Pa(input);
    if (!is_readable_Pa(abs_Pa)) return 0;
    const double saturation_degC = saturation_temperature_degC(abs_Pa);
    return saturation_degC >= air_watched_from_degC_ ? saturation_degC - second : 0;
  }
  if (!is_readable(first) || std::max(first, second) < apart_watched_from_degC_) return 0;
  return std::abs(first - second);
}

void Dangers::take_pair(const RunInput& input, Watch& watch, int log, const RowBlock& block) {
  const RunProbe& first = input.probes[watch.first];
  const RunProbe& second = input.probes[watch.second];
  if (first.log != log || second.log != log) return;
  const auto a = static_cast<std::size_t>(first.value);
  const auto b = static_cast<std::size_t>(second.value);
  const RunRows rows(input, log);
  for (std::size_t row = 0; row < block.time_s.size(); ++row)
    if (block.has[a][row] != 0 && block.has[b][row] != 0 && rows.has(block.time_s[row]))
      watch.over.take(rows.run_time_s(block.time_s[row]),
                      apart_K(input, watch, value_at(input, watch.first, block.value[a][row]),
                              value_at(input, watch.second, block.value[b][row])));
}

void Dangers::take(const RunInput& input, int log, const RowBlock& block) {
  const RunRows rows(input, log);
  // A column is one thread's work from first row to last, so threads change no digit.
  tbb::parallel_for(std::size_t{0}, input.probes.size(), [&](std::size_t i) {
    const RunProbe& probe = input.probes[i];
    if (probe.log != log) return;
    const auto column = static_cast<std::size_t>(probe.value);
    for (std::size_t row = 0; row < block.time_s.size(); ++row) {
      if (block.has[column][row] == 0 || !rows.has(block.time_s[row])) continue;
      const double time_s = rows.run_time_s(block.time_s[row]);
      const double value = value_at(input, i, block.value[column][row]);
      if (probe.is_pressure)
        gauges_[i].take(time_s, value);
      else
        meters_[i].take(time_s, value);
      if (is_kept_[i]) kept_[i].push_back({time_s, value});
    }
  });
  for (Watch& watch : air_)
    take_pair(input, watch, log, block);
  for (Watch& watch : apart_)
    take_pair(input, watch, log, block);
}

std::vector<TimedPair> Dangers::paired(const RunInput& input, const Watch& watch) const {
  return nearest_pairs(kept_[watch.first], kept_[watch.second],
                       std::max(interval_s(input, watch.first), interval_s(input, watch.second)));
}

std::vector<TimedPair> Dangers::gauge_in_another_log(const RunInput& input) const {
  for (const Watch& watch : air_)
    if (input.probes[watch.first].log != input.probes[watch.second].log) {
      std::vector<TimedPair> pairs = paired(input, watch);
      std::erase_if(pairs,
                    [&](const TimedPair& pair) { return !is_readable_Pa(pair.first + outside_Pa(input)); });
      return pairs;
    }
  return {};
}

std::vector<Dangers::Pair> Dangers::seen_in(const RunInput& input, const std::vector<Watch>& watches) const {
  std::vector<Pair> pairs;
  for (const Watch& watch : watches) {
    OverMeter over = watch.over;
    if (input.probes[watch.first].log != input.probes[watch.second].log)
      for (const TimedPair& pair : paired(input, watch))
        over.take(pair.time_s, apart_K(input, watch, pair.first, pair.second));
    pairs.push_back({watch.first, watch.second, over.seen()});
  }
  return pairs;
}

} // namespace coldbag
