#include "run/load_judge.h"

#include "run/kind_heating.h"
#include "run/load_steam.h"
#include "run/unprobed.h"

#include <tbb/parallel_for.h>

#include <algorithm>
#include <utility>

namespace coldbag {

namespace {

/// A bag that burst is taken off the count of its kind; the only one there is where nobody said which.
void take_off_burst(const LoadBasis& basis, std::vector<LoadKind>& kinds) {
  for (const RunMoment& moment : basis.input.events) {
    if (moment.event.what != EventKind::bag_burst) continue;
    std::string bag;
    for (const RunProbe& probe : basis.input.probes)
      if (probe.name == moment.event.probe) bag = probe.bag;
    for (LoadKind& kind : kinds)
      if (kind.count > 0 && (kind.bag->name == bag || (bag.empty() && kinds.size() == 1))) --kind.count;
  }
}

struct Kinds {
  std::vector<LoadKind> kinds;
  std::optional<Said> not_judged;
};

Kinds kinds_of(const LoadBasis& basis) {
  Kinds out;
  for (const LoadLine& line : basis.input.load->lines) {
    const auto bag = std::ranges::find(basis.input.bags, line.bag, &Bag::name);
    if (bag == basis.input.bags.end()) {
      out.not_judged = Said{"load_bag_not_described", {{"bag", line.bag}}};
      return out;
    }
    auto kind = std::ranges::find(out.kinds, &*bag, &LoadKind::bag);
    if (kind == out.kinds.end()) kind = out.kinds.insert(out.kinds.end(), LoadKind{&*bag, 0, {}, {}});
    kind->count += line.count;
    try {
      kind->variants.push_back(describe_bag(*bag, line.mass_kg, line.moisture_wb, *basis.input.heating));
    } catch (const UserError& error) {
      out.not_judged =
          Said{"load_bag_not_reckoned", {{"bag", line.bag}, {"problem", error.complaints().front().problem}}};
      return out;
    }
  }
  take_off_burst(basis, out.kinds);
  for (std::size_t i = 0; i < basis.probes.size(); ++i) {
    const Measured& one = basis.probes[i];
    if (one.probe->role != ProbeRole::bag || !one.is_relied_on) continue;
    for (LoadKind& kind : out.kinds)
      if (kind.bag->name == one.probe->bag || (one.probe->bag.empty() && out.kinds.size() == 1))
        kind.probes.push_back(i);
  }
  return out;
}

bool is_worse(const UnprobedBag& a, const UnprobedBag& b, bool by_F) {
  return by_F ? a.F_minutes_lower < b.F_minutes_lower : a.hold_minutes_lower < b.hold_minutes_lower;
}

void tell_worst(LoadJudgement& out, const std::vector<std::optional<UnprobedJudgement>>& all, bool by_F) {
  const UnprobedJudgement* worst = nullptr;
  for (const auto& one : all)
    if (one && (worst == nullptr || is_worse(one->bag, worst->bag, by_F))) worst = &*one;
  if (worst == nullptr) return;
  out.slowest = worst->bag;
  out.slowest_curve = worst->curve;
  out.criteria = worst->criteria;
  // A kind that is better off but known from the tables alone proves nothing either.
  for (const auto& one : all)
    for (std::size_t i = 0; one && i < one->criteria.size(); ++i)
      if (one->criteria[i].status != Status::met && out.criteria[i].status == Status::met)
        out.criteria[i] = one->criteria[i];
}

} // namespace

LoadJudgement judge_load(const LoadBasis& basis) {
  LoadJudgement out;
  const RunInput& input = basis.input;
  if (!input.load || input.load->bag_count() == 0 || !input.heating) {
    out.not_judged = Said{"load_not_described", {}};
    return out;
  }
  const Kinds described = kinds_of(basis);
  out.not_judged = described.not_judged;
  if (out.not_judged) return out;
  const FoundSteam found = load_steam(basis);
  if (!found.steam) {
    out.not_judged = found.why_not;
    return out;
  }
  const std::optional<LoadSteam>& steam = found.steam;
  const HeatingFigures& figures = input.heating->figures;
  const SpeedSpread before =
      input.learned ? input.learned->spread : SpeedSpread{figures.bag_spread, figures.bag_spread_weight};
  // Each kind is one thread's work, so threads change no digit.
  std::vector<KindHeating> kinds(described.kinds.size());
  tbb::parallel_for(std::size_t{0}, kinds.size(), [&](std::size_t i) {
    kinds[i] = kind_heating(basis, *steam, described.kinds[i], before);
  });
  std::vector<std::vector<double>> speeds;
  speeds.reserve(kinds.size());
  for (const KindHeating& kind : kinds)
    speeds.push_back(kind.speeds_ln);
  const Spreads spreads{before, pooled_spread(speeds, before.sd, before.freedom)};
  std::vector<std::optional<UnprobedJudgement>> slowest(kinds.size());
  tbb::parallel_for(std::size_t{0}, kinds.size(), [&](std::size_t i) {
    slowest[i] = judge_unprobed(basis, *steam, described.kinds[i], kinds[i], spreads);
  });
  for (std::size_t i = 0; i < kinds.size(); ++i) {
    BagHeating& told = kinds[i].told;
    told.spread = spreads.with_run.sd;
    told.spread_freedom = spreads.with_run.freedom;
    if (slowest[i]) told.slowest = slowest[i]->bag;
    out.heating.push_back(std::move(told));
  }
  tell_worst(out, slowest, decides_by_F(basis.treatment));
  return out;
}

} // namespace coldbag
