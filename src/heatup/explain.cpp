#include "heatup/explain.h"

#include "errors/user_error.h"

#include <algorithm>
#include <functional>
#include <utility>

namespace coldbag {

namespace {

constexpr double least_mass_share = 0.5;
constexpr double most_mass_share = 2;
constexpr double least_moisture_wb = 0.05;
constexpr double most_moisture_wb = 0.85;
constexpr double moisture_step = 0.05;
constexpr int halvings = 9;

/// The same bag with its sides stated as they were taken, so that more mass packs it tighter.
Bag with_sides(Bag bag, const DescribedBag& described) {
  const BagBody& body = described.body;
  const auto side = [&](std::size_t i) {
    Stated<double> out;
    out.value = 2 * body.half_m[i];
    return out;
  };
  bag.form.value = std::string(form_text(body.form));
  switch (body.form) {
  case BagForm::brick:
    bag.length_m = side(0);
    bag.width_m = side(1);
    bag.height_m = side(2);
    break;
  case BagForm::column:
    bag.diameter_m = side(0);
    bag.height_m = side(1);
    break;
  case BagForm::slab:
    bag.height_m = side(0);
    break;
  }
  return bag;
}

class Explainer {
 public:
  Explainer(const Bag& bag, const DescribedBag& described, const Multipliers& multipliers,
            const SeenArrival& seen, const SteamTrace& steam, const HeatingTables& tables)
      : bag_(with_sides(bag, described)), described_(described), multipliers_(multipliers), seen_(seen),
        steam_(steam), tables_(tables) {}

  [[nodiscard]] std::optional<double> mass_kg() const {
    if (described_.body.form == BagForm::slab) return std::nullopt; // its density is not its mass's
    const double mass_kg = described_.body.mass_kg;
    const auto late_with = [&](double kg) { return late_as(kg, described_.packing.moisture_wb); };
    return crossing(late_with, mass_kg, most_mass_share * mass_kg, least_mass_share * mass_kg);
  }

  /// The nearest to what was described, wetter or drier.
  [[nodiscard]] std::optional<double> moisture_wb() const {
    const double from = described_.packing.moisture_wb;
    const auto late_with = [&](double wb) { return late_as(described_.body.mass_kg, wb); };
    const std::optional<double> here = late_with(from);
    if (!here) return std::nullopt;
    double wetter = from;
    double drier = from;
    while (wetter < most_moisture_wb || drier > least_moisture_wb) {
      for (double* end : {&wetter, &drier}) {
        const double last = *end;
        *end = end == &wetter ? std::min(last + moisture_step, most_moisture_wb)
                              : std::max(last - moisture_step, least_moisture_wb);
        const std::optional<double> there = *end == last ? std::nullopt : late_with(*end);
        if (there && (*there < 0) != (*here < 0)) return halved(late_with, last, *end);
      }
    }
    return std::nullopt;
  }

  [[nodiscard]] std::optional<double> probe_off_m() const {
    const double half_m = described_.body.half_m[static_cast<std::size_t>(described_.body.shortest())];
    const auto late_with = [&](double off_m) { return lateness_s(described_.body, off_m); };
    return crossing(late_with, 0, half_m, 0);
  }

 private:
  /// How much later than seen, s; none where such a bag cannot be.
  using Late = std::function<std::optional<double>(double)>;

  [[nodiscard]] std::optional<double> late_as(double mass_kg, double moisture_wb) const {
    try {
      return lateness_s(describe_bag(bag_, mass_kg, moisture_wb, tables_).body, 0);
    } catch (const UserError&) {
      return std::nullopt;
    }
  }

  [[nodiscard]] double lateness_s(const BagBody& body, double off_m) const {
    const BagHistory history = heat_bag(body, multipliers_, steam_, tables_.vapour,
                                        {.from_s = steam_.from_s(),
                                         .to_s = steam_.to_s(),
                                         .start_degC = seen_.start_degC,
                                         .probe_off_m = off_m,
                                         .fineness = {},
                                         .until_core_degC = seen_.core_degC});
    for (std::size_t i = 1; i < history.moments.size(); ++i) {
      const BagMoment& a = history.moments[i - 1];
      const BagMoment& b = history.moments[i];
      if (b.probe_degC < seen_.core_degC) continue;
      const double share =
          b.probe_degC > a.probe_degC ? (seen_.core_degC - a.probe_degC) / (b.probe_degC - a.probe_degC) : 1;
      return a.time_s + std::clamp(share, 0.0, 1.0) * (b.time_s - a.time_s) - seen_.at_s;
    }
    return steam_.to_s() - seen_.at_s; // later than the steam
  }

  /// Where the lateness crosses nothing between what was described and one of two ends.
  static std::optional<double> crossing(const Late& late, double from, double one_end, double other_end) {
    const std::optional<double> here = late(from);
    if (!here) return std::nullopt;
    for (const double end : {one_end, other_end}) {
      if (end == from) continue;
      // Beyond what solids and water allow there is no bag: the end is brought back to where there is.
      double far = end;
      std::optional<double> there = late(far);
      for (int turn = 0; turn < halvings && !there; ++turn) {
        far = (from + far) / 2;
        there = late(far);
      }
      if (there && (*there < 0) != (*here < 0)) return halved(late, from, far);
    }
    return std::nullopt;
  }

  static std::optional<double> halved(const Late& late, double from, double to) {
    const std::optional<double> at_from = late(from);
    if (!at_from) return std::nullopt;
    for (int turn = 0; turn < halvings; ++turn) {
      const double middle = (from + to) / 2;
      const std::optional<double> there = late(middle);
      if (!there) return std::nullopt;
      ((*there < 0) == (*at_from < 0) ? from : to) = middle;
    }
    return (from + to) / 2;
  }

  Bag bag_;
  const DescribedBag& described_;
  const Multipliers& multipliers_;
  const SeenArrival& seen_;
  const SteamTrace& steam_;
  const HeatingTables& tables_;
};

} // namespace

LagExplanation what_would_explain(const Bag& bag, const DescribedBag& described,
                                  const Multipliers& multipliers, const SeenArrival& seen,
                                  const SteamTrace& steam, const HeatingTables& tables) {
  const Explainer explainer(bag, described, multipliers, seen, steam, tables);
  return {explainer.mass_kg(), explainer.moisture_wb(), explainer.probe_off_m()};
}

} // namespace coldbag
