// A bag moved on step by step, by whoever learns of the steam only on the way.
#pragma once

#include "heatup/bag_model.h"

#include <memory>
#include <optional>

namespace coldbag {

struct BagStart {
  double at_s = 0;
  double degC = 20;                 ///< the whole bag; -40 to 200
  double probe_off_m = 0;           ///< as BagPlan has it
  std::optional<Fineness> fineness; ///< none: the working one
};

/// The machine within heat_bag: the same equations, grid and digits. A step is tried as often as its steam is
/// guessed anew, and counts once it is kept. The vapour table must outlive it.
class BagSteps {
 public:
  BagSteps(const BagBody& body, const Multipliers& multipliers, const VapourTable& vapour,
           const BagStart& start);
  BagSteps(const BagSteps&) = delete;
  BagSteps& operator=(const BagSteps&) = delete;
  BagSteps(BagSteps&&) noexcept;
  BagSteps& operator=(BagSteps&&) noexcept;
  ~BagSteps();

  struct Tried {
    double heat_J = 0;     ///< through the surface
    double flashed_J = 0;  ///< carried off by vapour that boils off
    double bend_share = 0; ///< how far the worst cell bent from a straight line, over what is allowed
  };
  /// From the last step that was kept: `mean` is the steam over the step (its time does not count), the
  /// pressure that at its end. dt_s above 0.
  Tried try_step(double dt_s, const SteamPoint& mean, double end_abs_pressure_Pa);
  /// Keeps the step that was tried last.
  void keep_step();

  [[nodiscard]] BagMoment moment() const;
  [[nodiscard]] double held_J() const; ///< from 0 C on
  [[nodiscard]] double hottest_degC() const;
  [[nodiscard]] const Fineness& fineness() const;
  /// Another film from here on: a bag that leaves the steam. A factor on what the body says.
  void set_film(double multiplier);

 private:
  class Machine;
  std::unique_ptr<Machine> machine_;
};

} // namespace coldbag
