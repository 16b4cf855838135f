#include "heatup/learned.h"

#include "errors/our_fault.h"

#include <Eigen/Core>
#include <Eigen/LU>

#include <algorithm>
#include <cmath>
#include <numeric>

namespace coldbag {

namespace {

using Eigen::Matrix3d;
using Eigen::Vector3d;

// Rows of an UnknownMatrix lie one behind the other, and it is symmetric.
Eigen::Map<const Vector3d> vector_of(const UnknownVector& values) {
  return Eigen::Map<const Vector3d>(values.data());
}

Eigen::Map<const Matrix3d> matrix_of(const UnknownMatrix& values) {
  static_assert(sizeof(UnknownMatrix) == 9 * sizeof(double));
  return Eigen::Map<const Matrix3d>(values.front().data());
}

/// What a log alone says of the logarithms: inverse covariance, and that times their mean.
struct Information {
  Matrix3d matrix = Matrix3d::Zero();
  Vector3d pull = Vector3d::Zero();
};

/// The prior of the mean of a run's bags taken off; it lies at 0. Then from those bags to their kind.
Information of_log_alone(const ShownBags& shown, const HeatingFigures& figures) {
  const auto bags = static_cast<double>(shown.speeds_ln.size());
  Matrix3d covariance = matrix_of(shown.covariance);
  covariance.array() -= figures.described_error * figures.described_error;
  const UnknownMatrix tables = prior_of_tables(figures).covariance;
  Matrix3d before = matrix_of(tables);
  if (bags > 1) before.array() += figures.probe_spread * figures.probe_spread / bags; // what their speeds had
  const Matrix3d all = covariance.inverse();
  Information out{all - before.inverse(), all * vector_of(shown.ln)};
  // A few bags are not their kind: their mean speed is in doubt, which is an error common to all three.
  const double doubt = figures.bag_spread * figures.bag_spread / bags;
  const Vector3d ones = Vector3d::Ones();
  const Vector3d common = out.matrix * ones;
  const double weight = doubt / (1 + doubt * ones.dot(common));
  out.pull -= weight * common * ones.dot(out.pull);
  out.matrix -= weight * common * common.transpose();
  return out;
}

/// Every run that showed this kind as it was described last.
std::vector<const ShownBags*> shown_of(const std::vector<ShownRun>& runs, const std::string& bag) {
  std::vector<const ShownBags*> out;
  for (const ShownRun& run : runs)
    for (const ShownBags& shown : run.kinds)
      if (shown.bag == bag && !shown.speeds_ln.empty()) out.push_back(&shown);
  if (out.empty()) return out;
  const std::string now = out.back()->described;
  std::erase_if(out, [&](const ShownBags* shown) { return shown->described != now; });
  return out;
}

struct LearnedKind {
  LearnedBag bag;
  std::vector<double> speeds_ln;
};

LearnedKind kind_of(const std::string& name, const std::vector<const ShownBags*>& all,
                    const HeatingFigures& figures) {
  const UnknownMatrix tables = prior_of_tables(figures).covariance;
  Matrix3d information = matrix_of(tables).inverse();
  Vector3d pull = Vector3d::Zero();
  for (const ShownBags* shown : all) {
    const Information one = of_log_alone(*shown, figures);
    information += one.matrix;
    pull += one.pull;
  }
  FitPrior prior;
  Eigen::Map<Matrix3d>(prior.covariance.front().data()) = information.inverse();
  Eigen::Map<Vector3d>(prior.ln.data()) = information.inverse() * pull;
  LearnedKind out;
  for (const ShownBags* shown : all)
    for (const double speed_ln : shown->speeds_ln)
      out.speeds_ln.push_back(speed_beside_ln(with_speed(shown->ln, speed_ln), prior.ln, shown->lag_powers));
  const double mean = std::accumulate(out.speeds_ln.begin(), out.speeds_ln.end(), 0.0) /
                      static_cast<double>(out.speeds_ln.size());
  prior.ln = with_speed(prior.ln, mean);
  out.bag = {name, all.back()->described, prior, static_cast<int>(all.size()),
             static_cast<int>(out.speeds_ln.size())};
  return out;
}

/// Runs in order of time: where one of a name differs from those before, the pattern begins anew.
std::vector<LearnedPattern> patterns_of(const std::vector<ShownRun>& runs) {
  std::vector<LearnedPattern> out;
  for (const ShownRun& run : runs) {
    if (!run.pattern || !run.on) continue;
    const ShownPattern& shown = *run.pattern;
    const auto same_name = std::ranges::find(out, shown.name, &LearnedPattern::name);
    if (same_name != out.end() && is_same_load(*same_name, shown)) {
      same_name->lowest_moisture_wb = std::min(same_name->lowest_moisture_wb, shown.moisture_wb);
      same_name->highest_moisture_wb = std::max(same_name->highest_moisture_wb, shown.moisture_wb);
      ++same_name->runs;
      same_name->last = *run.on;
      continue;
    }
    if (same_name != out.end()) out.erase(same_name);
    out.push_back({shown.name, shown.vessel, shown.bag, shown.stacking, shown.mass_kg, shown.count,
                   shown.moisture_wb, shown.moisture_wb, 1, *run.on});
  }
  return out;
}

} // namespace

Learned learn(std::vector<ShownRun> runs, const HeatingFigures& figures) {
  std::ranges::stable_sort(runs, [](const ShownRun& a, const ShownRun& b) {
    return a.on.value_or(WallTime{}) < b.on.value_or(WallTime{});
  });
  Learned out;
  std::vector<std::string> names;
  for (const ShownRun& run : runs) {
    out.runs.push_back(run.name);
    for (const ShownBags& shown : run.kinds)
      if (std::ranges::find(names, shown.bag) == names.end()) names.push_back(shown.bag);
  }
  std::vector<std::vector<double>> speeds;
  for (const std::string& name : names) {
    const std::vector<const ShownBags*> all = shown_of(runs, name);
    if (all.empty()) continue;
    LearnedKind kind = kind_of(name, all, figures);
    out.bags.push_back(std::move(kind.bag));
    speeds.push_back(std::move(kind.speeds_ln));
  }
  out.spread = pooled_spread(speeds, figures.bag_spread, figures.bag_spread_weight);
  out.patterns = patterns_of(runs);
  return out;
}

std::optional<ProbeNext> probe_next(const Learned& learned, const std::vector<ShownRun>& runs) {
  std::vector<ShownPlace> kinds;  // all of a kind in the load that left most of it without a probe
  std::vector<ShownPlace> places; // over all runs
  const auto same_place = [](const ShownPlace& a, const ShownPlace& b) {
    return a.bag == b.bag && a.rack == b.rack && a.layer == b.layer;
  };
  for (const ShownRun& run : runs) {
    std::vector<ShownPlace> own;
    for (const ShownPlace& place : run.places) {
      const auto kind = std::ranges::find(own, place.bag, &ShownPlace::bag);
      if (kind == own.end()) {
        own.push_back({place.bag, "", "", place.count, place.probed});
      } else {
        kind->count += place.count;
        kind->probed += place.probed;
      }
      const auto known =
          std::ranges::find_if(places, [&](const ShownPlace& each) { return same_place(each, place); });
      if (known == places.end())
        places.push_back(place);
      else
        known->probed += place.probed;
    }
    for (const ShownPlace& kind : own) {
      const auto most = std::ranges::find(kinds, kind.bag, &ShownPlace::bag);
      if (most == kinds.end())
        kinds.push_back(kind);
      else if (kind.count - kind.probed > most->count - most->probed)
        *most = kind;
    }
  }
  std::optional<ProbeNext> out;
  for (const ShownPlace& kind : kinds) {
    const int unprobed = kind.count - kind.probed;
    if (unprobed < 1) continue;
    const auto bag = std::ranges::find(learned.bags, kind.bag, &LearnedBag::bag);
    ProbeNext next{kind.bag, bag == learned.bags.end() ? 0 : bag->bags, unprobed, {}, 0, "", "", 0};
    if (next.bags > 0) next.factor_now = slowest_factor(next.bags, unprobed, learned.spread.freedom);
    next.factor_then =
        slowest_factor(next.bags + 1, unprobed, learned.spread.freedom + (next.bags > 0 ? 1 : 0));
    const auto doubt = [](const ProbeNext& one) { return one.factor_now.value_or(1e9); };
    if (!out || doubt(next) > doubt(*out)) out = next;
  }
  if (!out) return out;
  const ShownPlace* least = nullptr;
  for (const ShownPlace& place : places)
    if (place.bag == out->bag && (least == nullptr || place.probed < least->probed)) least = &place;
  if (least != nullptr) {
    out->rack = least->rack;
    out->layer = least->layer;
    out->probed_there = least->probed;
  }
  return out;
}

const LearnedBag* find_learned(const Learned& learned, std::string_view bag, std::string_view described) {
  for (const LearnedBag& each : learned.bags)
    if (each.bag == bag && each.described == described) return &each;
  return nullptr;
}

bool is_same_load(const LearnedPattern& pattern, const ShownPattern& shown) {
  constexpr double same_mass = 0.001; // a mass is written with so many digits
  return pattern.name == shown.name && pattern.vessel == shown.vessel && pattern.bag == shown.bag &&
         pattern.stacking == shown.stacking && pattern.count == shown.count &&
         std::abs(pattern.mass_kg - shown.mass_kg) <= same_mass * pattern.mass_kg;
}

double speed_beside_ln(const UnknownVector& ln, const UnknownVector& of_kind,
                       const UnknownVector& lag_powers) {
  double off = 0;
  double all = 0;
  for (std::size_t u = 0; u < unknown_count; ++u) {
    off += lag_powers[u] * (ln[u] - of_kind[u]);
    all += lag_powers[u];
  }
  our_check(all != 0, "a faster bag has another lag");
  return off / all;
}

} // namespace coldbag
