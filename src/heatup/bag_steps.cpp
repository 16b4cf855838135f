#include "heatup/bag_steps.h"

#include "errors/our_fault.h"
#include "steam/saturation.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstddef>
#include <utility>
#include <vector>

// The arrays of a loop never overlap: said, as a compiler that has to make sure gives up beyond a few of
// them.
#if defined(__clang__)
#define COLDBAG_NO_OVERLAP _Pragma("clang loop vectorize(assume_safety)")
#else
#define COLDBAG_NO_OVERLAP _Pragma("GCC ivdep")
#endif

namespace coldbag {

namespace {

/// Conductivity and its integral over temperature at one pressure.
class HeatPath {
 public:
  HeatPath(const BagBody& body, const Multipliers& multipliers, const VapourTable& vapour)
      : base_(body.conductivity_W_per_mK * multipliers.conductivity),
        share_(body.vapour_share * multipliers.vapour), air_kept_(body.air_kept), vapour_(vapour),
        nodes_(vapour.nodes()) {}

  void set_pressure(double abs_pressure_Pa) {
    if (abs_pressure_Pa == pressure_Pa_) return;
    pressure_Pa_ = abs_pressure_Pa;
    double integral = 0;
    for (std::size_t i = 0; i < nodes_.size(); ++i) {
      const double k = base_ + share_ * vapour_.added_W_per_mK(i, abs_pressure_Pa, air_kept_);
      if (i > 0) integral += VapourTable::step_K * (nodes_[i - 1].k + k) / 2;
      nodes_[i] = {k, integral};
    }
  }

  /// k in W/mK, and its integral from the lowest node on in W/m; k is straight between nodes.
  void look_up(double t_degC, double& k, double& integral) const {
    const double at = std::clamp((t_degC - VapourTable::lowest_degC) * (1 / VapourTable::step_K), 0.0,
                                 static_cast<double>(nodes_.size() - 1) - 1e-9);
    const auto i = static_cast<std::size_t>(at);
    const double over = at - static_cast<double>(i);
    const Node& a = nodes_[i];
    const double rise = nodes_[i + 1].k - a.k;
    k = a.k + over * rise;
    integral = a.integral + VapourTable::step_K * over * (a.k + over * rise / 2);
  }

 private:
  struct Node {
    double k = 0;
    double integral = 0;
  };
  double base_;
  double share_;
  double air_kept_;
  const VapourTable& vapour_;
  std::vector<Node> nodes_;
  double pressure_Pa_ = -1;
};

/// One direction of the grid: cells from the middle outward, for one metre square of the other directions.
struct Axis {
  int cells = 1;
  std::vector<double> volume;           ///< of each cell
  std::vector<double> flow;             ///< area / distance between a cell and the next outward
  std::vector<double> middle_square_m2; ///< mean square of the distance from the middle
  double half_cell_m = 0;               ///< from the last middle to the surface
  double surface = 0;                   ///< its area
  double film = 0;
  /// Value on the axis from the two innermost cells: a + b x^2 through both.
  [[nodiscard]] double at_middle(double inner, double outer) const {
    if (cells == 1) return inner;
    const double steep = (outer - inner) / (middle_square_m2[1] - middle_square_m2[0]);
    return inner - steep * middle_square_m2[0];
  }
};

Axis make_axis(double half_m, int cells, bool is_round, double film) {
  Axis axis;
  axis.cells = cells;
  axis.film = film;
  const double width = half_m / cells;
  axis.half_cell_m = width / 2;
  axis.surface = is_round ? half_m : 1;
  for (int i = 0; i < cells; ++i) {
    const double in = width * i;
    const double out = width * (i + 1);
    axis.volume.push_back(is_round ? (out * out - in * in) / 2 : width);
    axis.flow.push_back((is_round ? out : 1) / width);
    axis.middle_square_m2.push_back(is_round ? (in * in + out * out) / 2
                                             : (in * in + in * out + out * out) / 3);
  }
  return axis;
}

struct SurfaceFlux {
  double degC = 0;        ///< of the surface
  double W_per_m2 = 0;    ///< inward
  double slope = 0;       ///< of it against the last cell's temperature, below 0
  double inner_slope = 0; ///< against that of the cell before, above 0
};

/// A cell as the surface sees it.
struct NearSurface {
  double k = 0;
  double integral = 0;
};

/// Flux from the steam through the film, equal to that within at the surface: with the parabola through the
/// surface and the two outermost cells, film (steam - s) = (8 i(s) - 9 i(last) + i(before)) / (3 width), i
/// the integral of k dT. The surface's temperature s is solved for from a guess, the better the sooner.
SurfaceFlux surface_flux(const HeatPath& path, const Axis& axis, double steam_degC, const NearSurface& last,
                         const NearSurface& before, double guess_degC) {
  const double pull = axis.film * axis.half_cell_m * 3 / 4;
  const double within = (9 * last.integral - before.integral) / 8;
  double surface_degC = guess_degC;
  double k_surface = last.k;
  // i(s) - within = pull (steam - s), whose left side rises with s.
  for (int turn = 0; turn < 12; ++turn) {
    double at_surface = 0;
    path.look_up(surface_degC, k_surface, at_surface);
    const double change = (within - at_surface + pull * (steam_degC - surface_degC)) / (k_surface + pull);
    surface_degC += change;
    if (std::abs(change) < 1e-3) break; // Newton: what is left is of the order of its square
  }
  const double share = axis.film / (k_surface + pull) / 8;
  return {surface_degC, axis.film * (steam_degC - surface_degC), -9 * share * last.k, share * before.k};
}

} // namespace

class BagSteps::Machine {
 public:
  Machine(const BagBody& body, const Multipliers& multipliers, const VapourTable& vapour,
          const BagStart& start)
      : body_(body), start_from_(start),
        fineness_(start.fineness.value_or(working_fineness(body, multipliers))),
        path_(body, multipliers, vapour) {
    for (int d = 0; d < 3; ++d) {
      const bool counts = d < body.directions();
      const auto i = static_cast<std::size_t>(d);
      axes_[i] = counts ? make_axis(body.half_m[i], fineness_.cells, body.form == BagForm::column && d == 0,
                                    body.film_W_per_m2K[i] * multipliers.film)
                        : make_axis(1, 1, false, 0);
    }
    stride_ = {static_cast<std::size_t>(axes_[1].cells) * static_cast<std::size_t>(axes_[2].cells),
               static_cast<std::size_t>(axes_[2].cells), 1};
    const std::size_t count = stride_[0] * static_cast<std::size_t>(axes_[0].cells);
    heat_.assign(count, body.density_kg_per_m3 * body.enthalpy.J_per_kg(start.degC));
    degC_.assign(count, start.degC);
    rate_.assign(count, 0);
    double grid_volume = 0;
    for (double x : axes_[0].volume)
      for (double y : axes_[1].volume)
        for (double z : axes_[2].volume)
          grid_volume += x * y * z;
    grid_to_bag_ = body.mass_kg / body.density_kg_per_m3 / grid_volume;
    inverse_density_ = 1 / body.density_kg_per_m3;
    for (std::size_t d = 0; d < 3; ++d)
      lay_lines(d);
    for (auto* cells :
         {&start_, &goal_, &line_heat_, &line_degC_, &k_, &integral_, &inverse_, &right_, &cp_, &aimed_})
      cells->resize(count);
    for (auto* each : {&surface_W_, &surface_slope_, &surface_inner_, &line_in_, &from_within_, &zeros_})
      each->resize(count);
    now_s_ = start.at_s;
  }

  [[nodiscard]] double hottest_degC() const { return *std::max_element(degC_.begin(), degC_.end()); }
  [[nodiscard]] const Fineness& fineness() const { return fineness_; }
  void set_film(double multiplier) {
    for (int d = 0; d < body_.directions(); ++d) {
      const auto i = static_cast<std::size_t>(d);
      axes_[i].film = body_.film_W_per_m2K[i] * multiplier;
    }
  }

  Tried try_step(double dt_s, const SteamPoint& mean, double end_abs_pressure_Pa) {
    tried_s_ = dt_s;
    new_heat_ = heat_;
    new_degC_ = degC_;
    new_heat_in_ = 0;
    path_.set_pressure(mean.abs_pressure_Pa);
    steam_degC_ = mean.degC;
    if (body_.is_breathing)
      steam_degC_ = std::min(steam_degC_, saturation_temperature_degC(mean.abs_pressure_Pa));
    const int count = body_.directions();
    for (int i = 0; i < count; ++i)
      heat_along(static_cast<std::size_t>(turned_ ? count - 1 - i : i), dt_s);
    new_flashed_ = body_.is_breathing ? flash(end_abs_pressure_Pa) : 0;
    double worst = 0;
    for (std::size_t c = 0; c < degC_.size(); ++c)
      worst = std::max(worst, std::abs((new_degC_[c] - degC_[c]) - rate_[c] * dt_s));
    return {new_heat_in_ * grid_to_bag_, new_flashed_ * grid_to_bag_, worst / most_bend_K()};
  }

  void keep_step() {
    for (std::size_t c = 0; c < degC_.size(); ++c)
      rate_[c] = (new_degC_[c] - degC_[c]) / tried_s_;
    heat_.swap(new_heat_);
    degC_.swap(new_degC_);
    heat_in_J_ += new_heat_in_ * grid_to_bag_;
    flashed_J_ += new_flashed_ * grid_to_bag_;
    now_s_ += tried_s_;
    has_moved_ = true;
    turned_ = !turned_;
  }

  [[nodiscard]] double held_J() const {
    double sum = 0;
    std::size_t c = 0;
    for (double x : axes_[0].volume)
      for (double y : axes_[1].volume)
        for (double z : axes_[2].volume)
          sum += heat_[c++] * x * y * z;
    return sum * grid_to_bag_;
  }

  [[nodiscard]] BagMoment moment() const {
    const auto d = static_cast<std::size_t>(body_.shortest());
    const Axis& axis = axes_[d];
    BagMoment m;
    m.time_s = now_s_;
    const double inner = on_axis(d, 0);
    m.core_degC = axis.cells > 1 ? axis.at_middle(inner, on_axis(d, 1)) : inner;
    m.probe_degC = start_from_.probe_off_m > 0 ? off_axis(d, m.core_degC) : m.core_degC;
    m.mean_degC = body_.enthalpy.degC(held_J() / body_.mass_kg);
    m.surface_degC = surface_on_axis(d);
    m.heat_J = heat_in_J_;
    m.flashed_J = flashed_J_;
    return m;
  }

 private:
  void lay_lines(std::size_t d) {
    const std::size_t e = (d + 1) % 3;
    const std::size_t f = (d + 2) % 3;
    for (std::size_t i = 0; i < size(axes_[e]); ++i)
      for (std::size_t j = 0; j < size(axes_[f]); ++j) {
        first_[d].push_back(i * stride_[e] + j * stride_[f]);
        across_[d].push_back(axes_[e].volume[i] * axes_[f].volume[j]);
      }
    surface_degC_[d].assign(first_[d].size(), start_from_.degC);
  }

  [[nodiscard]] static std::size_t size(const Axis& axis) { return static_cast<std::size_t>(axis.cells); }

  /// The nearer the core is to the steam, the less a cell may bend: what is left to go rules the time to the
  /// last kelvins, and F.
  [[nodiscard]] double most_bend_K() const {
    return fineness_.bend_K * std::clamp(std::abs(steam_degC_ - new_degC_[0]) / far_K, 0.15, 1.5);
  }

  /// Every line along one direction at once, implicit in two stages. Arrays hold the first cells of all
  /// lines, then the second ones and so on, so that lines go side by side through the processor.
  void heat_along(std::size_t d, double dt_s) {
    static const double gamma = 1 - std::sqrt(0.5);
    const Axis& axis = axes_[d];
    const std::vector<std::size_t>& first = first_[d];
    lines_ = first.size();
    for (std::size_t c = 0, at = 0; c < size(axis); ++c)
      for (std::size_t j = 0; j < lines_; ++j, ++at) {
        start_[at] = goal_[at] = line_heat_[at] = new_heat_[first[j] + c * stride_[d]];
        line_degC_[at] = new_degC_[first[j] + c * stride_[d]];
      }
    solve_lines(d, gamma * dt_s);
    take_in(d, (1 - gamma) / gamma);
    for (std::size_t at = 0; at < goal_.size(); ++at)
      goal_[at] = start_[at] + (1 - gamma) / gamma * (line_heat_[at] - start_[at]);
    solve_lines(d, gamma * dt_s);
    take_in(d, 1);
    for (std::size_t c = 0, at = 0; c < size(axis); ++c)
      for (std::size_t j = 0; j < lines_; ++j, ++at) {
        new_heat_[first[j] + c * stride_[d]] = line_heat_[at];
        new_degC_[first[j] + c * stride_[d]] = line_degC_[at];
      }
  }

  /// Counts what came through the surface in the stage just solved.
  void take_in(std::size_t d, double share) {
    double sum = 0;
    for (std::size_t j = 0; j < lines_; ++j)
      sum += line_in_[j] * across_[d][j];
    new_heat_in_ += share * sum;
  }

  /// heat = goal + dt x (flux in - flux out) / volume along every line, by Newton. What flowed in is told
  /// from the same fluxes that were added, so nothing is lost however far Newton came.
  void solve_lines(std::size_t d, double dt_s) {
    const Axis& axis = axes_[d];
    for (int turn = 0; turn < most_turns; ++turn) {
      for (std::size_t at = 0; at < line_degC_.size(); ++at)
        path_.look_up(line_degC_[at], k_[at], integral_[at]);
      find_heat_capacities();
      find_surface(d);
      eliminate(axis, dt_s);
      substitute(axis);
      if (apply_fluxes(axis, dt_s) < newton_K) return;
    }
  }

  void find_heat_capacities() {
    const Enthalpy enthalpy = body_.enthalpy; // a copy of its own, which no array can overlap
    const double* degC = line_degC_.data();
    double* cp = cp_.data();
    const std::size_t count = cp_.size();
    COLDBAG_NO_OVERLAP
    for (std::size_t at = 0; at < count; ++at)
      cp[at] = enthalpy.cp_J_per_kgK(degC[at]);
  }

  void find_surface(std::size_t d) {
    const Axis& axis = axes_[d];
    const std::size_t last = (size(axis) - 1) * lines_;
    const std::size_t before = last - lines_;
    for (std::size_t j = 0; j < lines_; ++j) {
      const SurfaceFlux flux = surface_flux(path_, axis, steam_degC_, {k_[last + j], integral_[last + j]},
                                            {k_[before + j], integral_[before + j]}, surface_degC_[d][j]);
      surface_degC_[d][j] = flux.degC;
      surface_W_[j] = axis.surface * flux.W_per_m2;
      surface_slope_[j] = axis.surface * flux.slope;
      surface_inner_[j] = axis.surface * flux.inner_slope;
    }
  }

  /// Newton's matrix is tridiagonal: rows outward; lines go two or more at a time.
  void eliminate(const Axis& axis, double dt_s) {
    const std::size_t n = size(axis);
    for (std::size_t c = 0; c < n; ++c) {
      const bool is_last = c + 1 == n;
      const double inward = c == 0 ? 0 : axis.flow[c - 1];
      const double outward = is_last ? 0 : axis.flow[c];
      const double volume_by_s = axis.volume[c] / dt_s;
      const double heat_by_s = volume_by_s * body_.density_kg_per_m3;
      const std::size_t row = c * lines_;
      const auto before = [&](const std::vector<double>& cells) {
        return c == 0 ? zeros_.data() : cells.data() + row - lines_;
      };
      const double* __restrict k = k_.data() + row;
      const double* __restrict cp = cp_.data() + row;
      const double* __restrict goal = goal_.data() + row;
      const double* __restrict heat = line_heat_.data() + row;
      const double* __restrict integral = integral_.data() + row;
      const double* __restrict integral_before = before(integral_);
      const double* __restrict integral_next = is_last ? zeros_.data() : integral_.data() + row + lines_;
      const double* __restrict k_before = before(k_);
      const double* __restrict inverse_before = before(inverse_);
      const double* __restrict right_before = before(right_);
      const double* __restrict surface_W = is_last ? surface_W_.data() : zeros_.data();
      const double* __restrict surface_slope = is_last ? surface_slope_.data() : zeros_.data();
      const double* __restrict surface_inner = is_last ? surface_inner_.data() : zeros_.data();
      double* __restrict inverse = inverse_.data() + row;
      double* __restrict right = right_.data() + row;
      COLDBAG_NO_OVERLAP
      for (std::size_t j = 0; j < lines_; ++j) {
        const double diagonal = heat_by_s * cp[j] + (inward + outward) * k[j] - surface_slope[j];
        const double residual = (goal[j] - heat[j]) * volume_by_s +
                                inward * (integral_before[j] - integral[j]) -
                                outward * (integral[j] - integral_next[j]) + surface_W[j];
        // The row before has -inward k[j] to its right.
        const double factor = (inward * k_before[j] + surface_inner[j]) * inverse_before[j];
        inverse[j] = 1 / (diagonal - factor * inward * k[j]);
        right[j] = residual + factor * right_before[j];
      }
    }
  }

  /// right_ becomes the change of temperature.
  void substitute(const Axis& axis) {
    const std::size_t n = size(axis);
    for (std::size_t j = 0, row = (n - 1) * lines_; j < lines_; ++j)
      right_[row + j] *= inverse_[row + j];
    for (std::size_t c = n - 1; c-- > 0;) {
      const std::size_t row = c * lines_;
      const double flow = axis.flow[c];
      const double* __restrict inverse = inverse_.data() + row;
      const double* __restrict k_next = k_.data() + row + lines_;
      const double* __restrict right_next = right_.data() + row + lines_;
      double* __restrict right = right_.data() + row;
      for (std::size_t j = 0; j < lines_; ++j)
        right[j] = (right[j] + flow * k_next[j] * right_next[j]) * inverse[j];
    }
  }

  /// The fluxes as Newton's straight line has them, and the heat they bring. How far the temperature of any
  /// cell is from what Newton aimed at.
  double apply_fluxes(const Axis& axis, double dt_s) {
    const std::size_t n = size(axis);
    double* __restrict from_within = from_within_.data();
    std::fill_n(from_within, lines_, 0.0);
    for (std::size_t c = 0; c < n; ++c) {
      const bool is_last = c + 1 == n;
      const double s_by_volume = dt_s / axis.volume[c];
      const double outward = is_last ? 0 : axis.flow[c];
      const std::size_t row = c * lines_;
      const auto next = [&](const std::vector<double>& cells) {
        return is_last ? zeros_.data() : cells.data() + row + lines_;
      };
      const double* __restrict k = k_.data() + row;
      const double* __restrict integral = integral_.data() + row;
      const double* __restrict right = right_.data() + row;
      const double* __restrict goal = goal_.data() + row;
      const double* __restrict k_next = next(k_);
      const double* __restrict integral_next = next(integral_);
      const double* __restrict right_next = next(right_);
      const double* __restrict surface_W = is_last ? surface_W_.data() : zeros_.data();
      const double* __restrict surface_slope = is_last ? surface_slope_.data() : zeros_.data();
      const double* __restrict surface_inner = is_last ? surface_inner_.data() : zeros_.data();
      const double* __restrict right_before = c == 0 ? zeros_.data() : right - lines_;
      double* __restrict heat = line_heat_.data() + row;
      double* __restrict aimed = aimed_.data() + row;
      const double* __restrict degC = line_degC_.data() + row;
      COLDBAG_NO_OVERLAP
      for (std::size_t j = 0; j < lines_; ++j) {
        const double comes_in =
            surface_W[j] + surface_slope[j] * right[j] + surface_inner[j] * right_before[j];
        const double leaves =
            outward * (integral[j] - integral_next[j] + k[j] * right[j] - k_next[j] * right_next[j]) -
            comes_in;
        aimed[j] = degC[j] + right[j];
        heat[j] = goal[j] + s_by_volume * (from_within[j] - leaves);
        from_within[j] = leaves;
      }
    }
    for (std::size_t j = 0; j < lines_; ++j)
      line_in_[j] = -dt_s * from_within[j];
    return find_temperatures();
  }

  double find_temperatures() {
    const double* __restrict heat = line_heat_.data();
    const double* __restrict aimed = aimed_.data();
    double* __restrict degC = line_degC_.data();
    const std::size_t count = line_heat_.size();
    double coldest_J = heat[0];
    for (std::size_t at = 1; at < count; ++at)
      coldest_J = std::min(coldest_J, heat[at]);
    const Enthalpy enthalpy = body_.enthalpy;
    const double inverse_density = inverse_density_;
    if (coldest_J * inverse_density >= enthalpy.thawed_J_per_kg())
      for (std::size_t at = 0; at < count; ++at)
        degC[at] = enthalpy.thawed_degC(heat[at] * inverse_density);
    else
      for (std::size_t at = 0; at < count; ++at)
        degC[at] = enthalpy.degC(heat[at] * inverse_density);
    double worst = 0;
    for (std::size_t at = 0; at < count; ++at)
      worst = std::max(worst, std::abs(degC[at] - aimed[at]));
    return worst;
  }

  /// Boils off what is hotter than the boiling point at the end of the step; heat lost on the grid.
  double flash(double abs_pressure_Pa) {
    const double boiling_degC = saturation_temperature_degC(abs_pressure_Pa);
    const double most = body_.density_kg_per_m3 * body_.enthalpy.J_per_kg(boiling_degC);
    double lost = 0;
    std::size_t c = 0;
    for (double x : axes_[0].volume)
      for (double y : axes_[1].volume)
        for (double z : axes_[2].volume) {
          if (new_heat_[c] > most) {
            lost += (new_heat_[c] - most) * x * y * z;
            new_heat_[c] = most;
            new_degC_[c] = boiling_degC;
          }
          ++c;
        }
    return lost;
  }

  /// Temperature on the shortest axis at its c-th cell, the other directions at their middle.
  [[nodiscard]] double on_axis(std::size_t d, std::size_t c) const {
    const std::size_t e = (d + 1) % 3;
    const std::size_t f = (d + 2) % 3;
    const auto along_f = [&](std::size_t i) {
      const std::size_t at = c * stride_[d] + i * stride_[e];
      return axes_[f].at_middle(degC_[at], degC_[at + (axes_[f].cells > 1 ? stride_[f] : 0)]);
    };
    return axes_[e].at_middle(along_f(0), along_f(axes_[e].cells > 1 ? 1 : 0));
  }

  [[nodiscard]] double surface_on_axis(std::size_t d) const {
    const Axis& axis = axes_[d];
    const double outer_degC = on_axis(d, size(axis) - 1);
    if (!has_moved_) return outer_degC;
    NearSurface last;
    NearSurface before;
    path_.look_up(outer_degC, last.k, last.integral);
    path_.look_up(on_axis(d, size(axis) - 2), before.k, before.integral);
    return surface_flux(path_, axis, steam_degC_, last, before, outer_degC).degC;
  }

  /// Straight in the square of the distance between the points beside it.
  [[nodiscard]] double off_axis(std::size_t d, double core_degC) const {
    const Axis& axis = axes_[d];
    const double wanted = start_from_.probe_off_m * start_from_.probe_off_m;
    double before_square = 0;
    double before = core_degC;
    for (std::size_t c = 0; c < size(axis); ++c) {
      const double here = on_axis(d, c);
      if (axis.middle_square_m2[c] >= wanted)
        return before +
               (here - before) * (wanted - before_square) / (axis.middle_square_m2[c] - before_square);
      before_square = axis.middle_square_m2[c];
      before = here;
    }
    return before;
  }

  static constexpr double far_K = 80; ///< from here on a bend of bend_K is allowed
  static constexpr double newton_K = 0.05;
  static constexpr int most_turns = 8;
  BagBody body_;
  BagStart start_from_;
  Fineness fineness_;
  HeatPath path_;
  std::array<Axis, 3> axes_;
  std::array<std::size_t, 3> stride_{};
  std::vector<double> heat_, degC_, rate_, new_heat_, new_degC_; ///< J/m3, degC, K/s of each cell
  std::array<std::vector<std::size_t>, 3> first_;   ///< of each direction's lines: their innermost cells
  std::array<std::vector<double>, 3> across_;       ///< and their cross-sections
  std::array<std::vector<double>, 3> surface_degC_; ///< and where their surface was last seen
  std::size_t lines_ = 0;                           ///< of the direction at hand; its cells:
  std::vector<double> start_, goal_, line_heat_, line_degC_, k_, integral_, inverse_, right_, cp_, aimed_;
  std::vector<double> surface_W_, surface_slope_, surface_inner_, line_in_, from_within_,
      zeros_; ///< one for each line
  double inverse_density_ = 0;
  double grid_to_bag_ = 0;
  double steam_degC_ = 0;
  double now_s_ = 0, tried_s_ = 0, heat_in_J_ = 0, flashed_J_ = 0, new_heat_in_ = 0, new_flashed_ = 0;
  bool turned_ = false;
  bool has_moved_ = false;
};

BagSteps::BagSteps(const BagBody& body, const Multipliers& multipliers, const VapourTable& vapour,
                   const BagStart& start) {
  our_check(!start.fineness || start.fineness->cells >= 2, "a grid has at least two cells");
  our_check(body.density_kg_per_m3 > 0 && body.mass_kg > 0, "a bag has a mass and a density");
  machine_ = std::make_unique<Machine>(body, multipliers, vapour, start);
}
BagSteps::BagSteps(BagSteps&&) noexcept = default;
BagSteps& BagSteps::operator=(BagSteps&&) noexcept = default;
BagSteps::~BagSteps() = default;

BagSteps::Tried BagSteps::try_step(double dt_s, const SteamPoint& mean, double end_abs_pressure_Pa) {
  return machine_->try_step(dt_s, mean, end_abs_pressure_Pa);
}
void BagSteps::keep_step() {
  machine_->keep_step();
}
BagMoment BagSteps::moment() const {
  return machine_->moment();
}
double BagSteps::held_J() const {
  return machine_->held_J();
}
double BagSteps::hottest_degC() const {
  return machine_->hottest_degC();
}
const Fineness& BagSteps::fineness() const {
  return machine_->fineness();
}
void BagSteps::set_film(double multiplier) {
  machine_->set_film(multiplier);
}

} // namespace coldbag
