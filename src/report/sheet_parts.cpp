#include "report/sheet_parts.h"

#include "quantity/print.h"
#include "report/figures.h"
#include "report/layout.h"

#include <fmt/format.h>

namespace coldbag {

namespace {

constexpr std::int64_t day_us = 86'400'000'000;

/// Two sentences, either of which may be empty.
std::string after(const std::string& first, const std::string& second) {
  return first + (first.empty() || second.empty() ? "" : " ") + second;
}

} // namespace

SheetField SheetParts::title() const {
  if (sheet_.site_name.empty()) return {words_.text("sheet_field_farm"), "", ""};
  return {"", words_.text("sheet_title", {{"site", clean(sheet_.site_name)}}), ""};
}

std::string SheetParts::page(std::size_t number, std::size_t pages) const {
  return words_.text("sheet_page", {{"page", std::to_string(number)}, {"pages", std::to_string(pages)}});
}

SheetFields SheetParts::run_and_date() const {
  return {{{words_.text("sheet_field_run"), clean(sheet_.run_name), ""},
           {words_.text("sheet_field_date"), date(), ""}},
          2};
}

std::string SheetParts::date() const {
  if (!sheet_.start || !sheet_.start->has_date) return "";
  return print_iso_wall(sheet_.start->at).substr(0, 10);
}

std::string SheetParts::said(const Said& one) const {
  Said named_basis = one;
  if (const auto basis = named_basis.values.find("basis"); basis != named_basis.values.end())
    basis->second = named(words_, "basis", std::get<std::string>(basis->second));
  return said_text(words_, sheet_.units, named_basis);
}

std::vector<std::string> SheetParts::said(const std::vector<Said>& all) const {
  std::vector<std::string> texts;
  texts.reserve(all.size());
  for (const Said& one : all)
    texts.push_back(said(one));
  return texts;
}

std::string SheetParts::reminders() const {
  std::string all;
  for (const Said& one : sheet_.reminders)
    all = after(all, said(one));
  return all;
}

SheetFields SheetParts::vessel() const {
  return {{{words_.text("sheet_field_vessel"), clean(sheet_.vessel), ""},
           {words_.text("sheet_field_operator"), clean(sheet_.operator_name), ""}},
          2};
}

std::string SheetParts::kind_text() const {
  if (!sheet_.vessel_kind) return "";
  if (*sheet_.vessel_kind == VesselKind::vented) return words_.text("sheet_vessel_vented");
  if (!sheet_.rating_gauge_Pa) return words_.text("sheet_vessel_pressure_rated");
  return words_.text("sheet_vessel_rated",
                     {{"rating", print_pressure(*sheet_.rating_gauge_Pa, sheet_.units)}});
}

std::string SheetParts::boiling_text() const {
  if (!sheet_.altitude_m || !sheet_.boiling_degC) return "";
  return words_.text("boils_at_altitude",
                     {{"altitude_m", print_altitude(*sheet_.altitude_m, sheet_.units)},
                      {"boiling_degC", print_temperature(*sheet_.boiling_degC, sheet_.units)}});
}

std::string SheetParts::vessel_text() const {
  return after(kind_text(), boiling_text());
}

std::vector<SheetFields> SheetParts::vessel_asked() const {
  std::vector<SheetFields> asked;
  const std::string unit = words_.text(is_us() ? "sheet_unit_psi_gauge" : "sheet_unit_kpa_gauge");
  const bool lacks_rating = sheet_.vessel_kind == VesselKind::pressure_rated && !sheet_.rating_gauge_Pa;
  if (!sheet_.vessel_kind || lacks_rating)
    asked.push_back({{{words_.text(lacks_rating ? "sheet_field_rating" : "sheet_field_kind"), "", unit}}, 1});
  if (!sheet_.altitude_m)
    asked.push_back({{{words_.text("sheet_field_altitude"), "",
                       words_.text(is_us() ? "sheet_unit_feet" : "sheet_unit_metres")}},
                     2});
  return asked;
}

std::vector<SheetFields> SheetParts::treatment_asked() const {
  if (!sheet_.treatment.empty()) return {};
  return {{{{words_.text("sheet_field_treatment"), "", ""}}, 1},
          {{{words_.text("sheet_field_required"), "", ""}}, 1}};
}

std::string SheetParts::treatment_text() const {
  return words_.text("sheet_field_treatment") + " " + named(words_, "treatment", clean(sheet_.treatment));
}

std::vector<SheetFields> SheetParts::bags(const SheetBags& bags) const {
  const std::string count = bags.count ? std::to_string(*bags.count) : "";
  const std::string mass = bags.mass_kg ? print_mass(*bags.mass_kg, sheet_.units) : "";
  const std::string moisture = bags.moisture_wb ? fmt::format("{:.0f} %", 100 * *bags.moisture_wb) : "";
  const std::string unit = words_.text(is_us() ? "sheet_unit_pounds" : "sheet_unit_kilograms");
  return {{{{words_.text("sheet_field_bags"), clean(bags.kind), ""},
            {words_.text("sheet_field_lot"), clean(bags.lot), ""}},
           2},
          {{{words_.text("sheet_field_count"), count, ""},
            {words_.text("sheet_field_mass"), mass, unit},
            {words_.text("sheet_field_moisture"), moisture, "%"}},
           3}};
}

std::vector<std::string> SheetParts::events() const {
  std::vector<std::string> names;
  names.reserve(sheet_.events.size());
  for (const EventKind event : sheet_.events)
    names.push_back(words_.text(fmt::format("event_{}", event_text(event))));
  return names;
}

std::string SheetParts::place_name(const SheetProbe& probe) const {
  if (probe.role == ProbeRole::unstated) return clean(probe.column);
  return words_.text("sheet_place",
                     {{"probe", clean(probe.column)}, {"role", role_name(words_, probe.role)}});
}

WallTime SheetParts::wall_of(std::size_t line) const {
  return {sheet_.start->at.us + static_cast<std::int64_t>(sheet_.lines[line].since_steam_on_s * 1e6)};
}

std::string SheetParts::time_of(std::size_t line) const {
  if (!sheet_.start) return print_fixed(sheet_.lines[line].since_steam_on_s / 60, 0);
  return print_iso_wall(wall_of(line)).substr(11, 5);
}

std::string SheetParts::day_of(std::size_t line) const {
  if (!sheet_.start || line == 0) return "";
  const std::int64_t day = wall_of(line).us / day_us;
  if (day == wall_of(line - 1).us / day_us) return "";
  if (sheet_.start->has_date) return print_iso_wall(wall_of(line)).substr(5, 5);
  return words_.text("sheet_day", {{"number", std::to_string(day + 1)}});
}

std::vector<SheetField> SheetParts::dispositions() const {
  std::vector<SheetField> all;
  for (const char* key : {"sheet_disposition_held", "sheet_disposition_released", "sheet_disposition_trial",
                          "sheet_disposition_resteamed", "sheet_disposition_discarded"})
    all.push_back({words_.text(key), "", ""});
  return all;
}

SheetFields SheetParts::name_signature_when() const {
  return {{{words_.text("sheet_sign_name"), "", ""},
           {words_.text("sheet_sign_signature"), "", ""},
           {words_.text("sheet_sign_when"), "", ""}},
          3};
}

SheetSignature SheetParts::operator_signature() const {
  return {words_.text("sheet_operator_means"), name_signature_when()};
}

SheetSignature SheetParts::reviewer_signature() const {
  return {words_.text("sheet_reviewer_means"), name_signature_when()};
}

std::vector<std::string> SheetParts::typing() const {
  std::vector<std::string> parts{"coldbag type sheet.csv"};
  // A shell takes a quoted list up again behind a backslash, and the blanks before a name go.
  for (std::size_t i = 0; i < sheet_.probes.size(); ++i)
    parts.emplace_back((i == 0 ? "--probes \"" : "") + clean(sheet_.probes[i].column) +
                       (i + 1 < sheet_.probes.size() ? "," : "\""));
  parts.emplace_back(is_us() ? "--unit F" : "--unit C");
  if (!date().empty()) parts.push_back("--date " + date());
  if (sheet_.start) parts.push_back("--first " + print_iso_wall(sheet_.start->at).substr(11, 5));
  parts.push_back(fmt::format("--every \"{}\"", print_duration(sheet_.every_s)));
  return parts;
}

} // namespace coldbag
