#include "sizing/fitting.h"

#include "errors/our_fault.h"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <utility>

namespace coldbag {

namespace {

constexpr double hair_m = 1e-9; ///< rounding of sides that add up exactly

/// What a layer may take: a rectangle, or a circle.
struct Floor {
  double along_m = 0; ///< inside of the walls' gap
  double across_m = 0;
  double radius_m = 0; ///< above 0: a circle
};

/// One way to set bags on a floor.
struct Pattern {
  double along_m = 0; ///< a bag's foot
  double across_m = 0;
  bool is_round = false;
  bool is_turned = false;
  bool is_staggered = false;
  double off_along = 0; ///< of the grid, in pitches
  double off_across = 0;
};

bool holds(const Floor& floor, const Pattern& pattern, double x, double y) {
  const double half_x = pattern.along_m / 2;
  const double half_y = pattern.across_m / 2;
  if (floor.radius_m <= 0)
    return std::abs(x) + half_x <= floor.along_m / 2 + hair_m &&
           std::abs(y) + half_y <= floor.across_m / 2 + hair_m;
  if (pattern.is_round) return std::hypot(x, y) + half_x <= floor.radius_m + hair_m;
  return std::hypot(std::abs(x) + half_x, std::abs(y) + half_y) <= floor.radius_m + hair_m;
}

std::vector<std::pair<double, double>> places_on(const Floor& floor, const Pattern& pattern, double gap_m) {
  const double pitch_x = pattern.along_m + gap_m;
  const double pitch_y = (pattern.across_m + gap_m) * (pattern.is_staggered ? std::sqrt(0.75) : 1);
  const double reach_x = floor.radius_m > 0 ? floor.radius_m : floor.along_m / 2;
  const double reach_y = floor.radius_m > 0 ? floor.radius_m : floor.across_m / 2;
  const auto across = static_cast<int>(reach_y / pitch_y) + 1;
  const auto along = static_cast<int>(reach_x / pitch_x) + 1;
  std::vector<std::pair<double, double>> out;
  for (int row = -across; row <= across; ++row)
    for (int column = -along; column <= along; ++column) {
      const double shift = pattern.is_staggered && row % 2 != 0 ? 0.5 : 0;
      const double x = (column + pattern.off_along + shift) * pitch_x;
      const double y = (row + pattern.off_across) * pitch_y;
      if (holds(floor, pattern, x, y)) out.emplace_back(x, y);
    }
  return out;
}

/// Every pattern worth trying on a floor: both ways round, centred on a bag and on a gap; a staggered grid
/// begins at one wall as well.
std::vector<Pattern> patterns_of(const BagBox& bag) {
  std::vector<Pattern> out;
  for (const bool is_turned : {false, true})
    for (const double off_along : {0.0, 0.5})
      for (const double off_across : {0.0, 0.5})
        for (const bool is_staggered : {false, true}) {
          if (bag.is_round && is_turned) continue;
          if (is_staggered && !bag.is_round) continue;
          const double length_m = bag.is_round ? bag.width_m : bag.length_m;
          out.push_back({.along_m = is_turned ? bag.width_m : length_m,
                         .across_m = is_turned ? length_m : bag.width_m,
                         .is_round = bag.is_round,
                         .is_turned = is_turned,
                         .is_staggered = is_staggered,
                         .off_along = is_staggered ? off_along / 2 : off_along,
                         .off_across = off_across});
        }
  return out;
}

/// The floor of the layer whose bags stand at so much over the bottom.
Floor floor_at(const Inside& inside, const Spacing& spacing, double foot_m, double head_m) {
  const double walls_m = 2 * spacing.to_wall_m;
  switch (inside.form) {
  case InsideForm::standing_round:
    return {.radius_m = inside.width_m / 2 - spacing.to_wall_m};
  case InsideForm::lying_round: {
    const double radius_m = inside.width_m / 2 - spacing.to_wall_m;
    const double off_m =
        std::max(std::abs(foot_m - inside.width_m / 2), std::abs(head_m - inside.width_m / 2));
    const double chord_m = off_m < radius_m ? 2 * std::sqrt(radius_m * radius_m - off_m * off_m) : 0;
    return {.along_m = inside.length_m - walls_m, .across_m = chord_m};
  }
  default:
    return {.along_m = inside.length_m - walls_m, .across_m = inside.width_m - walls_m};
  }
}

/// All layers from a first shelf up, by one pattern.
Fitting filled(const Inside& inside, const BagBox& bag, const Spacing& spacing, const Pattern& pattern,
               double first_foot_m) {
  const double height_m = inside.form == InsideForm::lying_round ? inside.width_m : inside.height_m;
  const double pitch_m = bag.height_m + spacing.headroom_m + spacing.shelf_m;
  Fitting out;
  out.is_staggered = pattern.is_staggered;
  for (double foot_m = first_foot_m; foot_m + bag.height_m + spacing.to_wall_m <= height_m + hair_m;
       foot_m = first_foot_m + pitch_m * ++out.layers) {
    const auto places =
        places_on(floor_at(inside, spacing, foot_m, foot_m + bag.height_m), pattern, spacing.gap_m);
    out.on_fullest_layer = std::max(out.on_fullest_layer, static_cast<int>(places.size()));
    for (const auto& [x, y] : places)
      out.places.push_back({x, y, foot_m, pattern.is_turned});
  }
  return out;
}

} // namespace

double inside_m3(const Inside& inside) {
  const double circle_m2 = std::numbers::pi / 4 * inside.width_m * inside.width_m;
  switch (inside.form) {
  case InsideForm::standing_round:
    return circle_m2 * inside.height_m;
  case InsideForm::lying_round:
    return circle_m2 * inside.length_m;
  default:
    return inside.length_m * inside.width_m * inside.height_m;
  }
}

BagBox box_of(const BagBody& body) {
  switch (body.form) {
  case BagForm::column:
    return {2 * body.half_m[0], 2 * body.half_m[0], 2 * body.half_m[1], true};
  case BagForm::slab: {
    // As wide as it is long: nobody said more of it than its thickness.
    const double side_m = std::sqrt(body.mass_kg / body.density_kg_per_m3 / (2 * body.half_m[0]));
    return {side_m, side_m, 2 * body.half_m[0], false};
  }
  default:
    return {2 * body.half_m[0], 2 * body.half_m[1], 2 * body.half_m[2], false};
  }
}

Fitting fit_into(const Inside& inside, const BagBox& bag, const Spacing& spacing) {
  our_check(inside.width_m > 0 && bag.length_m > 0 && bag.width_m > 0 && bag.height_m > 0,
            "sides are above 0");
  our_check(spacing.gap_m >= 0 && spacing.to_wall_m >= 0 && spacing.shelf_m >= 0 && spacing.headroom_m >= 0,
            "spaces are 0 or more");
  our_check(bag.height_m + spacing.shelf_m + spacing.headroom_m > 1e-3, "a layer has a height");
  Fitting best;
  const double lowest_m = std::max(spacing.shelf_m, spacing.to_wall_m);
  // In a lying vessel the lowest shelf may do better a little higher, where it is wider.
  const int tries = inside.form == InsideForm::lying_round ? 40 : 1;
  for (const Pattern& pattern : patterns_of(bag))
    for (int i = 0; i < tries; ++i) {
      Fitting fitting = filled(inside, bag, spacing, pattern, lowest_m + i * inside.width_m / (2.0 * tries));
      if (fitting.total() > best.total()) best = std::move(fitting);
    }
  return best;
}

} // namespace coldbag
