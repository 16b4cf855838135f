// The options of `lag`, and the bag that they describe.
#pragma once

#include "cli/options.h"
#include "farm/bag.h"
#include "farm/site.h"
#include "report/words.h"

#include <optional>
#include <string>
#include <vector>

namespace coldbag {

[[nodiscard]] boost::program_options::options_description lag_options(const Words& words);

/// "--bag NAME" as "--bag=NAME": what follows the option is its name unless it is an option itself.
[[nodiscard]] std::vector<std::string> with_bag_named(const std::vector<std::string>& arguments);

/// Whether the command line says anything of a bag.
[[nodiscard]] bool has_bag_options(const Given& given);

/// The kind of the site file that --bag names, or the only one there, with what the options say of it; an
/// empty one where neither says anything. Throws UserError where a name or a value cannot be.
[[nodiscard]] Bag read_bag(const Given& given, const std::optional<Site>& site);

/// Where an option stands, for complaints.
[[nodiscard]] Place option_place(const std::string& option);

template <class Value>
void state(Stated<Value>& stated, const std::string& option, Value value) {
  stated = {std::move(value), false, option_place(option)};
}

/// Sets what the option says, where it is given.
void take_quantity(const Given& given, const std::string& option, Dimension dimension,
                   Stated<double>& stated);

} // namespace coldbag
