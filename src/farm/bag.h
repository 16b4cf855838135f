// A kind of bag as a site file describes it.
#pragma once

#include "farm/vessel.h"

namespace coldbag {

/// How a bag (or a tray of bags) is lifted by hand, as the NIOSH equation asks it.
struct Lift {
  Stated<double> mass_kg;    ///< of what is lifted at once; the bag's own where left out
  Stated<double> reach_m;    ///< hands ahead of the ankles
  Stated<double> height_m;   ///< hands above the floor at the start
  Stated<double> travel_m;   ///< up or down
  Stated<double> turn_deg;   ///< of the body
  Stated<double> per_minute; ///< lifts
  Stated<double> work_s;     ///< how long it goes on
  Stated<std::string> grip;  ///< "good", "fair", "poor"
  bool operator==(const Lift&) const = default;
};

struct Bag {
  std::string name;
  Stated<std::string> substrate; ///< key of the substrate
  Stated<std::string> form;      ///< "brick", "column", "slab", "loose"
  Stated<double> mass_kg;
  Stated<double> moisture_wb;
  Stated<double> length_m;
  Stated<double> width_m;
  Stated<double> height_m;
  Stated<double> diameter_m;
  Stated<std::string> closure;      ///< "breathing", "sealed", "open"
  Stated<std::string> neighbours;   ///< "apart", "sides" (touching side by side), "all" (stacked too)
  Stated<std::string> film;         ///< key of films.csv
  Stated<double> film_highest_degC; ///< the maker's figure; goes before the table's
  bool has_animal_origin = false;   ///< manure or another substrate of animal origin
  std::optional<Lift> lift;
  Place place;
  bool operator==(const Bag&) const = default;
};

} // namespace coldbag
