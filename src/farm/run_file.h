// A run file: what was steamed, which probe sat in which bag, what happened when.
#pragma once

#include "clock/instant.h"
#include "farm/load.h"
#include "farm/probe.h"

#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace coldbag {

enum class EventKind {
  wetted,
  filled,
  loaded,
  steam_on,
  vent_closed,
  vent_opened,
  water_added,
  fuel_changed,
  power_cut,
  door_opened,
  bag_burst,
  probe_moved,
  probe_replaced,
  steam_off,
  opened,
  unloaded,
  cooled,
  inoculated,
  remark
};
[[nodiscard]] std::string_view event_text(EventKind kind);
[[nodiscard]] std::optional<EventKind> find_event(std::string_view text);

/// When something happened, as written: a wall time (of the site's zone), an instant, or a time since the log
/// began.
struct EventTime {
  std::optional<WallTime> wall;
  std::optional<int> offset_s;     ///< set where the written time carries its zone
  std::optional<double> elapsed_s; ///< set for logs without a clock
  bool operator==(const EventTime&) const = default;
};

struct RunEvent {
  EventKind what = EventKind::remark;
  EventTime time;
  std::string note;
  std::string who;
  std::string probe; ///< probe_moved, probe_replaced, bag_burst: which
  Place place;
  bool operator==(const RunEvent&) const = default;
};

/// Air measured where people stand.
struct AirReading {
  EventTime time;
  std::string where;
  std::optional<double> carbon_monoxide; ///< part of one; written in ppm
  std::optional<double> oxygen;          ///< part of one
  Place place;
  bool operator==(const AirReading&) const = default;
};

struct RunLog {
  std::string file;          ///< as written; taken from the run file's folder
  double clock_offset_s = 0; ///< to be added to the log's times
  bool by_hand = false;      ///< hand-written or typed from paper
  Place place;
  bool operator==(const RunLog&) const = default;
};

struct RunFile {
  std::string source_name;
  std::string name;
  std::string site_file; ///< as written, "" where none
  Stated<std::string> vessel;
  Stated<std::string> treatment;
  Stated<std::string> pattern; ///< of the site, by which the vessel was loaded
  std::string load_file;       ///< a CSV table, as written
  std::optional<Load> load;    ///< written in the run file itself
  std::vector<Probe> probes;   ///< what this run says of probes; overrides the site's fields by name
  std::vector<RunLog> logs;
  std::string by; ///< operator
  std::vector<std::string> lots;
  std::string notes;
  std::string resteam_of;
  std::optional<double> initial_count;  ///< if_each_bag_held: of an organism, above 0
  Stated<double> site_pressure_Pa;      ///< pressure_at_site
  Stated<double> sea_level_pressure_Pa; ///< pressure_at_sea_level
  std::vector<RunEvent> events;
  std::vector<AirReading> air;
  std::vector<Place> also_asked; ///< "?" at keys that are kept without a Stated (by, a bag's moisture, ...)
  bool operator==(const RunFile&) const = default;
};

/// Reads a run file; throws UserError with every fault, as read_site does.
[[nodiscard]] RunFile read_run_file(std::string_view source_name, std::string_view toml);

/// Every place where the file says "?", in file order.
[[nodiscard]] std::vector<Place> unanswered(const RunFile& run);

} // namespace coldbag
