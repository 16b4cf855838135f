#include "sizing/fitting.h"

#include "errors/our_fault.h"
#include "support/approx.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <numbers>
#include <random>
#include <set>
#include <string>

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
constexpr BagBox cube{.length_m = 0.2, .width_m = 0.2, .height_m = 0.2};
constexpr InsideForm forms[] = {InsideForm::box, InsideForm::standing_round, InsideForm::lying_round};

double& side_of(Inside& inside, const std::string& key) {
  return key == "length" ? inside.length_m : key == "width" ? inside.width_m : inside.height_m;
}

/// Random vessels, bags and spaces.
struct Drawn {
  std::mt19937 draw{11};
  double between(double least, double most) {
    return std::uniform_real_distribution<double>(least, most)(draw);
  }
  Inside inside(InsideForm form) { return {form, between(0.2, 1.6), between(0.2, 1.6), between(0.2, 1.6)}; }
  BagBox bag() {
    BagBox out{between(0.08, 0.3), between(0.08, 0.3), between(0.08, 0.3), draw() % 2 == 0};
    if (out.is_round) out.length_m = out.width_m;
    return out;
  }
  Spacing spacing() {
    Spacing out{between(0, 0.05), between(0, 0.12), between(0, 0.05), between(0, 0.05)};
    if (draw() % 3 == 0) out.most_layers = 1 + static_cast<int>(draw() % 4);
    return out;
  }
};

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
  // Three circles in a circle: its radius is 1 + 2 / sqrt 3 = 2.1547 of theirs (geometry).
  TEST_CASE("three round bags stand in a round vessel 2.16 times as wide, two in one 2.15 times") {
    const BagBox round{0.3, 0.3, 0.3, true};
    CHECK(fit_into({InsideForm::standing_round, 0, 0.3 * 2.16, 0.35}, round, {}).total() == 3);
    CHECK(fit_into({InsideForm::standing_round, 0, 0.3 * 2.15, 0.35}, round, {}).total() == 2);
  }
  // Four squares in a circle: its diameter is twice their diagonal (geometry). 2 sqrt 2 x 0.2 = 0.5657.
  TEST_CASE("four cubes stand in a round vessel twice as wide as their diagonal") {
    CHECK(fit_into({InsideForm::standing_round, 0, 0.566, 0.2}, cube, {}).total() == 4);
    CHECK(fit_into({InsideForm::standing_round, 0, 0.565, 0.2}, cube, {}).total() < 4);
  }
  // Rows of three, two and three: 1 + 2 sqrt 3 / 2 = 2.732 diameters across.
  TEST_CASE("a staggered grid begins with a full row and runs either way") {
    const BagBox round{0.1, 0.1, 0.1, true};
    for (const bool turned : {false, true}) {
      const Inside box{InsideForm::box, turned ? 0.274 : 0.3, turned ? 0.3 : 0.274, 0.1};
      const Fitting fitting = fit_into(box, round, {});
      CHECK(fitting.total() == 8);
      CHECK(fitting.is_staggered);
      CHECK(fitting.rows == 3);
      CHECK(fitting.columns == 3);
      check_placed(box, round, {}, fitting);
    }
  }
  // By hand, the cube's side as 1, in a circle of diameter 3.5: shelves at -1.4, -0.4 and 0.6 from the axis
  // are 2 sqrt(1.75^2 - 1.4^2) = 2.10, 2 sqrt(1.75^2 - 0.6^2) = 3.29 and 2 sqrt(1.75^2 - 1.6^2) = 1.42 wide:
  // 2, 3 and 1. The same about the axis hold 1, 3 and 1.
  TEST_CASE("each shelf of a lying vessel is as wide as its chord") {
    const Inside tube{InsideForm::lying_round, 0.2, 0.7, 0};
    const Fitting fitting = fit_into(tube, cube, {});
    CHECK(fitting.total() == 6);
    CHECK(fitting.layers == 3);
    CHECK(fitting.on_fullest_layer == 3);
    check_placed(tube, cube, {}, fitting);
  }
  // Diameter 3.2: middle 2 sqrt(1.6^2 - 0.5^2) = 3.04: 3, over and under 2 sqrt(1.6^2 - 1.5^2) = 1.11: 1
  // each. Diameter 3.7: 3 and 2 sqrt(1.85^2 - 1.5^2) = 2.17: 2 each; an odd row under an even one.
  TEST_CASE("shelves of a lying vessel hold odd and even rows, each by itself") {
    CHECK(fit_into({InsideForm::lying_round, 0.2, 0.64, 0}, cube, {}).total() == 5);
    const Fitting fitting = fit_into({InsideForm::lying_round, 0.41, 0.74, 0}, cube, {});
    CHECK(fitting.total() == 2 * (2 + 3 + 2));
    CHECK(fitting.rows * fitting.columns == fitting.on_fullest_layer);
  }
  // 0.43 m across, the lower shelf holds a cube; over it 0.43 - 0.4 m leaves the next one no chord.
  TEST_CASE("a shelf that holds no bag is no layer") {
    const Fitting fitting = fit_into({InsideForm::lying_round, 0.2, 0.43, 0}, cube, {});
    CHECK(fitting.total() == 1);
    CHECK(fitting.layers == 1);
  }
  // Two bags set off by half: 0.2 + 0.2 sqrt 3 / 2 = 0.373 m abreast; the chord 0.1 m from the axis is
  // 2 sqrt(0.215^2 - 0.1^2) = 0.381 m, and only shelves near the axis have it.
  TEST_CASE("the lowest shelf of a lying vessel stands where a staggered row more fits") {
    const BagBox round{0.2, 0.2, 0.2, true};
    const Inside tube{InsideForm::lying_round, 0.3, 0.43, 0};
    const Fitting fitting = fit_into(tube, round, {});
    CHECK(fitting.total() == 2);
    CHECK(fitting.is_staggered);
    check_placed(tube, round, {}, fitting);
  }
  TEST_CASE("no lowest shelf of a lying vessel does better than the one found") {
    Drawn drawn;
    for (int i = 0; i < 60; ++i) {
      const Inside tube{InsideForm::lying_round, 0.22 + 2 * usual.to_wall_m, drawn.between(0.5, 2), 0};
      const double radius_m = tube.width_m / 2 - usual.to_wall_m;
      int best = 0;
      for (int step = 0; step < 2000; ++step) {
        int count = 0;
        for (double foot_m = 0.1 + step * 1e-3; foot_m < tube.width_m; foot_m += 0.25) {
          const double off_m =
              std::max(std::abs(foot_m - tube.width_m / 2), std::abs(foot_m + 0.2 - tube.width_m / 2));
          if (off_m >= radius_m) continue;
          const double room_m = 2 * std::sqrt(radius_m * radius_m - off_m * off_m);
          count += static_cast<int>((room_m + 0.02) / 0.22);
        }
        best = std::max(best, count);
      }
      CHECK(fit_into(tube, cube, usual).total() >= best);
    }
  }
  // The hand example again. Turned bags come in three rows of six, 18 over 16, from 3 x 0.22 - 0.02 + 0.2 =
  // 0.84 m of width, 4 cm more; a fifth row of the length would take 0.93 m, a fifth column 1.28 m, a fifth
  // layer 0.1 + 4 x 0.2 + 0.15 + 0.1 = 1.15 m.
  TEST_CASE("what stops the next bag is the side that has to grow least") {
    const Fitting fitting = fit_into({InsideForm::box, 1.2, 0.8, 1.0}, brick, usual);
    CHECK(fitting.rows == 4);
    CHECK(fitting.columns == 4);
    CHECK(!fitting.is_turned);
    CHECK(within(fitting.bags_share, 64 * 0.0039 / 0.96, 1e-12));
    CHECK(fitting.limited_by == "width");
    CHECK(within(fitting.next_m.value(), 0.84, 1e-5));
    const Fitting low = fit_into({InsideForm::box, 1.2, 0.8, 1.14}, brick, usual);
    CHECK(low.total() == 64);
    CHECK(low.limited_by == "height");
    CHECK(within(low.next_m.value(), 1.15, 1e-5));
    const Fitting wide = fit_into({InsideForm::box, 1.2, 0.84, 1.0}, brick, usual);
    CHECK(wide.is_turned);
    CHECK(wide.total() == 72);
    // A seventh column of turned bags: 7 x 0.15 - 0.02 + 0.2.
    CHECK(wide.limited_by == "length");
    CHECK(within(wide.next_m.value(), 1.23, 1e-5));
  }
  TEST_CASE("a round bag's share is that of its own circle") {
    const Inside drum{InsideForm::standing_round, 0, 0.9, 0.3};
    CHECK(within(fit_into(drum, {0.3, 0.3, 0.3, true}, {}).bags_share, 7.0 / 9, 1e-12));
    CHECK(within(inside_m3({InsideForm::lying_round, 2, 0.9, 0}), std::numbers::pi / 4 * 0.81 * 2, 1e-12));
  }
  TEST_CASE("no more layers than are wanted, the widest ones in a lying vessel") {
    Spacing two = usual;
    two.most_layers = 2;
    const Fitting box = fit_into({InsideForm::box, 1.2, 0.8, 1.0}, brick, two);
    CHECK(box.layers == 2);
    CHECK(box.total() == 32);
    CHECK(box.limited_by == "layers");
    CHECK(!box.next_m);
    two.most_layers = 9;
    CHECK(fit_into({InsideForm::box, 1.2, 0.8, 1.0}, brick, two).limited_by == "width");
    Spacing one;
    one.most_layers = 1;
    const Fitting tube = fit_into({InsideForm::lying_round, 0.2, 0.7, 0}, cube, one);
    CHECK(tube.total() == 3);
    CHECK(tube.layers == 1);
    CHECK(tube.limited_by == "layers");
  }
  TEST_CASE("where no bag fits, the side that lacks is named with what it takes") {
    const Fitting low = fit_into({InsideForm::box, 1.2, 0.8, 0.3}, brick, usual);
    CHECK(low.total() == 0);
    CHECK(low.layers == 0);
    CHECK(low.rows == 0);
    CHECK(low.bags_share == 0);
    CHECK(low.limited_by == "height");
    CHECK(within(low.next_m.value(), 0.35, 1e-5));
    // Length lacks 0.03 at least (bags turned), height 0.15.
    const Fitting small = fit_into({InsideForm::box, 0.3, 0.8, 0.2}, brick, usual);
    CHECK(small.total() == 0);
    CHECK(small.limited_by == "height");
    CHECK(within(small.next_m.value(), 0.35, 1e-5));
    // Length lacks 0.13, height 0.05.
    const Fitting narrow = fit_into({InsideForm::box, 0.2, 0.8, 0.3}, brick, usual);
    CHECK(narrow.limited_by == "length");
    CHECK(within(narrow.next_m.value(), 0.33, 1e-5));
    // The wall's gap alone is more than there is.
    for (const InsideForm form : forms) {
      const Fitting none = fit_into({form, 0.1, 0.1, 0.1}, brick, usual);
      CHECK(none.total() == 0);
      CHECK(!none.limited_by.empty());
      CHECK(none.next_m.value() > 0.1);
    }
  }
  TEST_CASE("at the next size more fit, and just under it no more") {
    Drawn drawn;
    int seen = 0;
    for (int i = 0; i < 80; ++i)
      for (const InsideForm form : forms) {
        Inside inside = drawn.inside(form);
        const BagBox bag = drawn.bag();
        const Spacing spacing = drawn.spacing();
        const Fitting fitting = fit_into(inside, bag, spacing);
        CHECK(!fitting.limited_by.empty());
        CHECK(fitting.next_m.has_value() == (fitting.limited_by != "layers"));
        if (!fitting.next_m || fitting.total() == 0) continue;
        ++seen;
        const double was_m = side_of(inside, fitting.limited_by);
        CHECK(*fitting.next_m > was_m);
        side_of(inside, fitting.limited_by) = *fitting.next_m;
        CHECK(fit_into(inside, bag, spacing).total() > fitting.total());
        side_of(inside, fitting.limited_by) = std::max(was_m, *fitting.next_m - 1.1e-5);
        CHECK(fit_into(inside, bag, spacing).total() == fitting.total());
      }
    CHECK(seen > 100);
  }
  TEST_CASE("more room on any side never holds fewer, and more space between never more") {
    Drawn drawn;
    for (int i = 0; i < 80; ++i)
      for (const InsideForm form : forms) {
        const Inside inside = drawn.inside(form);
        const BagBox bag = drawn.bag();
        const Spacing spacing = drawn.spacing();
        const int total = fit_into(inside, bag, spacing).total();
        for (const char* key : {"length", "width", "height"}) {
          Inside larger = inside;
          side_of(larger, key) += drawn.between(0, 0.2);
          CHECK(fit_into(larger, bag, spacing).total() >= total);
        }
        for (double Spacing::*space_m :
             {&Spacing::gap_m, &Spacing::to_wall_m, &Spacing::shelf_m, &Spacing::headroom_m}) {
          Spacing wider = spacing;
          wider.*space_m += drawn.between(0, 0.05);
          CHECK(fit_into(inside, bag, wider).total() <= total);
        }
        Spacing limited = spacing;
        limited.most_layers = 1;
        CHECK(fit_into(inside, bag, limited).total() <= total);
      }
  }
  TEST_CASE(
      "layers and rows add up, a shelf under every layer, the last bag no nearer the roof than the wall") {
    Drawn drawn;
    for (int i = 0; i < 40; ++i)
      for (const InsideForm form : forms) {
        const Inside inside = drawn.inside(form);
        const BagBox bag = drawn.bag();
        const Spacing spacing = drawn.spacing();
        const Fitting fitting = fit_into(inside, bag, spacing);
        check_placed(inside, bag, spacing, fitting);
        std::set<double> feet_m;
        for (const BagPlace& place : fitting.places) {
          feet_m.insert(place.over_floor_m);
          CHECK(place.over_floor_m >= std::max(spacing.shelf_m, spacing.to_wall_m) - hair_m);
        }
        CHECK(static_cast<int>(feet_m.size()) == fitting.layers);
        CHECK(fitting.on_fullest_layer <= fitting.rows * fitting.columns);
        CHECK(fitting.on_fullest_layer * fitting.layers >= fitting.total());
        CHECK(fitting.bags_share < 1);
      }
  }
  TEST_CASE("a side of nothing is our own fault") {
    const Inside box{InsideForm::box, 1, 1, 1};
    for (const char* key : {"length", "width", "height"}) {
      Inside flat = box;
      side_of(flat, key) = 0;
      CHECK_THROWS_AS((void)fit_into(flat, brick, usual), OurFault);
      side_of(flat, key) = std::nan("");
      CHECK_THROWS_AS((void)fit_into(flat, brick, usual), OurFault);
    }
    CHECK_THROWS_AS((void)fit_into(box, {0, 0.1, 0.1}, usual), OurFault);
    CHECK_THROWS_AS((void)fit_into(box, {0.1, 0.1, 0}, usual), OurFault);
    CHECK_THROWS_AS((void)fit_into(box, brick, {.gap_m = -0.01}), OurFault);
    Spacing none = usual;
    none.most_layers = 0;
    CHECK_THROWS_AS((void)fit_into(box, brick, none), OurFault);
    // What a form does not have is not asked for.
    CHECK(fit_into({InsideForm::standing_round, 0, 1, 1}, brick, usual).total() > 0);
    CHECK(fit_into({InsideForm::lying_round, 1, 1, 0}, brick, usual).total() > 0);
  }
}
