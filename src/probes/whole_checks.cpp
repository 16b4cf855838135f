#include "probes/whole_checks.h"

#include "probes/curve.h"
#include "steam/saturation.h"

#include <algorithm>
#include <cmath>
#include <utility>

namespace coldbag {

namespace {

bool is_steam(ProbeRole role) {
  return role == ProbeRole::vessel || role == ProbeRole::lid || role == ProbeRole::drain;
}

std::optional<double> number_of(const Fault& fault, const char* name) {
  const auto found = fault.values.find(name);
  if (found == fault.values.end()) return std::nullopt;
  const double* number = std::get_if<double>(&found->second);
  return number == nullptr ? std::nullopt : std::optional(*number);
}

double median(std::vector<double> values) {
  std::sort(values.begin(), values.end());
  const std::size_t half = values.size() / 2;
  return values.size() % 2 == 1 ? values[half] : (values[half - 1] + values[half]) / 2;
}

class WholeChecks {
 public:
  WholeChecks(const RunRecord& record, const CheckLimits& limits) : record_(record), limits_(limits) {
    for (const ProbeRecord& probe : record.probes) {
      all_.emplace_back(*probe.thin, Curve::From::all_readings);
      believed_.emplace_back(*probe.thin, Curve::From::credited_alone);
      usable_.push_back(!probe.is_left_out && !believed_.back().is_empty());
      is_bag_like_.push_back(probe.role == ProbeRole::bag);
      faults_.push_back(probe.stretch_faults);
    }
  }

  [[nodiscard]] std::vector<std::vector<Fault>> faults() {
    for (std::size_t i = 0; i < record_.probes.size(); ++i)
      if (!all_[i].is_empty()) {
        look_at_unit(i);
        look_at_copy(i);
        look_at_smoothness(i);
        look_at_ceiling(i);
      }
    look_at_exchange();
    for (std::size_t i = 0; i < record_.probes.size(); ++i)
      if (usable_[i] && is_bag(i)) {
        look_at_stillness(i);
        if (!usable_[i]) continue;
        look_at_jumps(i);
        look_at_lag(i);
        look_at_cooling(i);
        look_at_boiling(i);
      }
    look_at_like_bags();
    look_at_steam_drift();
    look_at_drift();
    for (std::size_t i = 0; i < record_.probes.size(); ++i)
      if (usable_[i]) look_at_saturation(i);
    for (std::vector<Fault>& list : faults_)
      std::stable_sort(list.begin(), list.end(),
                       [](const Fault& a, const Fault& b) { return a.from_s < b.from_s; });
    return std::move(faults_);
  }

 private:
  [[nodiscard]] bool is_bag(std::size_t i) const { return record_.probes[i].role == ProbeRole::bag; }
  [[nodiscard]] const std::string& name(std::size_t i) const { return record_.probes[i].name; }

  void add(std::size_t i, const char* kind, double from_s, double to_s, SaidValues values, FaultEffect effect,
           const char* variant = "") {
    faults_[i].push_back({kind, from_s, to_s, std::move(values), effect, variant});
  }
  void add_whole(std::size_t i, const char* kind, SaidValues values, FaultEffect effect,
                 const char* variant = "") {
    add(i, kind, all_[i].starts_s(), all_[i].ends_s(), std::move(values), effect, variant);
  }

  // Longest time in a row in which `holds` is true of the points.
  template <class Holds>
  static std::pair<double, double> longest(const Curve& curve, Holds holds) {
    std::pair<double, double> best{0, 0};
    double from_s = 0;
    bool is_holding = false;
    for (const Curve::Point& point : curve.points()) {
      const bool goes_on = holds(point);
      if (goes_on && !is_holding) from_s = point.time_s;
      is_holding = goes_on;
      if (is_holding && point.time_s - from_s > best.second - best.first) best = {from_s, point.time_s};
    }
    return best;
  }

  // Never another value, neither noise nor come-up: nothing shows that the probe works.
  [[nodiscard]] bool never_moved(std::size_t i) const {
    int readings = 0;
    for (const ThinTrace::Bucket& bucket : record_.probes[i].thin->buckets())
      readings += bucket.credited;
    const auto& points = believed_[i].points();
    return readings >= limits_.stuck_readings &&
           points.back().time_s - points.front().time_s >= limits_.stuck_s &&
           std::all_of(points.begin(), points.end(),
                       [&](const Curve::Point& p) { return p.degC == points.front().degC; });
  }

  // Hot from the first row, while the steam was still cold, and never anything else: no bag does that.
  void look_at_stillness(std::size_t i) {
    const auto& points = all_[i].points();
    if (never_moved(i)) {
      usable_[i] = false;
      add_whole(i, "stuck", {{"stuck_degC", believed_[i].points().front().degC}},
                FaultEffect::probe_not_relied_on, "never_moved");
      return;
    }
    const auto [coldest, hottest] =
        std::minmax_element(points.begin(), points.end(),
                            [](const Curve::Point& a, const Curve::Point& b) { return a.degC < b.degC; });
    if (hottest->degC - coldest->degC > limits_.frozen_within_K) return;
    for (std::size_t j = 0; j < record_.probes.size(); ++j) {
      if (all_[j].is_empty() || record_.probes[j].role == ProbeRole::outside || is_bag(j)) continue;
      const double steam_degC = all_[j].points().front().degC;
      if (steam_degC > coldest->degC - limits_.frozen_over_steam_K ||
          all_[j].top_degC() < coldest->degC - limits_.frozen_over_steam_K / 2)
        continue;
      usable_[i] = false;
      add_whole(i, "stuck", {{"stuck_degC", hottest->degC}, {"steam_degC", steam_degC}},
                FaultEffect::probe_not_relied_on, "from_start");
      return;
    }
  }

  [[nodiscard]] bool is_run_top(double degC) const {
    return degC >= limits_.unit_run_lowest_degC && degC <= limits_.unit_run_highest_degC;
  }

  // The top in Celsius where what was written as such must be Fahrenheit: a plateau hotter than any run, or
  // than this vessel can be, and a run when taken back.
  [[nodiscard]] std::optional<double> if_in_degF(const Curve& curve) const {
    const double too_hot_degC =
        std::min(limits_.unit_highest_degC, record_.vessel_highest_degC.value_or(limits_.unit_highest_degC) +
                                                limits_.unit_over_vessel_K);
    const auto hot = longest(curve, [&](const Curve::Point& p) { return p.degC > too_hot_degC; });
    if (hot.second - hot.first < limits_.drift_rest_s) return std::nullopt;
    const double as_degC = (*curve.mean(hot.first, hot.second) - 32) / 1.8;
    const double start_degC = (curve.points().front().degC - 32) / 1.8;
    if (!is_run_top(as_degC) || start_degC < limits_.unit_start_lowest_degC) return std::nullopt;
    return (curve.top_degC() - 32) / 1.8;
  }

  // The top in Celsius where Celsius was taken for Fahrenheit: as written no run, and a run when taken back.
  // It must be so where the start is colder than any room; else steam may as well never have come.
  struct Lukewarm {
    double other_degC = 0;
    bool is_certain = false;
  };
  [[nodiscard]] std::optional<Lukewarm> if_not_in_degF(const Curve& curve) const {
    const double top_degC = curve.top_degC();
    const double written_start_degC = curve.points().front().degC;
    const double start_degC = written_start_degC * 1.8 + 32;
    const double other_degC = top_degC * 1.8 + 32;
    const auto stayed =
        longest(curve, [&](const Curve::Point& p) { return p.degC >= top_degC - limits_.behind_K / 1.8; });
    if (!is_run_top(other_degC) || is_run_top(top_degC) ||
        stayed.second - stayed.first < 3 * limits_.drift_rest_s)
      return std::nullopt;
    if (written_start_degC < limits_.unit_start_lowest_degC && start_degC >= limits_.unit_start_lowest_degC &&
        start_degC <= limits_.unit_start_highest_degC)
      return Lukewarm{other_degC, true};
    const double most_degC =
        record_.vessel_highest_degC.value_or(limits_.unit_run_highest_degC) + limits_.unit_over_vessel_K;
    if (written_start_degC < limits_.unit_start_lowest_degC || other_degC > most_degC ||
        other_degC - start_degC < limits_.in_bag_rise_K)
      return std::nullopt;
    return Lukewarm{other_degC, false};
  }

  void look_at_unit(std::size_t i) {
    if (record_.probes[i].role == ProbeRole::outside) return;
    const Curve& curve = all_[i];
    std::optional<double> other_degC = if_in_degF(curve);
    if (!other_degC) {
      const auto lukewarm = if_not_in_degF(curve);
      if (lukewarm && !lukewarm->is_certain)
        add_whole(i, "wrong_unit", {{"read_degC", curve.top_degC()}, {"other_degC", lukewarm->other_degC}},
                  FaultEffect::told, "doubt");
      if (lukewarm && lukewarm->is_certain) other_degC = lukewarm->other_degC;
    }
    if (!other_degC) return;
    usable_[i] = false;
    faults_[i].clear(); // what else was seen follows from the unit
    add_whole(i, "wrong_unit", {{"read_degC", curve.top_degC()}, {"other_degC", *other_degC}},
              FaultEffect::probe_not_relied_on);
  }

  // The later of two equal columns is not relied on; neither is where a bag equals the steam.
  void look_at_copy(std::size_t i) {
    const ProbeRecord& probe = record_.probes[i];
    if (!probe.copy_of || !probe.copied || probe.is_left_out) return;
    const std::size_t first = *probe.copy_of;
    const auto tell = [&](std::size_t at, std::size_t other) {
      usable_[at] = false;
      add(at, "copied", probe.copied->from_s, probe.copied->to_s,
          {{"other", name(other)}, {"readings", static_cast<double>(probe.copied->readings)}},
          FaultEffect::probe_not_relied_on);
    };
    tell(i, first);
    if (is_bag(i) != is_bag(first)) tell(first, i);
  }

  void look_at_smoothness(std::size_t i) {
    const ProbeRecord& probe = record_.probes[i];
    int readings = 0;
    double lowest = all_[i].top_degC();
    for (const ThinTrace::Bucket& bucket : probe.thin->buckets())
      readings += bucket.count;
    for (const Curve::Point& point : all_[i].points())
      lowest = std::min(lowest, point.degC);
    if (readings < limits_.smooth_least_readings || all_[i].top_degC() - lowest < limits_.smooth_span_K ||
        probe.noise_K >= limits_.smooth_most_noise_K || probe.resolution_K >= limits_.smooth_most_step_K)
      return;
    add_whole(i, "too_smooth", {{"noise_K", probe.noise_K}}, FaultEffect::told);
  }

  // A value that stands still at the very top, and leaves it by falling or is a round number.
  void look_at_ceiling(std::size_t i) {
    double highest = -1e9;
    for (const ThinTrace::Bucket& bucket : record_.probes[i].thin->buckets())
      if (bucket.credited == bucket.count || bucket.credited == 0)
        highest = bucket.count > 0 ? std::max(highest, bucket.highest) : highest;
    for (Fault& fault : faults_[i]) {
      if (fault.kind != "stuck") continue;
      const double value = *number_of(fault, "stuck_degC");
      if (value < highest - 1e-9) continue;
      const auto is_round = [&](double written) {
        const double steps = written / limits_.ceiling_step_K;
        return std::abs(steps - std::nearbyint(steps)) < 1e-6;
      };
      const double later_degC = all_[i].at(fault.to_s + limits_.drift_rest_s);
      const bool leaves = later_degC < value && later_degC > value - limits_.stuck_slope_K;
      if (!leaves && !is_round(value) && !is_round(value * 1.8 + 32)) continue;
      fault.kind = "at_ceiling";
      fault.values["ceiling_degC"] = value;
    }
  }

  // Lag behind the fastest probe in the steam.
  [[nodiscard]] std::optional<std::pair<std::size_t, Lag>> lag_of(std::size_t bag,
                                                                  bool (*wanted)(ProbeRole)) const {
    std::optional<std::pair<std::size_t, Lag>> most;
    for (std::size_t s = 0; s < record_.probes.size(); ++s) {
      if (!usable_[s] || !wanted(record_.probes[s].role)) continue;
      const auto lag = lag_behind(believed_[bag], believed_[s], limits_.behind_K, limits_.drift_K + 2);
      if (lag && (!most || lag->lag_s > most->second.lag_s)) most = {{s, *lag}};
    }
    return most;
  }

  [[nodiscard]] bool is_told(const Lag& lag) const {
    return std::min(lag.leader_rise_K, lag.follower_rise_K) >= limits_.in_bag_rise_K &&
           std::abs(lag.apart_at_start_K) <= limits_.drift_K + 2;
  }

  void look_at_exchange() {
    std::optional<std::size_t> first;
    std::pair<std::size_t, Lag> most{};
    for (std::size_t i = 0; i < record_.probes.size(); ++i) {
      if (!usable_[i] || !is_bag(i)) continue;
      const auto lag = lag_of(i, [](ProbeRole role) { return role == ProbeRole::vessel; });
      if (!lag || !is_told(lag->second) || lag->second.lag_s > -limits_.exchanged_lead_s) continue;
      if (!first || lag->second.lag_s < most.second.lag_s) {
        first = i;
        most = *lag;
      }
    }
    if (!first) return;
    const double lead_minutes = -most.second.lag_s / 60;
    add_whole(*first, "exchanged_columns", {{"other", name(most.first)}, {"lead_minutes", lead_minutes}},
              FaultEffect::probe_not_relied_on);
    add_whole(most.first, "exchanged_columns", {{"other", name(*first)}, {"lead_minutes", -lead_minutes}},
              FaultEffect::probe_not_relied_on, "vessel");
    usable_[*first] = usable_[most.first] = false;
  }

  void look_at_lag(std::size_t i) {
    const auto lag = lag_of(i, is_steam);
    if (!lag || !is_told(lag->second) || lag->second.lag_s >= limits_.in_bag_lag_s) return;
    add_whole(i, "never_in_bag", {{"lag_minutes", std::max(0.0, lag->second.lag_s / 60)}},
              FaultEffect::probe_not_relied_on);
    is_bag_like_[i] = false;
  }

  // A jump after which it reads as the steam or the room does was the probe coming out of its bag.
  void look_at_jumps(std::size_t i) {
    for (Fault& fault : faults_[i]) {
      if (fault.kind != "jump") continue;
      double sum_K = 0;
      int count = 0;
      double hottest = -1e9;
      for (const Curve::Point& point : all_[i].points()) {
        if (point.time_s <= fault.from_s + 2 * limits_.step_shortest_s || point.time_s > fault.to_s) continue;
        hottest = std::max(hottest, point.degC);
        std::optional<double> nearest_K;
        for (std::size_t s = 0; s < record_.probes.size(); ++s) {
          if (!usable_[s] || !is_steam(record_.probes[s].role)) continue;
          const double apart_K = std::abs(point.degC - believed_[s].at(point.time_s));
          nearest_K = std::min(nearest_K.value_or(apart_K), apart_K);
        }
        sum_K += nearest_K.value_or(1e9);
        ++count;
      }
      if (count < 3) continue;
      if (sum_K / count <= limits_.pulled_out_like_K || hottest <= limits_.room_highest_degC)
        fault.kind = "pulled_out";
    }
  }

  // Out of its bag at a time nobody saw: it warmed as a bag and cools as the steam space does.
  void look_at_cooling(std::size_t i) {
    const auto lag = lag_of(i, is_steam);
    if (!lag || !is_told(lag->second) || lag->second.lag_s < 3 * limits_.in_bag_lag_s) return;
    const Curve& steam = believed_[lag->first];
    const Curve& bag = believed_[i];
    const double under_degC =
        std::min(record_.boiling_degC.value_or(100), steam.top_degC()) - limits_.boiling_over_K;
    const double off_s = steam.near_top_to_s(limits_.behind_K);
    double from_s = -1;
    double sum_K = 0;
    int count = 0;
    for (const Curve::Point& point : steam.points()) {
      if (point.time_s <= off_s || point.degC > under_degC || point.time_s > bag.ends_s()) continue;
      if (from_s < 0) from_s = point.time_s;
      sum_K += std::abs(bag.at(point.time_s) - point.degC);
      ++count;
    }
    if (count < 3) return;
    const double end_s = std::min(steam.ends_s(), bag.ends_s());
    const double fall_K = steam.at(from_s) - steam.at(end_s);
    if (fall_K < limits_.pulled_out_fall_K || sum_K / count > limits_.pulled_out_like_K) return;
    add(i, "pulled_out", off_s, end_s,
        {{"lag_minutes", sum_K / count * (end_s - from_s) / fall_K / 60},
         {"warmed_minutes", lag->second.lag_s / 60}},
        FaultEffect::probe_not_relied_on, "seen_late");
  }

  void look_at_boiling(std::size_t i) {
    if (!record_.boiling_degC) return;
    const auto lag = lag_of(i, is_steam);
    if (!lag) return;
    const Curve& steam = believed_[lag->first];
    const double boiling_degC = *record_.boiling_degC;
    const auto flat = longest(believed_[i], [&](const Curve::Point& p) {
      return std::abs(p.degC - boiling_degC) <= limits_.boiling_band_K &&
             steam.at(p.time_s) >= boiling_degC + limits_.boiling_over_K;
    });
    if (flat.second - flat.first < limits_.boiling_flat_s) return;
    const double middle_s = (flat.first + flat.second) / 2;
    const double early_degC = *believed_[i].mean(flat.first, middle_s);
    const double late_degC = *believed_[i].mean(middle_s, flat.second);
    if (std::abs(early_degC - late_degC) > limits_.boiling_flat_within_K) return;
    add(i, "flat_at_boiling", flat.first, flat.second,
        {{"flat_degC", *believed_[i].mean(flat.first, flat.second)},
         {"flat_minutes", (flat.second - flat.first) / 60},
         {"steam_degC", steam.at(middle_s)}},
        FaultEffect::told);
  }

  void look_at_like_bags() {
    std::vector<std::pair<std::size_t, double>> lags;
    for (std::size_t i = 0; i < record_.probes.size(); ++i)
      if (usable_[i] && is_bag_like_[i])
        if (const auto lag = lag_of(i, is_steam); lag && lag->second.follower_rise_K >= limits_.in_bag_rise_K)
          lags.emplace_back(i, lag->second.lag_s);
    for (const auto& [i, lag_s] : lags) {
      std::vector<double> others;
      for (const auto& [other, other_s] : lags)
        if (other != i && record_.probes[other].bag == record_.probes[i].bag) others.push_back(other_s);
      if (others.size() < 2) continue;
      const double like_s = median(others);
      if (lag_s > limits_.far_behind_ratio * like_s && lag_s >= like_s + limits_.far_behind_s)
        add_whole(i, "far_behind", {{"lag_minutes", lag_s / 60}, {"like_minutes", like_s / 60}},
                  FaultEffect::told);
    }
  }

  // Difference to another probe on the plateau, less that at rest before, K; and whether there was rest.
  struct Apart {
    double K = 0;
    bool from_rest = false;
    bool is_settled = false;
    double from_s = 0, to_s = 0;
  };

  [[nodiscard]] static bool is_still(const Curve& curve, double from_s, double to_s, double within_K) {
    const double middle_s = (from_s + to_s) / 2;
    const auto early = curve.mean(from_s, middle_s);
    const auto late = curve.mean(middle_s, to_s);
    return early && late && std::abs(*early - *late) <= within_K;
  }

  [[nodiscard]] double plateau_from_s(std::size_t i) const {
    return believed_[i].plateau_from_s(limits_.behind_K, limits_.boiling_over_K);
  }

  [[nodiscard]] std::optional<Apart> apart_of(std::size_t i, std::size_t reference) const {
    const Curve& one = believed_[i];
    const Curve& other = believed_[reference];
    Apart apart;
    apart.to_s = other.near_top_to_s(limits_.behind_K);
    apart.from_s = apart.to_s - limits_.drift_settled_s;
    if (apart.from_s < plateau_from_s(reference)) return std::nullopt;
    const auto one_degC = one.mean(apart.from_s, apart.to_s);
    const auto other_degC = other.mean(apart.from_s, apart.to_s);
    if (!one_degC || !other_degC) return std::nullopt;
    apart.K = *one_degC - *other_degC;
    apart.is_settled = is_still(one, apart.from_s, apart.to_s, limits_.drift_settled_within_K);
    const double start_s = std::max(one.starts_s(), other.starts_s());
    const double rested_s = start_s + limits_.drift_rest_s;
    const double rest_K = one.at(start_s) - other.at(start_s);
    if (std::abs(rest_K) <= limits_.drift_K + 2 && one.at(start_s) <= limits_.room_highest_degC &&
        is_still(one, start_s, rested_s, limits_.drift_settled_within_K) &&
        is_still(other, start_s, rested_s, limits_.drift_settled_within_K)) {
      apart.from_rest = true;
      apart.K -= *one.mean(start_s, rested_s) - *other.mean(start_s, rested_s);
    }
    return apart;
  }

  [[nodiscard]] bool is_drift(const Apart& apart) const {
    return std::abs(apart.K) >= (apart.from_rest ? limits_.drift_K : limits_.drift_without_rest_K) &&
           (apart.K > 0 || apart.is_settled);
  }

  void tell_drift(std::size_t i, const Apart& apart, FaultEffect effect) {
    add(i, "drift", apart.from_s, apart.to_s,
        {{"drift_K", std::abs(apart.K)}, {"side", apart.K > 0 ? "higher" : "lower"}}, effect,
        apart.from_rest ? "" : "no_rest");
  }

  // Two probes in the steam that part on the plateau: the one that moved.
  void look_at_steam_drift() {
    for (std::size_t i = 0; i < record_.probes.size(); ++i) {
      if (!usable_[i] || !is_steam(record_.probes[i].role)) continue;
      for (std::size_t other = 0; other < record_.probes.size(); ++other) {
        if (other == i || !usable_[other] || !is_steam(record_.probes[other].role)) continue;
        if (parted_on_plateau(i, other)) break;
      }
    }
  }

  bool parted_on_plateau(std::size_t i, std::size_t reference) {
    const Curve& steady = believed_[reference];
    const double from_s = plateau_from_s(reference);
    const double to_s = steady.near_top_to_s(limits_.behind_K);
    const double part_s = limits_.drift_settled_s / 2;
    if (to_s - from_s < 4 * part_s) return false;
    const auto moved_K = [&](const Curve& curve) -> std::optional<double> {
      const auto early = curve.mean(from_s + part_s, from_s + 2 * part_s);
      const auto late = curve.mean(to_s - part_s, to_s);
      return early && late ? std::optional(*late - *early) : std::nullopt;
    };
    const auto own_K = moved_K(believed_[i]);
    const auto steady_K = moved_K(steady);
    if (!own_K || !steady_K || std::abs(*own_K - *steady_K) < limits_.drift_K ||
        std::abs(*own_K) < std::abs(*steady_K))
      return false;
    tell_drift(i, {*own_K - *steady_K, true, true, from_s, to_s}, FaultEffect::told);
    usable_[i] = false;
    return true;
  }

  // A bag is never hotter than the steam that heats it. Where all bags seem so, the steam's probe reads low.
  void look_at_drift() {
    std::vector<std::pair<std::size_t, Apart>> hot;
    std::size_t bags = 0;
    std::optional<std::size_t> reference;
    for (std::size_t i = 0; i < record_.probes.size(); ++i) {
      if (!usable_[i] || !is_bag_like_[i]) continue;
      const auto lag = lag_of(i, is_steam);
      if (!lag) continue;
      ++bags;
      reference = lag->first;
      if (fell_on_plateau(i, lag->first)) continue;
      const auto apart = apart_of(i, lag->first);
      if (!apart || !is_drift(*apart)) continue;
      if (apart->K > 0)
        hot.emplace_back(i, *apart);
      else
        tell_drift(i, *apart, FaultEffect::told);
    }
    if (bags >= 2 && hot.size() == bags) {
      Apart low = hot.front().second;
      for (const auto& one : hot)
        low.K = std::min(low.K, one.second.K);
      low.K = -low.K;
      tell_drift(*reference, low, FaultEffect::told);
      return;
    }
    for (const auto& [i, apart] : hot)
      tell_drift(i, apart, FaultEffect::probe_not_relied_on);
  }

  // A core does not cool while the steam stays as it is.
  bool fell_on_plateau(std::size_t i, std::size_t reference) {
    const Curve& bag = believed_[i];
    const Curve& steam = believed_[reference];
    const double to_s = steam.near_top_to_s(limits_.behind_K);
    const double part_s = limits_.drift_settled_s / 2;
    const auto late_degC = bag.mean(to_s - part_s, to_s);
    const auto late_steam_degC = steam.mean(to_s - part_s, to_s);
    if (!late_degC || !late_steam_degC) return false;
    const double from_s = std::max(bag.near_top_from_s(limits_.behind_K), plateau_from_s(reference));
    for (int part = 0; from_s + part * part_s < to_s - 2 * part_s; ++part) {
      const double at_s = from_s + part * part_s;
      const auto degC = bag.mean(at_s, at_s + part_s);
      const auto steam_degC = steam.mean(at_s, at_s + part_s);
      if (!degC || !steam_degC || *degC - *late_degC < limits_.drift_K ||
          std::abs(*steam_degC - *late_steam_degC) > 1)
        continue;
      add(i, "drift", at_s, to_s, {{"drift_K", *degC - *late_degC}, {"side", "lower"}}, FaultEffect::told);
      return true;
    }
    return false;
  }

  void look_at_saturation(std::size_t i) {
    for (const PressureRecord& pressure : record_.pressures) {
      if (pressure.log != record_.probes[i].log || record_.probes[i].role == ProbeRole::outside) continue;
      const Curve abs(*pressure.thin, Curve::From::all_readings);
      if (abs.is_empty()) continue;
      double most_K = 0;
      const auto over = longest(believed_[i], [&](const Curve::Point& point) {
        const double Pa = abs.at(point.time_s) + pressure.outside_Pa;
        const double before_Pa = abs.at(point.time_s - limits_.saturation_s) + pressure.outside_Pa;
        if (Pa < 1000 || Pa > 2e7 || Pa < before_Pa - limits_.saturation_steady_kPa * 1000) return false;
        const double over_K = point.degC - saturation_temperature_degC(Pa);
        if (over_K < limits_.saturation_over_K + record_.probes[i].ku_K) return false;
        most_K = std::max(most_K, over_K);
        return true;
      });
      if (over.second - over.first < limits_.saturation_s) continue;
      add(i, "above_saturation", over.first, over.second, {{"over_K", most_K}},
          is_bag(i) && !all_above(pressure) ? FaultEffect::probe_not_relied_on : FaultEffect::told);
      return;
    }
  }

  // Where every probe is over, the gauge is the likelier fault.
  [[nodiscard]] bool all_above(const PressureRecord& pressure) const {
    const Curve abs(*pressure.thin, Curve::From::all_readings);
    int over = 0;
    int others = 0;
    for (std::size_t i = 0; i < record_.probes.size(); ++i) {
      if (!usable_[i] || record_.probes[i].log != pressure.log ||
          record_.probes[i].role == ProbeRole::outside)
        continue;
      const double at_s = believed_[i].near_top_from_s(limits_.behind_K);
      const double Pa = abs.at(at_s) + pressure.outside_Pa;
      ++others;
      if (Pa > 1000 && Pa < 2e7 &&
          believed_[i].at(at_s) - saturation_temperature_degC(Pa) >= limits_.saturation_over_K)
        ++over;
    }
    return others >= 3 && over == others;
  }

  const RunRecord& record_;
  const CheckLimits& limits_;
  std::vector<Curve> all_, believed_;
  std::vector<bool> usable_;      ///< beside other probes
  std::vector<bool> is_bag_like_; ///< in a bag, as far as is known
  std::vector<std::vector<Fault>> faults_;
};

} // namespace

std::vector<std::vector<Fault>> whole_faults(const RunRecord& record, const CheckLimits& limits) {
  return WholeChecks(record, limits).faults();
}

} // namespace coldbag
