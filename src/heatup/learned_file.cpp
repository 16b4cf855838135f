#include "heatup/learned_file.h"

#include "farm/keyed.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>

namespace coldbag {

namespace {

constexpr std::array<std::string_view, unknown_count> names{"conductivity", "vapour", "film"};
constexpr std::array<std::array<std::size_t, 2>, 3> pairs{{{0, 1}, {0, 2}, {1, 2}}};

constexpr Bounds multiplier_bounds{0.01, 100.0, true, "from 0.01 to 100"};
constexpr Bounds sd_bounds{1e-4, 2.0, true, "from 0.0001 to 2"};
constexpr Bounds correlation_bounds{-1.0, 1.0, true, "from -1 to 1"};
constexpr Bounds spread_bounds{0.01, 2.0, true, "from 0.01 to 2"};
constexpr Bounds freedom_bounds{1.0, 1e6, true, "from 1 to 1000000"};

std::string correlation_key(const std::array<std::size_t, 2>& pair) {
  return fmt::format("{}_with_{}", names[pair[0]], names[pair[1]]);
}

/// A basic string of TOML.
std::string quoted(std::string_view text) {
  std::string out = "\"";
  for (const char c : text) {
    if (c == '"' || c == '\\')
      out += fmt::format("\\{}", c);
    else if (static_cast<unsigned char>(c) < 0x20 || c == 0x7f)
      out += fmt::format("\\u{:04x}", static_cast<unsigned>(static_cast<unsigned char>(c)));
    else
      out += c;
  }
  return out + '"';
}

std::string digits(double value) {
  return fmt::format("{:.6g}", value);
}

std::string day(WallTime time) {
  return print_iso_wall(time).substr(0, 10);
}

std::string bag_lines(const LearnedBag& bag) {
  std::string out = fmt::format("\n[bags.{}]\ndescribed = {}\nruns = {}\nbags = {}\n", quoted(bag.bag),
                                quoted(bag.described), bag.runs, bag.bags);
  std::array<double, unknown_count> sd{};
  for (std::size_t u = 0; u < unknown_count; ++u) {
    sd[u] = std::sqrt(bag.prior.covariance[u][u]);
    out += fmt::format("{} = {}\n{}_sd = {}\n", names[u], digits(std::exp(bag.prior.ln[u])), names[u],
                       digits(sd[u]));
  }
  for (const auto& pair : pairs)
    out += fmt::format("{} = {}\n", correlation_key(pair),
                       digits(bag.prior.covariance[pair[0]][pair[1]] / (sd[pair[0]] * sd[pair[1]])));
  return out;
}

std::string pattern_lines(const LearnedPattern& pattern) {
  return fmt::format("\n[patterns.{}]\nvessel = {}\nbag = {}\nstacking = {}\nmass = \"{} kg\"\ncount = {}\n"
                     "lowest_moisture = \"{} %\"\nhighest_moisture = \"{} %\"\nruns = {}\nlast = {}\n",
                     quoted(pattern.name), quoted(pattern.vessel), quoted(pattern.bag),
                     quoted(pattern.stacking), digits(pattern.mass_kg), pattern.count,
                     digits(100 * pattern.lowest_moisture_wb), digits(100 * pattern.highest_moisture_wb),
                     pattern.runs, day(pattern.last));
}

template <class Value>
Value required(KeyedTable& table, std::string_view key, const Stated<Value>& value) {
  if (!value.value && !table.has(key))
    table.complain(key, fmt::format("{} is missing", key), "have it written anew: coldbag lag --learn");
  return value.value.value_or(Value{});
}

double required_number(KeyedTable& table, std::string_view key, const Bounds& bounds) {
  return required(table, key, table.number(key, bounds));
}

/// A covariance is that of some three quantities where none of its leading determinants is 0 or less.
bool can_be(const UnknownMatrix& c) {
  const double two = c[0][0] * c[1][1] - c[0][1] * c[0][1];
  const double three = c[2][2] * two - c[0][0] * c[1][2] * c[1][2] - c[1][1] * c[0][2] * c[0][2] +
                       2 * c[0][1] * c[0][2] * c[1][2];
  return c[0][0] > 0 && two > 0 && three > 0;
}

LearnedBag read_bag(const std::string& name, KeyedTable& table) {
  LearnedBag bag;
  bag.bag = name;
  bag.described = required(table, "described", table.text("described"));
  bag.runs = required(table, "runs", table.whole_number("runs", above_zero));
  bag.bags = required(table, "bags", table.whole_number("bags", above_zero));
  std::array<double, unknown_count> sd{};
  bool is_whole = true;
  for (std::size_t u = 0; u < unknown_count; ++u) {
    const double factor = required_number(table, names[u], multiplier_bounds);
    sd[u] = required_number(table, fmt::format("{}_sd", names[u]), sd_bounds);
    is_whole = is_whole && factor > 0 && sd[u] > 0;
    bag.prior.ln[u] = std::log(std::max(factor, 1e-9));
    bag.prior.covariance[u][u] = sd[u] * sd[u];
  }
  for (const auto& pair : pairs) {
    const double r = required_number(table, correlation_key(pair), correlation_bounds);
    bag.prior.covariance[pair[0]][pair[1]] = bag.prior.covariance[pair[1]][pair[0]] =
        r * sd[pair[0]] * sd[pair[1]];
  }
  if (is_whole && !can_be(bag.prior.covariance))
    table.complain(correlation_key(pairs[0]), "no three quantities have these deviations and correlations",
                   "have the file written anew: coldbag lag --learn");
  table.finish();
  return bag;
}

double required_moisture(KeyedTable& table, std::string_view key) {
  return required(table, key, table.quantity(key, Dimension::fraction, zero_to_one));
}

LearnedPattern read_pattern(const std::string& name, KeyedTable& table) {
  LearnedPattern pattern;
  pattern.name = name;
  pattern.vessel = required(table, "vessel", table.text("vessel"));
  pattern.bag = required(table, "bag", table.text("bag"));
  pattern.stacking = table.plain_text("stacking");
  pattern.mass_kg = required(table, "mass", table.quantity("mass", Dimension::mass, above_zero));
  pattern.count = required(table, "count", table.whole_number("count", above_zero));
  pattern.lowest_moisture_wb = required_moisture(table, "lowest_moisture");
  pattern.highest_moisture_wb = required_moisture(table, "highest_moisture");
  pattern.runs = required(table, "runs", table.whole_number("runs", above_zero));
  pattern.last = required(table, "last", table.time("last")).wall;
  table.finish();
  return pattern;
}

} // namespace

std::string_view learned_heading() {
  return "# What the runs of a farm have shown. Written by coldbag lag --learn; write it anew, do not edit "
         "it.";
}

std::string write_learned(const Learned& learned) {
  std::string out(learned_heading());
  out += fmt::format("\n[learned]\nspread = {}\nspread_freedom = {}\nruns = [", digits(learned.spread.sd),
                     digits(learned.spread.freedom));
  for (std::size_t i = 0; i < learned.runs.size(); ++i)
    out += fmt::format("{}\n  {}", i > 0 ? "," : "", quoted(learned.runs[i]));
  out += "\n]\n";
  for (const LearnedBag& bag : learned.bags)
    out += bag_lines(bag);
  for (const LearnedPattern& pattern : learned.patterns)
    out += pattern_lines(pattern);
  return out;
}

Learned read_learned(std::string_view source_name, std::string_view toml) {
  KeyedDocument document(source_name, toml);
  KeyedTable root = document.root();
  Learned learned;
  learned.source_name = source_name;
  KeyedTable heading = root.table("learned");
  if (!root.has("learned"))
    root.complain("learned", "the heading [learned] is missing",
                  "name a file that coldbag lag --learn has written");
  learned.spread.sd = required_number(heading, "spread", spread_bounds);
  learned.spread.freedom = required_number(heading, "spread_freedom", freedom_bounds);
  learned.runs = heading.texts("runs");
  heading.finish();
  for (auto& [name, table] : root.named_tables("bags"))
    learned.bags.push_back(read_bag(name, table));
  for (auto& [name, table] : root.named_tables("patterns"))
    learned.patterns.push_back(read_pattern(name, table));
  root.finish();
  document.throw_complaints();
  return learned;
}

} // namespace coldbag
