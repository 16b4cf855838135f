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
  void comment(std::string_view text) { text_ += fmt::format("# {}\n", text); }
  void heading(std::string_view text) { text_ += fmt::format("\n[{}]\n", text); }
  void line(std::string_view key, const Answer& answer, std::string_view comment) {
    text_ += fmt::format("{} = {} # {}\n", key, toml_text(answer.value_or("?")), comment);
  }
  [[nodiscard]] std::string take() { return std::move(text_); }

 private:
  std::string text_;
};

void write_site(SiteText& text, const SetupAnswers& answers) {
  text.comment("Site file of coldbag. \"?\" stands where the answer is not known yet; write it when it is.");
  text.comment(R"(Every quantity is written with its unit: "1150 m", "5 lb", "15 psi gauge".)");
  text.heading("site");
  text.line("name", answers.site_name, "as reports name the site");
  text.line("altitude", answers.altitude,
            R"(above the sea, "1150 m" or "3773 ft"; it sets where water boils)");
  text.line("zone", answers.zone, "time zone of the wall clock, for example \"America/Bogota\"");
  text.line("units", answers.units == UnitSystem::us ? "us" : "metric", R"("metric" or "us", for reports)");
  text.line("language", answers.language,
            R"(of reports: "en"; "es" is kept, and answered in English for now)");
}

std::string words_of_setting(const LogSettingRule& rule) {
  std::string words;
  for (const std::string& word : rule.words)
    words += (words.empty() ? "" : ", ") + word;
  return words.empty() ? "its name, or its number from 1" : words;
}

void write_log(SiteText& text, const SetupAnswers& answers) {
  if (answers.log.empty()) return;
  text.heading("log");
  text.comment("How the recorder writes, where a log does not say it; an option of that name goes before.");
  for (const LogSettingRule& rule : log_setting_rules())
    for (const LogSetting& setting : answers.log)
      if (setting.key == rule.key) text.line(rule.key, setting.value, words_of_setting(rule));
}

void write_vessel(SiteText& text, const SetupAnswers& answers) {
  Answer kind;
  if (answers.kind) kind = *answers.kind == VesselKind::vented ? "vented" : "pressure-rated";
  text.heading("vessels." + toml_key(answers.vessel_name));
  text.line("kind", kind, R"("vented" where steam leaves freely, or "pressure-rated" with a nameplate)");
  if (answers.kind != VesselKind::vented || answers.rating)
    text.line("rating", answers.rating,
              "highest pressure of the nameplate, \"15 psi gauge\"; never guess it");
  text.line("volume", answers.volume, R"(inside, "2 m3" or "70 ft3")");
  text.line("metal", answers.metal, R"("steel", "stainless", "aluminium")");
  text.line("metal_mass", answers.metal_mass, "of the vessel, \"150 kg\"");
  text.line("wall", answers.wall, R"("bare" or "insulated")");
  text.line("steam_power", answers.steam_power, "heat that goes into the water, \"12 kW\"");
  text.line("fuel", answers.fuel, R"("propane", "wood", "electric")");
}

void write_dimensions(SiteText& text, const SetupAnswers& answers) {
  const bool round = answers.form == "column" || (!answers.form && answers.diameter);
  if (round || answers.diameter) text.line("diameter", answers.diameter, "of the filled bag, \"20 cm\"");
  if (!round || answers.length)
    text.line("length", answers.length, R"(of the filled bag, "20 cm" or "8 in")");
  if (!round || answers.width) text.line("width", answers.width, "of the filled bag");
  text.line("height", answers.height, "of the filled bag");
}

void write_bag(SiteText& text, const SetupAnswers& answers) {
  text.heading("bags." + toml_key(answers.bag_name));
  text.line("substrate", answers.substrate, "in words");
  text.line("form", answers.form, R"("brick", "column", "slab" or "loose")");
  text.line("mass", answers.mass, R"(of the filled bag, "5 lb" or "2.3 kg")");
  text.line("moisture", answers.moisture, "water in the moist substrate, \"62 %\"; an oven test tells");
  write_dimensions(text, answers);
  text.line("closure", answers.closure, R"("breathing", "sealed" or "open")");
  text.line("neighbours", answers.neighbours,
            R"("apart", "sides" where they touch, "all" where stacked too)");
  text.line("film", answers.film, "key of the film table; it sets how hot the bag may get");
}

void write_probe(SiteText& text, const SetupAnswers& answers, const SetupProbe& probe) {
  Answer place;
  if (probe.role && *probe.role != ProbeRole::unstated) place = role_text(*probe.role);
  const bool in_bag = probe.role == ProbeRole::bag;
  text.heading("probes." + toml_key(probe.column));
  text.line("column", probe.column, "its column in the log");
  text.line("place", place, R"("bag", "vessel" (steam space), "lid", "drain", "surface" or "outside")");
  if (in_bag) text.line("bag", answers.bag_name, "the kind of bag it sits in");
  text.line("position", probe.position, "in words, \"lowest layer, rear\"");
  if (in_bag) text.line("spot", probe.spot, R"("cold" or "hot" where that is mapped, or "random")");
  text.line("class", probe.probe_class, "key of the probe class table");
}

} // namespace

std::string site_text(const SetupAnswers& answers) {
  SiteText text;
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
    text.comment("");
    text.comment("Add each probe under a heading [probes.NAME] with column, place and class.");
  }
  return text.take();
}

} // namespace coldbag
