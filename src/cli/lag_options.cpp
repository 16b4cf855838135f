#include "cli/lag_options.h"

#include "cli/check_options.h"
#include "cli/option_group.h"
#include "farm/fit.h"

#include <boost/program_options.hpp>

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <array>

namespace coldbag {

namespace po = boost::program_options;

namespace {

constexpr std::array bag_option_names{"bag",   "mass",   "moisture", "substrate", "form",      "length",
                                      "width", "height", "diameter", "closure",   "neighbours"};

void take_side(const Given& given, const std::string& option, Stated<double>& stated) {
  if (!given.has(option)) return;
  take_quantity(given, option, Dimension::length, stated);
  if (!(*stated.value > 0))
    throw UserError(usage(fmt::format("--{}: a side of nothing is no bag", option), "above zero"));
}

void take_word(const Given& given, const std::string& option, const std::vector<std::string>& words,
               Stated<std::string>& stated) {
  if (!given.has(option)) return;
  const auto text = given.text(option);
  for (const std::string& word : words)
    if (word == text) return state(stated, option, text);
  throw no_choice(option, text, words);
}

/// The kind of bag that the site file describes and the options name, or an empty one.
Bag bag_of_site(const Given& given, const std::optional<Site>& site) {
  const std::string name = given.has("bag") ? given.text("bag") : "";
  if (!site && !name.empty())
    throw UserError(
        usage(fmt::format("--bag: \"{}\" is a kind of bag of a site file, and none is given", name),
              "add --site FARM.toml, or describe the bag by --mass and the rest"));
  if (!site) return {};
  std::vector<std::string> names;
  for (const Bag& bag : site->bags)
    names.push_back(bag.name);
  if (name.empty() && site->bags.size() == 1) return site->bags.front();
  if (name.empty() && names.size() > 1 && !given.has("mass"))
    throw UserError(usage("--bag: the site file has several kinds of bag",
                          fmt::format("choose one of {}", fmt::join(names, ", "))));
  if (name.empty()) return {};
  if (auto unknown = unknown_name("kind of bag in the site file called", name, option_place("bag"), names)) {
    unknown->trouble = Trouble::usage;
    throw UserError(*std::move(unknown));
  }
  return *find_bag(*site, name);
}

} // namespace

po::options_description lag_options(const Words& words) {
  OptionGroup bag(words, "bag");
  bag.text_or_nothing("bag").text("mass").text("moisture").text("substrate").text("form");
  bag.text("length").text("width").text("height").text("diameter").text("closure").text("neighbours");
  bag.text("bags");
  OptionGroup steam(words, "steam_before");
  steam.text("steam", "lag-steam").text("come-up").text("start").text("csv", "lag-csv");
  OptionGroup learned(words, "learned");
  learned.flag("learn").text("out");
  OptionGroup units(words, "units");
  units.flag("us");
  po::options_description all;
  for (const OptionGroup* group : {&bag, &steam, &learned, &units})
    all.add(group->described());
  all.add(check_options(words));
  return all;
}

std::vector<std::string> with_bag_named(const std::vector<std::string>& arguments) {
  std::vector<std::string> out;
  for (const std::string& argument : arguments) {
    if (!out.empty() && out.back() == "--bag" && !argument.starts_with('-'))
      out.back() += "=" + argument;
    else
      out.push_back(argument);
  }
  return out;
}

bool has_bag_options(const Given& given) {
  return std::ranges::any_of(bag_option_names, [&](const char* name) { return given.has(name); });
}

Place option_place(const std::string& option) {
  return {"", 0, 0, "--" + option};
}

void take_quantity(const Given& given, const std::string& option, Dimension dimension,
                   Stated<double>& stated) {
  if (given.has(option)) state(stated, option, quantity_option(option, given.text(option), dimension));
}

Bag read_bag(const Given& given, const std::optional<Site>& site) {
  Bag bag = bag_of_site(given, site);
  take_quantity(given, "mass", Dimension::mass, bag.mass_kg);
  take_quantity(given, "moisture", Dimension::fraction, bag.moisture_wb);
  if (given.has("substrate")) state(bag.substrate, "substrate", given.text("substrate"));
  take_word(given, "form", {"brick", "column", "slab", "loose"}, bag.form);
  take_side(given, "length", bag.length_m);
  take_side(given, "width", bag.width_m);
  take_side(given, "height", bag.height_m);
  take_side(given, "diameter", bag.diameter_m);
  take_word(given, "closure", {"breathing", "sealed", "open"}, bag.closure);
  take_word(given, "neighbours", {"apart", "sides", "all"}, bag.neighbours);
  return bag;
}

} // namespace coldbag
