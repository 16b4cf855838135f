#include "run/one_run.h"

#include "errors/user_error.h"

#include <fmt/format.h>

#include <algorithm>
#include <limits>

namespace coldbag {

RunInput cut_to_run(RunInput input, const std::vector<Stretch>& runs, int number) {
  const std::size_t count = std::max<std::size_t>(runs.size(), 1);
  if (number < 1 || static_cast<std::size_t>(number) > count)
    throw UserError(usage(count == 1 ? fmt::format("--run {}: the log holds 1 run", number)
                                     : fmt::format("--run {}: the log holds {} runs", number, count),
                          count == 1 ? "leave --run out" : fmt::format("choose a run from 1 to {}", count)));
  if (runs.size() < 2) return input;
  const auto i = static_cast<std::size_t>(number - 1);
  const auto half_way_s = [&](std::size_t before) {
    return (runs[before].to_s + runs[before + 1].from_s) / 2;
  };
  if (i > 0) {
    input.checked_from_s = half_way_s(i - 1);
    input.from_s = std::max(input.from_s.value_or(half_way_s(i - 1)), half_way_s(i - 1));
  }
  if (i + 1 < runs.size()) input.to_s = std::min(input.to_s.value_or(half_way_s(i)), half_way_s(i));
  return input;
}

double checked_from_s(const std::vector<Stretch>& runs, double from_s) {
  std::size_t run = 0;
  while (run + 1 < runs.size() && runs[run].to_s < from_s)
    ++run;
  if (runs.empty() || run == 0) return std::numeric_limits<double>::lowest();
  return std::min(from_s, (runs[run - 1].to_s + runs[run].from_s) / 2);
}

} // namespace coldbag
