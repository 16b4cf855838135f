#include "run/cautions.h"

#include "run/criteria.h"
#include "run/events.h"
#include "run/lifting.h"
#include "steam/latent_heat.h"
#include "steam/saturation.h"

#include <algorithm>
#include <array>
#include <cmath>

namespace coldbag {

namespace {

/// The order in which kinds are told; kinds that are not named come last.
constexpr std::array<std::string_view, 15> told_first{
    "film_over_limit", "above_boiling",      "near_rating",         "opened_early", "fast_pressure_fall",
    "vacuum",          "superheat",          "air_in_steam",        "bad_air",      "pressure_not_watched",
    "hot_unloading",   "probe_disagreement", "target_over_boiling", "hot_surface",  "test_overdue"};

std::size_t rank_of(const Caution& caution) {
  return static_cast<std::size_t>(std::find(told_first.begin(), told_first.end(), caution.kind) -
                                  told_first.begin());
}

/// Puts the cautions of one run together; each function is one warning.
class Cautioner {
 public:
  Cautioner(const RunInput& input, const Dangers& dangers, const std::vector<Measured>& measured,
            const RunReport& report)
      : input_(input), limits_(input.cautions.limits), dangers_(dangers), measured_(measured),
        report_(report), outside_Pa_(Dangers::outside_Pa(input)),
        boiling_degC_(saturation_temperature_degC(outside_Pa_)) {
    for (std::size_t i = 0; i < input.probes.size(); ++i)
      seen_.push_back(dangers.probe(i));
    if (!report.treatment.empty()) treatment_ = &*input.treatment;
  }

  [[nodiscard]] std::vector<Caution> all() {
    above_boiling();
    target_over_boiling();
    near_rating();
    air_in_steam();
    opened_early();
    hot_unloading();
    hot_surface();
    fast_pressure_fall();
    vacuum();
    film_over_limit();
    test_overdue();
    pressure_not_watched();
    probe_disagreement();
    bad_air();
    heavy_lifting();
    animal_origin();
    statements_against_trace();
    still_hot_against_statements();
    events_outside_log();
    probes_elsewhere();
    if (treatment_ != nullptr) {
      missed_criteria();
      probes_that_cannot_prove();
    }
    std::stable_sort(out_.begin(), out_.end(),
                     [](const Caution& a, const Caution& b) { return rank_of(a) < rank_of(b); });
    return std::move(out_);
  }

 private:
  void add(std::string kind, const std::string& key, SaidValues values, std::string basis,
           std::optional<double> when_s) {
    out_.push_back({std::move(kind), {"caution_" + key, std::move(values)}, std::move(basis), when_s});
  }

  [[nodiscard]] bool is_rated() const { return input_.vessel_kind == VesselKind::pressure_rated; }

  // A rated vessel whose treatment lies over the boiling point is meant to hold pressure.
  [[nodiscard]] bool is_pressure_meant() const {
    return is_rated() && (treatment_ == nullptr || report_.setpoint_degC > boiling_degC_);
  }

  [[nodiscard]] double gauge_Pa_at(double degC) const { return saturation_pressure_Pa(degC) - outside_Pa_; }

  // How far from a stated moment a reading of this column still tells of it.
  [[nodiscard]] double reach_s(const RunProbe& probe) const {
    return std::max(limits_.event_reach_s,
                    input_.logs[static_cast<std::size_t>(probe.log)].log.survey().interval_s);
  }

  template <class Wanted, class Each>
  void each_probe(Wanted wanted, Each each) const {
    for (std::size_t i = 0; i < input_.probes.size(); ++i) {
      const RunProbe& probe = input_.probes[i];
      if (!probe.is_pressure && is_watched(input_, probe) && seen_[i].readings > 0 && wanted(probe.role))
        each(probe, seen_[i]);
    }
  }
  template <class Each>
  void each_gauge(Each each) const {
    for (std::size_t i = 0; i < input_.probes.size(); ++i)
      if (input_.probes[i].is_pressure && is_watched(input_, input_.probes[i]))
        if (const PressureSeen seen = dangers_.gauge(i); seen.readings > 0) each(input_.probes[i], seen);
  }
  static bool is_inside(ProbeRole role) { return role == ProbeRole::bag || is_steam_space(role); }

  void above_boiling() {
    if (is_pressure_meant()) return;
    each_probe(is_inside, [&](const RunProbe& probe, const DangerSeen& seen) {
      if (!seen.over_boiling) return;
      const OverSeen& over = *seen.over_boiling;
      std::string key = over.goes_on ? "above_boiling" : "above_boiling_past";
      if (!input_.site_pressure_Pa) key = "above_boiling_at_sea_level";
      add("above_boiling", key,
          {{"probe", probe.name},
           {"highest_degC", over.highest},
           {"boiling_degC", boiling_degC_},
           {"over_K", over.highest - boiling_degC_},
           {"gauge_pressure_Pa", gauge_Pa_at(over.highest)},
           {"for_minutes", over.longest.length_s() / 60}},
          "measured", over.first.from_s);
    });
    each_gauge([&](const RunProbe& gauge, const PressureSeen& seen) {
      if (seen.over_boiling)
        add("above_boiling", "above_boiling_by_gauge",
            {{"gauge", gauge.name}, {"gauge_pressure_Pa", seen.over_boiling->highest}}, "measured",
            seen.over_boiling->first.from_s);
    });
  }

  void target_over_boiling() {
    if (treatment_ == nullptr || is_rated() || !report_.boiling_degC) return;
    if (report_.setpoint_degC > *report_.boiling_degC)
      add("target_over_boiling", "target_over_boiling",
          {{"target_degC", report_.setpoint_degC}, {"boiling_degC", *report_.boiling_degC}}, "computed",
          std::nullopt);
  }

  // Gauge pressure against the rating: the hottest probe speaks where no gauge says as much.
  struct RatingSeen {
    std::string name;
    double gauge_pressure_Pa = 0;
    bool is_reached = false;
    double from_s = 0;
  };
  static void take_rating(std::optional<RatingSeen>& most, const std::string& name,
                          const std::optional<OverSeen>& near, const std::optional<OverSeen>& reached,
                          double gauge_pressure_Pa) {
    if (!near || (most && gauge_pressure_Pa <= most->gauge_pressure_Pa)) return;
    most = {name, gauge_pressure_Pa, reached.has_value(),
            reached ? reached->first.from_s : near->first.from_s};
  }

  void tell_rating(const RatingSeen& seen, const char* value, const char* near, const char* reached) {
    add("near_rating", seen.is_reached ? reached : near,
        {{value, seen.name},
         {"gauge_pressure_Pa", seen.gauge_pressure_Pa},
         {"rating_Pa", *input_.rating_gauge_Pa}},
        "measured", seen.from_s);
  }

  void near_rating() {
    std::optional<RatingSeen> by_probe;
    std::optional<RatingSeen> by_gauge;
    each_probe(is_inside, [&](const RunProbe& probe, const DangerSeen& seen) {
      if (seen.near_rating)
        take_rating(by_probe, probe.name, seen.near_rating, seen.over_rating,
                    gauge_Pa_at(seen.near_rating->highest));
    });
    each_gauge([&](const RunProbe& gauge, const PressureSeen& seen) {
      if (seen.near_rating)
        take_rating(by_gauge, gauge.name, seen.near_rating, seen.over_rating, seen.near_rating->highest);
    });
    if (by_gauge) tell_rating(*by_gauge, "gauge", "near_rating_by_gauge", "rating_reached_by_gauge");
    if (by_probe && (!by_gauge || (by_probe->is_reached && !by_gauge->is_reached)))
      tell_rating(*by_probe, "probe", "near_rating", "rating_reached");
  }

  // Where the treatment has a limit of its own, its criterion tells.
  void air_in_steam() {
    if (treatment_ != nullptr)
      for (const TreatmentCriterion& criterion : treatment_->criteria)
        if (criterion.measure == Measure::under_saturation) return;
    for (const Dangers::Pair& pair : dangers_.air(input_))
      if (pair.over)
        add("air_in_steam", "air_in_steam",
            {{"probe", input_.probes[pair.second].name}, {"delivered_K", pair.over->highest}}, "measured",
            pair.over->first.from_s);
  }

  // The hottest reading of such a probe at a stated moment.
  [[nodiscard]] std::optional<std::pair<std::string, double>> hottest_at(std::size_t moment,
                                                                         bool (*wanted)(ProbeRole)) const {
    std::optional<std::pair<std::string, double>> hottest;
    each_probe(wanted, [&](const RunProbe& probe, const DangerSeen& seen) {
      const auto degC = seen.moments[moment].reading(reach_s(probe));
      if (degC && (!hottest || *degC > hottest->second)) hottest = {probe.name, *degC};
    });
    return hottest;
  }

  [[nodiscard]] bool tell_opening(std::size_t moment) {
    const double at_s = input_.events[moment].at_s;
    bool told = false;
    each_gauge([&](const RunProbe& gauge, const PressureSeen& seen) {
      const auto gauge_Pa = seen.moments[moment].reading(reach_s(gauge));
      if (told || !gauge_Pa || *gauge_Pa <= limits_.gauge_at_zero_Pa) return;
      told = true;
      add("opened_early", "opened_early_by_gauge",
          {{"opened_at", at_s}, {"gauge", gauge.name}, {"gauge_pressure_Pa", *gauge_Pa}}, "measured", at_s);
    });
    if (told) return true;
    const auto inside = hottest_at(moment, is_inside);
    if (inside && inside->second > boiling_degC_ + limits_.over_boiling_K) {
      add("opened_early", "opened_early_over_boiling",
          {{"opened_at", at_s},
           {"probe", inside->first},
           {"reading_degC", inside->second},
           {"boiling_degC", boiling_degC_}},
          "measured", at_s);
      return true;
    }
    const auto steam = hottest_at(moment, is_steam_space);
    if (!steam || steam->second <= limits_.steam_when_opening_degC) return false;
    add("opened_early", "opened_early",
        {{"opened_at", at_s},
         {"probe", steam->first},
         {"reading_degC", steam->second},
         {"limit_degC", limits_.steam_when_opening_degC}},
        "measured", at_s);
    return true;
  }

  void opened_early() {
    for (std::size_t i = 0; i < input_.events.size(); ++i) {
      const EventKind what = input_.events[i].event.what;
      if ((what == EventKind::opened || what == EventKind::door_opened || what == EventKind::unloaded) &&
          tell_opening(i))
        return;
    }
  }

  void hot_unloading() {
    for (std::size_t i = 0; i < input_.events.size(); ++i) {
      if (input_.events[i].event.what != EventKind::unloaded) continue;
      const auto bag = hottest_at(i, [](ProbeRole role) { return role == ProbeRole::bag; });
      if (!bag || bag->second <= limits_.unloading_degC) continue;
      add("hot_unloading", "hot_unloading",
          {{"probe", bag->first},
           {"reading_degC", bag->second},
           {"burn_s", time_to_deep_burn_s(input_.cautions.burns, bag->second).value_or(0)}},
          "measured", input_.events[i].at_s);
    }
  }

  void hot_surface() {
    each_probe([](ProbeRole role) { return role == ProbeRole::surface; },
               [&](const RunProbe& probe, const DangerSeen& seen) {
                 const auto& over = seen.surface_at_once ? seen.surface_at_once : seen.over_surface;
                 if (!over) return;
                 add("hot_surface", "hot_surface",
                     {{"probe", probe.name},
                      {"highest_degC", over->highest},
                      {"burn_s", time_to_deep_burn_s(input_.cautions.burns, over->highest).value_or(0)}},
                     "measured", over->first.from_s);
               });
  }

  void fast_pressure_fall() {
    std::optional<FallSeen> steepest;
    std::string by;
    const auto take = [&](const std::string& name, const std::optional<FallSeen>& fall) {
      if (!fall || (steepest && fall->per_s <= steepest->per_s)) return;
      steepest = fall;
      by = name;
    };
    each_probe(is_steam_space,
               [&](const RunProbe& p, const DangerSeen& seen) { take(p.name, seen.pressure_fall); });
    each_gauge([&](const RunProbe& p, const PressureSeen& seen) { take(p.name, seen.fall); });
    if (!steepest || steepest->per_s * 60 <= limits_.pressure_fall_in_a_minute_Pa) return;
    const double from_degC = saturation_temperature_degC(outside_Pa_ + steepest->from);
    add("fast_pressure_fall", "fast_pressure_fall",
        {{"probe", by},
         {"a_minute_Pa", steepest->per_s * 60},
         {"limit_Pa", limits_.pressure_fall_in_a_minute_Pa},
         {"from_degC", from_degC},
         {"flash_fraction", flash_fraction(from_degC, boiling_degC_)}},
        "measured", steepest->from_s);
  }

  void vacuum() {
    each_probe(is_steam_space, [&](const RunProbe& probe, const DangerSeen& seen) {
      if (seen.vacuum)
        add("vacuum", "vacuum", {{"probe", probe.name}, {"under_Pa", seen.vacuum->highest}}, "measured",
            seen.vacuum->first.from_s);
    });
    each_gauge([&](const RunProbe& gauge, const PressureSeen& seen) {
      if (seen.vacuum)
        add("vacuum", "vacuum_by_gauge", {{"gauge", gauge.name}, {"under_Pa", seen.vacuum->highest}},
            "measured", seen.vacuum->first.from_s);
    });
  }

  // The bag whose film bears least.
  [[nodiscard]] const Bag* weakest_bag() const {
    const Bag* weakest = nullptr;
    for (const Bag& bag : input_.bags)
      if (const auto limit = film_limit_degC(input_, bag))
        if (weakest == nullptr || *limit < *film_limit_degC(input_, *weakest)) weakest = &bag;
    return weakest;
  }

  // A bag's face is at most as hot as the steam, and while it warms at least as hot as its core.
  void film_over_limit() {
    const Bag* bag = weakest_bag();
    if (bag == nullptr) return;
    for (const bool by_core : {true, false}) {
      const RunProbe* hottest = nullptr;
      const OverSeen* most = nullptr;
      each_probe(
          [by_core](ProbeRole role) { return by_core ? role == ProbeRole::bag : is_steam_space(role); },
          [&](const RunProbe& probe, const DangerSeen& seen) {
            if (!seen.over_film || (most != nullptr && seen.over_film->highest <= most->highest)) return;
            hottest = &probe;
            most = &*seen.over_film;
          });
      if (most == nullptr) continue;
      add("film_over_limit", by_core ? "film_over_limit" : "film_over_limit_by_steam",
          {{"probe", hottest->name},
           {"highest_degC", most->highest},
           {"film", bag->film.value.value_or("?")},
           {"limit_degC", *film_limit_degC(input_, *bag)}},
          "measured", most->first.from_s);
      return;
    }
  }

  void tell_test(const Stated<WallTime>& tested, double every_s, const char* key) {
    if (!tested.known() || !input_.clock.start_wall) return;
    const double since_s = static_cast<double>(input_.clock.start_wall->us - tested.value->us) / 1e6;
    if (since_s > every_s)
      add("test_overdue", key, {{"since_days", std::floor(since_s / 86400)}, {"every_days", every_s / 86400}},
          "stated", std::nullopt);
  }

  void test_overdue() {
    if (!input_.vessel) return;
    const Vessel& vessel = *input_.vessel;
    tell_test(vessel.low_water_tested,
              vessel.low_water_test_every_s.value.value_or(limits_.low_water_test_every_s),
              "test_overdue_low_water");
    tell_test(vessel.safety_valve_tested,
              vessel.safety_valve_test_every_s.value.value_or(limits_.safety_valve_test_every_s),
              "test_overdue_safety_valve");
    constexpr double a_day_s = 86400; // the last day still counts
    tell_test(vessel.certificate_until, a_day_s, "test_overdue_certificate");
  }

  [[nodiscard]] double end_s() const {
    double end = 0;
    for (const LogResult& log : report_.logs)
      end = std::max(end, log.to_s);
    return std::min(end, input_.to_s.value_or(end));
  }

  // Why this probe does not watch the pressure, if it does not.
  [[nodiscard]] std::optional<Caution> blind(const RunProbe& probe, const DangerSeen& seen) const {
    const auto because = [&](const char* key, SaidValues values, std::optional<double> when_s) {
      values["probe"] = probe.name;
      return Caution{
          "pressure_not_watched", {std::string("caution_") + key, std::move(values)}, "measured", when_s};
    };
    if (seen.readings == 0)
      return because("pressure_not_watched_silent", {{"silent_minutes", end_s() / 60}}, 0);
    if (seen.out_of_range_at_s)
      return because("pressure_not_watched_out_of_range", {{"reading_degC", seen.out_of_range_degC}},
                     seen.out_of_range_at_s);
    const double interval_s = input_.logs[static_cast<std::size_t>(probe.log)].log.survey().interval_s;
    Stretch silence = seen.longest_silence;
    if (end_s() - seen.last_s > silence.length_s()) silence = {seen.last_s, end_s()};
    if (silence.length_s() > std::max(limits_.silence_s, 3 * interval_s))
      return because("pressure_not_watched_silent", {{"silent_minutes", silence.length_s() / 60}},
                     silence.from_s);
    if (is_flat(seen))
      return because("pressure_not_watched_flat", {{"reading_degC", seen.lowest_degC}}, seen.first_s);
    for (const ProbeResult& result : report_.probes)
      if (result.name == probe.name)
        for (const Fault& fault : result.faults)
          if (fault.effect != FaultEffect::told && fault.kind != "left_out")
            return because("pressure_not_watched_fault", {}, fault.from_s);
    return std::nullopt;
  }

  // Never another value, while another probe of the run moved.
  [[nodiscard]] bool is_flat(const DangerSeen& seen) const {
    constexpr int few_readings = 30; // assumed
    constexpr double moved_K = 10;   // assumed
    if (seen.readings < few_readings || seen.highest_degC > seen.lowest_degC) return false;
    return std::any_of(seen_.begin(), seen_.end(), [](const DangerSeen& other) {
      return other.highest_degC - other.lowest_degC >= moved_K;
    });
  }

  void pressure_not_watched() {
    bool any_gauge = false;
    each_gauge([&](const RunProbe&, const PressureSeen&) { any_gauge = true; });
    bool any_steam = false;
    bool any_sees = any_gauge;
    std::vector<Caution> blinded;
    for (std::size_t i = 0; i < input_.probes.size(); ++i) {
      const RunProbe& probe = input_.probes[i];
      if (probe.is_pressure || !is_steam_space(probe.role) || !is_watched(input_, probe)) continue;
      any_steam = true;
      if (auto why = blind(probe, seen_[i]))
        blinded.push_back(std::move(*why));
      else
        any_sees = true;
    }
    if (any_sees) return;
    if (!any_steam) add("pressure_not_watched", "pressure_not_watched", {}, "measured", std::nullopt);
    out_.insert(out_.end(), blinded.begin(), blinded.end());
  }

  void probe_disagreement() {
    for (const Dangers::Pair& pair : dangers_.disagreement(input_))
      if (pair.over)
        add("probe_disagreement", "probe_disagreement",
            {{"probe", input_.probes[pair.first].name},
             {"other", input_.probes[pair.second].name},
             {"apart_K", pair.over->highest}},
            "measured", pair.over->first.from_s);
  }

  void bad_air() {
    for (const RunAir& air : input_.air) {
      const auto tell = [&](const char* key, const char* value, double amount, const char* limit_name,
                            double limit) {
        add("bad_air", key,
            {{value, amount}, {limit_name, limit}, {"where", air.reading.where}, {"measured_at", air.at_s}},
            "stated", air.at_s);
      };
      if (const auto co = air.reading.carbon_monoxide) {
        if (*co >= limits_.carbon_monoxide_ceiling)
          tell("bad_air_carbon_monoxide_ceiling", "carbon_monoxide_ppm", *co * 1e6, "limit_ppm",
               limits_.carbon_monoxide_ceiling * 1e6);
        else if (*co > limits_.carbon_monoxide_8h)
          tell("bad_air_carbon_monoxide", "carbon_monoxide_ppm", *co * 1e6, "limit_ppm",
               limits_.carbon_monoxide_8h * 1e6);
      }
      if (const auto oxygen = air.reading.oxygen) {
        if (*oxygen < limits_.oxygen_low)
          tell("bad_air_little_oxygen", "oxygen_tenth_percent", *oxygen, "limit_tenth_percent",
               limits_.oxygen_low);
        if (*oxygen > limits_.oxygen_high)
          tell("bad_air_much_oxygen", "oxygen_tenth_percent", *oxygen, "limit_tenth_percent",
               limits_.oxygen_high);
      }
    }
  }

  void heavy_lifting() {
    for (const Bag& bag : input_.bags) {
      const auto lift = stated_lift(bag);
      if (!lift) continue;
      const double limit_kg = recommended_weight_kg(lift->posture, input_.cautions.lift_frequencies);
      if (lift->mass_kg <= limits_.lift_index * limit_kg) continue;
      const bool is_high = lift->mass_kg >= limits_.lift_index_high * limit_kg;
      add("heavy_lift", is_high ? "heavy_lift_high" : "heavy_lift",
          {{"bag", bag.name}, {"load_kg", lift->mass_kg}, {"recommended_kg", limit_kg}}, "computed",
          std::nullopt);
    }
  }

  void animal_origin() {
    for (const Bag& bag : input_.bags)
      if (bag.has_animal_origin)
        add("animal_origin", "animal_origin", {{"bag", bag.name}}, "stated", std::nullopt);
  }

  // What is stated lies far from what the trace shows; a trace that begins or ends between shows nothing.
  void tell_statement(const char* key, double stated_s, double seen_s) {
    if (std::abs(stated_s - seen_s) > limits_.statement_apart_s)
      add("statement_against_trace", key, {{"stated_at", stated_s}, {"seen_at", seen_s}}, "measured",
          stated_s);
  }

  void statements_against_trace() {
    if (const auto stated = stated_s(input_, EventKind::steam_off))
      if (const auto seen = steam_off_seen_s(measured_))
        tell_statement("statement_against_trace", *stated, *seen);
    if (const auto stated = stated_s(input_, EventKind::steam_on))
      if (const auto seen = steam_on_seen_s(input_, dangers_)) {
        const bool was_warming =
            *stated <= first_reading_s() && *seen <= first_reading_s() + limits_.statement_apart_s;
        if (!was_warming) tell_statement("statement_against_trace_steam_on", *stated, *seen);
      }
    const auto openings = openings_seen_s(input_, dangers_);
    for (const RunMoment& moment : input_.events) {
      if (moment.event.what != EventKind::opened || openings.empty() || moment.at_s > end_s()) continue;
      const double nearest = *std::min_element(openings.begin(), openings.end(), [&](double a, double b) {
        return std::abs(a - moment.at_s) < std::abs(b - moment.at_s);
      });
      tell_statement("statement_against_trace_opened", moment.at_s, nearest);
    }
  }

  // Steam that is said to be off and stays at its plateau; bags that are said to be cool and still burn.
  void still_hot_against_statements() {
    if (const auto off_s = stated_s(input_, EventKind::steam_off))
      for (const Measured& one : measured_) {
        if (one.probe->role != ProbeRole::vessel || !one.is_relied_on || !one.measures.top_degC) continue;
        const double near_s = one.measures.last_near_plateau_s;
        if (fell(one.measures) || near_s - *off_s <= limits_.statement_apart_s) continue;
        add("statement_against_trace", "statement_against_trace_still_on",
            {{"stated_at", *off_s},
             {"probe", one.probe->name},
             {"reading_degC", one.measures.last_mean_degC},
             {"seen_at", near_s}},
            "measured", *off_s);
        break;
      }
    for (std::size_t i = 0; i < input_.events.size(); ++i) {
      if (input_.events[i].event.what != EventKind::cooled) continue;
      const auto hottest = hottest_at(i, is_inside);
      if (hottest && hottest->second > limits_.unloading_degC)
        add("statement_against_trace", "statement_against_trace_cooled",
            {{"stated_at", input_.events[i].at_s},
             {"probe", hottest->first},
             {"reading_degC", hottest->second}},
            "measured", input_.events[i].at_s);
    }
  }

  // What comes before a log begins or after it ends, as a matter of course.
  [[nodiscard]] static bool is_due_before(EventKind what) {
    return what == EventKind::wetted || what == EventKind::filled || what == EventKind::loaded;
  }
  [[nodiscard]] static bool is_due_after(EventKind what) {
    return what == EventKind::unloaded || what == EventKind::cooled || what == EventKind::inoculated;
  }

  // An event that no log reaches: nothing shows whether it is true, and its date may be wrong.
  void events_outside_log() {
    if (report_.logs.empty()) return;
    double from_s = report_.logs.front().from_s;
    double to_s = report_.logs.front().to_s;
    for (const LogResult& log : report_.logs) {
      from_s = std::min(from_s, log.from_s);
      to_s = std::max(to_s, log.to_s);
    }
    for (const RunMoment& moment : input_.events) {
      const EventKind what = moment.event.what;
      const bool is_before = moment.at_s < from_s - limits_.event_reach_s && !is_due_before(what);
      const bool is_after = moment.at_s > to_s + limits_.event_reach_s && !is_due_after(what);
      if (is_before || is_after)
        add("event_outside_log", "event_outside_log",
            {{"event", std::string(event_text(what))},
             {"stated_at", moment.at_s},
             {"log_from_at", from_s},
             {"log_to_at", to_s}},
            "stated", moment.at_s);
    }
  }

  [[nodiscard]] double first_reading_s() const {
    double first = end_s();
    for (const DangerSeen& seen : seen_)
      if (seen.readings > 0) first = std::min(first, seen.first_s);
    return first;
  }

  void probes_elsewhere() {
    for (const RunMoment& moment : input_.events)
      if ((moment.event.what == EventKind::probe_moved || moment.event.what == EventKind::probe_replaced) &&
          !moment.event.probe.empty())
        add(std::string(event_text(moment.event.what)), std::string(event_text(moment.event.what)),
            {{"probe", moment.event.probe}, {"moved_at", moment.at_s}}, "stated", moment.at_s);
  }

  // A limit on the boiling point no wider than the general one says the same again.
  [[nodiscard]] bool is_told_elsewhere(const CriterionResult& result) const {
    return std::any_of(treatment_->criteria.begin(), treatment_->criteria.end(),
                       [&](const TreatmentCriterion& c) {
                         return c.name == result.name && c.measure == Measure::over_boiling &&
                                c.required <= limits_.over_boiling_K;
                       });
  }

  // When what a criterion is about was first seen, where it has a beginning.
  [[nodiscard]] std::optional<double> began_s(const CriterionResult& result) const {
    std::optional<double> began;
    const auto take = [&](const std::optional<OverSeen>& over) {
      if (over) began = std::min(began.value_or(over->first.from_s), over->first.from_s);
    };
    for (const TreatmentCriterion& criterion : treatment_->criteria) {
      if (criterion.name != result.name) continue;
      if (criterion.measure == Measure::under_saturation)
        for (const Dangers::Pair& pair : dangers_.air(input_))
          take(pair.over);
      if (criterion.measure == Measure::over_boiling)
        for (std::size_t i = 0; i < input_.probes.size(); ++i)
          if (input_.probes[i].name == result.decided_by) take(seen_[i].over_boiling);
    }
    return began;
  }

  void missed_criteria() {
    for (const CriterionResult& criterion : report_.criteria) {
      if (criterion.fails || criterion.status != Status::missed || is_told_elsewhere(criterion)) continue;
      SaidValues values{{"probe", criterion.decided_by}};
      const bool is_F = criterion.name.find("lethality") != std::string::npos;
      const std::string unit = is_F ? "F_minutes" : criterion.unit;
      if (criterion.delivered) values["delivered_" + unit] = *criterion.delivered;
      values["required_" + unit] = criterion.required;
      add(criterion.name, criterion.name, std::move(values), "measured", began_s(criterion));
    }
  }

  void probes_that_cannot_prove() {
    for (const Measured& one : measured_) {
      if (decides_by_F(*treatment_) || one.probe->role != ProbeRole::bag || !one.measures.top_degC) continue;
      const double needs_degC = report_.setpoint_degC + coverage_k * one.probe->u_K;
      if (one.measures.plateau_degC < report_.setpoint_degC || one.measures.plateau_degC >= needs_degC)
        continue;
      add("probe_cannot_prove", "probe_cannot_prove",
          {{"probe", one.probe->name},
           {"needs_degC", needs_degC},
           {"plateau_degC", one.measures.plateau_degC},
           {"needed_u_K", (one.measures.plateau_degC - report_.setpoint_degC) / coverage_k}},
          "measured", std::nullopt);
    }
  }

  const RunInput& input_;
  const CautionLimits& limits_;
  const Dangers& dangers_;
  const std::vector<Measured>& measured_;
  const RunReport& report_;
  const Treatment* treatment_ = nullptr;
  double outside_Pa_;
  double boiling_degC_;
  std::vector<DangerSeen> seen_;
  std::vector<Caution> out_;
};

} // namespace

double flash_fraction(double from_degC, double to_degC) {
  if (from_degC <= to_degC) return 0;
  return (water_enthalpy_J_per_kg(from_degC) - water_enthalpy_J_per_kg(to_degC)) /
         latent_heat_J_per_kg(to_degC);
}

std::vector<Caution> cautions_of(const RunInput& input, const Dangers& dangers,
                                 const std::vector<Measured>& probes, const RunReport& report) {
  return Cautioner(input, dangers, probes, report).all();
}

} // namespace coldbag
