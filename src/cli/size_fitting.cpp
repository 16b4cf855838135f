#include "cli/size_fitting.h"

#include "cli/lag_options.h"

#include <fmt/format.h>

#include <cmath>
#include <vector>

namespace coldbag {

namespace {

constexpr const char* example =
    R"(write "120 cm x 80 cm x 100 cm", "standing 57 cm x 85 cm" or "lying 90 cm x 2 m")";

std::vector<double> lengths_of(const std::string& text) {
  std::vector<double> out;
  std::size_t from = 0;
  while (true) {
    const std::size_t to = text.find(" x ", from);
    const std::string part = trimmed_text(text.substr(from, to == std::string::npos ? to : to - from));
    const Parsed length = parse_quantity(part, Dimension::length);
    constexpr double most_m = 100;
    if (!length.value || !(*length.value > 0) || *length.value > most_m)
      refuse_option("inside", fmt::format("\"{}\" is no length of a vessel", part), example);
    out.push_back(*length.value);
    if (to == std::string::npos) return out;
    from = to + 3;
  }
}

Inside inside_of(const std::string& text) {
  const auto after = [&](std::string_view word) { return trimmed_text(text.substr(word.size())); };
  if (text.starts_with("standing ") || text.starts_with("lying ")) {
    const bool stands = text.starts_with("standing ");
    const std::vector<double> m = lengths_of(after(stands ? "standing" : "lying"));
    if (m.size() == 2)
      return stands ? Inside{InsideForm::standing_round, 0, m[0], m[1]}
                    : Inside{InsideForm::lying_round, m[1], m[0], 0};
  } else {
    const std::vector<double> m = lengths_of(text);
    if (m.size() == 3) return {InsideForm::box, m[0], m[1], m[2]};
  }
  refuse_option("inside", fmt::format("\"{}\" has too many sides, or too few", text), example);
}

double space_of(const Given& given, const char* option, double usual_m) {
  if (!given.has(option)) return usual_m;
  const double m = quantity_option(option, given.text(option), Dimension::length);
  if (m < 0) refuse_option(option, "a space is not negative", "0 or more");
  return m;
}

} // namespace

std::optional<Fitting> fit_request(const Given& given, PlanRequest& request, const SizingTables& tables) {
  if (!given.has("inside")) {
    for (const char* option : {"gap", "to-wall", "shelf", "headroom"})
      if (given.has(option))
        refuse_option(option, "says something of bags on shelves, and the inside is not said",
                      R"(add --inside, for example --inside "standing 57 cm x 85 cm")");
    return std::nullopt;
  }
  if (request.bags.empty())
    refuse_option("inside", "nobody said which bags", "add --mass, or --site and --bag");
  const Inside inside = inside_of(trimmed_text(given.text("inside")));
  const Spacing spacing{
      space_of(given, "gap", tables.vessel.gap_m), space_of(given, "to-wall", tables.vessel.gap_wall_m),
      space_of(given, "shelf", tables.vessel.shelf_m), space_of(given, "headroom", tables.vessel.headroom_m)};
  SaidBags& first = request.bags.front();
  const Fitting fitting =
      fit_into(inside, box_of(describe_bag(first.bag, {}, {}, tables.heating).body), spacing);
  constexpr double near_share = 0.05;
  if (request.vessel.volume_m3.known() &&
      std::abs(*request.vessel.volume_m3.value - inside_m3(inside)) > near_share * inside_m3(inside))
    refuse_option("inside", "its volume is not the vessel's", "mend one of the two, or leave out the volume");
  if (!request.vessel.volume_m3.known()) state(request.vessel.volume_m3, "inside", inside_m3(inside));
  int wanted = 0;
  for (const SaidBags& each : request.bags)
    wanted += each.count.value.value_or(0);
  if (wanted > fitting.total() || fitting.total() == 0)
    refuse_option("inside", fmt::format("{} bags fit, and {} are wanted", fitting.total(), wanted),
                  "fewer or smaller bags, less space between, or a larger vessel");
  if (!first.count.known()) state(first.count, "inside", fitting.total());
  return fitting;
}

} // namespace coldbag
