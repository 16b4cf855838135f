#include "farm/setup_text.h"

#include "errors/our_fault.h"
#include "farm/toml_text.h"

#include <fmt/format.h>

#include <set>
#include <string_view>

namespace coldbag {

namespace {

using Answer = std::optional<std::string>;

class SiteText {
 public:
  explicit SiteText(const SiteComments& comments) : comments_(comments) {}
  void comment(const std::string& says) {
    if (comments_) text_ += fmt::format("# {}\n", comments_(says));
  }
  void gap() { text_ += "\n"; }
  void heading(std::string_view text) { text_ += fmt::format("\n[{}]\n", text); }
  void line(std::string_view key, const Answer& answer, const std::string& says) {
    text_ += fmt::format("{} = {}{}\n", key, toml_text(answer.value_or("?")),
                         comments_ ? " # " + comments_(says) : "");
  }
  void words(std::string_view key, const Answer& answer, const std::string& words) {
    text_ += fmt::format("{} = {}{}\n", key, toml_text(answer.value_or("?")), comments_ ? " # " + words : "");
  }
  [[nodiscard]] std::string take() { return std::move(text_); }

 private:
  const SiteComments& comments_;
  std::string text_;
};

void write_site(SiteText& text, const SetupAnswers& answers) {
  text.comment("setup_says_question_mark");
  text.comment("setup_says_quantities");
  text.heading("site");
  text.line("name", answers.site_name, "setup_says_name");
  text.line("altitude", answers.altitude, "setup_says_altitude");
  text.line("zone", answers.zone, "setup_says_zone");
  text.line("units", answers.units == UnitSystem::us ? "us" : "metric", "setup_says_unit_system");
  text.line("language", answers.language, "setup_says_language");
}

std::string words_of_setting(const LogSettingRule& rule) {
  std::string words;
  for (const std::string& word : rule.words)
    words += (words.empty() ? "" : ", ") + word;
  return words;
}

void write_log(SiteText& text, const SetupAnswers& answers) {
  if (answers.log.empty()) return;
  text.heading("log");
  text.comment("setup_says_log");
  for (const LogSettingRule& rule : log_setting_rules())
    for (const LogSetting& setting : answers.log)
      if (setting.key == rule.key && rule.words.empty())
        text.line(rule.key, setting.value, "setup_says_setting");
      else if (setting.key == rule.key)
        text.words(rule.key, setting.value, words_of_setting(rule));
}

void write_vessel(SiteText& text, const SetupAnswers& answers) {
  Answer kind;
  if (answers.kind) kind = *answers.kind == VesselKind::vented ? "vented" : "pressure-rated";
  text.heading("vessels." + toml_key(answers.vessel_name));
  text.line("kind", kind, "setup_says_kind");
  if (answers.kind != VesselKind::vented || answers.rating)
    text.line("rating", answers.rating, "setup_says_rating");
  text.line("volume", answers.volume, "setup_says_volume");
  text.line("metal", answers.metal, "setup_says_metal");
  text.line("metal_mass", answers.metal_mass, "setup_says_metal_mass");
  text.line("wall", answers.wall, "setup_says_wall");
  text.line("steam_power", answers.steam_power, "setup_says_steam_power");
  text.line("fuel", answers.fuel, "setup_says_fuel");
}

void write_dimensions(SiteText& text, const SetupAnswers& answers) {
  const bool round = answers.form == "column" || (!answers.form && answers.diameter);
  if (round || answers.diameter) text.line("diameter", answers.diameter, "setup_says_diameter");
  if (!round || answers.length) text.line("length", answers.length, "setup_says_length");
  if (!round || answers.width) text.line("width", answers.width, "setup_says_side");
  text.line("height", answers.height, "setup_says_side");
}

void write_bag(SiteText& text, const SetupAnswers& answers) {
  text.heading("bags." + toml_key(answers.bag_name));
  text.line("substrate", answers.substrate, "setup_says_substrate");
  text.line("form", answers.form, "setup_says_form");
  text.line("mass", answers.mass, "setup_says_mass");
  text.line("moisture", answers.moisture, "setup_says_moisture");
  write_dimensions(text, answers);
  text.line("closure", answers.closure, "setup_says_closure");
  text.line("neighbours", answers.neighbours, "setup_says_neighbours");
  text.line("film", answers.film, "setup_says_film");
}

void write_probe(SiteText& text, const SetupAnswers& answers, const SetupProbe& probe) {
  Answer place;
  if (probe.role && *probe.role != ProbeRole::unstated) place = role_text(*probe.role);
  const bool in_bag = probe.role == ProbeRole::bag;
  text.heading("probes." + toml_key(probe.column));
  text.line("column", probe.column, "setup_says_column");
  text.line("place", place, "setup_says_place");
  if (in_bag) text.line("bag", answers.bag_name, "setup_says_bag");
  text.line("position", probe.position, "setup_says_position");
  if (in_bag) text.line("spot", probe.spot, "setup_says_spot");
  text.line("class", probe.probe_class, "setup_says_class");
}

} // namespace

std::string site_text(const SetupAnswers& answers, const SiteComments& comments) {
  SiteText text(comments);
  write_site(text, answers);
  write_log(text, answers);
  write_vessel(text, answers);
  write_bag(text, answers);
  std::set<std::string> columns;
  for (const SetupProbe& probe : answers.probes) {
    our_check(columns.insert(probe.column).second, "each probe of a new site file has a column of its own");
    write_probe(text, answers, probe);
  }
  if (answers.probes.empty()) {
    text.gap();
    text.comment("setup_says_add_probes");
  }
  return text.take();
}

} // namespace coldbag
