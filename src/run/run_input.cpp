#include "run/run_input.h"

#include "errors/our_fault.h"
#include "farm/fit.h"
#include "farm/nearest.h"
#include "heatup/learned_file.h"
#include "run/pattern.h"
#include "steam/atmosphere.h"

#include <fmt/format.h>

#include <algorithm>
#include <cctype>
#include <cmath>

namespace coldbag {

namespace {

constexpr double reference_for_class_degC =
    121.1; // where a class's tolerance is taken when no setpoint is known

/// Collects complaints while the parts of a run are put together.
struct Gathering {
  RunRequest request;
  const TableFiles& tables;
  RunInput input;
  std::vector<Complaint> complaints;

  void complain(Place place, std::string problem, std::string remedy) {
    complaints.push_back({Trouble::bad_data, std::move(place), std::move(problem), std::move(remedy)});
  }
  void complain_usage(std::string problem, std::string remedy) {
    complaints.push_back({Trouble::usage, {}, std::move(problem), std::move(remedy)});
  }
};

// Reads one part; its complaints join the others.
template <class Read>
auto gather(Gathering& g, Read&& read) -> std::optional<decltype(read())> {
  try {
    return read();
  } catch (const UserError& error) {
    g.complaints.insert(g.complaints.end(), error.complaints().begin(), error.complaints().end());
    return std::nullopt;
  }
}

template <class Items>
auto* find_named(Items& items, const std::string& name) {
  const auto found =
      std::find_if(items.begin(), items.end(), [&](const auto& item) { return item.name == name; });
  return found == items.end() ? nullptr : &*found;
}

void read_files(Gathering& g) {
  const auto& request = g.request;
  if (request.site)
    g.input.site = gather(g, [&] { return read_site(request.site->name, request.site->bytes); });
  if (request.run_file)
    g.input.run_file =
        gather(g, [&] { return read_run_file(request.run_file->name, request.run_file->bytes); });
  if (request.load)
    g.input.load = gather(g, [&] { return read_load_csv(request.load->name, request.load->bytes); });
  else if (g.input.run_file && g.input.run_file->load)
    g.input.load = g.input.run_file->load;
  if (request.learned)
    g.input.learned = gather(g, [&] { return read_learned(request.learned->name, request.learned->bytes); });
  if (const auto built_in = gather(g, [&] {
        return read_treatments(g.tables.source_name("treatments.toml"), g.tables.bytes("treatments.toml"));
      }))
    g.input.treatments = *built_in;
  if (g.input.site)
    for (const Treatment& own : g.input.site->treatments) {
      std::erase_if(g.input.treatments, [&](const Treatment& t) { return t.key == own.key; });
      g.input.treatments.push_back(own);
    }
  if (g.input.site && g.input.run_file)
    (void)gather(g, [&] {
      check_fit(*g.input.site, *g.input.run_file, g.input.load.value_or(Load{}));
      return true;
    });
  if (const auto organisms = gather(g, [&] { return read_organisms(g.tables); }))
    g.input.organisms = *organisms;
  if (const auto cautions = gather(g, [&] { return read_caution_tables(g.tables); }))
    g.input.cautions = *cautions;
  g.input.check_limits = gather(g, [&] { return read_check_limits(g.tables); });
  g.input.editions = g.tables.editions();
}

void name_run(Gathering& g) {
  g.input.initial_count = g.request.options.initial_count;
  if (g.input.run_file) {
    g.input.run_name = g.input.run_file->name;
    if (!g.input.initial_count) g.input.initial_count = g.input.run_file->initial_count;
  }
  if (g.input.site) g.input.units = g.input.site->units;
}

/// A log whose bags are asked for takes what is said of them for its load, or as many of each kind as were
/// probed.
void find_load(Gathering& g) {
  RunInput& input = g.input;
  const RunOptions& options = g.request.options;
  if (!options.fits_bags || (input.load && input.load->bag_count() > 0)) return;
  std::vector<LoadLine> lines;
  for (const RunProbe& probe : input.probes) {
    if (probe.role != ProbeRole::bag || probe.left_out) continue;
    std::string bag = probe.bag;
    if (options.bag) bag = options.bag->name;
    if (bag.empty() && input.site && input.site->bags.size() == 1) bag = input.site->bags.front().name;
    if (bag.empty() && !options.bag) continue;
    const auto line =
        std::find_if(lines.begin(), lines.end(), [&](const LoadLine& l) { return l.bag == bag; });
    if (line == lines.end()) {
      lines.emplace_back();
      lines.back().bag = bag;
      lines.back().count = 1;
    } else {
      ++line->count;
    }
  }
  if (options.bag_count && lines.size() == 1)
    lines.front().count = std::max(*options.bag_count, lines.front().count);
  if (!lines.empty()) input.load = Load{std::move(lines)};
}

void choose_treatment(Gathering& g) {
  std::string key = g.request.options.treatment;
  Place place;
  if (key.empty() && g.input.run_file && g.input.run_file->treatment.known()) {
    key = *g.input.run_file->treatment.value;
    place = g.input.run_file->treatment.place;
  }
  if (key.empty() && g.request.options.fits_bags) {
    key = "atmospheric_steam"; // how bags heat asks for none
    g.input.treatment_is_assumed = true;
  }
  if (key.empty()) return;
  const Treatment* found = find_treatment(g.input.treatments, key);
  if (found == nullptr) {
    std::vector<std::string> keys;
    for (const Treatment& treatment : g.input.treatments)
      keys.push_back(treatment.key);
    Complaint complaint = *unknown_name("treatment", key, place, keys);
    if (place.source_name.empty()) complaint.trouble = Trouble::usage;
    complaint.remedy = fmt::format("{}; you may write your own in the site file", complaint.remedy);
    g.complaints.push_back(std::move(complaint));
    return;
  }
  g.input.treatment = *found;
  if (g.request.options.reference) g.input.treatment->reference = *g.request.options.reference;
  for (const TreatmentCriterion& c : g.input.treatment->criteria)
    if (c.measure == Measure::log_reduction && find_organism(g.input.organisms, c.organism) == nullptr)
      g.complain(
          c.place,
          fmt::format("there is no organism \"{}\" in {}", c.organism, g.tables.source_name("organisms.csv")),
          "use a key of that table");
}

const Vessel* vessel_of_run(Gathering& g) {
  if (!g.input.site || g.input.site->vessels.empty()) return nullptr;
  if (g.input.run_file && g.input.run_file->vessel.known())
    return find_named(g.input.site->vessels, *g.input.run_file->vessel.value);
  return g.input.site->vessels.size() == 1 ? &g.input.site->vessels.front() : nullptr;
}

void find_pressure(Gathering& g) {
  const RunOptions& options = g.request.options;
  RunInput& input = g.input;
  input.altitude_m = options.altitude_m;
  if (!input.altitude_m && input.site) input.altitude_m = input.site->altitude_m.value;
  if (input.altitude_m) input.site_pressure_Pa = standard_pressure_Pa(*input.altitude_m);
  std::optional<double> stated = options.site_pressure_Pa;
  Place place;
  if (input.run_file && !stated) {
    if (input.run_file->site_pressure_Pa.known()) {
      stated = input.run_file->site_pressure_Pa.value;
      place = input.run_file->site_pressure_Pa.place;
    } else if (input.run_file->sea_level_pressure_Pa.known()) {
      if (input.altitude_m)
        stated =
            site_pressure_from_sea_level_Pa(*input.run_file->sea_level_pressure_Pa.value, *input.altitude_m);
      else
        g.complain(input.run_file->sea_level_pressure_Pa.place,
                   "a pressure at sea level says nothing here without the altitude",
                   "give site.altitude in the site file, or --altitude \"1150 m\"");
      place = input.run_file->sea_level_pressure_Pa.place;
    }
  }
  if (!stated) return;
  if (input.altitude_m)
    if (auto misfit = pressure_misfit(*stated, place, *input.altitude_m)) g.complaints.push_back(*misfit);
  input.site_pressure_Pa = stated;
}

// The bag kinds of the run: those of the load, else those its probes name, else the only one there is.
std::vector<const Bag*> bags_of_run(Gathering& g) {
  std::vector<const Bag*> bags;
  const std::optional<Bag>& own = g.request.options.bag;
  const auto add = [&](const std::string& name) {
    const Bag* bag = g.input.site ? find_named(g.input.site->bags, name) : nullptr;
    if (own && own->name == name) bag = &*own;
    if (bag != nullptr && std::find(bags.begin(), bags.end(), bag) == bags.end()) bags.push_back(bag);
  };
  if (g.input.load)
    for (const LoadLine& line : g.input.load->lines)
      add(line.bag);
  for (const RunProbe& probe : g.input.probes)
    add(probe.bag);
  if (own && bags.empty()) bags.push_back(&*own);
  if (bags.empty() && g.input.site && g.input.site->bags.size() == 1)
    bags.push_back(&g.input.site->bags.front());
  return bags;
}

void open_logs(Gathering& g) {
  LogOptions options = g.request.options.log;
  if (!options.zone && g.input.site && g.input.site->zone.known()) {
    options.zone = Zone::find(*g.input.site->zone.value);
    options.zone_given_by = fmt::format("site.zone in {}", g.input.site->source_name);
  }
  const auto& files = g.input.run_file ? g.input.run_file->logs : std::vector<RunLog>{};
  for (std::size_t i = 0; i < g.request.logs.size(); ++i) {
    auto log = gather(g, [&] { return ProbeLog::open(g.request.logs[i], options); });
    if (!log) continue;
    for (const RunLogUse& other : g.input.logs)
      if (other.log.source().sha256() == log->source().sha256())
        g.complain({log->source().name(), 0, 0, ""},
                   "holds the same bytes as " + other.log.source().name() + ", which the run has already",
                   "name each log once");
    const bool by_hand = g.request.options.by_hand || (i < files.size() && files[i].by_hand) ||
                         log->understanding().by_hand.value;
    g.input.logs.push_back({std::move(*log), i < files.size() ? files[i].clock_offset_s : 0.0, by_hand});
  }
  if (g.request.logs.empty() && g.complaints.empty())
    g.complain(g.input.run_file ? Place{g.input.run_file->source_name, 0, 0, ""} : Place{},
               "the run has no log", "add [[log]] with file = \"log.csv\" to the run file");
}

// A time of day alone says nothing of when one log began beside another.
void check_dates_of_logs(Gathering& g) {
  for (const RunLogUse& use : g.input.logs) {
    const TimeRule& rule = use.log.understanding().time;
    if (g.input.logs.size() > 1 && rule.form.value == TimeRule::Form::clock && !rule.date)
      g.complain({use.log.source().name(), 0, 0, ""}, "its times have no date, and the run has several logs",
                 "say --date 2026-03-08 with the day of the first row");
  }
}

// One time line for all logs: 0 is the earliest first reading.
void align_logs(Gathering& g) {
  auto& logs = g.input.logs;
  if (logs.empty()) return;
  const LogSurvey& first = logs.front().log.survey();
  for (RunLogUse& use : logs) {
    const LogSurvey& survey = use.log.survey();
    if (survey.start && first.start)
      use.starts_s += seconds_between(*first.start, *survey.start);
    else if (survey.start_wall && first.start_wall)
      use.starts_s += static_cast<double>(survey.start_wall->us - first.start_wall->us) / 1e6;
    else if (survey.start_wall || first.start_wall)
      g.complain({use.log.source().name(), 0, 0, ""}, "one log of the run has a clock and another has none",
                 "give all logs of a run dates and times, or all of them elapsed times");
  }
  double earliest_s = logs.front().starts_s;
  for (const RunLogUse& use : logs)
    earliest_s = std::min(earliest_s, use.starts_s);
  for (RunLogUse& use : logs)
    use.starts_s -= earliest_s;
  if (first.start) g.input.clock.start = plus_seconds(*first.start, earliest_s);
  if (first.start_wall)
    g.input.clock.start_wall =
        WallTime{first.start_wall->us + static_cast<std::int64_t>(std::llround(earliest_s * 1e6))};
  g.input.clock.zone = logs.front().log.understanding().time.zone.value;
}

bool named_in(const std::vector<std::string>& names, const std::string& column) {
  return std::find(names.begin(), names.end(), column) != names.end();
}

// What the site file and the run file say of probes; the run file wins.
std::vector<Probe> stated_probes(const RunInput& input) {
  if (input.site && input.run_file) return probes_of_run(*input.site, *input.run_file);
  if (input.site) return input.site->probes;
  return input.run_file ? input.run_file->probes : std::vector<Probe>{};
}

const ProbeClass* class_of(Gathering& g, const std::string& key, const Probe* stated,
                           const std::vector<ProbeClass>& classes) {
  if (const ProbeClass* found = find_probe_class(classes, key)) return found;
  std::string keys;
  for (const ProbeClass& c : classes)
    keys += (keys.empty() ? "" : ", ") + c.key;
  const Place place = stated != nullptr ? stated->probe_class.place : Place{};
  g.complaints.push_back({place.source_name.empty() ? Trouble::usage : Trouble::bad_data, place,
                          fmt::format("there is no probe class \"{}\"", key), "choose one of " + keys});
  return nullptr;
}

/// The tables that say what a probe may be off.
struct ErrorTables {
  std::vector<ProbeClass> classes;
  CheckRules rules;
};

void set_uncertainty(Gathering& g, RunProbe& probe, const Probe* stated, const ErrorTables& tables) {
  const double at_degC = g.input.treatment ? g.input.treatment->setpoint_degC : reference_for_class_degC;
  const double resolution_K = stated != nullptr ? stated->resolution_K.value.value_or(0) : 0;
  const RunOptions& options = g.request.options;
  std::string key = options.probe_class.empty() ? "unstated" : options.probe_class;
  std::string from = options.probe_class.empty() ? "u_unstated" : "u_class";
  if (stated != nullptr && stated->probe_class.known()) {
    key = *stated->probe_class.value;
    from = "u_class";
  }
  const ProbeClass* probe_class = class_of(g, key, stated, tables.classes);
  if (probe_class == nullptr) return;
  ProbeError error = class_error(*probe_class, resolution_K, at_degC);
  std::vector<ProbeCheck> checks = stated != nullptr ? stated->checks : std::vector<ProbeCheck>{};
  for (const StatedCheck& more : options.more_checks)
    if (more.probe == probe.name) checks.push_back(more.check);
  if (!checks.empty()) {
    const ChecksAround around = checks_around(checks, g.input.clock.start_wall, at_degC);
    error = checked_error(around, *probe_class, tables.rules, resolution_K, at_degC);
    if (around.nearest->u_K) from = "u_check";
  }
  if (options.u_K && from == "u_unstated") {
    error.parts.class_K = error.parts.stem_K = 0;
    error.parts.given_K = *options.u_K;
    error.u_K = combined_K(error.parts);
    from = "u_given";
  }
  probe.correction = error.correction;
  probe.correction_K = correction_at_K(error.correction, at_degC);
  probe.u_K = error.u_K;
  probe.u_parts = error.parts;
  probe.check_on = error.check_on;
  probe.u_from = from;
}

void place_probe(Gathering& g, RunProbe& probe, const Probe* stated) {
  const RunOptions& options = g.request.options;
  if (named_in(options.in_bag, probe.column)) {
    probe.role = ProbeRole::bag;
  } else if (named_in(options.vessel, probe.column)) {
    probe.role = ProbeRole::vessel;
  } else if (stated != nullptr && stated->role.known()) {
    probe.role = *stated->role.value;
  } else if (stated != nullptr && stated->role.asked) {
    probe.role = ProbeRole::unstated;
  } else {
    probe.role = role_by_name(probe.column);
  }
  probe.left_out = named_in(options.left_out, probe.column) || named_in(options.left_out, probe.name);
  if (stated == nullptr) return;
  probe.place = stated->position.value.value_or("");
  probe.bag = stated->bag.value.value_or("");
  probe.spot = stated->spot.value.value_or("");
}

std::string stem_of(const std::string& path) {
  const std::size_t slash = path.find_last_of("/\\");
  const std::string name = path.substr(slash == std::string::npos ? 0 : slash + 1);
  return name.substr(0, std::max<std::size_t>(1, std::min(name.rfind('.'), name.size())));
}

// Columns of one name in two logs are told apart by the names of the files, or by their numbers.
std::string column_in_run(const std::vector<RunLogUse>& logs, std::size_t log, const std::string& name) {
  bool is_shared = false;
  bool stem_is_shared = false;
  const std::string stem = stem_of(logs[log].log.source().name());
  for (std::size_t i = 0; i < logs.size(); ++i) {
    if (i == log) continue;
    const Understanding& other = logs[i].log.understanding();
    const bool has =
        std::any_of(logs[i].log.value_columns().begin(), logs[i].log.value_columns().end(),
                    [&](int column) { return other.columns[static_cast<std::size_t>(column)].name == name; });
    is_shared = is_shared || has;
    stem_is_shared = stem_is_shared || (has && stem_of(logs[i].log.source().name()) == stem);
  }
  if (!is_shared) return name;
  return stem_is_shared ? fmt::format("log {} {}", log + 1, name) : stem + " " + name;
}

void add_probes(Gathering& g) {
  const auto stated = stated_probes(g.input);
  const auto tables = gather(g, [&] {
    return ErrorTables{read_probe_classes(g.tables), read_check_rules(g.tables)};
  });
  if (!tables) return;
  g.input.extrapolated_beyond_K = tables->rules.extrapolated_beyond_K;
  std::vector<std::string> columns;
  for (std::size_t i = 0; i < g.input.logs.size(); ++i) {
    const ProbeLog& log = g.input.logs[i].log;
    for (std::size_t v = 0; v < log.value_columns().size(); ++v) {
      const LogColumn& column = log.understanding().columns[static_cast<std::size_t>(log.value_columns()[v])];
      RunProbe probe;
      const std::string name = column_in_run(g.input.logs, i, column.name);
      probe.name = probe.column = name;
      probe.log = static_cast<int>(i);
      probe.value = static_cast<int>(v);
      probe.is_pressure = column.kind.value == ColumnKind::pressure;
      probe.pressure_basis = column.pressure_basis;
      columns.push_back(name);
      if (!probe.is_pressure) {
        const auto found = std::find_if(stated.begin(), stated.end(), [&](const Probe& p) {
          return p.column.value.value_or(p.name) == name;
        });
        const Probe* said = found == stated.end() ? nullptr : &*found;
        if (said != nullptr) probe.name = said->name;
        place_probe(g, probe, said);
        set_uncertainty(g, probe, said, *tables);
      }
      g.input.probes.push_back(std::move(probe));
    }
  }
  const auto check_names = [&](const std::vector<std::string>& names, const char* option) {
    for (const std::string& name : names)
      if (!named_in(columns, name)) {
        std::string all;
        for (const std::string& column : columns)
          all += (all.empty() ? "" : ", ") + ("\"" + column + "\"");
        g.complain_usage(fmt::format("{} names \"{}\", which is no column of the log", option, name),
                         "columns there: " + all);
      }
  };
  // A log that could not be read has complaints of its own.
  if (g.input.logs.size() == g.request.logs.size()) {
    check_names(g.request.options.in_bag, "--in-bag");
    check_names(g.request.options.vessel, "--vessel");
  }
  if (!g.input.logs.empty())
    for (const Probe& probe : g.input.run_file ? g.input.run_file->probes : std::vector<Probe>{})
      if (probe.column.known() && !named_in(columns, *probe.column.value))
        g.complain(probe.column.place,
                   fmt::format("no log of the run has a column \"{}\"", *probe.column.value),
                   "write the column's name as in the log's header");
}

std::optional<double> run_time_s(Gathering& g, const EventTime& time, const Place& place) {
  const RunClock& clock = g.input.clock;
  if (time.elapsed_s) return time.elapsed_s;
  if (time.wall) {
    if (time.offset_s && clock.start)
      return seconds_between(*clock.start, instants_of(Zone::fixed(*time.offset_s), *time.wall).first);
    if (clock.start) {
      const auto zone = Zone::find(clock.zone);
      if (zone) return seconds_between(*clock.start, instants_of(*zone, *time.wall).first);
    }
    if (clock.start_wall) return static_cast<double>(time.wall->us - clock.start_wall->us) / 1e6;
  }
  g.complain(place, "the log has no clock, so a date and time cannot be placed in it",
             "write the time since the log's first reading, for example \"1 h 20 min\"");
  return std::nullopt;
}

void place_events(Gathering& g) {
  std::vector<RunEvent> events = g.request.options.events;
  if (g.input.run_file)
    events.insert(events.end(), g.input.run_file->events.begin(), g.input.run_file->events.end());
  if (g.input.logs.empty()) return;
  for (RunEvent& event : events)
    if (const auto at_s = run_time_s(g, event.time, event.place)) g.input.events.push_back({event, *at_s});
  for (const AirReading& air : g.input.run_file ? g.input.run_file->air : std::vector<AirReading>{})
    if (const auto at_s = run_time_s(g, air.time, air.place)) g.input.air.push_back({air, *at_s});
  std::stable_sort(g.input.events.begin(), g.input.events.end(),
                   [](const RunMoment& a, const RunMoment& b) { return a.at_s < b.at_s; });
  for (const RunMoment& moment : g.input.events)
    if (!moment.event.probe.empty() && find_named(g.input.probes, moment.event.probe) == nullptr)
      g.complain(moment.event.place, fmt::format("there is no probe \"{}\"", moment.event.probe),
                 "probes of the run: " + list_names(names_of(g.input.probes), false));
  if (g.request.options.from) g.input.from_s = run_time_s(g, *g.request.options.from, {});
  if (g.request.options.to) g.input.to_s = run_time_s(g, *g.request.options.to, {});
  // A burst bag leaves the count, and a probe in it is not relied on.
  for (const RunMoment& moment : g.input.events)
    if (moment.event.what == EventKind::bag_burst && !moment.event.probe.empty())
      for (RunProbe& probe : g.input.probes)
        if (probe.name == moment.event.probe) probe.left_out = true;
}

std::string film_keys(const std::vector<Film>& films) {
  std::string keys;
  for (const Film& film : films)
    keys += (keys.empty() ? "" : ", ") + film.key;
  return keys;
}

// Whether the run file says of a probe what the site file leaves open.
bool is_answered_by_run(const RunInput& input, const std::string& key_path) {
  if (!input.run_file) return false;
  return std::any_of(input.run_file->probes.begin(), input.run_file->probes.end(), [&](const Probe& probe) {
    const std::string own = "probes." + probe.name + ".";
    return (key_path == own + "place" && probe.role.known()) ||
           (key_path == own + "bag" && probe.bag.known()) ||
           (key_path == own + "spot" && probe.spot.known()) ||
           (key_path == own + "position" && probe.position.known()) ||
           (key_path == own + "class" && probe.probe_class.known()) ||
           (key_path == own + "resolution" && probe.resolution_K.known());
  });
}

// What must be known before a PASS; a bare log with its options has what it needs.
void list_blocks(Gathering& g, const Vessel* vessel) {
  RunInput& input = g.input;
  const RunOptions& options = g.request.options;
  const auto block = [&](const char* key) { input.blocks.push_back({key, {}}); };
  input.vessel_kind = options.vessel_kind;
  if (!input.vessel_kind && vessel != nullptr) input.vessel_kind = vessel->kind.value;
  if (!input.vessel_kind) block("block_vessel_kind");
  if (vessel != nullptr) input.vessel = *vessel;
  input.rating_gauge_Pa = options.rating_gauge_Pa;
  if (!input.rating_gauge_Pa && vessel != nullptr) input.rating_gauge_Pa = vessel->rating_gauge_Pa.value;
  if (input.vessel_kind == VesselKind::pressure_rated && !input.rating_gauge_Pa) block("block_rating");
  if (!input.site_pressure_Pa) block("block_altitude");
  if (input.load)
    if (auto heating = gather(g, [&] { return read_heating_tables(g.tables); }))
      input.heating = std::make_shared<const HeatingTables>(std::move(*heating));
  const auto bags = bags_of_run(g);
  for (const Bag* bag : bags)
    input.bags.push_back(*bag);
  input.pattern = pattern_use(input);
  for (const Bag* bag : bags) {
    const bool is_known = !bag->film.known() || find_film(input.cautions.films, *bag->film.value) != nullptr;
    if (!is_known && !bag->film_highest_degC.known())
      g.complain(bag->film.place, fmt::format("there is no film \"{}\" in films.csv", *bag->film.value),
                 "write one of " + film_keys(input.cautions.films) +
                     ", or the maker's figure as film_highest = \"118 C\"");
  }
  if (input.site) {
    const bool film_known =
        !bags.empty() && std::all_of(bags.begin(), bags.end(), [](const Bag* b) { return b->film.known(); });
    if (!film_known) block("block_film");
    for (const Place& place : unanswered(*input.site))
      if (!is_answered_by_run(input, place.key_path)) input.unanswered.push_back(place.key_path);
  }
  bool any_bag = false;
  for (const RunProbe& probe : input.probes) {
    any_bag = any_bag || (probe.role == ProbeRole::bag && !probe.left_out);
    if (probe.role == ProbeRole::bag && probe.left_out)
      input.blocks.push_back({"block_left_out", {{"probe", probe.name}}});
  }
  if (!any_bag) block("block_no_bag_probe");
  for (const Bag* bag : bags) {
    if (bag->mass_kg.known())
      input.heaviest_bag_kg = std::max(input.heaviest_bag_kg.value_or(0), *bag->mass_kg.value);
    if (bag->moisture_wb.known())
      input.moisture_wb = std::min(input.moisture_wb.value_or(1), *bag->moisture_wb.value);
  }
}

} // namespace

RunInput open_run(RunRequest request, const TableFiles& tables) {
  Gathering g{std::move(request), tables, {}, {}};
  g.input.options = g.request.options;
  read_files(g);
  name_run(g);
  choose_treatment(g);
  find_pressure(g);
  open_logs(g);
  check_dates_of_logs(g);
  align_logs(g);
  add_probes(g);
  find_load(g);
  place_events(g);
  list_blocks(g, vessel_of_run(g));
  if (!g.complaints.empty()) throw UserError(std::move(g.complaints));
  return std::move(g.input);
}

} // namespace coldbag
