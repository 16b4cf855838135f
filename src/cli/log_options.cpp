#include "cli/log_options.h"

#include "cli/option_group.h"
#include "clock/zone.h"

#include <boost/program_options.hpp>

#include <fmt/format.h>

namespace coldbag {

namespace po = boost::program_options;

namespace {

void read_time_options(const Given& given, LogOptions& log) {
  using Form = TimeRule::Form;
  if (given.has("time-form")) {
    const std::string form = given.text("time-form");
    log.time_form = one_of<Form>("time-form", form,
                                 {{"clock", Form::clock},
                                  {"elapsed", Form::elapsed},
                                  {"epoch-s", Form::epoch},
                                  {"epoch-ms", Form::epoch},
                                  {"serial-1900", Form::serial_1900},
                                  {"serial-1904", Form::serial_1904}});
    if (*log.time_form == Form::epoch)
      log.epoch_unit = form == "epoch-s" ? ColumnUnit::seconds : ColumnUnit::milliseconds;
  }
  if (given.has("date-order"))
    log.date_order = one_of<DateOrder>("date-order", given.text("date-order"),
                                       {{"day-first", DateOrder::day_first},
                                        {"month-first", DateOrder::month_first},
                                        {"year-first", DateOrder::year_first}});
  if (given.has("date")) {
    const auto date = parse_iso_time(given.text("date"));
    if (!date || date->has_clock)
      throw UserError(usage(fmt::format("--date: \"{}\" is no date", given.text("date")),
                            "write for example --date 2026-03-08"));
    log.date = date->wall;
  }
}

void read_zone_option(const Given& given, LogOptions& log) {
  log.zone = Zone::find(given.text("zone"));
  log.zone_given_by = "--zone";
  if (!log.zone) {
    std::string like;
    for (const std::string& name : zones_like(given.text("zone")))
      like += (like.empty() ? "" : ", ") + name;
    throw UserError(
        usage(fmt::format("--zone: there is no time zone \"{}\"", given.text("zone")),
              like.empty() ? "write for example America/Bogota or +02:00" : "did you mean " + like + "?"));
  }
}

} // namespace

po::options_description log_setting_options(const Words& words) {
  OptionGroup log(words, "log");
  for (const char* setting : {"unit", "date-order", "decimal", "delimiter", "encoding", "time-column",
                              "date-column", "time-form", "elapsed-unit", "pressure-column", "pressure-unit"})
    log.text(setting);
  return log.described();
}

po::options_description log_options(const Words& words) {
  OptionGroup clock(words, "clock");
  clock.text("zone").text("date");
  po::options_description all;
  all.add(clock.described()).add(log_setting_options(words));
  return all;
}

void read_log_options(const Given& given, LogOptions& log) {
  if (given.has("unit"))
    log.temperature_unit =
        one_of<ColumnUnit>("unit", given.text("unit"),
                           {{"C", ColumnUnit::degC}, {"F", ColumnUnit::degF}, {"K", ColumnUnit::kelvin}});
  if (given.has("elapsed-unit"))
    log.elapsed_unit = one_of<ColumnUnit>("elapsed-unit", given.text("elapsed-unit"),
                                          {{"s", ColumnUnit::seconds},
                                           {"min", ColumnUnit::minutes},
                                           {"h", ColumnUnit::hours},
                                           {"d", ColumnUnit::days},
                                           {"ms", ColumnUnit::milliseconds}});
  read_time_options(given, log);
  if (given.has("delimiter"))
    log.delimiter = one_of<char>("delimiter", given.text("delimiter"),
                                 {{"comma", ','},
                                  {"semicolon", ';'},
                                  {"tab", '\t'},
                                  {"pipe", '|'},
                                  {"blanks", ' '},
                                  {",", ','},
                                  {";", ';'},
                                  {"|", '|'}});
  if (given.has("encoding"))
    log.encoding = one_of<TextEncoding>("encoding", given.text("encoding"),
                                        {{"utf-8", TextEncoding::utf8},
                                         {"utf-16le", TextEncoding::utf16_le},
                                         {"utf-16be", TextEncoding::utf16_be},
                                         {"windows-1252", TextEncoding::windows_1252}});
  if (given.has("decimal"))
    log.decimal_mark = one_of<char>("decimal", given.text("decimal"),
                                    {{"point", '.'}, {"comma", ','}, {".", '.'}, {",", ','}});
  if (given.has("time-column")) log.time_column = given.text("time-column");
  if (given.has("date-column")) log.date_column = given.text("date-column");
  if (given.has("pressure-column")) log.pressure_column = given.text("pressure-column");
  if (given.has("pressure-unit")) {
    const std::string unit = given.text("pressure-unit");
    const std::size_t blank = unit.find(' ');
    log.pressure_unit = one_of<ColumnUnit>("pressure-unit", unit.substr(0, blank),
                                           {{"kPa", ColumnUnit::kPa},
                                            {"hPa", ColumnUnit::hPa},
                                            {"MPa", ColumnUnit::MPa},
                                            {"mbar", ColumnUnit::mbar},
                                            {"Pa", ColumnUnit::Pa},
                                            {"bar", ColumnUnit::bar},
                                            {"psi", ColumnUnit::psi}});
    if (blank == std::string::npos)
      refuse_option("pressure-unit", "\"" + unit + "\" does not say gauge or absolute",
                    "write for example --pressure-unit \"psi gauge\"");
    log.pressure_basis =
        one_of<PressureBasis>("pressure-unit", unit.substr(blank + 1),
                              {{"gauge", PressureBasis::gauge}, {"absolute", PressureBasis::absolute}});
  }
  if (given.has("zone")) read_zone_option(given, log);
}

Given with_log_settings(Given given, const Site& site) {
  for (const LogSetting& setting : site.log)
    if (const std::string option = option_of_setting(setting.key); !given.has(option))
      given.answer(option, setting.value);
  return given;
}

} // namespace coldbag
