#include "report/sweep_text.h"

#include "report/layout.h"

#include <fmt/format.h>

#include <algorithm>

namespace coldbag {

namespace {

constexpr std::size_t figure_width = 13;
constexpr std::size_t screen = 80;

/// "2.31 kWh", or "-" where no fuel was named.
std::string fuel_text(const SweepRow& row) {
  if (!row.report->fuel) return print_energy(row.report->heat_per_bag_J);
  const FuelUse& use = *row.report->fuel;
  return fmt::format("{} {}", print_fixed(use.units_per_bag, 2), use.unit);
}

std::vector<std::string> cells_of(const SweepRow& row) {
  const Plan& plan = row.report->plan;
  std::vector<std::string> out{print_duration(plan.steam_off_s),
                               plan.slow_reaches_top ? print_duration(plan.come_up_s.slow) : "-",
                               print_fixed(row.bags_per_day, 1), fuel_text(row)};
  if (row.report->fuel && row.report->fuel->cost_per_bag)
    out.push_back(print_fixed(*row.report->fuel->cost_per_bag, 3));
  return out;
}

std::size_t label_width(const std::vector<std::string>& heads, const std::vector<SweepRow>& rows,
                        std::size_t i) {
  constexpr std::size_t widest = 18;
  std::size_t width = screen_length(heads[i]);
  for (const SweepRow& row : rows)
    width = std::max(width, screen_length(clean(row.labels[i])));
  return std::min(width, widest) + 2;
}

std::string trimmed(std::string line) {
  line.erase(line.find_last_not_of(' ') + 1);
  return line + "\n";
}

UnitSystem units_of(const std::vector<SweepRow>& rows) {
  for (const SweepRow& row : rows)
    if (row.report) return row.report->units;
  return UnitSystem::metric;
}

} // namespace

std::string sweep_text(const std::vector<std::string>& heads, const std::vector<SweepRow>& rows,
                       const BestRow& best, const Words& words) {
  std::vector<std::size_t> widths;
  for (std::size_t i = 0; i < heads.size(); ++i)
    widths.push_back(label_width(heads, rows, i));
  std::string out = "  ";
  for (std::size_t i = 0; i < heads.size(); ++i)
    out += padded(cut(heads[i], widths[i] - 2), widths[i]);
  for (const char* key : {"size_col_steam", "size_col_come_up", "size_col_day", "size_col_fuel"})
    out += padded(words.text(key), figure_width);
  const bool has_cost = std::ranges::any_of(rows, [](const SweepRow& row) {
    return row.report && row.report->fuel && row.report->fuel->cost_per_bag;
  });
  if (has_cost) out += words.text("size_col_cost");
  out = trimmed(std::move(out));
  for (std::size_t i = 0; i < rows.size(); ++i) {
    std::string line = best.row == i ? "* " : "  ";
    for (std::size_t j = 0; j < heads.size(); ++j)
      line += padded(cut(clean(rows[i].labels[j]), widths[j] - 2), widths[j]);
    if (rows[i].report && !rows[i].report->plan.is_enough) {
      line += words.text("size_row_never");
    } else if (rows[i].report) {
      for (const std::string& cell : cells_of(rows[i]))
        line += padded(cell, figure_width);
    } else {
      line += cut(words.text("size_refused", {{"problem", clean(rows[i].refused.front().problem)}}),
                  screen - std::min(screen_length(line), screen - 10));
    }
    out += trimmed(std::move(line));
  }
  out += wrapped(words.text("size_sweep_note"), 2);
  if (!best.row) return out + wrapped(words.text("size_best_none"), 2);
  std::string name;
  for (std::size_t j = 0; j < heads.size(); ++j)
    name += fmt::format("{}{} {}", j > 0 ? ", " : "", heads[j], clean(rows[*best.row].labels[j]));
  out += wrapped(
      words.text("size_best", {{"name", name}, {"bags", print_fixed(rows[*best.row].bags_per_day, 1)}}), 2);
  for (const Said& why : best.why_not_next)
    out += wrapped(words.text("size_best_next", {{"why", said_text(words, units_of(rows), why)}}), 2);
  return out;
}

} // namespace coldbag
