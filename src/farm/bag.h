// A kind of bag as a site file describes it.
#pragma once

#include "farm/vessel.h"

namespace coldbag {

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
  Stated<std::string> closure; ///< "breathing", "sealed", "open"
  Stated<std::string> film;    ///< key of films.csv
  Place place;
  bool operator==(const Bag&) const = default;
};

} // namespace coldbag
