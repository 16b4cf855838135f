#include "sizing/run_sheet.h"

#include "errors/our_fault.h"
#include "errors/user_error.h"
#include "farm/fit.h"
#include "kinetics/lethality.h"
#include "logs/paper_sheet.h"
#include "logs/rows.h"
#include "run/criteria.h"
#include "steam/atmosphere.h"
#include "steam/saturation.h"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <utility>

namespace coldbag {

namespace {

constexpr double s_per_minute = 60;
constexpr double by_hand_time_s = 300; // a hand-written time is good to five minutes (assumed)
constexpr std::array usual_steps_s{1800.0, 900.0, 600.0, 300.0}; // 15 or 30 min: common practice
constexpr double shortest_step_s = 60;
constexpr double longest_step_s = 12 * 3600.0;
constexpr int usual_lines = 36;            // one full page of readings, and some
constexpr std::size_t longest_column = 60; // bytes; a line of the sheet takes it
constexpr double part_of_hold = 1.5;       // room for coming up and for what is advised beyond the hold
constexpr double boiling_slack_K = 0.5;    ///< a treatment may ask for the boiling point itself
constexpr double rating_slack_Pa = 500;    ///< rounding of temperature and gauge

Place at_option(const std::string& option) {
  return {"", 0, 0, "--" + option};
}

std::string in_C(double degC) {
  return print_fixed(degC, 1) + " C";
}

/// What a bag must get, may not pass and had better get, in the order of the treatment.
class Requirements {
 public:
  Requirements(const Treatment& treatment, std::optional<double> boiling_degC, std::optional<double> bag_kg)
      : treatment_(treatment), bag_kg_(bag_kg), setpoint_(setpoint_degC(treatment, boiling_degC)) {}

  std::vector<Said> all() {
    for (const TreatmentCriterion& criterion : treatment_.criteria)
      add(criterion);
    return std::move(all_);
  }

 private:
  void say(std::string key, const TreatmentCriterion& criterion, SaidValues values) {
    values["basis"] = std::string(basis_text(criterion.basis));
    all_.push_back({std::move(key), std::move(values)});
  }

  void add(const TreatmentCriterion& c) {
    const bool is_least = c.sense == Sense::at_least;
    switch (c.measure) {
    case Measure::hold:
      return add_hold(c);
    case Measure::F:
      return is_least ? add_F(c)
                      : say("sheet_limit_lethality", c,
                            {{"name", name_of_F(c)}, {"required_F_minutes", c.required}});
    case Measure::all_hot:
      return say("sheet_needs_all_hot", c, {{"setpoint_degC", setpoint_}, {"required_minutes", c.required}});
    case Measure::minutes_at_or_above:
      return say(is_least ? "sheet_needs_minutes" : "sheet_limit_minutes", c,
                 {{"level_degC", c.level_degC.value_or(setpoint_)}, {"required_minutes", c.required}});
    case Measure::top:
      return say(is_least  ? "sheet_needs_top"
                 : c.fails ? "sheet_limit_top"
                           : "sheet_wants_top",
                 c, {{"required_degC", c.required}});
    case Measure::moisture:
      return say("sheet_wants_moisture", c,
                 {{"from_fraction", c.required}, {"to_fraction", c.required_to.value_or(1)}});
    case Measure::log_reduction:
      return say("sheet_needs_log_reduction", c, {{"decades", c.required}, {"organism", c.organism}});
    case Measure::over_boiling:
    case Measure::under_saturation:
      return; // what the back of the sheet says of the gauge
    }
  }

  void add_hold(const TreatmentCriterion& c) {
    if (c.heavier && !bag_kg_)
      return say(c.fails ? "sheet_needs_hold_heavier" : "sheet_wants_hold_heavier", c,
                 {{"setpoint_degC", setpoint_},
                  {"required_minutes", c.required},
                  {"than_kg", c.heavier->than_kg},
                  {"heavier_minutes", c.heavier->required}});
    const bool is_heavier = c.heavier && *bag_kg_ > c.heavier->than_kg;
    say(c.fails ? "sheet_needs_hold" : "sheet_wants_hold", c,
        {{"setpoint_degC", setpoint_}, {"required_minutes", is_heavier ? c.heavier->required : c.required}});
    if (is_heavier) all_.back().values["basis"] = std::string(basis_text(c.heavier->basis));
  }

  [[nodiscard]] std::string name_of_F(const TreatmentCriterion& c) const {
    return c.reference ? c.reference->name : treatment_.reference.name;
  }

  // Nobody adds up F with a pencil: the same heat is said as minutes at two temperatures, rounded up.
  void add_F(const TreatmentCriterion& c) {
    const Reference& reference = c.reference ? *c.reference : treatment_.reference;
    const double rate = lethal_rate(setpoint_, reference);
    our_check(rate > 0, "a treatment's setpoint earns lethality");
    SaidValues values{{"name", reference.name},
                      {"required_F_minutes", c.required},
                      {"at_degC", reference.at_degC},
                      {"setpoint_degC", setpoint_},
                      {"at_setpoint_minutes", std::ceil(c.required / rate - 1e-9)}};
    if (treatment_.counts_from_degC) values["counts_from_degC"] = *treatment_.counts_from_degC;
    const char* needs = treatment_.counts_from_degC ? "sheet_needs_lethality_from" : "sheet_needs_lethality";
    say(c.fails ? needs : "sheet_wants_lethality", c, std::move(values));
  }

  const Treatment& treatment_;
  std::optional<double> bag_kg_;
  double setpoint_;
  std::vector<Said> all_;
};

/// The longest hold that is required or advised for such a bag, minutes; 0 where none is.
double longest_hold_minutes(const Treatment& treatment, std::optional<double> bag_kg) {
  double longest = 0;
  for (const TreatmentCriterion& c : treatment.criteria) {
    if (c.measure != Measure::hold && c.measure != Measure::all_hot) continue;
    longest = std::max(longest, c.required);
    if (c.heavier && (!bag_kg || *bag_kg > c.heavier->than_kg))
      longest = std::max(longest, c.heavier->required);
  }
  return longest;
}

/// What a name may not hold, or "".
std::string problem_of_column(const std::string& name) {
  const bool is_odd = std::ranges::any_of(
      name, [](char c) { return c == '"' || c == ',' || static_cast<unsigned char>(c) < 0x20; });
  if (is_odd) return "a name holds a comma, a quote or a control character";
  if (name.size() > longest_column) return fmt::format("\"{}\" is too long for a column", name);
  return "";
}

/// What was typed off such columns must read back as it stands; "" where it does.
std::string problem_of_columns(const std::vector<std::string>& columns) {
  for (const std::string& name : columns)
    if (auto problem = problem_of_column(name); !problem.empty()) return problem;
  const PaperSheet sheet{columns, false, usual_steps_s.front(), "A"};
  SheetRow row{{0}, std::vector<SheetCell>(columns.size(), SheetCell{"50.5", ""}), ""};
  std::string text = sheet_head(sheet, {}) + sheet_line(sheet, row);
  row.time.us += static_cast<std::int64_t>(sheet.interval_s * 1e6);
  text += sheet_line(sheet, row);
  try {
    const ProbeLog log = ProbeLog::open(Source::memory("sheet", text), {});
    const auto& read = log.understanding().columns;
    if (read.size() != columns.size() + 2) return "these names do not make a log that can be read";
    for (std::size_t i = 0; i < columns.size(); ++i)
      if (read[i + 1].kind.value != ColumnKind::temperature || read[i + 1].name != columns[i])
        return fmt::format("\"{}\" would not be read as a probe of its own", columns[i]);
  } catch (const UserError& error) {
    return "these names do not make a log that can be read: " + error.complaints().front().problem;
  }
  return "";
}

/// Puts a sheet together from what was asked; the complaints are thrown together.
class SheetMaker {
 public:
  SheetMaker(const SheetAsked& asked, const Site* site, std::vector<Treatment> built_in,
             const CautionTables& tables)
      : asked_(asked), site_(site), tables_(tables), treatments_(std::move(built_in)) {
    if (site == nullptr) return;
    for (const Treatment& own : site->treatments) {
      std::erase_if(treatments_, [&](const Treatment& t) { return t.key == own.key; });
      treatments_.push_back(own);
    }
  }

  RunSheet make() {
    sheet_.run_name = asked_.run_name;
    take_site();
    take_vessel();
    take_treatment();
    take_bags();
    take_probes();
    take_times();
    check_reach();
    if (!complaints_.empty()) throw UserError(std::move(complaints_));
    if (treatment_ != nullptr) take_requirements();
    sheet_.events = events();
    add_cautions();
    add_reminders();
    add_what_to_do();
    return std::move(sheet_);
  }

 private:
  void complain(const std::string& option, std::string problem, std::string remedy) {
    complaints_.push_back({Trouble::usage, at_option(option), std::move(problem), std::move(remedy)});
  }

  /// Whether the name is one of those; complains where it is not.
  bool is_known(const char* what, const std::string& option, const std::string& name,
                const std::vector<std::string>& known) {
    auto unknown = unknown_name(what, name, at_option(option), known);
    if (!unknown) return true;
    unknown->trouble = Trouble::usage;
    complaints_.push_back(*std::move(unknown));
    return false;
  }

  template <class Thing>
  static std::vector<std::string> names_of(const std::vector<Thing>& things) {
    std::vector<std::string> names;
    names.reserve(things.size());
    for (const Thing& thing : things)
      names.push_back(thing.name);
    return names;
  }

  void take_site() {
    if (site_ != nullptr) {
      sheet_.site_name = site_->name;
      sheet_.altitude_m = site_->altitude_m.value;
      sheet_.units = site_->units;
    }
    if (asked_.units) sheet_.units = *asked_.units;
    if (sheet_.altitude_m) sheet_.boiling_degC = boiling_point_degC(standard_pressure_Pa(*sheet_.altitude_m));
  }

  void take_vessel() {
    sheet_.vessel = asked_.vessel;
    if (site_ == nullptr || site_->vessels.empty()) return;
    const auto names = names_of(site_->vessels);
    if (asked_.vessel.empty() && names.size() == 1) sheet_.vessel = names.front();
    if (sheet_.vessel.empty())
      return complain("vessel", "the site file has several vessels",
                      fmt::format("choose one of {}", fmt::join(names, ", ")));
    if (!is_known("vessel in the site file called", "vessel", sheet_.vessel, names)) return;
    const Vessel& vessel = *find_vessel(*site_, sheet_.vessel);
    sheet_.vessel_kind = vessel.kind.value;
    if (vessel.kind.value != VesselKind::vented) sheet_.rating_gauge_Pa = vessel.rating_gauge_Pa.value;
  }

  void take_treatment() {
    if (asked_.treatment.empty()) return;
    std::vector<std::string> keys;
    for (const Treatment& treatment : treatments_)
      keys.push_back(treatment.key);
    if (!is_known("treatment", "treatment", asked_.treatment, keys)) return;
    treatment_ = find_treatment(treatments_, asked_.treatment);
    sheet_.treatment = treatment_->name;
  }

  void take_bags() {
    SheetBags bags{asked_.bag, asked_.bag_count, {}, {}, ""};
    if (site_ != nullptr && !site_->bags.empty()) {
      const auto names = names_of(site_->bags);
      if (bags.kind.empty() && names.size() == 1) bags.kind = names.front();
      if (!bags.kind.empty() && is_known("kind of bag in the site file called", "bag", bags.kind, names)) {
        bag_ = find_bag(*site_, bags.kind);
        bags.mass_kg = bag_->mass_kg.value;
        bags.moisture_wb = bag_->moisture_wb.value;
      }
    }
    if (bags.count && *bags.count < 1)
      complain("bags", "a load has one bag or more", "for example --bags 40");
    sheet_.bags = {std::move(bags)};
  }

  static SheetProbe column_of(const Probe& probe) {
    SheetProbe column{probe.column.value.value_or(probe.name), {}, probe.position.value.value_or("")};
    column.role = probe.role.value.value_or(role_by_name(column.column));
    return column;
  }

  void take_probes() {
    const bool has_probes = site_ != nullptr && !site_->probes.empty();
    if (!asked_.probes.empty()) {
      for (const std::string& name : asked_.probes)
        take_probe(name, has_probes);
    } else if (!has_probes) {
      return complain("probes", "nobody said which probes there are",
                      "for example --probes \"Core 1, Core 2, Vessel\"");
    } else if (site_->vessels.size() > 1) {
      return complain("probes", "the site file has several vessels and does not say which probe is in which",
                      fmt::format("choose from {}", fmt::join(names_of(site_->probes), ", ")));
    } else {
      for (const Probe& probe : site_->probes)
        sheet_.probes.push_back(column_of(probe));
    }
    check_columns();
  }

  void take_probe(const std::string& name, bool has_probes) {
    if (!has_probes) return sheet_.probes.push_back({name, role_by_name(name), ""});
    const auto found = std::ranges::find_if(site_->probes, [&](const Probe& probe) {
      return probe.name == name || column_of(probe).column == name;
    });
    if (found != site_->probes.end()) return sheet_.probes.push_back(column_of(*found));
    auto known = names_of(site_->probes);
    for (const Probe& probe : site_->probes)
      if (probe.column.value && *probe.column.value != probe.name) known.push_back(*probe.column.value);
    (void)is_known("probe in the site file called", "probes", name, known);
  }

  void check_columns() {
    if (sheet_.probes.size() > most_sheet_probes)
      return complain("probes", fmt::format("{} columns are too wide for a sheet", sheet_.probes.size()),
                      fmt::format("{} at most; make a second sheet for the rest", most_sheet_probes));
    std::vector<std::string> columns;
    for (const SheetProbe& probe : sheet_.probes)
      columns.push_back(probe.column);
    if (columns.empty()) return;
    if (auto problem = problem_of_columns(columns); !problem.empty())
      complain("probes", std::move(problem), "give each column a name of its own, such as \"Core 1\"");
  }

  /// Longest time between two readings that the treatment bridges, though each is written up to 5 min off.
  [[nodiscard]] double bridged_s() const {
    double gap_s = treatment_ != nullptr ? treatment_->gap_by_hand_s : longest_step_s;
    if (treatment_ == nullptr)
      for (const Treatment& treatment : treatments_)
        gap_s = std::min(gap_s, treatment.gap_by_hand_s);
    return gap_s - 2 * by_hand_time_s;
  }

  [[nodiscard]] double usual_step_s() const {
    for (const double step_s : usual_steps_s)
      if (step_s <= bridged_s()) return step_s;
    return usual_steps_s.back();
  }

  [[nodiscard]] double usual_length_s() const {
    const double lines_s = (usual_lines - 1) * sheet_.every_s;
    if (treatment_ == nullptr) return lines_s;
    const double hold_minutes = longest_hold_minutes(*treatment_, sheet_.bags.front().mass_kg);
    return std::max(lines_s, part_of_hold * hold_minutes * s_per_minute);
  }

  void take_times() {
    sheet_.start = asked_.start;
    sheet_.every_s = asked_.every_s.value_or(usual_step_s());
    if (sheet_.every_s < shortest_step_s || sheet_.every_s > longest_step_s ||
        std::fmod(sheet_.every_s, s_per_minute) != 0)
      return complain("every", "readings lie whole minutes apart, from 1 min to 12 h",
                      "for example --every 30");
    const double for_s = asked_.for_s.value_or(usual_length_s());
    if (!(for_s > 0)) return complain("for", "a run takes some time", "for example --for \"14 h\"");
    const double steps = std::ceil(for_s / sheet_.every_s - 1e-9);
    if (steps + 1 > static_cast<double>(most_sheet_lines))
      return complain("every", fmt::format("{:.0f} lines are too many to read by hand", steps + 1),
                      fmt::format("{} at most: a longer --every, or a shorter --for", most_sheet_lines));
    for (int i = 0; i <= static_cast<int>(steps); ++i)
      sheet_.lines.push_back({i * sheet_.every_s, {}});
  }

  [[nodiscard]] std::optional<double> setpoint() const {
    if (treatment_ == nullptr) return std::nullopt;
    return setpoint_degC(*treatment_, sheet_.boiling_degC);
  }

  [[nodiscard]] double boils_degC() const {
    return sheet_.boiling_degC.value_or(boiling_point_degC(standard_pressure_Pa(0)));
  }

  /// Where nobody said what the vessel is, a treatment over the boiling point does.
  [[nodiscard]] bool may_be_vented() const {
    if (sheet_.vessel_kind) return *sheet_.vessel_kind == VesselKind::vented;
    return !setpoint() || *setpoint() <= boils_degC() + boiling_slack_K;
  }
  [[nodiscard]] bool may_be_rated() const { return sheet_.vessel_kind != VesselKind::vented; }

  /// A sheet for what the vessel cannot do would be read as leave to shut its vent or to pass its rating.
  void check_reach() {
    const auto setpoint_now = setpoint();
    if (!setpoint_now) return;
    if (sheet_.vessel_kind == VesselKind::vented && *setpoint_now > boils_degC() + boiling_slack_K)
      complain(
          "treatment",
          fmt::format("\"{}\" asks for {}, and in a vented vessel nothing gets hotter than {}{}",
                      treatment_->key, in_C(*setpoint_now), in_C(boils_degC()),
                      sheet_.altitude_m ? " here" : " even at sea level"),
          "choose a treatment for a vented vessel, with its longer hold; never close a vent to get hotter");
    if (sheet_.vessel_kind != VesselKind::pressure_rated || !sheet_.rating_gauge_Pa) return;
    const double outside_Pa = standard_pressure_Pa(sheet_.altitude_m.value_or(0));
    const double needs_Pa = saturation_pressure_Pa(*setpoint_now) - outside_Pa;
    if (needs_Pa > *sheet_.rating_gauge_Pa + rating_slack_Pa)
      complain("treatment",
               fmt::format("\"{}\" asks for {}, steam of {}, and the vessel is rated for {}", treatment_->key,
                           in_C(*setpoint_now), print_pressure(needs_Pa, UnitSystem::metric),
                           print_pressure(*sheet_.rating_gauge_Pa, UnitSystem::metric)),
               "choose a cooler treatment, with its longer hold");
  }

  void take_requirements() {
    sheet_.requirements = Requirements(*treatment_, sheet_.boiling_degC, sheet_.bags.front().mass_kg).all();
    sheet_.requirements.push_back(
        {"sheet_stay_longer", {{"by_hand_minutes", by_hand_time_s / s_per_minute}}});
    const double setpoint_now = *setpoint();
    if (!may_be_rated() || !sheet_.altitude_m) return;
    const double gauge_Pa = saturation_pressure_Pa(setpoint_now) - standard_pressure_Pa(*sheet_.altitude_m);
    if (gauge_Pa < tables_.limits.air_watched_from_Pa) return; // a vessel being vented shows as much
    sheet_.requirements.push_back(
        {"sheet_gauge_at_setpoint", {{"setpoint_degC", setpoint_now}, {"gauge_pressure_Pa", gauge_Pa}}});
  }

  /// A vented vessel's vent stays open, so its closing is no event of such a run.
  [[nodiscard]] std::vector<EventKind> events() const {
    std::vector<EventKind> all{EventKind::wetted, EventKind::filled, EventKind::loaded, EventKind::steam_on};
    if (may_be_rated()) all.push_back(EventKind::vent_closed);
    all.insert(all.end(), {EventKind::water_added, EventKind::water_added, EventKind::steam_off});
    if (may_be_rated()) all.push_back(EventKind::vent_opened);
    all.insert(all.end(), {EventKind::opened, EventKind::unloaded, EventKind::cooled, EventKind::inoculated});
    return all;
  }

  void caution(std::string key, SaidValues values = {}) {
    sheet_.cautions.push_back({std::move(key), std::move(values)});
  }
  void advise(std::string key, SaidValues values = {}) {
    sheet_.if_it_happens.push_back({std::move(key), std::move(values)});
  }

  [[nodiscard]] std::optional<double> film_degC() const {
    if (bag_ == nullptr) return std::nullopt;
    if (bag_->film_highest_degC.known()) return bag_->film_highest_degC.value;
    if (!bag_->film.known()) return std::nullopt;
    const Film* film = find_film(tables_.films, *bag_->film.value);
    return film == nullptr ? std::nullopt : std::optional(film->loaded_highest_degC);
  }

  void add_cautions() {
    if (const auto film = film_degC(); film && setpoint() && *film < *setpoint())
      caution("sheet_caution_film", {{"film_degC", *film}, {"setpoint_degC", *setpoint()}});
    caution("sheet_caution_law");
    if (treatment_ != nullptr && sheet_.every_s > bridged_s())
      caution("sheet_caution_interval", {{"every_minutes", sheet_.every_s / s_per_minute},
                                         {"bridged_minutes", bridged_s() / s_per_minute}});
    const auto has = [&](auto is_wanted) {
      return std::ranges::any_of(sheet_.probes, is_wanted, &SheetProbe::role);
    };
    if (!has([](ProbeRole role) { return role == ProbeRole::bag; })) caution("sheet_caution_no_bag_probe");
    if (!has([](ProbeRole role) { return role != ProbeRole::unstated && is_steam_space(role); }))
      caution("sheet_caution_no_steam_probe");
  }

  /// What is to be looked at with every reading.
  void add_reminders() {
    const auto mind = [&](const char* key, SaidValues values = {}) {
      sheet_.reminders.push_back({key, std::move(values)});
    };
    if (setpoint()) mind("sheet_mind_setpoint", {{"setpoint_degC", *setpoint()}});
    if (may_be_rated()) {
      if (sheet_.rating_gauge_Pa)
        mind("sheet_mind_rating", {{"rating_Pa", *sheet_.rating_gauge_Pa}});
      else
        mind("sheet_mind_rating_unknown");
    }
    if (may_be_vented()) mind("sheet_mind_vent");
    mind("sheet_mind_water");
  }

  void add_what_to_do() {
    advise_on_heat();
    advise("sheet_do_water_low");
    advise("sheet_do_power_cut");
    advise_on_pressure();
    advise("sheet_do_probe_dead");
    advise("sheet_do_bag_burst");
    advise("sheet_do_before_opening");
    advise("sheet_do_unloading", {{"unloading_degC", tables_.limits.unloading_degC}});
    advise("sheet_do_bad_air");
  }

  void advise_on_heat() {
    if (treatment_ == nullptr)
      advise("sheet_do_steam_lost");
    else
      advise(decides_by_F(*treatment_) ? "sheet_do_steam_lost_lethality" : "sheet_do_steam_lost_hold",
             {{"setpoint_degC", *setpoint()}});
    if (treatment_ == nullptr) return;
    for (const TreatmentCriterion& c : treatment_->criteria)
      if (c.measure == Measure::top && c.fails && c.sense != Sense::at_least)
        advise("sheet_do_too_hot", {{"required_degC", c.required}});
  }

  void advise_on_pressure() {
    if (may_be_rated()) {
      if (sheet_.rating_gauge_Pa)
        advise("sheet_do_over_rating", {{"near_Pa", tables_.limits.rating_near * *sheet_.rating_gauge_Pa},
                                        {"rating_Pa", *sheet_.rating_gauge_Pa}});
      else
        advise("sheet_do_over_rating_unknown");
    }
    if (!may_be_vented()) return;
    if (sheet_.boiling_degC)
      advise("sheet_do_over_boiling", {{"limit_degC", *sheet_.boiling_degC + tables_.limits.over_boiling_K},
                                       {"boiling_degC", *sheet_.boiling_degC}});
    else
      advise("sheet_do_over_boiling_unknown");
  }

  const SheetAsked& asked_;
  const Site* site_;
  const CautionTables& tables_;
  std::vector<Treatment> treatments_;
  const Treatment* treatment_ = nullptr;
  const Bag* bag_ = nullptr;
  RunSheet sheet_;
  std::vector<Complaint> complaints_;
};

} // namespace

RunSheet blank_run_sheet(const SheetAsked& asked, const Site* site, const std::vector<Treatment>& built_in,
                         const CautionTables& tables) {
  return SheetMaker(asked, site, built_in, tables).make();
}

} // namespace coldbag
