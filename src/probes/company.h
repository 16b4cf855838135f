// What the other probes of the same log read in the same row: evidence beside a probe's own trace.
#pragma once

#include "farm/probe.h"
#include "logs/rows.h"

#include <cstddef>
#include <optional>
#include <vector>

namespace coldbag {

/// Another column of the log; pressure columns are not company.
struct Companion {
  std::size_t column = 0; ///< of the block
  ProbeRole role = ProbeRole::unstated;
  Correction correction;
};

/// One row as one probe sees it; looked into only where a check needs it.
class Company {
 public:
  Company(const RowBlock& block, std::size_t row, const std::vector<Companion>& others)
      : block_(&block), row_(row), others_(&others) {}

  [[nodiscard]] bool any_reads() const;
  /// Hottest probe known to be in the steam.
  [[nodiscard]] std::optional<double> hottest_steam_degC() const;
  /// The bags among the others, in their order; none where one is silent.
  [[nodiscard]] std::vector<std::optional<double>> bags_degC() const;

 private:
  [[nodiscard]] std::optional<double> read(const Companion& other) const;

  const RowBlock* block_;
  std::size_t row_;
  const std::vector<Companion>* others_;
};

} // namespace coldbag
