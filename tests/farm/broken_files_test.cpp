#include "errors/user_error.h"
#include "farm/load.h"
#include "farm/run_file.h"
#include "farm/site.h"

#include "file_text.h"

#include <doctest/doctest.h>

#include <string>
#include <string_view>
#include <vector>

using namespace coldbag;

namespace {

/// One file with one fault; the message must hold every fragment, the first right behind the file's name.
struct Broken {
  std::string_view file;
  std::vector<std::string_view> fragments;
};

const std::vector<Broken>& all_broken() {
  static const std::vector<Broken> table{
      {"site_unquoted_mass.toml", {":4:8: mass: 5 lb stands without quotes", "write mass = \"5 lb\""}},
      {"site_unquoted_word.toml", {":4:8: kind: vented is text without quotes", "write kind = \"vented\""}},
      {"site_unquoted_question.toml", {":4:8: film: ? stands without quotes", "write film = \"?\""}},
      {"site_heading_not_closed.toml",
       {":1:", "the file is not TOML here", "a line is a heading such as [vessels.north]"}},
      {"site_key_twice.toml",
       {":3:", "this key or heading stands in the file already", "write each heading once"}},
      {"site_bytes_not_utf8.toml", {":2:", "the file is not TOML here"}},
      {"site_brackets_too_deep.toml", {":3:16: ", "brackets stand more than 8 deep"}},
      {"site_key_too_deep.toml", {":3:17: ", "a key has more than 8 parts"}},
      {"site_unknown_key.toml",
       {":4:1: bags.brick.moistrue: the key is not known", "did you mean moisture?"}},
      {"site_unknown_heading.toml", {":3:2: vesels: the key is not known", "did you mean vessels?"}},
      {"site_no_heading.toml", {":1:1: site: the heading [site] is missing", "altitude = \"1150 m\""}},
      {"site_vessel_without_name.toml",
       {":4:8: vessels.kind: \"vented\" stands where a name's own table is wanted",
        "write [vessels.NAME] and put kind below it"}},
      {"site_vessels_a_list.toml",
       {":3:1: vessels: a list is no table", "write it as [vessels] with its keys below"}},
      {"site_pressure_bare.toml",
       {":2:12: site.pressure: a site has an altitude", "pressure_at_site or pressure_at_sea_level"}},
      {"site_altitude_without_unit.toml",
       {":2:12: site.altitude: 1150 has no unit", "write for example altitude = \"1150 m\" ("}},
      {"site_altitude_text_without_unit.toml",
       {":2:12: site.altitude: \"1150\" has no unit", "write for example altitude = \"1150 m\" ("}},
      {"site_altitude_too_high.toml",
       {":2:12: site.altitude: \"11500 m\" is not possible",
        "altitude is from -500 m to 9000 m, for example altitude = \"1150 m\""}},
      {"site_altitude_too_low.toml",
       {":2:12: site.altitude: \"-501 m\" is not possible",
        "altitude is from -500 m to 9000 m, for example altitude = \"1150 m\""}},
      {"site_zone_unknown.toml",
       {":2:8: site.zone: there is no time zone \"America/Bogata\"", "did you mean America/Bogota"}},
      {"site_units_unknown.toml",
       {":2:9: site.units: \"imperial\" is not known here", "write units = \"metric\" or \"us\""}},
      {"site_language_unknown.toml",
       {":2:12: site.language: \"fr\" is not known here", "write language = \"en\" or \"es\""}},
      {"site_log_unit.toml",
       {":3:8: log.unit: \"R\" is not known here", "write unit = \"C\", \"F\" or \"K\""}},
      {"site_log_zone.toml", {":3:8: log.zone: the time zone is that of the site", "write it under [site]"}},
      {"site_log_key.toml", {":3:1: log.date_ordre: the key is not known", "did you mean date_order?"}},
      {"site_kind_misspelt.toml",
       {":4:8: vessels.north.kind: \"presure-rated\" is not known here", "did you mean \"pressure-rated\"?"}},
      {"site_rating_unstated.toml",
       {":4:10: vessels.north.rating: \"15 psi\" does not say gauge or absolute",
        "write for example rating = \"15 psi gauge\""}},
      {"site_rating_absolute.toml",
       {":4:10: vessels.north.rating: \"30 psi abs\" is absolute",
        "write for example rating = \"15 psi gauge\""}},
      {"site_rating_bare_number.toml",
       {":4:10: vessels.north.rating: 15 has no unit", "write for example rating = \"15 psi gauge\""}},
      {"site_volume_zero.toml",
       {":4:10: vessels.north.volume: \"0 m3\" is not possible",
        "volume is above 0, for example volume = \"2 m3\""}},
      {"site_efficiency_zero.toml",
       {":4:14: vessels.north.efficiency: \"0 %\" is not possible", "above 0, and 100 % at most"}},
      {"site_mass_without_unit.toml",
       {":4:8: bags.brick.mass: 5 has no unit", "write for example mass = \"5 lb\""}},
      {"site_mass_wrong_unit.toml", {":4:8: bags.brick.mass: ", "stones"}},
      {"site_mass_negative.toml",
       {":4:8: bags.brick.mass: \"-2 kg\" is not possible", "mass is above 0, for example mass = \"5 lb\""}},
      {"site_moisture_over_one.toml",
       {":4:12: bags.brick.moisture: 62 is not from 0 to 1", "write for example moisture = \"62 %\""}},
      {"site_moisture_over_hundred.toml",
       {":4:12: bags.brick.moisture: \"120 %\" is not possible", "moisture is from 0 to 100 %"}},
      {"site_film_a_number.toml", {":4:8: bags.brick.film: 3 is no text", "in quotes"}},
      {"site_film_empty.toml",
       {":4:8: bags.brick.film: the text is empty", "write \"?\" where it is not known"}},
      {"site_probe_bag_unknown.toml", {":6:7: probes.one.bag: there is no [bags.brik]", "known: brick"}},
      {"site_probe_bag_in_steam.toml",
       {":6:7: probes.one.bag: the probe names a bag, but its place is \"vessel\"",
        "write place = \"bag\", or leave bag out"}},
      {"site_probe_place_unknown.toml",
       {":4:9: probes.one.place: \"core\" is not known here",
        "\"bag\", \"vessel\", \"lid\", \"drain\", \"surface\" or \"outside\""}},
      {"site_probe_column_twice.toml",
       {":6:10: probes.two.column: column \"T1\" is already that of probe one", "a column of its own"}},
      {"site_check_without_correction.toml",
       {":4:1: probes.one.check[1].correction: correction is missing", "correction = \"-0.4 K\""}},
      {"site_check_correction_huge.toml",
       {":5:14: probes.one.check[1].correction: \"96 K\" is not possible", "from -20 K to 20 K"}},
      {"site_check_date_impossible.toml",
       {":5:6: probes.one.check[1].on: \"2026-02-30\" is no date or time", "2026-03-08"}},
      {"site_pattern_count_fraction.toml",
       {":4:9: patterns.full.count: 2.5 is no whole number", "write count = 120"}},
      {"site_treatment_key_missing.toml", {":3:1: treatment[1].key: key is missing"}},
      {"site_treatment_key_twice.toml",
       {":11:7: treatment[2].key: two treatments have the key \"long_steam\""}},
      {"site_treatment_setpoint_missing.toml",
       {":3:1: treatment[1].setpoint: setpoint is missing", "write for example setpoint = \"88 C\""}},
      {"site_treatment_no_criterion.toml", {":3:1: treatment[1].criterion: the treatment has no criterion"}},
      {"site_treatment_hold_without_unit.toml",
       {":9:12: treatment[1].criterion[1].at_least: 10 has no unit",
        "write for example at_least = \"1 h 20 min\""}},
      {"site_treatment_two_limits.toml",
       {":8:11: treatment[1].criterion[1].measure: the criterion has more than one limit",
        "give one of at_least"}},
      {"site_treatment_no_limit.toml",
       {":8:11: treatment[1].criterion[1].measure: the criterion has no limit"}},
      {"site_treatment_F_without_reference.toml",
       {":3:1: treatment[1].reference: F is asked, but reference is missing"}},
      {"site_treatment_measure_unknown.toml",
       {":8:11: treatment[1].criterion[1].measure: \"holt\" is not known here", "did you mean \"hold\"?"}},
      {"site_treatment_basis_unknown.toml",
       {":10:9: treatment[1].criterion[1].basis: \"publshed\" is not known here",
        "did you mean \"published\"?"}},
      {"site_treatment_band_backwards.toml",
       {":9:11: treatment[1].criterion[1].between: the band's first end is not below its second"}},
      {"site_treatment_limit_unknown.toml",
       {":9:12: treatment[1].criterion[1].at_least: a limit cannot be \"?\""}},
      {"run_pressure_bare.toml",
       {":2:12: run.pressure: which pressure is not said", "pressure_at_site = \"88.2 kPa\"",
        "pressure_at_sea_level = \"1013 hPa\""}},
      {"run_pressure_gauge.toml",
       {":2:20: run.pressure_at_site: \"88 kPa gauge\" is gauge, but a barometer reads absolute"}},
      {"run_pressure_impossible.toml",
       {":2:20: run.pressure_at_site: \"8.82 kPa\" is not possible", "from 29 kPa to 115 kPa"}},
      {"run_pressure_both.toml", {":3:25: run.pressure_at_sea_level: pressure_at_site is given as well"}},
      {"run_no_log.toml", {":1:1: log: no log is named", "add [[log]] with file = \"log.csv\""}},
      {"run_log_without_file.toml", {":2:1: log[1].file: file is missing"}},
      {"run_log_offset_without_unit.toml",
       {":5:16: log[1].clock_offset: -2 has no unit", "write for example clock_offset ="}},
      {"run_clock_offset_too_far.toml",
       {":5:16: log[1].clock_offset: \"1e300 d\" is not possible", "from -366 d to 366 d"}},
      {"run_by_hand_in_quotes.toml",
       {":5:11: log[1].by_hand: \"yes\" is neither true nor false", "by_hand = true, without quotes"}},
      {"run_lots_no_list.toml", {":2:8: run.lots: \"L7\" is no list", "write lots = [\"one\", \"another\"]"}},
      {"run_load_twice.toml", {":6:8: load.file: the load is given twice"}},
      {"run_count_zero.toml",
       {":7:9: load.bags[1].count: 0 is not possible", "a whole number from 1 to 100000"}},
      {"run_count_missing.toml", {":5:1: load.bags[1].count: count is missing"}},
      {"run_load_bag_missing.toml", {":5:1: load.bags[1].bag: bag is missing"}},
      {"run_event_unknown.toml",
       {":6:8: event[1].what: \"steam_onn\" is not known here", "did you mean \"steam_on\"?"}},
      {"run_event_without_time.toml", {":5:1: event[1].time: time is missing"}},
      {"run_event_clock_only.toml",
       {":7:8: event[1].time: a clock time without its date", "2026-03-08T14:05:00"}},
      {"run_event_date_only.toml", {":7:8: event[1].time: the date has no clock time"}},
      {"run_event_time_words.toml",
       {":7:8: event[1].time: \"after lunch\" is neither a date with its time nor a time span"}},
      {"run_unknown_key.toml", {":2:1: run.vesel: the key is not known", "did you mean vessel?"}},
      {"load_column_unknown.csv", {":1:5: cuont: the column is not known", "did you mean count?"}},
      {"load_column_missing.csv", {":1: count: the column is missing"}},
      {"load_cells_too_many.csv", {":2: 3 cells under 2 columns"}},
      {"load_count_zero.csv", {":2:7: count: \"0\" is no count of bags"}},
      {"load_count_fraction.csv", {":2:7: count: \"2.5\" is no count of bags"}},
      {"load_count_missing.csv", {":2:7: count: count is not said"}},
      {"load_mass_without_unit.csv", {":2:9: mass: \"5\" has no unit"}},
      {"load_mass_negative.csv", {":2:9: mass: \"-5 kg\" is not possible", "mass is above 0"}},
      {"load_moisture_over_one.csv", {":2:9: moisture: \"1.5\" is not possible", "from 0 to 100 %"}},
      {"load_quote_open.csv", {":2:9: a quote is opened and not closed"}},
      {"load_empty.csv", {":1: the table is empty"}},
      {"load_only_head.csv", {":1: the table has no line but its head"}},
  };
  return table;
}

void read(std::string_view file, const std::string& text) {
  if (file.starts_with("site_"))
    (void)read_site(file, text);
  else if (file.starts_with("run_"))
    (void)read_run_file(file, text);
  else
    (void)read_load_csv(file, text);
}

} // namespace

TEST_CASE("each broken file is refused with its place, its problem and its remedy, and nothing else") {
  for (const Broken& broken : all_broken()) {
    CAPTURE(broken.file);
    const std::string text = test::source_file_text("tests/farm/broken/" + std::string(broken.file));
    std::vector<Complaint> complaints;
    std::string message;
    try {
      read(broken.file, text);
    } catch (const UserError& error) {
      complaints = error.complaints();
      message = error.what();
    }
    CAPTURE(message);
    REQUIRE(complaints.size() == 1);
    CHECK(complaints.front().trouble == Trouble::bad_data);
    CHECK_FALSE(complaints.front().remedy.empty());
    CHECK(message.starts_with(std::string(broken.file) + std::string(broken.fragments.front())));
    for (const std::string_view fragment : broken.fragments)
      CHECK(message.find(fragment) != std::string::npos);
  }
}
