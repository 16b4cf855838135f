// The options of `size`, and the request that they and a site file make.
#pragma once

#include "cli/options.h"
#include "farm/site.h"
#include "report/words.h"
#include "sizing/plan_request.h"

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

namespace coldbag {

[[nodiscard]] boost::program_options::options_description size_options(const Words& words);

/// What the options say, and what they leave to the site file. Throws UserError where one cannot be
/// understood or a name is not there.
[[nodiscard]] PlanRequest read_plan_request(const Given& given, const std::optional<Site>& site,
                                            const TableFiles& tables);

/// Sets a supply from what --steam says: a power ("6 kW") or a rate ("12 kg/h").
void take_steam_supply(const std::string& option, const std::string& text, SaidSupply& supply);

/// --steam-on, since midnight; none where it is not given.
[[nodiscard]] std::optional<std::int64_t> steam_on_us(const Given& given);

} // namespace coldbag
