#include "probes/rest.h"

#include "errors/our_fault.h"

#include <cmath>
#include <cstddef>
#include <deque>

namespace coldbag {

namespace {

constexpr std::size_t fewest_readings = 3;

/// Highest and lowest of a window that moves forward, each in constant time a reading.
class Window {
 public:
  explicit Window(std::span<const double> values) : values_(values) {}

  void take(std::size_t at) {
    while (!high_.empty() && values_[high_.back()] <= values_[at])
      high_.pop_back();
    while (!low_.empty() && values_[low_.back()] >= values_[at])
      low_.pop_back();
    high_.push_back(at);
    low_.push_back(at);
  }
  void drop_before(std::size_t first) {
    while (!high_.empty() && high_.front() < first)
      high_.pop_front();
    while (!low_.empty() && low_.front() < first)
      low_.pop_front();
  }
  [[nodiscard]] double span() const { return values_[high_.front()] - values_[low_.front()]; }
  [[nodiscard]] double middle() const { return (values_[high_.front()] + values_[low_.front()]) / 2; }

 private:
  std::span<const double> values_;
  std::deque<std::size_t> high_, low_;
};

/// The ends of a rest are still settling, or leaving already: its middle half is what it read.
Rest measured(std::span<const double> time_s, std::span<const double> degC, std::size_t first,
              std::size_t last) {
  const std::size_t quarter = (last - first + 1) / 4;
  const auto middle = degC.subspan(first + quarter, last - first + 1 - 2 * quarter);
  const auto count = static_cast<double>(middle.size());
  Rest rest{time_s[first], time_s[last], 0, 0, static_cast<int>(last - first + 1)};
  for (const double each : middle)
    rest.mean_degC += each / count;
  double squares = 0;
  for (const double each : middle)
    squares += (each - rest.mean_degC) * (each - rest.mean_degC);
  rest.spread_K = std::sqrt(squares / (count - 1));
  return rest;
}

} // namespace

std::optional<Rest> find_rest(std::span<const double> time_s, std::span<const double> degC, double near_degC,
                              const CheckRules& rules) {
  our_check(time_s.size() == degC.size(), "each reading has a time");
  Window window(degC);
  std::size_t first = 0;
  std::optional<std::pair<std::size_t, std::size_t>> longest;
  // A hair for readings in tenths, whose differences are none exactly.
  const double span_K = rules.rest_span_K + 1e-9;
  for (std::size_t at = 0; at < degC.size(); ++at) {
    if (at > 0 && time_s[at] - time_s[at - 1] > rules.rest_for_s) first = at;
    window.drop_before(first);
    window.take(at);
    while (window.span() > span_K)
      window.drop_before(++first);
    const double length_s = time_s[at] - time_s[first];
    if (length_s < rules.rest_for_s || at - first + 1 < fewest_readings ||
        std::abs(window.middle() - near_degC) > rules.rest_near_K)
      continue;
    if (!longest || length_s >= time_s[longest->second] - time_s[longest->first]) longest = {first, at};
  }
  if (!longest) return {};
  return measured(time_s, degC, longest->first, longest->second);
}

} // namespace coldbag
