#include "cli/size.h"

#include "cli/files.h"
#include "cli/lag_options.h"
#include "cli/language.h"
#include "cli/size_options.h"
#include "cli/write_file.h"
#include "report/plan_text.h"
#include "sizing/plan_json.h"

#include <boost/program_options.hpp>

namespace coldbag {

namespace {

constexpr int not_enough_status = 2;

std::optional<Site> site_of(const Given& given) {
  if (!given.has("site")) return std::nullopt;
  const NamedText file = read_text_file(given.text("site"));
  return read_site(file.name, file.bytes);
}

} // namespace

int size_command(const std::vector<std::string>& arguments) {
  const auto described = size_options();
  const Given given = parse_options("size", described, {}, with_bag_named(arguments));
  if (given.has("help")) {
    print(help_text("coldbag size --bags N --mass \"5 lb\" --steam \"6 kW\" --volume \"208 L\" [options]\n"
                    "coldbag size --site FARM.toml [--vessel NAME] [--bag NAME] --bags N [options]\n\n"
                    "Before a run: how long, how much steam, water and fuel, and whether the boiler keeps\n"
                    "up. Whatever nobody said is assumed and listed.\n",
                    described));
    return 0;
  }
  const TableFiles files = TableFiles::open(given.text("tables"));
  const SizingTables tables = read_sizing_tables(files);
  const PlanRequest request = read_plan_request(given, site_of(given), files);
  PlanReport report = plan_report(request, tables);
  report.steam_on_us = steam_on_us(given);
  if (given.has("csv")) write_new_file(given.text("csv"), plan_csv(report));
  print(given.has("json") ? plan_json(report) : plan_text(report, program_words(files), given.has("full")));
  return report.plan.is_enough ? 0 : not_enough_status;
}

} // namespace coldbag
