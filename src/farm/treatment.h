// A treatment: what a run must deliver, what it must not, and on what each number rests.
#pragma once

#include "errors/user_error.h"
#include "kinetics/lethality.h"
#include "quantity/print.h"
#include "tables/edition.h"

#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace coldbag {

/// On what a figure rests; written in tables and reports by these words.
enum class Basis { published, common_practice, from_memory, assumed, site };
[[nodiscard]] std::string_view basis_text(Basis basis); ///< "published", "common practice", ...
[[nodiscard]] std::optional<Basis> find_basis(std::string_view text);

/// What a criterion measures; the unit of `required` stands behind each.
enum class Measure {
  F,       ///< minutes at the reference, coldest bag (too little) or hottest place (too much: cook value)
  hold,    ///< minutes, longest unbroken stretch at or above the setpoint
  all_hot, ///< minutes during which every probed bag was hot at once
  minutes_at_or_above, ///< minutes in all at or above `level_degC`, hottest place
  top,                 ///< degC, highest reading, hottest place
  over_boiling,        ///< K, steam space over the local boiling point
  under_saturation,    ///< K, saturation by the vessel's pressure less the steam probe
  moisture,            ///< wet-basis fraction of the bags, between two limits
  log_reduction        ///< decades of `organism`
};

struct HeavierBags {
  double than_kg = 0;
  double required = 0;
  Basis basis = Basis::assumed;
  bool operator==(const HeavierBags&) const = default;
};

struct TreatmentCriterion {
  std::string name; ///< key of words, unique in the treatment: "lethality", "hold", "wanted_hold"
  Measure measure = Measure::F;
  Sense sense = Sense::at_least;
  double required = 0;                ///< unit of the measure
  std::optional<double> required_to;  ///< moisture: upper end of the band
  bool fails = true;                  ///< on_miss "fail", else "caution"
  std::optional<double> level_degC;   ///< minutes_at_or_above
  std::optional<double> for_s;        ///< over_boiling, under_saturation: held for this long
  std::optional<Reference> reference; ///< of its own, for a cook value
  std::string organism;               ///< log_reduction
  std::optional<HeavierBags> heavier; ///< another `required` for heavier bags
  Basis basis = Basis::assumed;
  std::string source;  ///< key of sources.csv, "" where there is none
  std::string locator; ///< where in the source: "p.172"
  std::string note;
  Place place;
  bool operator==(const TreatmentCriterion&) const = default;
};

/// Figures that are shown with their basis though they are no criterion ("setpoint", "counts_from").
struct TreatmentFigure {
  std::string name;
  Basis basis = Basis::assumed;
  std::string source;
  std::string locator; ///< where in the source: "p.172"
  bool operator==(const TreatmentFigure&) const = default;
};

struct Treatment {
  std::string key;                        ///< "sterilize"
  std::string name;                       ///< as shown: "sterilize", "atmospheric steam"
  std::vector<std::string> vessel_kinds;  ///< kinds it is meant for: "pressure-rated", "vented"
  Reference reference;                    ///< without the cut-off
  std::optional<double> counts_from_degC; ///< lowest temperature that counts towards the criterion
  double setpoint_degC = 0;               ///< hot-by and hold
  std::optional<double>
      setpoint_under_boiling_K; ///< the setpoint is at most this far under the local boiling point
  bool strict_hold = false;     ///< raw readings alone count
  double join_s = 300;
  double gap_s = 1800;
  double gap_by_hand_s = 2400;
  bool needs_moist_wood_note = false;
  std::vector<TreatmentCriterion> criteria;
  std::vector<TreatmentFigure> figures;
  std::vector<std::string> notes; ///< keys of words shown with the treatment
  Place place;
  bool operator==(const Treatment&) const = default;
};

/// "F", "hold", "minutes_at_or_above", ... as the file says it.
[[nodiscard]] std::string_view measure_text(Measure measure);
[[nodiscard]] std::optional<Measure> find_measure(std::string_view text);

/// Reads the [[treatment]] tables of a TOML text; throws UserError with every fault. What says no basis has
/// the basis "site".
[[nodiscard]] std::vector<Treatment> read_treatments(std::string_view source_name, std::string_view toml);

/// The treatment of this key, or null.
[[nodiscard]] const Treatment* find_treatment(const std::vector<Treatment>& treatments, std::string_view key);

} // namespace coldbag
