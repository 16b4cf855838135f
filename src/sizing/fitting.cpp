#include "sizing/fitting.h"

#include "errors/our_fault.h"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <string_view>
#include <utility>

namespace coldbag {

namespace {

constexpr double hair_m = 1e-9; ///< rounding of sides that add up exactly
constexpr double fine_m = 1e-5; ///< how well the next size is found

/// A bag's foot with the gap that follows it.
struct Foot {
  double along_m = 0;
  double across_m = 0;
  double gap_m = 0;
  bool is_turned = false;
};

/// Bags side by side; the rows of a layer run along x, or across it.
struct Row {
  double off_m = 0; ///< of the row from the middle
  double first_m = 0;
  int count = 0;
};

struct Layout {
  std::vector<Row> rows{};
  double pitch_m = 0; ///< from bag to bag in a row
  bool runs_across = false;
  bool is_turned = false;
  bool is_staggered = false;
};

/// Rows on a rectangle; every other one may be set off by half a pitch and one bag shorter.
struct Grid {
  int rows = 0;
  int in_even = 0;
  int in_odd = 0;
  double row_pitch_m = 0;
  double pitch_m = 0;
  bool runs_across = false;
  bool is_turned = false;
  bool is_staggered = false;
  [[nodiscard]] long long count() const {
    return static_cast<long long>(in_even) * ((rows + 1) / 2) + static_cast<long long>(in_odd) * (rows / 2);
  }
};

/// How many of a size stand one behind another, a pitch apart.
int abreast(double room_m, double size_m, double pitch_m) {
  return room_m + hair_m < size_m ? 0 : static_cast<int>((room_m - size_m + hair_m) / pitch_m) + 1;
}

Grid square_grid(double along_m, double across_m, const Foot& foot) {
  Grid out;
  out.pitch_m = foot.along_m + foot.gap_m;
  out.row_pitch_m = foot.across_m + foot.gap_m;
  out.rows = abreast(across_m, foot.across_m, out.row_pitch_m);
  out.in_even = out.in_odd = abreast(along_m, foot.along_m, out.pitch_m);
  out.is_turned = foot.is_turned;
  return out;
}

Grid staggered_grid(double along_m, double across_m, const Foot& foot, bool runs_across) {
  if (runs_across) std::swap(along_m, across_m);
  Grid out;
  out.pitch_m = foot.along_m + foot.gap_m;
  out.row_pitch_m = out.pitch_m * std::sqrt(0.75);
  out.rows = abreast(across_m, foot.along_m, out.row_pitch_m);
  out.in_even = abreast(along_m, foot.along_m, out.pitch_m);
  out.in_odd = abreast(along_m - out.pitch_m / 2, foot.along_m, out.pitch_m);
  out.runs_across = runs_across;
  out.is_staggered = true;
  return out;
}

std::vector<Foot> feet_of(const BagBox& bag, double gap_m) {
  if (bag.is_round) return {{bag.width_m, bag.width_m, gap_m, false}};
  return {{bag.length_m, bag.width_m, gap_m, false}, {bag.width_m, bag.length_m, gap_m, true}};
}

/// The fullest grid on a rectangle; the plainest of equals.
Grid fullest_grid(double along_m, double across_m, const BagBox& bag, double gap_m) {
  Grid best;
  const auto take = [&](const Grid& grid) {
    if (grid.count() > best.count()) best = grid;
  };
  for (const Foot& foot : feet_of(bag, gap_m)) {
    take(square_grid(along_m, across_m, foot));
    if (!bag.is_round) continue;
    take(staggered_grid(along_m, across_m, foot, false));
    take(staggered_grid(along_m, across_m, foot, true));
  }
  return best;
}

Layout layout_of(const Grid& grid) {
  Layout out{.pitch_m = grid.pitch_m,
             .runs_across = grid.runs_across,
             .is_turned = grid.is_turned,
             .is_staggered = grid.is_staggered};
  // Half a pitch over the even rows' own length where the odd ones hold as many.
  const bool juts = grid.is_staggered && grid.rows > 1 && grid.in_odd == grid.in_even;
  const double first_m = -(grid.in_even - 1 + (juts ? 0.5 : 0)) * grid.pitch_m / 2;
  for (int i = 0; i < grid.rows; ++i) {
    const bool is_odd = i % 2 != 0;
    const int count = is_odd ? grid.in_odd : grid.in_even;
    if (count == 0) continue;
    out.rows.push_back({(i - (grid.rows - 1) / 2.0) * grid.row_pitch_m,
                        first_m + (is_odd && grid.is_staggered ? grid.pitch_m / 2 : 0), count});
  }
  return out;
}

long long count_of(const Layout& layout) {
  long long out = 0;
  for (const Row& row : layout.rows)
    out += row.count;
  return out;
}

/// How far off the middle a bag of a row may stand in a circle; below 0: not at all.
double reach_in_circle(double radius_m, const Foot& foot, bool is_round, double off_m) {
  const double rim_m = radius_m - (is_round ? foot.along_m / 2 : 0) + hair_m;
  const double edge_m = std::abs(off_m) + (is_round ? 0 : foot.across_m / 2);
  if (edge_m > rim_m) return -1;
  return std::sqrt(rim_m * rim_m - edge_m * edge_m) - (is_round ? 0 : foot.along_m / 2);
}

/// A grid in a circle, its middle so many pitches off the circle's.
Layout grid_in_circle(double radius_m, const Foot& foot, bool is_round, bool is_staggered, double off_along,
                      double off_across) {
  Layout out{.pitch_m = foot.along_m + foot.gap_m, .is_turned = foot.is_turned, .is_staggered = is_staggered};
  const double row_pitch_m = (foot.across_m + foot.gap_m) * (is_staggered ? std::sqrt(0.75) : 1);
  const auto most = static_cast<int>(std::max(0.0, radius_m) / row_pitch_m) + 1;
  for (int i = -most; i <= most; ++i) {
    const double off_m = (i + off_across) * row_pitch_m;
    const double reach_m = reach_in_circle(radius_m, foot, is_round, off_m);
    if (reach_m < 0) continue;
    const double shift = off_along + (is_staggered && i % 2 != 0 ? 0.5 : 0);
    const double first = std::ceil(-reach_m / out.pitch_m - shift);
    const double last = std::floor(reach_m / out.pitch_m - shift);
    if (last >= first)
      out.rows.push_back({off_m, (first + shift) * out.pitch_m, static_cast<int>(last - first) + 1});
  }
  return out;
}

/// The fullest grid in a circle: centred on a bag, between two, amid three or four.
Layout fullest_in_circle(double radius_m, const BagBox& bag, double gap_m) {
  Layout best;
  const auto take = [&](Layout layout) {
    if (count_of(layout) > count_of(best)) best = std::move(layout);
  };
  for (const Foot& foot : feet_of(bag, gap_m)) {
    for (const double along : {0.0, 0.5})
      for (const double across : {0.0, 0.5})
        take(grid_in_circle(radius_m, foot, bag.is_round, false, along, across));
    if (!bag.is_round) continue;
    for (const double along : {0.0, 0.25, 0.5})
      for (const double across : {0.0, 1.0 / 3, 0.5})
        take(grid_in_circle(radius_m, foot, true, true, along, across));
  }
  return best;
}

/// Where shelves may stand.
struct Shelves {
  double lowest_m = 0; ///< feet of the lowest bags, at the least
  double pitch_m = 0;
  double top_m = 0; ///< no bag's head over this
};

Shelves shelves_in(const Inside& inside, const BagBox& bag, const Spacing& spacing) {
  const double height_m = inside.form == InsideForm::lying_round ? inside.width_m : inside.height_m;
  return {std::max(spacing.shelf_m, spacing.to_wall_m), bag.height_m + spacing.headroom_m + spacing.shelf_m,
          height_m - spacing.to_wall_m};
}

/// What stands on shelves one over another, the lowest first.
struct Load {
  double first_foot_m = 0;
  std::vector<Grid> grids; ///< of each layer
  long long count = 0;
};

/// The inside of a lying round vessel, less the gap to the wall.
struct Tube {
  double radius_m = 0;
  double axis_m = 0; ///< over the bottom
  double along_m = 0;
};

/// As wide as the shorter of the chords at the bags' feet and heads.
double chord_m(const Tube& tube, double foot_m, double height_m) {
  const double off_m = std::max(std::abs(foot_m - tube.axis_m), std::abs(foot_m + height_m - tube.axis_m));
  return off_m < tube.radius_m ? 2 * std::sqrt(tube.radius_m * tube.radius_m - off_m * off_m) : 0;
}

/// Widths of a shelf at which another row fits.
std::vector<double> steps_up_to(double widest_m, const BagBox& bag, double gap_m) {
  std::vector<double> out;
  const auto add = [&](double size_m, double pitch_m) {
    for (int i = 0; size_m + i * pitch_m <= widest_m; ++i)
      out.push_back(size_m + i * pitch_m);
  };
  for (const Foot& foot : feet_of(bag, gap_m))
    add(foot.across_m, foot.across_m + gap_m);
  if (!bag.is_round) return out;
  add(bag.width_m, (bag.width_m + gap_m) * std::sqrt(0.75));
  add(bag.width_m, (bag.width_m + gap_m) / 2);
  return out;
}

/// All layers from a first shelf up, less empty ones; the best run of them where only so many may be.
Load load_from(double first_foot_m, const Tube& tube, const Shelves& shelves, const BagBox& bag,
               const Spacing& spacing) {
  std::vector<Grid> grids;
  const int layers = abreast(shelves.top_m - first_foot_m, bag.height_m, shelves.pitch_m);
  grids.reserve(static_cast<std::size_t>(layers));
  for (int i = 0; i < layers; ++i)
    grids.push_back(fullest_grid(
        tube.along_m, chord_m(tube, first_foot_m + i * shelves.pitch_m, bag.height_m), bag, spacing.gap_m));
  const std::size_t most =
      spacing.most_layers ? static_cast<std::size_t>(*spacing.most_layers) : grids.size();
  Load best;
  for (std::size_t from = 0; from < grids.size(); ++from) {
    Load load{first_foot_m + static_cast<double>(from) * shelves.pitch_m, {}, 0};
    for (std::size_t i = from; i < grids.size() && i - from < most && grids[i].count() > 0; ++i) {
      load.grids.push_back(grids[i]);
      load.count += grids[i].count();
    }
    if (load.count > best.count) best = std::move(load);
    // Without a limit the first filled shelf begins the only run there is.
    if (best.count > 0 && most >= grids.size()) break;
  }
  return best;
}

/// The lowest shelf stands as low as it may, or where some shelf is just wide enough for another row: between
/// such heights nothing is gained.
Load fullest_lying(const Inside& inside, const BagBox& bag, const Spacing& spacing) {
  const Shelves shelves = shelves_in(inside, bag, spacing);
  const Tube tube{inside.width_m / 2 - spacing.to_wall_m, inside.width_m / 2,
                  inside.length_m - 2 * spacing.to_wall_m};
  Load best = load_from(shelves.lowest_m, tube, shelves, bag, spacing);
  for (const double width_m : steps_up_to(2 * tube.radius_m, bag, spacing.gap_m)) {
    const double foot_m =
        tube.axis_m - std::sqrt(std::max(0.0, tube.radius_m * tube.radius_m - width_m * width_m / 4));
    const double over = std::floor((foot_m - shelves.lowest_m) / shelves.pitch_m);
    Load load = load_from(foot_m - over * shelves.pitch_m, tube, shelves, bag, spacing);
    if (load.count > best.count) best = std::move(load);
  }
  return best;
}

/// A layout for each layer, and where it stands.
struct Stack {
  std::vector<std::pair<double, Layout>> layers;
  long long count = 0;
};

Stack alike_layers(const Layout& layout, const Inside& inside, const BagBox& bag, const Spacing& spacing) {
  const Shelves shelves = shelves_in(inside, bag, spacing);
  const int room = abreast(shelves.top_m - shelves.lowest_m, bag.height_m, shelves.pitch_m);
  const int layers = std::min(room, spacing.most_layers.value_or(room));
  Stack out;
  if (count_of(layout) == 0) return out;
  out.count = count_of(layout) * layers;
  for (int i = 0; i < layers; ++i)
    out.layers.emplace_back(shelves.lowest_m + i * shelves.pitch_m, layout);
  return out;
}

Stack stack_in(const Inside& inside, const BagBox& bag, const Spacing& spacing) {
  const double walls_m = 2 * spacing.to_wall_m;
  switch (inside.form) {
  case InsideForm::standing_round:
    return alike_layers(fullest_in_circle((inside.width_m - walls_m) / 2, bag, spacing.gap_m), inside, bag,
                        spacing);
  case InsideForm::lying_round: {
    const Load load = fullest_lying(inside, bag, spacing);
    const double pitch_m = shelves_in(inside, bag, spacing).pitch_m;
    Stack out{{}, load.count};
    for (std::size_t i = 0; i < load.grids.size(); ++i)
      out.layers.emplace_back(load.first_foot_m + static_cast<double>(i) * pitch_m, layout_of(load.grids[i]));
    return out;
  }
  default:
    return alike_layers(
        layout_of(fullest_grid(inside.length_m - walls_m, inside.width_m - walls_m, bag, spacing.gap_m)),
        inside, bag, spacing);
  }
}

Fitting fitting_of(const Stack& stack) {
  Fitting out;
  out.layers = static_cast<int>(stack.layers.size());
  out.places.reserve(static_cast<std::size_t>(stack.count));
  for (const auto& [foot_m, layout] : stack.layers) {
    const auto count = static_cast<int>(count_of(layout));
    if (count > out.on_fullest_layer) {
      out.on_fullest_layer = count;
      out.rows = static_cast<int>(layout.rows.size());
      out.columns = std::max_element(layout.rows.begin(), layout.rows.end(), [](const Row& a, const Row& b) {
                      return a.count < b.count;
                    })->count;
      out.is_turned = layout.is_turned;
      out.is_staggered = layout.is_staggered;
    }
    for (const Row& row : layout.rows)
      for (int i = 0; i < row.count; ++i) {
        const double in_row_m = row.first_m + i * layout.pitch_m;
        out.places.push_back({layout.runs_across ? row.off_m : in_row_m,
                              layout.runs_across ? in_row_m : row.off_m, foot_m, layout.is_turned});
      }
  }
  return out;
}

struct Side {
  std::string_view key;
  double Inside::*size_m;
};

std::vector<Side> sides_of(InsideForm form) {
  const Side length{"length", &Inside::length_m};
  const Side width{"width", &Inside::width_m};
  const Side height{"height", &Inside::height_m};
  switch (form) {
  case InsideForm::standing_round:
    return {width, height};
  case InsideForm::lying_round:
    return {length, width};
  default:
    return {length, width, height};
  }
}

/// A side so long that, as far as it goes, one more bag fits.
double ample_m(double size_m, const BagBox& bag, const Spacing& spacing) {
  const double bag_m = std::hypot(bag.length_m, bag.width_m, bag.height_m);
  return std::max(size_m, bag_m + 2 * (spacing.to_wall_m + spacing.shelf_m)) +
         2 * (bag_m + spacing.gap_m + spacing.headroom_m + spacing.shelf_m);
}

/// How long a side has to be for more bags than so many; none where it alone does not help.
std::optional<double> grown_m(Inside inside, const Side& side, const BagBox& bag, const Spacing& spacing,
                              long long than) {
  double& size_m = inside.*side.size_m;
  double less_m = size_m;
  double more_m = ample_m(size_m, bag, spacing);
  const auto helps = [&](double m) {
    size_m = m;
    return stack_in(inside, bag, spacing).count > than;
  };
  if (!helps(more_m)) return std::nullopt;
  // More room never holds fewer, so halving finds the step.
  while (more_m - less_m > fine_m / 2) {
    const double between_m = (less_m + more_m) / 2;
    (helps(between_m) ? more_m : less_m) = between_m;
  }
  return more_m;
}

void find_limit(Fitting& fitting, const Inside& inside, const BagBox& bag, const Spacing& spacing) {
  const long long total = fitting.total();
  Spacing unlimited = spacing;
  unlimited.most_layers.reset();
  if (spacing.most_layers && stack_in(inside, bag, unlimited).count > total) {
    fitting.limited_by = "layers";
    return;
  }
  double least_m = 0;
  for (const Side& side : sides_of(inside.form)) {
    const std::optional<double> next_m = grown_m(inside, side, bag, spacing, total);
    if (!next_m) continue;
    const double growth_m = *next_m - inside.*side.size_m;
    if (fitting.next_m && growth_m >= least_m - fine_m) continue;
    least_m = growth_m;
    fitting.next_m = next_m;
    fitting.limited_by = side.key;
  }
  if (fitting.next_m) return;
  // Several sides are too short for a bag: each by itself, the others ample.
  double most_m = 0;
  for (const Side& side : sides_of(inside.form)) {
    Inside roomy = inside;
    for (const Side& other : sides_of(inside.form))
      if (other.key != side.key) roomy.*other.size_m = ample_m(inside.*other.size_m, bag, spacing);
    if (stack_in(roomy, bag, spacing).count > 0) continue;
    const std::optional<double> next_m = grown_m(roomy, side, bag, spacing, 0);
    if (!next_m || *next_m - inside.*side.size_m <= most_m + fine_m) continue;
    most_m = *next_m - inside.*side.size_m;
    fitting.next_m = next_m;
    fitting.limited_by = side.key;
  }
}

double bag_m3(const BagBox& bag) {
  return bag.height_m *
         (bag.is_round ? std::numbers::pi / 4 * bag.width_m * bag.width_m : bag.length_m * bag.width_m);
}

void check_sane(const Inside& inside, const BagBox& bag, const Spacing& spacing) {
  for (const Side& side : sides_of(inside.form))
    our_check(inside.*side.size_m > 0 && std::isfinite(inside.*side.size_m), "sides are above 0");
  for (const double side_m : {bag.length_m, bag.width_m, bag.height_m})
    our_check(side_m > 0 && std::isfinite(side_m), "sides are above 0");
  for (const double space_m : {spacing.gap_m, spacing.to_wall_m, spacing.shelf_m, spacing.headroom_m})
    our_check(space_m >= 0 && std::isfinite(space_m), "spaces are 0 or more");
  our_check(bag.height_m + spacing.shelf_m + spacing.headroom_m > 1e-3, "a layer has a height");
  our_check(spacing.most_layers.value_or(1) > 0, "there is a layer at least");
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
  check_sane(inside, bag, spacing);
  Fitting out = fitting_of(stack_in(inside, bag, spacing));
  out.bags_share = out.total() * bag_m3(bag) / inside_m3(inside);
  find_limit(out, inside, bag, spacing);
  return out;
}

} // namespace coldbag
