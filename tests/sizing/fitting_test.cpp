#include "sizing/fitting.h"
#include "support/approx.h"

#include <doctest/doctest.h>

#include <cmath>
#include <random>

using namespace coldbag;
using namespace coldbag::test;

namespace {

constexpr double hair_m = 1e-6;

/// Whether two bags leave the gap between them, and shelves lie between layers.
bool is_apart(const BagBox& bag, const Spacing& spacing, const BagPlace& a, const BagPlace& b) {
  const double up_m = std::abs(a.over_floor_m - b.over_floor_m);
  if (up_m > hair_m) return up_m >= bag.height_m + spacing.headroom_m + spacing.shelf_m - hair_m;
  const double x = std::abs(a.along_m - b.along_m);
  const double y = std::abs(a.across_m - b.across_m);
  if (bag.is_round) return std::hypot(x, y) >= bag.width_m + spacing.gap_m - hair_m;
  const double length_m = a.is_turned ? bag.width_m : bag.length_m;
  const double width_m = a.is_turned ? bag.length_m : bag.width_m;
  return x >= length_m + spacing.gap_m - hair_m || y >= width_m + spacing.gap_m - hair_m;
}

bool is_inside(const Inside& inside, const BagBox& bag, const Spacing& spacing, const BagPlace& place) {
  const double half_x = (place.is_turned ? bag.width_m : bag.length_m) / 2;
  const double half_y = (place.is_turned ? bag.length_m : bag.width_m) / 2;
  const double x = std::abs(place.along_m) + half_x + spacing.to_wall_m;
  const double y = std::abs(place.across_m) + half_y;
  const double top_m = place.over_floor_m + bag.height_m + spacing.to_wall_m;
  switch (inside.form) {
  case InsideForm::standing_round: {
    if (top_m > inside.height_m + hair_m) return false;
    const double off_m = bag.is_round ? std::hypot(place.along_m, place.across_m) + half_x
                                      : std::hypot(std::abs(place.along_m) + half_x, y);
    return off_m + spacing.to_wall_m <= inside.width_m / 2 + hair_m;
  }
  case InsideForm::lying_round: {
    const double radius_m = inside.width_m / 2 - spacing.to_wall_m;
    for (const double z : {place.over_floor_m, place.over_floor_m + bag.height_m})
      if (std::hypot(y, z - inside.width_m / 2) > radius_m + hair_m) return false;
    return x <= inside.length_m / 2 + hair_m;
  }
  default:
    return x <= inside.length_m / 2 + hair_m && y + spacing.to_wall_m <= inside.width_m / 2 + hair_m &&
           top_m <= inside.height_m + hair_m;
  }
}

void check_placed(const Inside& inside, const BagBox& bag, const Spacing& spacing, const Fitting& fitting) {
  for (std::size_t i = 0; i < fitting.places.size(); ++i) {
    CHECK(is_inside(inside, bag, spacing, fitting.places[i]));
    for (std::size_t j = 0; j < i; ++j)
      CHECK(is_apart(bag, spacing, fitting.places[i], fitting.places[j]));
  }
}

constexpr Spacing usual{.gap_m = 0.02, .to_wall_m = 0.10, .shelf_m = 0.03, .headroom_m = 0.02};
constexpr BagBox brick{.length_m = 0.20, .width_m = 0.13, .height_m = 0.15};

} // namespace

TEST_SUITE("bags on shelves") {
  // By hand: 1.2 x 0.8 x 1.0 m less 10 cm all round is 1.0 x 0.6. Length along: 1.02 / 0.22 = 4, 0.62 / 0.15
  // = 4:
  // 16. Turned: 1.02 / 0.15 = 6, 0.62 / 0.22 = 2: 12. Up: (1.0 - 0.1 - 0.1 - 0.15) / 0.20 + 1 = 4 layers.
  TEST_CASE("a box is filled as by hand") {
    const Inside box{InsideForm::box, 1.2, 0.8, 1.0};
    const Fitting fitting = fit_into(box, brick, usual);
    CHECK(fitting.on_fullest_layer == 16);
    CHECK(fitting.layers == 4);
    CHECK(fitting.total() == 64);
    check_placed(box, brick, usual, fitting);
    CHECK(within(inside_m3(box), 0.96, 1e-12));
  }
  // Seven circles of a third of the diameter fill a circle: one in the middle, six around it.
  TEST_CASE("seven round bags stand in a round vessel three times as wide") {
    const Inside drum{InsideForm::standing_round, 0, 0.9, 0.35};
    const BagBox round{0.3, 0.3, 0.3, true};
    const Fitting fitting = fit_into(drum, round, {});
    CHECK(fitting.total() == 7);
    CHECK(fitting.is_staggered);
    check_placed(drum, round, {}, fitting);
  }
  TEST_CASE("bags neither overlap nor touch the wall, in any vessel") {
    std::mt19937 draw(5);
    std::uniform_real_distribution<double> side(0.5, 1.4);
    std::uniform_real_distribution<double> small(0.08, 0.25);
    for (int i = 0; i < 40; ++i)
      for (const InsideForm form : {InsideForm::box, InsideForm::standing_round, InsideForm::lying_round})
        for (const bool is_round : {false, true}) {
          const Inside inside{form, side(draw), side(draw), side(draw)};
          BagBox bag{small(draw), small(draw), small(draw), is_round};
          if (is_round) bag.length_m = bag.width_m;
          check_placed(inside, bag, usual, fit_into(inside, bag, usual));
        }
  }
  TEST_CASE("more room never holds fewer boxes' worth; wider gaps never more; what is too small holds none") {
    const Inside box{InsideForm::box, 1.2, 0.8, 1.0};
    int last = fit_into(box, brick, usual).total();
    for (double more = 0.05; more < 0.6; more += 0.05) {
      const int now = fit_into({InsideForm::box, 1.2 + more, 0.8 + more, 1.0 + more}, brick, usual).total();
      CHECK(now >= last);
      last = now;
    }
    Spacing wide = usual;
    wide.gap_m = 0.05;
    CHECK(fit_into(box, brick, wide).total() <= fit_into(box, brick, usual).total());
    CHECK(fit_into({InsideForm::box, 0.3, 0.3, 0.3}, brick, usual).total() == 0);
  }
}
