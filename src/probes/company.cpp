#include "probes/company.h"

#include <algorithm>

namespace coldbag {

std::optional<double> Company::read(const Companion& other) const {
  if (block_->has[other.column][row_] == 0) return std::nullopt;
  return corrected_degC(other.correction, block_->value[other.column][row_]);
}

bool Company::any_reads() const {
  return std::any_of(others_->begin(), others_->end(),
                     [&](const Companion& other) { return block_->has[other.column][row_] != 0; });
}

std::optional<double> Company::hottest_steam_degC() const {
  std::optional<double> hottest;
  for (const Companion& other : *others_) {
    if (other.role == ProbeRole::bag || other.role == ProbeRole::outside || other.role == ProbeRole::unstated)
      continue;
    const auto degC = read(other);
    if (degC && (!hottest || *degC > *hottest)) hottest = degC;
  }
  return hottest;
}

std::vector<std::optional<double>> Company::bags_degC() const {
  std::vector<std::optional<double>> bags;
  for (const Companion& other : *others_)
    if (other.role == ProbeRole::bag) bags.push_back(read(other));
  return bags;
}

} // namespace coldbag
