// How many bags fit into a vessel on shelves.
#pragma once

#include "heatup/bag_model.h"

#include <optional>
#include <string>
#include <vector>

namespace coldbag {

enum class InsideForm { box, standing_round, lying_round };

/// A vessel inside. A round one has its diameter in width_m; standing it has no length_m, lying no height_m.
struct Inside {
  InsideForm form = InsideForm::box;
  double length_m = 0;
  double width_m = 0;
  double height_m = 0;
  bool operator==(const Inside&) const = default;
};
[[nodiscard]] double inside_m3(const Inside& inside);

struct Spacing {
  double gap_m = 0;                              ///< between bags
  double to_wall_m = 0;                          ///< and from the wall, roof included
  double shelf_m = 0;                            ///< of each shelf, what carries it included
  double headroom_m = 0;                         ///< over a bag, under the next shelf
  std::optional<int> most_layers = std::nullopt; ///< 1 or more
  bool operator==(const Spacing&) const = default;
};

/// What a bag takes up: a rectangle or a circle on the shelf, and its height.
struct BagBox {
  double length_m = 0;
  double width_m = 0;
  double height_m = 0;
  bool is_round = false; ///< width_m is its diameter
  bool operator==(const BagBox&) const = default;
};
[[nodiscard]] BagBox box_of(const BagBody& body);

/// Where one bag stands: middle of its foot, from the middle of the floor.
struct BagPlace {
  double along_m = 0;
  double across_m = 0;
  double over_floor_m = 0;
  bool is_turned = false; ///< its length across
  bool operator==(const BagPlace&) const = default;
};

/// The fullest of the patterns tried.
struct Fitting {
  std::vector<BagPlace> places; ///< of every bag
  int layers = 0;               ///< that hold a bag
  int on_fullest_layer = 0;
  int rows = 0;              ///< on the fullest layer
  int columns = 0;           ///< bags in its longest row
  bool is_turned = false;    ///< its bags have their length across
  bool is_staggered = false; ///< its rows are set off by half a bag
  double bags_share = 0;     ///< of the volume inside that bags take, 0 to 1
  /// What stops the next bag: "length", "width" (of a round vessel its diameter), "height", whichever has to
  /// grow least; "layers" where only most_layers stops it. Where no bag fits and no side alone would help,
  /// the side that lacks most.
  std::string limited_by;
  /// To what that side has to grow for more bags (where none fits and no side alone would help: for one bag,
  /// the other sides ample), to 0.01 mm, never too little; none for "layers".
  std::optional<double> next_m;
  [[nodiscard]] int total() const { return static_cast<int>(places.size()); }
  bool operator==(const Fitting&) const = default;
};

/// Bags stand upright on shelves, those of a shelf all one way round, in rows; round ones in a square or a
/// staggered grid; in a standing round vessel grids centred on a bag and on a gap are tried. In a lying one
/// each shelf is as wide as the chord at its bags' feet or heads, whichever is shorter, is filled by itself,
/// and the lowest stands where most bags fit. More room never holds fewer, more space between never more.
/// None fits: an empty one. Sides above 0, spacing 0 or more (checked). Guarded by
/// tests/sizing/fitting_test.cpp, which places them all.
[[nodiscard]] Fitting fit_into(const Inside& inside, const BagBox& bag, const Spacing& spacing);

} // namespace coldbag
