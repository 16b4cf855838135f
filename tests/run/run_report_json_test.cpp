#include "run/run_report_json.h"

#include "errors/our_fault.h"
#include "report/run_text.h"
#include "report/understanding_text.h"
#include "run/made_run.h"
#include "support/long_run.h"

#include <doctest/doctest.h>
#include <nlohmann/json.hpp>

#include <cstring>
#include <fstream>
#include <functional>
#include <random>
#include <set>
#include <sstream>

using namespace coldbag;

namespace {

using Json = nlohmann::ordered_json;

std::string file_text(const std::string& path) {
  std::ifstream file(std::string(COLDBAG_SOURCE_DIR) + "/" + path, std::ios::binary);
  REQUIRE_MESSAGE(file, path);
  std::ostringstream out;
  out << file.rdbuf();
  return out.str();
}

RunRequest request_of_example(const std::string& name) {
  RunRequest request;
  request.run_file = NamedText{"run.toml", file_text("examples/" + name + "/run.toml")};
  request.site = NamedText{"farm.toml", file_text("examples/farm.toml")};
  request.logs.push_back(Source::memory("log.csv", file_text("examples/" + name + "/log.csv")));
  return request;
}

RunReport judged_request(RunRequest request) {
  return judge_run(open_run(std::move(request), TableFiles::built_in()));
}

const std::vector<std::string> examples = {"clock-at-gauge", "good-sterilization", "overnight-atmospheric",
                                           "unproven-probe"};

// Reports as the judge makes them: each example; one still running; a log alone; times without a clock.
std::vector<RunReport> judge_reports() {
  std::vector<RunReport> reports;
  for (const std::string& name : examples)
    reports.push_back(judged_request(request_of_example(name)));
  RunRequest running = request_of_example("overnight-atmospheric");
  running.options.is_running = true;
  reports.push_back(judged_request(std::move(running)));
  RunRequest bare;
  bare.logs.push_back(Source::memory("log.csv", file_text("examples/clock-at-gauge/log.csv")));
  reports.push_back(judged_request(std::move(bare)));
  reports.push_back(test::judged(test::made_run("atmospheric_steam"),
                                 test::trace_of(
                                     3, 3600, [](double t_s) { return 20 + t_s / 50; }, 7.3)));
  return reports;
}

const std::vector<RunReport>& judged_reports() {
  static const std::vector<RunReport> reports = judge_reports();
  return reports;
}

/// Odd values, the same for the same seed.
class Odd {
 public:
  /// mild: figures that a text can print as well.
  Odd(unsigned seed, bool mild) : random_(seed), mild_(mild) {}

  bool yes() { return below(2) == 0; }
  int below(int end) { return std::uniform_int_distribution<int>(0, end - 1)(random_); }
  std::string text() {
    static const std::vector<std::string> pieces = {"core",
                                                    "\"",
                                                    "\\",
                                                    "\n",
                                                    "\r\n",
                                                    "\t",
                                                    "\xC3\xB1",
                                                    "\xE8\x93\xB6",
                                                    "\xF0\x9F\x8D\x84",
                                                    "/",
                                                    "{",
                                                    "}",
                                                    std::string(1, '\0'),
                                                    "\x1B[1m",
                                                    "\x7F",
                                                    ",",
                                                    " ",
                                                    "null",
                                                    "2026-03-08T14:05:09Z",
                                                    "\xC2\xA0"};
    std::string out;
    for (int i = below(5); i >= 0; --i)
      out += pieces[static_cast<std::size_t>(below(static_cast<int>(pieces.size())))];
    return out;
  }
  std::string text_or_none() { return yes() ? text() : ""; }
  double number() {
    if (mild_) return std::uniform_real_distribution<>(0, 2000)(random_);
    static const std::vector<double> odd = {0.0,
                                            -0.0,
                                            1.0 / 3,
                                            0.1,
                                            5e-324,
                                            2.2250738585072014e-308,
                                            -1e-7,
                                            1e21,
                                            1e16,
                                            123456789.123456789,
                                            std::numeric_limits<double>::max(),
                                            std::numeric_limits<double>::lowest(),
                                            9007199254740993.0};
    if (yes()) return odd[static_cast<std::size_t>(below(static_cast<int>(odd.size())))];
    // Any bits at all that make a finite number.
    for (;;) {
      const std::uint64_t bits = random_();
      double value = 0;
      std::memcpy(&value, &bits, sizeof value);
      if (std::isfinite(value)) return value;
    }
  }
  double moment_s() { return std::uniform_real_distribution<>(mild_ ? 0 : -1e6, yes() ? 1e3 : 1e6)(random_); }
  int whole() {
    return mild_ ? below(1000) : std::uniform_int_distribution<int>(std::numeric_limits<int>::min())(random_);
  }
  std::int64_t whole_64() { return mild_ ? below(1000) : static_cast<std::int64_t>(random_()); }
  template <class Make>
  auto maybe(Make make) -> std::optional<decltype(make())> {
    if (yes()) return std::nullopt;
    return make();
  }
  template <class Make>
  auto some(Make make) {
    std::vector<decltype(make())> list;
    for (int i = below(4); i > 0; --i)
      list.push_back(make());
    return list;
  }
  std::optional<double> maybe_number() {
    return maybe([&] { return number(); });
  }
  std::optional<double> maybe_moment() {
    return maybe([&] { return moment_s(); });
  }
  template <class Enum>
  Enum one_of(int count) {
    return static_cast<Enum>(below(count));
  }

 private:
  std::mt19937_64 random_;
  bool mild_;
};

SaidValues odd_values(Odd& odd) {
  SaidValues values;
  if (odd.yes()) values["probe"] = odd.text_or_none();
  if (odd.yes()) values["stated_at"] = odd.moment_s();
  if (odd.yes()) values["seen_at"] = odd.text(); // text under the name of a moment
  if (odd.yes()) values["seen_at_s"] = odd.number();
  if (odd.yes()) values["last_degC"] = odd.number();
  if (odd.yes()) values[odd.text()] = odd.number();
  return values;
}

Said odd_said(Odd& odd) {
  return {odd.text(), odd_values(odd)};
}

Place odd_place(Odd& odd) {
  return {odd.text_or_none(), odd.whole(), odd.whole(), odd.text_or_none()};
}

CriterionResult odd_criterion(Odd& odd) {
  static const std::vector<std::string> units = {"minutes", "degC", "K", "fraction", "decades"};
  CriterionResult c;
  c.name = odd.text();
  c.too_much = odd.yes();
  c.unit = units[static_cast<std::size_t>(odd.below(5))];
  c.required = odd.number();
  c.required_to = odd.maybe_number();
  c.sense = odd.one_of<Sense>(3);
  c.delivered = odd.maybe_number();
  c.bound = odd.maybe_number();
  c.bound_side = odd.text_or_none();
  c.decided_by = odd.text_or_none();
  c.status = odd.one_of<Status>(3);
  c.fails = odd.yes();
  c.evidence = odd.text();
  c.basis = odd.one_of<Basis>(5);
  c.source = odd.text_or_none();
  return c;
}

ProbeResult odd_probe(Odd& odd) {
  ProbeResult p;
  p.name = odd.text();
  p.role = odd.one_of<ProbeRole>(6);
  p.place = odd.text_or_none();
  p.bag = odd.text_or_none();
  p.spot = odd.text_or_none();
  for (double* figure :
       {&p.correction_K, &p.u_K, &p.noise_K, &p.F_minutes, &p.F_minutes_all, &p.F_minutes_lower,
        &p.F_minutes_after_steam_off, &p.hold_minutes, &p.hold_minutes_lower, &p.hold_total_minutes,
        &p.strict_hold_minutes, &p.not_credited_minutes, &p.hold_unseen_minutes})
    *figure = odd.number();
  p.hold_unseen_gaps = odd.whole();
  for (double* figure : {&p.gain, &p.offset_K, &p.u_parts.check_K, &p.u_parts.class_K, &p.u_parts.given_K,
                         &p.u_parts.extrapolation_K, &p.u_parts.drift_K, &p.u_parts.age_K,
                         &p.u_parts.resolution_K, &p.u_parts.stem_K})
    *figure = odd.number();
  p.checked_on = odd.maybe([&] { return WallTime{std::int64_t{1} * odd.below(2000000000) * 1000000}; });
  p.top_raw_degC = odd.maybe_number();
  p.u_from = odd.yes() ? "u_check" : "u_given";
  for (int i = odd.below(9); i > 0; --i)
    p.F_minutes_by_band.push_back(odd.number());
  p.top_degC = odd.maybe_number();
  p.last_degC = odd.maybe_number();
  for (std::optional<double>* moment : {&p.hot_at_s, &p.near_top_at_s, &p.stayed_from_s, &p.stayed_to_s})
    *moment = odd.maybe_moment();
  p.faults = odd.some([&] {
    return Fault{
        odd.text(),        odd.moment_s(), odd.moment_s(), odd_values(odd), odd.one_of<FaultEffect>(3),
        odd.text_or_none()};
  });
  p.organisms = odd.some([&] {
    return OrganismResult{odd.text(),   odd.text(), odd.number(),       odd.number(),
                          odd.number(), odd.text(), odd.text_or_none(), odd.yes()};
  });
  return p;
}

template <class T>
Choice<T> odd_choice(Odd& odd, T value) {
  return {std::move(value), odd.one_of<How>(3), odd.text_or_none()};
}

Understanding odd_understanding(Odd& odd) {
  Understanding u;
  u.encoding = odd_choice<std::string>(odd, odd.text_or_none());
  u.text_encoding = odd.one_of<TextEncoding>(4);
  u.delimiter = odd_choice<char>(odd, ",;\t| "[odd.below(5)]);
  u.decimal_mark = odd_choice<char>(odd, ".,"[odd.below(2)]);
  u.preamble_lines = odd.whole();
  u.header_line = odd.whole();
  u.first_data_line = odd.whole();
  u.header_rows = odd.some([&] { return odd.text_or_none(); });
  u.time.form = odd_choice(odd, odd.one_of<TimeRule::Form>(7));
  u.time.written_offset = odd.maybe([&] { return odd.text_or_none(); });
  u.by_hand = odd_choice<bool>(odd, odd.yes());
  u.time.date_order = odd.maybe([&] { return odd_choice(odd, odd.one_of<DateOrder>(3)); });
  u.time.date =
      odd.maybe([&] { return odd_choice(odd, WallTime{std::int64_t{86400000000} * odd.below(20000)}); });
  u.long_layout = odd.maybe([&] { return LongLayout{odd.whole(), odd.whole(), odd.whole()}; });
  u.time.zone = odd_choice<std::string>(odd, odd.text_or_none());
  u.columns = odd.some([&] {
    return LogColumn{odd.text_or_none(),
                     odd.whole(),
                     odd_choice(odd, odd.one_of<ColumnKind>(7)),
                     odd_choice(odd, odd.one_of<ColumnUnit>(16)),
                     odd.one_of<PressureBasis>(4),
                     odd.yes(),
                     odd.whole(),
                     odd_place(odd)};
  });
  return u;
}

LogResult odd_log(Odd& odd) {
  LogResult log;
  log.name = odd.text();
  log.sha256 = odd.text();
  log.rows = odd.whole_64() >> 4;
  log.interval_s = odd.number();
  log.from_s = odd.moment_s();
  log.to_s = odd.moment_s();
  log.gap_count = odd.whole_64();
  log.gaps = odd.some([&] { return Gap{odd.moment_s(), odd.moment_s()}; });
  log.clock_events = odd.some([&] {
    return ClockEvent{odd.text(), odd_place(odd), odd.moment_s(), odd.number(), odd.whole_64(), odd.text()};
  });
  log.cells_unread = odd.some([&] {
    return CellTally{odd.text(), odd.whole_64(), odd_place(odd), odd.text_or_none()};
  });
  log.understanding = odd_understanding(odd);
  log.by_hand = odd.yes();
  return log;
}

UnprobedBag odd_unprobed(Odd& odd) {
  UnprobedBag bag;
  bag.bag = odd.text();
  bag.count = odd.whole();
  bag.speed = odd.number();
  bag.lag_minutes = odd.maybe_number();
  bag.F_minutes = odd.number();
  bag.F_minutes_lower = odd.number();
  bag.hold_minutes = odd.number();
  bag.hold_minutes_lower = odd.number();
  bag.more_minutes = odd.maybe_number();
  return bag;
}

BagHeating odd_heating(Odd& odd) {
  BagHeating kind;
  kind.bag = odd.text();
  kind.count = odd.whole();
  kind.probed = odd.whole();
  kind.described = odd.text();
  kind.mass_kg = odd.number();
  kind.moisture_wb = odd.number();
  kind.evidence = odd.text();
  kind.not_fitted = odd.text_or_none();
  kind.conductivity = odd.number();
  kind.vapour = odd.number();
  kind.film = odd.number();
  kind.conductivity_learned = odd.yes();
  kind.vapour_learned = odd.yes();
  kind.film_learned = odd.yes();
  kind.conductivity_far = odd.yes();
  kind.vapour_far = odd.yes();
  kind.film_far = odd.yes();
  kind.covariance = odd.some([&] { return odd.number(); });
  kind.lag_powers = odd.some([&] { return odd.number(); });
  kind.rms_K = odd.number();
  kind.spread = odd.number();
  kind.spread_freedom = odd.number();
  kind.earlier_runs = odd.whole();
  kind.earlier_bags = odd.whole();
  kind.probes = odd.some([&] {
    return ProbeHeating{odd.text(),         odd.maybe_number(), odd.maybe_number(), odd.maybe_number(),
                        odd.maybe_number(), odd.maybe_number(), odd.maybe_number(), odd.maybe_number(),
                        odd.number(),       odd.number(),       odd.number(),       odd.text_or_none(),
                        odd.maybe_number(), odd.maybe_number(), odd.maybe_number()};
  });
  kind.slowest = odd.maybe([&] { return odd_unprobed(odd); });
  kind.assumptions = odd.some([&] { return odd_said(odd); });
  return kind;
}

RunClock odd_clock(Odd& odd) {
  static const std::vector<std::string> zones = {"", "America/Bogota", "Europe/Madrid", "+05:30",
                                                 "Nowhere/At all"};
  RunClock clock;
  const auto us = [&] { return std::int64_t{1} * odd.below(2000000000) * 1000000 + odd.below(1000000); };
  clock.start = odd.maybe([&] { return Instant(std::chrono::microseconds(us())); });
  clock.start_wall = odd.maybe([&] { return WallTime{us()}; });
  clock.zone = zones[static_cast<std::size_t>(odd.below(5))];
  return clock;
}

// What a report holds only where something was judged.
void judge_oddly(Odd& odd, RunReport& report) {
  report.verdict = odd.one_of<Verdict>(3);
  report.so_far = odd.maybe([&] { return odd.one_of<SoFar>(2); });
  report.treatment = odd.text();
  report.reference = {odd.text(), odd.number(), odd.number(), odd.maybe_number(), odd.maybe_number()};
  report.setpoint_degC = odd.number();
  report.more_hold = {odd.number(), odd.maybe_number(), odd.maybe_moment(), odd.yes(),
                      odd.maybe([&] { return odd_said(odd); })};
}

RunReport odd_report(unsigned seed, bool mild = false) {
  Odd odd(seed, mild);
  RunReport r;
  r.clock = odd_clock(odd);
  r.run_name = odd.text_or_none();
  r.site_name = odd.text_or_none();
  if (odd.below(5) > 0) judge_oddly(odd, r);
  r.failed_by = odd.text_or_none();
  r.scope = odd.text();
  r.ended = odd.one_of<Ended>(3);
  r.treatment_name = odd.text_or_none();
  r.notes = odd.some([&] { return odd.text(); });
  r.counts_from_degC = odd.maybe_number();
  r.coverage = odd.number();
  r.k = odd.number();
  r.criteria = odd.some([&] { return odd_criterion(odd); });
  r.probes = odd.some([&] { return odd_probe(odd); });
  if (!r.probes.empty() && odd.yes()) r.coldest = r.probes.back().name;
  r.pattern = odd.maybe([&] {
    return PatternUse{odd.text(), odd.whole(),
                      odd.maybe([&] { return WallTime{std::int64_t{1} * odd.below(2000000000) * 1000000}; }),
                      odd.yes(), odd.maybe([&] { return odd_said(odd); })};
  });
  r.heating = odd.some([&] { return odd_heating(odd); });
  r.slowest_unprobed = odd.maybe([&] { return odd_unprobed(odd); });
  r.load_not_judged = odd.maybe([&] { return odd_said(odd); });
  r.would_need = odd.some([&] {
    return WouldNeed{
        odd.text(), odd.text(), odd.number(), odd.maybe_moment(), odd.number(), odd.number(), odd.some([&] {
          return odd_criterion(odd);
        })};
  });
  r.survival = odd.some([&] {
    return Survival{odd.text(),   odd.text_or_none(), odd.number(), odd.number(),
                    odd.number(), odd.whole(),        odd.yes()};
  });
  r.logs = odd.some([&] { return odd_log(odd); });
  r.next = odd.some([&] { return odd_said(odd); });
  r.cautions = odd.some([&] { return Caution{odd.text(), odd_said(odd), odd.text(), odd.maybe_moment()}; });
  r.events = odd.some([&] {
    return EventResult{odd.text(),         odd.moment_s(),     odd.yes(),
                       odd.text_or_none(), odd.text_or_none(), odd.text_or_none()};
  });
  r.blocks = odd.some([&] { return odd_said(odd); });
  r.unanswered = odd.some([&] { return odd.text(); });
  r.altitude_m = odd.maybe_number();
  r.site_pressure_Pa = odd.maybe_number();
  r.boiling_degC = odd.maybe_number();
  r.check_reaches_degC = odd.maybe_number();
  r.vessel_kind = odd.text_or_none();
  r.vessel_hold_minutes = odd.maybe_number();
  r.all_hot_minutes = odd.maybe_number();
  r.unseen_hold = odd.maybe([&] { return UnseenHold{odd.text(), odd.number(), odd.whole(), odd.yes()}; });
  r.resteam_of = odd.text_or_none();
  r.run_by = odd.text_or_none();
  r.lots = odd.some([&] { return odd.text(); });
  r.run_notes = odd.text_or_none();
  r.steam_off_at_s = odd.maybe_moment();
  r.steam_off_stated = odd.yes();
  r.reach = {odd.whole(),        odd.maybe([&] { return odd.whole(); }), odd.yes(), odd.yes(),
             odd.maybe_number(), odd.maybe([&] { return odd.whole(); })};
  r.runs = odd.some([&] { return Stretch{odd.moment_s(), odd.moment_s(), odd.number()}; });
  r.units = odd.one_of<UnitSystem>(2);
  r.editions = odd.some([&] { return Edition{odd.text(), odd.text(), odd.text()}; });
  r.program_version = odd.text();
  return r;
}

// Objects whose keys are names of values, not of the record.
bool has_free_keys(const std::string& key) {
  return key == "values" || key == "moments_s";
}

using Visit = std::function<void(const std::string& pattern, Json& object, const std::string& key)>;

// Every key of every object; the pattern is its path without numbers of lists.
void for_each_key(Json& json, const std::string& pattern, const Visit& visit) {
  if (json.is_array())
    for (Json& one : json)
      for_each_key(one, pattern + "[]", visit);
  if (!json.is_object()) return;
  std::vector<std::string> keys;
  for (const auto& item : json.items())
    keys.push_back(item.key());
  for (const std::string& key : keys) {
    const std::string path = pattern.empty() ? key : pattern + "." + key;
    visit(path, json, key);
    if (json.contains(key) && !has_free_keys(key)) for_each_key(json[key], path, visit);
  }
}

std::string without_numbers(std::string path) {
  for (std::size_t at = path.find('['); at != std::string::npos; at = path.find('[', at + 1))
    path.erase(at + 1, path.find(']', at) - at - 1);
  return path;
}

std::vector<Complaint> complaints_about(const std::string& json) {
  try {
    (void)read_report_json("old.json", json);
  } catch (const UserError& error) {
    for (const Complaint& one : error.complaints()) {
      CHECK(one.place.source_name == "old.json");
      CHECK_FALSE(one.problem.empty());
      CHECK_FALSE(one.remedy.empty());
    }
    return error.complaints();
  }
  return {};
}

// A complaint at this key or inside it, or about what holds it.
bool names(const std::vector<Complaint>& complaints, const std::string& pattern) {
  return std::any_of(complaints.begin(), complaints.end(), [&](const Complaint& c) {
    return without_numbers(c.place.key_path).rfind(pattern, 0) == 0;
  });
}

// A made-up report that has every list and object filled.
RunReport full_report() {
  RunReport all = odd_report(1);
  for (unsigned seed = 2; seed < 100000; ++seed) {
    RunReport more = odd_report(seed);
    if (!more.verdict || more.probes.empty() || more.coldest.empty() || more.logs.empty()) continue;
    if (more.logs[0].gaps.empty() || more.logs[0].cells_unread.empty() || more.logs[0].clock_events.empty())
      continue;
    if (more.logs[0].understanding.columns.empty() || !more.more_hold.why_not) continue;
    if (more.probes[0].faults.empty() || more.probes[0].organisms.empty() || more.criteria.empty()) continue;
    if (more.probes[0].F_minutes_by_band.empty() || more.cautions.empty() || more.runs.empty()) continue;
    if (more.would_need.empty() || more.next.empty() || more.editions.empty() || more.survival.empty() ||
        more.events.empty() || more.heating.empty() || !more.slowest_unprobed || !more.pattern ||
        !more.load_not_judged)
      continue;
    return more;
  }
  FAIL("no seed fills every list");
  return all;
}

} // namespace

TEST_CASE("a judged run read back is the same report, writes the same bytes and prints the same text") {
  const Words words = Words::read(TableFiles::built_in(), "en");
  for (const RunReport& report : judged_reports()) {
    const std::string json = report_json(report);
    const RunReport back = read_report_json("old.json", json);
    CHECK(back == report);
    CHECK(report_json(back) == json);
    for (const bool is_full : {false, true})
      CHECK(run_text(back, words, {is_full, false, "log.csv"}) ==
            run_text(report, words, {is_full, false, "log.csv"}));
    CHECK(run_line(back, words) == run_line(report, words));
    for (std::size_t i = 0; i < report.logs.size(); ++i)
      CHECK(understanding_text("log.csv", back.logs[i].understanding, words) ==
            understanding_text("log.csv", report.logs[i].understanding, words));
  }
}

TEST_CASE("odd names, extreme numbers and empty values survive both ways to the last bit") {
  for (unsigned seed = 0; seed < static_cast<unsigned>(test::cases(300, 5000)); ++seed) {
    CAPTURE(seed);
    const RunReport report = odd_report(seed);
    const std::string json = report_json(report);
    const RunReport back = read_report_json("old.json", json);
    CHECK(back == report);
    CHECK(report_json(back) == json);
  }
}

TEST_CASE("a made-up report read back prints the same text") {
  const Words words = Words::read(TableFiles::built_in(), "en");
  for (unsigned seed = 0; seed < 60; ++seed) {
    CAPTURE(seed);
    const RunReport report = odd_report(seed, true);
    const RunReport back = read_report_json("old.json", report_json(report));
    CHECK(run_text(back, words, {true, false, "log.csv"}) ==
          run_text(report, words, {true, false, "log.csv"}));
  }
}

TEST_CASE("a figure that is not finite is never written") {
  for (const double bad : {std::numeric_limits<double>::infinity(), -std::numeric_limits<double>::infinity(),
                           std::numeric_limits<double>::quiet_NaN()}) {
    RunReport report;
    report.altitude_m = bad;
    CHECK_THROWS_AS((void)report_json(report), OurFault);
    report.altitude_m.reset();
    report.next = {{"next_x", {{"last_degC", bad}}}};
    CHECK_THROWS_AS((void)report_json(report), OurFault);
    report.next.clear();
    CHECK_NOTHROW((void)report_json(report));
  }
  for (const RunReport& report : judged_reports())
    CHECK_NOTHROW((void)report_json(report));
}

TEST_CASE("bytes of a name that are no UTF-8 are replaced once and then stay") {
  RunReport report;
  report.run_name = "core \xC3\x28 \xFF";
  const std::string json = report_json(report);
  CHECK(report_json(read_report_json("old.json", json)) == json);
}

TEST_CASE("each key that is missing is named") {
  const Json whole = Json::parse(report_json(full_report()));
  std::set<std::string> seen;
  Json work = whole;
  for_each_key(work, "", [&](const std::string& pattern, Json& object, const std::string& key) {
    if (!seen.insert(pattern).second || !test::is_in_turn(seen.size())) return;
    CAPTURE(pattern);
    const Json kept = object;
    object.erase(key);
    CHECK(names(complaints_about(work.dump()), pattern));
    object = kept;
  });
  CHECK(work == whole);
  CHECK(seen.size() > 150);
}

TEST_CASE("each value of a wrong type is named") {
  const Json whole = Json::parse(report_json(full_report()));
  std::set<std::string> seen;
  Json work = whole;
  for_each_key(work, "", [&](const std::string& pattern, Json& object, const std::string& key) {
    if (!seen.insert(pattern).second || !test::is_in_turn(seen.size())) return;
    CAPTURE(pattern);
    const Json kept = object[key];
    for (const Json& wrong : {Json::array({Json::array()}), Json(Json::object({{"x", true}}))}) {
      object[key] = wrong;
      CHECK(names(complaints_about(work.dump()), pattern));
    }
    if (!kept.is_string() && !kept.is_null()) {
      object[key] = "twelve";
      CHECK(names(complaints_about(work.dump()), pattern));
    }
    object[key] = kept;
  });
  CHECK(complaints_about(whole.dump()).empty());
}

TEST_CASE("a key that is not known is named wherever it stands") {
  Json work = Json::parse(report_json(full_report()));
  std::set<std::string> seen;
  work["glue"] = 1;
  CHECK(complaints_about(work.dump()).front().place.key_path == "glue");
  work.erase("glue");
  for_each_key(work, "", [&](const std::string& pattern, Json& object, const std::string& key) {
    Json& inside = object[key];
    if (!inside.is_object() || has_free_keys(key) || !seen.insert(pattern).second ||
        !test::is_in_turn(seen.size()))
      return;
    CAPTURE(pattern);
    inside["glue"] = 1;
    CHECK(names(complaints_about(work.dump()), pattern + ".glue"));
    inside.erase("glue");
  });
  CHECK(seen.size() >= 8);
}

TEST_CASE("a record cut short or broken is refused with line and letter") {
  const std::string json = report_json(judged_reports().front());
  for (std::size_t size = 0; size + 2 < json.size(); size += 977) {
    CAPTURE(size);
    const auto complaints = complaints_about(json.substr(0, size));
    REQUIRE(complaints.size() == 1);
    CHECK(complaints.front().place.line >= 1);
  }
  const auto broken = complaints_about("{\n  \"verdict\": pass\n}");
  REQUIRE(broken.size() == 1);
  CHECK(broken.front().place.line == 2);
  CHECK(broken.front().place.column == 14);
  for (const std::string none : {"", "[]", "12", "null", "\"x\"", "{\"k\": 1e999}", "\xFF\xFE", "{} {}"}) {
    CAPTURE(none);
    CHECK_FALSE(complaints_about(none).empty());
  }
  CHECK_FALSE(complaints_about(std::string(200000, '[')).empty());
  CHECK_FALSE(complaints_about(std::string(200000, '[') + std::string(200000, ']')).empty());
}

TEST_CASE("a record with bytes changed by chance is read or refused, and never our fault") {
  const std::string json = report_json(full_report());
  std::mt19937_64 random(20260308);
  const std::string letters = "0123456789-+.eE\"\\{}[],:ntx \xFF";
  const auto below = [&](std::size_t end) {
    return std::uniform_int_distribution<std::size_t>(0, end - 1)(random);
  };
  int read = 0;
  for (int i = 0; i < test::cases(400, 20000); ++i) {
    std::string broken = json;
    for (std::size_t n = 1 + below(2); n > 0; --n)
      broken[below(broken.size())] = letters[below(letters.size())];
    CAPTURE(i);
    CHECK_NOTHROW(read += complaints_about(broken).empty() ? 1 : 0);
  }
  CHECK(read < test::cases(400, 20000) / 2);
}

TEST_CASE("a word that is none is answered with the words there are") {
  Json work = Json::parse(report_json(judged_reports().front()));
  work["criteria"][0]["status"] = "nearly";
  const auto complaints = complaints_about(work.dump());
  REQUIRE(complaints.size() == 1);
  CHECK(complaints.front().place.key_path == "criteria[0].status");
  CHECK(complaints.front().problem == "\"nearly\" is none of its words");
  CHECK(complaints.front().remedy == "write one of met, missed, unproven");
}

TEST_CASE("what does not agree with the rest of the record is refused") {
  const Json whole = Json::parse(report_json(judged_reports().front()));
  const auto refused = [&](const std::function<void(Json&)>& change, const std::string& path) {
    Json work = whole;
    change(work);
    const auto complaints = complaints_about(work.dump());
    CAPTURE(path);
    REQUIRE_FALSE(complaints.empty());
    CHECK(complaints.front().place.key_path == path);
  };
  refused([](Json& j) { j["probes"][0]["hot_at"] = "2026-03-12T09:00:00-05:00"; }, "probes[0].hot_at");
  refused([](Json& j) { j["steam_off"]["at_s"] = 1e12; }, "steam_off.at_s");
  refused([](Json& j) { j["coldest"]["F_minutes"] = 99; }, "coldest.F_minutes");
  refused([](Json& j) { j["coldest"]["probe"] = "glue"; }, "coldest.bag");
  refused([](Json& j) { j["log"]["rows"] = 1; }, "log.rows");
  refused([](Json& j) { j["probes"][0]["F_by_band"][1]["from_degC"] = 71; },
          "probes[0].F_by_band[1].from_degC");
  refused([](Json& j) { j["verdict"] = nullptr; }, "reference");
  refused([](Json& j) { j["clock"]["start"] = "2026-03-12"; }, "clock.start");
  refused([](Json& j) { j["slowest_unprobed"] = 1; }, "slowest_unprobed");
}

TEST_CASE("the same moment written with another offset is accepted") {
  Json work = Json::parse(report_json(judged_reports().front()));
  REQUIRE(work["steam_off"]["at"] == "2026-03-12T10:47:00-05:00");
  work["steam_off"]["at"] = "2026-03-12T11:47:00-04:00";
  CHECK(complaints_about(work.dump()).empty());
}

TEST_CASE("a key that stands twice is refused") {
  std::string json = report_json(judged_reports().front());
  json.insert(1, "\"verdict\": \"pass\",");
  const auto complaints = complaints_about(json);
  REQUIRE_FALSE(complaints.empty());
  CHECK(complaints.front().place.key_path == "verdict");
}

TEST_CASE("every key of the JSON is in its page, and every moment has its seconds") {
  const std::string page = file_text("docs/formats/check-json.md");
  Json work = Json::parse(report_json(full_report()));
  std::set<std::string> keys;
  for_each_key(work, "", [&](const std::string&, Json&, const std::string& key) { keys.insert(key); });
  for (const std::string& key : keys) {
    CAPTURE(key);
    CHECK(page.find("`" + key + "`") != std::string::npos);
  }
  CHECK(keys.size() > 120);
}
