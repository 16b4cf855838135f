// All that one trace earned against one reference: F, F in the bands of temperature, and what gaps withheld.
#pragma once

#include "kinetics/hold.h"
#include "kinetics/lethality.h"

#include <array>
#include <vector>

namespace coldbag {

/// Upper edges of the bands in which F is shown, degC; the last band is open.
inline constexpr std::array<double, 7> band_edges_degC = {70, 80, 90, 100, 110, 118, 124};

/// Adds up the lethality of a trace, segment by segment. Every reading is moved by `shift_K` before it
/// counts.
class ExposureMeter {
 public:
  ExposureMeter(Reference reference, double shift_K) : reference_(std::move(reference)), shift_K_(shift_K) {}

  /// From a reading to the next. A gap counts at its lower end; a broken stretch counts nothing.
  void take(double dt_s, double t1_degC, double t2_degC, Join join);

  [[nodiscard]] const Reference& reference() const { return reference_; }
  [[nodiscard]] double F_minutes() const { return credited_.minutes(); }
  /// F if every gap and every stretch without credit had been as hot as the hotter reading beside it.
  [[nodiscard]] double F_possible_minutes() const;

 private:
  Reference reference_;
  double shift_K_;
  LethalSum credited_;
  LethalSum withheld_; ///< what gaps could have added at most
};

/// F by band of temperature; segments are split at the edges, so the bands add up to F.
class BandMeter {
 public:
  explicit BandMeter(Reference reference) : reference_(std::move(reference)) {}
  void take(double dt_s, double t1_degC, double t2_degC, Join join);
  /// One number a band, coldest band first; band_edges_degC.size() + 1 of them.
  [[nodiscard]] std::vector<double> F_minutes() const;

 private:
  Reference reference_;
  std::array<LethalSum, band_edges_degC.size() + 1> bands_;
};

} // namespace coldbag
