// All that one trace earned against one reference: F, F in the bands of temperature, and what gaps withheld.
#pragma once

#include "kinetics/hold.h"
#include "kinetics/lethality.h"

#include <array>
#include <optional>
#include <vector>

namespace coldbag {

/// Upper edges of the bands in which F is shown, degC; the last band is open.
inline constexpr std::array<double, 7> band_edges_degC = {70, 80, 90, 100, 110, 118, 124};

/// Adds up the lethality of one trace against one reference, as read and moved down (or up) by several shifts
/// at once. Moving a trace by s under a cut-off c earns what the trace itself earns above c - s, times
/// 10^(s/z); so the integral over a segment is taken once, and again only for the shifts whose cut-off it
/// crosses.
class ExposureMeter {
 public:
  ExposureMeter(const Reference& reference, const std::vector<double>& shifts_K);

  /// From a reading to the next. A gap counts at its lower end; a broken stretch counts nothing. Gives back
  /// F of a straight segment without cut-offs where it was needed, so that nobody has to integrate it again.
  std::optional<double> take(double dt_s, double t1_degC, double t2_degC, Join join);

  /// F of the trace moved by the shift of this index.
  [[nodiscard]] double F_minutes(std::size_t shift) const;
  /// The same, if every gap and every stretch without credit had been as hot as the hotter reading beside it.
  [[nodiscard]] double F_possible_minutes(std::size_t shift) const;

 private:
  struct Moved {
    Reference reference; ///< cut-offs as the unmoved trace meets them
    double factor = 1;   ///< 10^(shift/z)
    LethalSum credited;
    LethalSum withheld; ///< what gaps could have added at most
  };
  void take_gap(double dt_s, double t1_degC, double t2_degC, Join join);

  [[nodiscard]] const Moved& counted(std::size_t shift) const { return moved_[has_cut_offs_ ? shift : 0]; }

  Reference plain_; ///< without cut-offs
  bool has_cut_offs_;
  std::vector<Moved> moved_; ///< without cut-offs all are alike but for the factor: the first counts for all
};

/// F by band of temperature; segments are split at the edges, so the bands add up to F.
class BandMeter {
 public:
  explicit BandMeter(Reference reference) : reference_(std::move(reference)) {}
  /// `whole_minutes`: F of the segment, where it is known already.
  void take(double dt_s, double t1_degC, double t2_degC, Join join,
            std::optional<double> whole_minutes = std::nullopt);
  /// One number a band, coldest band first; band_edges_degC.size() + 1 of them.
  [[nodiscard]] std::vector<double> F_minutes() const;
  [[nodiscard]] double total_minutes() const;

 private:
  Reference reference_;
  std::array<LethalSum, band_edges_degC.size() + 1> bands_;
};

} // namespace coldbag
