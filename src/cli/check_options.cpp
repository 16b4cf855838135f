#include "cli/check_options.h"

#include "cli/drawn_files.h"
#include "cli/log_options.h"
#include "cli/option_group.h"
#include "cli/options.h"
#include "cli/vessel_options.h"
#include "kinetics/reference_table.h"
#include "quantity/parse.h"

#include <boost/program_options.hpp>

#include <fmt/format.h>

#include <algorithm>
#include <charconv>

namespace coldbag {

namespace po = boost::program_options;

namespace {

double count_option(const std::string& text) {
  double count = 0;
  const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), count);
  if (error != std::errc{} || end != text.data() + text.size() || !(count > 0) || count > 1e30)
    throw UserError(usage(fmt::format("--if-each-bag-held: \"{}\" is no number above 0", text),
                          "write how many of an organism each bag held, for example 1e6"));
  return count;
}

int run_number_option(const std::string& text) {
  int number = 0;
  const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), number);
  if (error != std::errc{} || end != text.data() + text.size())
    refuse_option("run", "\"" + text + "\" is no whole number", "write for example --run 2");
  return number;
}

EventTime time_option(const std::string& option, const std::string& text) {
  EventTime time;
  if (const auto iso = parse_iso_time(text); iso && iso->has_clock) {
    time.wall = iso->wall;
    time.offset_s = iso->offset_s;
    return time;
  }
  const Parsed elapsed = parse_quantity(text, Dimension::duration);
  if (!elapsed.value)
    throw UserError(usage(fmt::format("--{}: \"{}\" is no time", option, text),
                          "write 2026-03-08T06:10, or a time since the log began: \"9 h 30 min\""));
  time.elapsed_s = elapsed.value;
  return time;
}

// "WHAT TIME", and behind a comma the probe for what happens to a probe, else a note.
RunEvent event_option(const std::string& all) {
  const std::size_t comma = std::min(all.find(','), all.size());
  const std::string text = all.substr(0, comma);
  const std::size_t blank = text.find(' ');
  RunEvent event;
  const auto kind = find_event(text.substr(0, blank));
  if (!kind || blank == std::string::npos)
    throw UserError(usage(fmt::format("--event: \"{}\" is no event with a time", text),
                          "write for example --event \"steam_off 2026-03-08T06:10\""));
  event.what = *kind;
  event.time = time_option("event", text.substr(blank + 1));
  event.place.key_path = "--event";
  const auto behind = split_names({all.substr(comma)});
  const bool is_of_probe = event.what == EventKind::probe_moved || event.what == EventKind::probe_replaced ||
                           event.what == EventKind::bag_burst;
  std::string& more = is_of_probe ? event.probe : event.note;
  for (const std::string& name : behind)
    more += (more.empty() ? "" : ", ") + name;
  if (event.what != EventKind::bag_burst && is_of_probe && more.empty())
    throw UserError(usage(fmt::format("--event: \"{}\" does not say which probe", all),
                          "write for example --event \"probe_moved 2026-03-08T06:10, Core 1\""));
  return event;
}

Reference reference_option(const std::string& text, const TableFiles& tables) {
  const auto named = read_references(tables);
  if (const NamedReference* found = find_reference(named, text)) return found->reference;
  const std::size_t comma = text.find(',');
  if (comma != std::string::npos) {
    Reference own;
    own.name = "F";
    own.at_degC = quantity_option("reference", text.substr(0, comma), Dimension::temperature);
    own.z_K = quantity_option("reference", text.substr(comma + 1), Dimension::temperature_difference);
    if (own.z_K > 0) return own;
    throw UserError(
        usage("--reference: z must be above zero", "write for example --reference \"121.1 C, 10 K\""));
  }
  std::string keys;
  for (const NamedReference& one : named)
    keys += (keys.empty() ? "" : ", ") + one.key;
  throw UserError(usage(fmt::format("--reference: there is no reference \"{}\"", text),
                        "write \"121.1 C, 10 K\" or one of " + keys));
}

} // namespace

po::options_description judging_options(const Words& words) {
  OptionGroup judged(words, "judged");
  judged.text("treatment").text("reference").text("if-each-bag-held").text("tables");
  OptionGroup probes(words, "probes");
  probes.texts("in-bag").texts("vessel").texts("leave-out").text("class").text("u");
  OptionGroup site(words, "site");
  site.text("site");
  add_vessel_options(site);
  OptionGroup run(words, "run");
  run.texts("event").text("run").text("from").text("to").flag("running").flag("by-hand");
  po::options_description all;
  for (const OptionGroup* group : {&judged, &probes, &site, &run})
    all.add(group->described());
  all.add(log_options(words));
  return all;
}

std::map<std::string, std::vector<std::string>> judging_given(const Given& given, const Words& words) {
  std::map<std::string, std::vector<std::string>> out;
  const po::options_description described = judging_options(words);
  for (const auto& option : described.options())
    if (const std::string& name = option->long_name(); given.has(name)) out[name] = given.texts(name);
  return out;
}

po::options_description check_options(const Words& words) {
  OptionGroup shown(words, "shown");
  shown.flag("explain").flag("full").flag("json").flag("no-color").text("language").flag("help,h");
  po::options_description all;
  all.add(judging_options(words)).add(shown.described()).add(drawing_options(words));
  return all;
}

RunOptions read_check_options(const Given& given, const TableFiles& tables) {
  RunOptions options;
  if (given.has("treatment")) options.treatment = given.text("treatment");
  options.in_bag = split_names(given.texts("in-bag"));
  options.vessel = split_names(given.texts("vessel"));
  options.left_out = split_names(given.texts("leave-out"));
  const VesselOptions vessel = read_vessel_options(given);
  options.altitude_m = vessel.altitude_m;
  options.site_pressure_Pa = vessel.site_pressure_Pa;
  options.vessel_kind = vessel.kind;
  options.rating_gauge_Pa = vessel.rating_gauge_Pa;
  if (given.has("class")) options.probe_class = given.text("class");
  if (given.has("u")) {
    options.u_K = quantity_option("u", given.text("u"), Dimension::temperature_difference);
    if (*options.u_K < 0)
      throw UserError(usage("--u: an uncertainty is not below zero", "write for example --u \"0.3 K\""));
  }
  if (given.has("if-each-bag-held")) options.initial_count = count_option(given.text("if-each-bag-held"));
  if (given.has("reference")) options.reference = reference_option(given.text("reference"), tables);
  for (const std::string& event : given.texts("event"))
    options.events.push_back(event_option(event));
  if (given.has("run")) options.run_number = run_number_option(given.text("run"));
  if (given.has("from")) options.from = time_option("from", given.text("from"));
  if (given.has("to")) options.to = time_option("to", given.text("to"));
  options.is_running = given.has("running");
  options.by_hand = given.has("by-hand");
  read_log_options(given, options.log);
  return options;
}

} // namespace coldbag
