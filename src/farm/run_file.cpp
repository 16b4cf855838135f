#include "farm/run_file.h"

#include "farm/keyed.h"
#include "farm/load_tables.h"
#include "farm/probe_tables.h"
#include "quantity/parse.h"
#include "steam/atmosphere.h"

#include <algorithm>
#include <array>
#include <tuple>
#include <utility>

namespace coldbag {

namespace {

constexpr std::array<std::pair<EventKind, std::string_view>, 19> events{
    {{EventKind::wetted, "wetted"},
     {EventKind::filled, "filled"},
     {EventKind::loaded, "loaded"},
     {EventKind::steam_on, "steam_on"},
     {EventKind::vent_closed, "vent_closed"},
     {EventKind::vent_opened, "vent_opened"},
     {EventKind::water_added, "water_added"},
     {EventKind::fuel_changed, "fuel_changed"},
     {EventKind::power_cut, "power_cut"},
     {EventKind::door_opened, "door_opened"},
     {EventKind::bag_burst, "bag_burst"},
     {EventKind::probe_moved, "probe_moved"},
     {EventKind::probe_replaced, "probe_replaced"},
     {EventKind::steam_off, "steam_off"},
     {EventKind::opened, "opened"},
     {EventKind::unloaded, "unloaded"},
     {EventKind::cooled, "cooled"},
     {EventKind::inoculated, "inoculated"},
     {EventKind::remark, "remark"}}};

/// A clock that is further off is a wrong date, to be mended in the log's name, not by an offset.
constexpr Bounds clock_offset_bounds{-366 * 86400.0, 366 * 86400.0, true, "from -366 d to 366 d"};
constexpr Bounds at_site_bounds{lowest_site_Pa, highest_site_Pa, true, site_pressure_words};
constexpr Bounds at_sea_level_bounds{lowest_at_sea_level_Pa, highest_at_sea_level_Pa, true,
                                     sea_level_pressure_words};

constexpr std::string_view which_pressure =
    "write pressure_at_site = \"88.2 kPa\" for what a barometer reads here, or pressure_at_sea_level = "
    "\"1013 hPa\" for what a weather service prints";

void read_pressures(KeyedTable& table, RunFile& run) {
  table.refuse("pressure", "which pressure is not said", std::string(which_pressure));
  run.site_pressure_Pa = table.pressure("pressure_at_site", PressureSort::barometer, at_site_bounds);
  run.sea_level_pressure_Pa =
      table.pressure("pressure_at_sea_level", PressureSort::barometer, at_sea_level_bounds);
  if (run.site_pressure_Pa.known() && run.sea_level_pressure_Pa.known())
    table.complain("pressure_at_sea_level", "pressure_at_site is given as well",
                   "keep the one that was read");
}

void read_heading(KeyedTable& table, RunFile& run) {
  run.name = table.plain_text("name");
  run.site_file = table.plain_text("site");
  run.vessel = table.text("vessel");
  run.treatment = table.text("treatment");
  run.pattern = table.text("pattern");
  run.by = table.plain_text("by");
  run.lots = table.texts("lots");
  run.notes = table.plain_text("notes");
  run.resteam_of = table.plain_text("resteam_of");
  run.initial_count = table.number("if_each_bag_held", above_zero).value;
  read_pressures(table, run);
  table.finish();
}

RunLog read_log(KeyedTable& table) {
  RunLog log;
  log.place = table.place();
  log.file = table.required_text("file", "log.csv");
  const Stated<double> offset = table.quantity("clock_offset", Dimension::duration, clock_offset_bounds);
  if (offset.asked) table.note_asked(offset.place);
  log.clock_offset_s = offset.value.value_or(0);
  log.by_hand = table.flag("by_hand");
  table.finish();
  return log;
}

void read_load(KeyedTable& root, RunFile& run) {
  if (!root.has("load")) {
    (void)root.table("load");
    return;
  }
  KeyedTable table = root.table("load");
  run.load_file = table.plain_text("file");
  if (table.has("bags"))
    run.load = read_load_tables(table);
  else
    (void)table.tables("bags");
  if (!run.load_file.empty() && run.load)
    table.complain("file", "the load is given twice, as a file and as [[load.bags]]", "keep one of the two");
  table.finish();
}

constexpr std::string_view time_remedy =
    "write time = 2026-03-08T14:05:00, or the time since the log began, for example time = \"1 h 20 min\"";

EventTime event_time_of(const IsoTime& iso) {
  EventTime time;
  time.wall = iso.wall;
  time.offset_s = iso.offset_s;
  return time;
}

/// Text that is no ISO time: a time since the log began.
std::optional<EventTime> elapsed_time(KeyedTable& table) {
  const Stated<std::string> text = table.text("time");
  if (!text.value || parse_iso_time(*text.value)) return {};
  const Parsed span = parse_quantity(*text.value, Dimension::duration);
  if (!span.value || *span.value < 0) {
    table.complain("time", '"' + *text.value + "\" is neither a date with its time nor a time span from 0 up",
                   std::string(time_remedy));
    return EventTime{};
  }
  EventTime time;
  time.elapsed_s = span.value;
  return time;
}

EventTime read_event_time(KeyedTable& table) {
  if (!table.has("time")) table.complain("time", "time is missing", std::string(time_remedy));
  if (table.holds_text("time"))
    if (const auto elapsed = elapsed_time(table)) return *elapsed;
  const Stated<IsoTime> iso = table.time("time");
  if (iso.asked)
    table.complain("time", "the time of an event cannot be \"?\"",
                   "leave the event out; what can be seen in the log is taken from there");
  if (!iso.value) return {};
  if (!iso.value->has_clock) table.complain("time", "the date has no clock time", std::string(time_remedy));
  return event_time_of(*iso.value);
}

RunEvent read_event(KeyedTable& table) {
  std::vector<std::string> words;
  words.reserve(events.size());
  for (const auto& pair : events)
    words.emplace_back(pair.second);
  RunEvent event;
  event.place = table.place();
  const Stated<std::string> what = table.choice("what", words);
  if (what.asked || !table.has("what"))
    table.complain("what", "what happened is not said",
                   R"(write for example what = "steam_on", or "remark" with a note)");
  if (what.value) event.what = *find_event(*what.value);
  event.time = read_event_time(table);
  event.note = table.plain_text("note");
  event.who = table.plain_text("who");
  event.probe = table.plain_text("probe");
  table.finish();
  return event;
}

AirReading read_air(KeyedTable& table) {
  AirReading air;
  air.place = table.place();
  air.time = read_event_time(table);
  air.where = table.plain_text("where");
  const Stated<double> carbon_monoxide = table.quantity("carbon_monoxide", Dimension::fraction, zero_to_one);
  const Stated<double> oxygen = table.quantity("oxygen", Dimension::fraction, zero_to_one);
  for (const Stated<double>& each : {carbon_monoxide, oxygen})
    if (each.asked) table.note_asked(each.place);
  air.carbon_monoxide = carbon_monoxide.value;
  air.oxygen = oxygen.value;
  table.finish();
  return air;
}

template <class... Values>
void add_all_asked(std::vector<Place>& places, const Stated<Values>&... stated) {
  const auto add = [&places](const auto& each) {
    if (each.asked) places.push_back(each.place);
  };
  (add(stated), ...);
}

} // namespace

std::string_view event_text(EventKind kind) {
  const auto* const found =
      std::find_if(events.begin(), events.end(), [&](const auto& pair) { return pair.first == kind; });
  return found == events.end() ? std::string_view() : found->second;
}

std::optional<EventKind> find_event(std::string_view text) {
  const auto* const found =
      std::find_if(events.begin(), events.end(), [&](const auto& pair) { return pair.second == text; });
  if (found == events.end()) return {};
  return found->first;
}

RunFile read_run_file(std::string_view source_name, std::string_view toml) {
  KeyedDocument document(source_name, toml);
  KeyedTable root = document.root();
  RunFile run;
  run.source_name = source_name;
  KeyedTable heading = root.table("run");
  if (!root.has("run"))
    root.complain("run", "the heading [run] is missing", "begin with [run] and site = \"site.toml\"");
  read_heading(heading, run);
  for (KeyedTable& table : root.tables("log"))
    run.logs.push_back(read_log(table));
  if (!root.has("log")) root.complain("log", "no log is named", "add [[log]] with file = \"log.csv\"");
  read_load(root, run);
  run.probes = read_probe_tables(root);
  for (KeyedTable& table : root.tables("event"))
    run.events.push_back(read_event(table));
  for (KeyedTable& table : root.tables("air"))
    run.air.push_back(read_air(table));
  root.refuse("pressure", "which pressure is not said", std::string(which_pressure));
  root.finish();
  document.throw_complaints();
  run.also_asked = document.also_asked();
  return run;
}

std::vector<Place> unanswered(const RunFile& run) {
  std::vector<Place> places = run.also_asked;
  add_all_asked(places, run.vessel, run.treatment, run.pattern, run.site_pressure_Pa,
                run.sea_level_pressure_Pa);
  for (const Probe& p : run.probes)
    add_all_asked(places, p.column, p.role, p.bag, p.position, p.spot, p.probe_class, p.resolution_K);
  std::stable_sort(places.begin(), places.end(), [](const Place& left, const Place& right) {
    return std::tie(left.line, left.column) < std::tie(right.line, right.column);
  });
  return places;
}

} // namespace coldbag
