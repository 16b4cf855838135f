#include "report/chart_scale.h"

#include "run/moment_text.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>
#include <numeric>

namespace coldbag {

namespace {

constexpr std::int64_t us_per_minute = 60'000'000;
constexpr std::int64_t minutes_per_day = 24 * 60;
// Steps that divide a day, so that marks stand at the same times on each.
constexpr std::array<std::int64_t, 11> steps_minutes{1, 5, 10, 15, 30, 60, 120, 180, 240, 360, 720};

double nice_step(double rough) {
  const double power = std::pow(10, std::floor(std::log10(rough)));
  for (const double factor : {1.0, 2.0, 5.0})
    if (rough <= factor * power * (1 + 1e-9)) return factor * power;
  return 10 * power;
}

std::int64_t step_minutes(double span_s, int most_marks) {
  const double wanted = span_s / 60 / std::max(1, most_marks - 1);
  for (const std::int64_t step : steps_minutes)
    if (static_cast<double>(step) >= wanted) return step;
  return minutes_per_day * static_cast<std::int64_t>(std::ceil(wanted / minutes_per_day));
}

std::string day_of(WallTime wall) {
  return print_iso_wall(wall).substr(0, 10);
}

std::int64_t floor_to(std::int64_t value, std::int64_t step) {
  return value - ((value % step) + step) % step;
}

std::vector<TimeMark> elapsed_marks(double from_s, double to_s, std::int64_t step) {
  std::vector<TimeMark> out;
  const double step_s = static_cast<double>(step) * 60;
  for (double at_s = std::ceil(from_s / step_s - 1e-9) * step_s; at_s <= to_s + 1e-6; at_s += step_s) {
    const auto minutes = static_cast<std::int64_t>(std::llround(at_s / 60));
    out.push_back({at_s, fmt::format("{}:{:02}", minutes / 60, minutes % 60), ""});
  }
  return out;
}

} // namespace

ValueAxis value_axis(double lowest, double highest, int most_marks) {
  if (!(highest > lowest)) {
    lowest -= 0.5;
    highest = lowest + 1;
  }
  const double step = nice_step((highest - lowest) / std::max(1, most_marks - 1));
  ValueAxis axis;
  const double first = std::floor(lowest / step + 1e-9);
  const double last = std::ceil(highest / step - 1e-9);
  axis.low = first * step;
  axis.high = last * step;
  axis.decimals = std::max(0, static_cast<int>(-std::floor(std::log10(step) + 1e-9)));
  for (double i = first; i <= last; ++i)
    axis.marks.push_back(i * step);
  return axis;
}

std::vector<TimeMark> time_marks(const RunClock& clock, double from_s, double to_s, int most_marks) {
  const std::int64_t step = step_minutes(to_s - from_s, most_marks);
  const auto begin = wall_at(clock, from_s);
  if (!begin) return elapsed_marks(from_s, to_s, step);
  std::vector<TimeMark> out;
  std::string day;
  const std::int64_t step_us = step * us_per_minute;
  double at_s = from_s;
  // Each mark is sought anew from the one before it: the wall's clock may have been put on meanwhile.
  for (WallTime wall = *begin; at_s <= to_s + 1e-6;) {
    const std::int64_t floor_us = floor_to(wall.us, step_us);
    if (floor_us == wall.us) {
      const std::string now = day_of(wall);
      out.push_back({at_s, print_iso_wall(wall).substr(11, 5), now == day ? "" : now});
      day = now;
    }
    at_s += static_cast<double>(floor_us + step_us - wall.us) / 1e6;
    wall = *wall_at(clock, at_s);
  }
  return out;
}

std::vector<double> spread_labels(const std::vector<double>& wanted, double height, double low, double high) {
  const std::size_t count = wanted.size();
  if (count == 0) return {};
  std::vector<std::size_t> order(count);
  std::iota(order.begin(), order.end(), std::size_t{0});
  std::stable_sort(order.begin(), order.end(),
                   [&](std::size_t a, std::size_t b) { return wanted[a] < wanted[b]; });
  const double room = high - low;
  const double step = count > 1 ? std::min(height, (room - height) / static_cast<double>(count - 1)) : height;
  std::vector<double> out(count);
  double least = low + height / 2;
  for (const std::size_t i : order) {
    out[i] = std::max(wanted[i], least);
    least = out[i] + step;
  }
  double most = high - height / 2;
  for (auto it = order.rbegin(); it != order.rend(); ++it) {
    out[*it] = std::min(out[*it], most);
    most = out[*it] - step;
  }
  return out;
}

std::vector<int> rows_of_labels(const std::vector<double>& left, const std::vector<double>& width,
                                double gap) {
  std::vector<int> rows;
  std::vector<double> ends;
  for (std::size_t i = 0; i < left.size(); ++i) {
    const auto free =
        std::find_if(ends.begin(), ends.end(), [&](double end) { return end + gap <= left[i]; });
    const auto row = free - ends.begin();
    if (free == ends.end()) ends.push_back(0);
    ends[static_cast<std::size_t>(row)] = left[i] + width[i];
    rows.push_back(static_cast<int>(row));
  }
  return rows;
}

} // namespace coldbag
