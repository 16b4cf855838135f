// What was in the vessel: how many bags of which kind, where.
#pragma once

#include "farm/vessel.h"

#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace coldbag {

struct LoadLine {
  std::string bag; ///< name of the bag kind
  int count = 0;
  std::string rack;
  std::string layer;
  std::optional<double> mass_kg; ///< where it differs from the kind's
  std::optional<double> moisture_wb;
  std::string lot;
  Place place;
  bool operator==(const LoadLine&) const = default;
};

struct Load {
  std::vector<LoadLine> lines;
  [[nodiscard]] int bag_count() const;
  bool operator==(const Load&) const = default;
};

/// A load table as CSV: columns bag, count and, where wanted, rack, layer, mass, moisture, lot (mass with its
/// unit). Throws UserError with every fault.
[[nodiscard]] Load read_load_csv(std::string_view source_name, std::string_view csv);

} // namespace coldbag
