#include "report/heat_link_blocks.h"

#include "report/layout.h"

#include <map>
#include <utility>
#include <vector>

namespace coldbag {

namespace {

constexpr double per_cent = 100;
constexpr double nearly_all = 99.95;
constexpr double told_dispersion = 1.05; // less would show as 1.0

std::string percent(double share) {
  const double value = share * per_cent;
  return print_fixed(value, value >= nearly_all ? 0 : 1);
}

std::string times_text(double times) {
  if (times >= 1000) return ">1000";
  if (times < 0.01) return "<0.01";
  return print_fixed(times, times >= 100 ? 0 : (times >= 0.995 ? 1 : 2));
}

class LinkWriter {
 public:
  LinkWriter(const HeatLink& link, const TrendFigures& figures, const Words& words)
      : link_(link), figures_(figures), words_(words) {}

  Blocks blocks() const {
    Blocks out{Heading{words_.text("outcome_heat", {{"treatment", treatment()}}), 2}};
    if (link_.why_not)
      out.push_back(Paragraph{why_not()});
    else
      append(out, odds());
    if (link_.share.bad > 0) {
      out.push_back(Item{words_.text("outcome_for", {{"list", list(link_.speaks_for)}})});
      out.push_back(Item{words_.text("outcome_against", {{"list", list(link_.speaks_against)}})});
      out.push_back(Item{words_.text("outcome_no_single_cause")});
    }
    return out;
  }

 private:
  [[nodiscard]] std::string treatment() const {
    return link_.treatment.empty() ? words_.text("trend_no_treatment")
                                   : clean(named(words_, "treatment", link_.treatment_name));
  }

  [[nodiscard]] std::string why_not() const {
    const std::map<std::string, std::string> values{
        {"runs", std::to_string(link_.runs)},
        {"least_runs", std::to_string(figures_.least_outcome_runs)},
        {"bad", std::to_string(link_.share.bad)},
        {"good", std::to_string(link_.share.bags - link_.share.bad)},
        {"least_bad", std::to_string(figures_.least_bad_per_slope)}};
    switch (*link_.why_not) {
    case NoLink::few_runs:
      return words_.text("outcome_few_runs", values);
    case NoLink::few_bad:
      return words_.text("outcome_few_bad", values);
    case NoLink::no_spread:
      return words_.text("outcome_no_spread", values);
    case NoLink::separated:
      break;
    }
    return words_.text("outcome_separated", values);
  }

  [[nodiscard]] std::map<std::string, std::string> odds_values(const OddsTimes& odds) const {
    return {{"times", times_text(odds.times)},
            {"low", times_text(odds.interval.lower)},
            {"high", times_text(odds.interval.upper)}};
  }

  [[nodiscard]] Blocks odds() const {
    const OddsTimes& less = *link_.less_heat;
    const bool by_F = link_.by == HeatBy::F;
    const char* key = by_F ? "outcome_no_link_lethality" : "outcome_no_link_hold";
    if (less.interval.lower > 1) key = by_F ? "outcome_less_heat_lethality" : "outcome_less_heat_hold";
    if (less.interval.upper < 1) key = by_F ? "outcome_more_heat_lethality" : "outcome_more_heat_hold";
    Blocks out{Paragraph{words_.text(key, odds_values(less))}};
    if (link_.more_lag)
      append(out, with_lag());
    else
      out.push_back(Item{words_.text(link_.no_lag)});
    if (link_.dispersion >= told_dispersion)
      out.push_back(Item{words_.text("outcome_dispersion", {{"times", print_fixed(link_.dispersion, 1)}})});
    return out;
  }

  [[nodiscard]] Blocks with_lag() const {
    std::map<std::string, std::string> values = odds_values(*link_.more_lag);
    for (const auto& [name, text] : odds_values(*link_.less_heat_at_lag))
      values["heat_" + name] = text;
    return {Item{words_.text("outcome_lag", values)}};
  }

  [[nodiscard]] std::string list(const std::vector<Evidence>& all) const {
    std::string out;
    for (const Evidence& each : all)
      out += (out.empty() ? "" : "; ") + clause(each);
    return out.empty() ? words_.text("outcome_nothing") : out;
  }

  [[nodiscard]] std::string clause(const Evidence& evidence) const {
    const double part =
        evidence.of_bags > 0 ? static_cast<double>(evidence.share.bags) / evidence.of_bags : 0;
    std::string out = words_.text(key_of(evidence.kind), {{"bad", std::to_string(evidence.share.bad)},
                                                          {"of_bad", std::to_string(evidence.of_bad)},
                                                          {"part", percent(part)},
                                                          {"name", clean(evidence.name)},
                                                          {"early_day", std::to_string(figures_.early_day)},
                                                          {"day", std::to_string(figures_.inoculation_day)}});
    if (evidence.of_passed) out += " " + words_.text("outcome_of_passed");
    if (evidence.goes_with_heat) out += " " + words_.text("outcome_goes_with_heat");
    return out;
  }

  static const char* key_of(Evidence::Kind kind) {
    switch (kind) {
    case Evidence::Kind::less_heat_more_bad:
      return "outcome_sign_less_heat";
    case Evidence::Kind::not_passed:
      return "outcome_sign_not_passed";
    case Evidence::Kind::early_whole_load:
      return "outcome_sign_early";
    case Evidence::Kind::no_link:
      return "outcome_sign_no_link";
    case Evidence::Kind::more_heat_more_bad:
      return "outcome_sign_more_heat";
    case Evidence::Kind::spawn_lot:
      return "outcome_sign_spawn_lot";
    case Evidence::Kind::shift:
      return "outcome_sign_shift";
    case Evidence::Kind::room:
      return "outcome_sign_room";
    case Evidence::Kind::began_at_inoculation:
      return "outcome_sign_inoculation";
    case Evidence::Kind::hot_half:
      break;
    }
    return "outcome_sign_hot_half";
  }

  const HeatLink& link_;
  const TrendFigures& figures_;
  const Words& words_;
};

} // namespace

Blocks heat_link_blocks(const HeatLink& link, const TrendFigures& figures, const Words& words) {
  return LinkWriter(link, figures, words).blocks();
}

std::string percent_with_interval(const Share& share, const Words& words) {
  const Interval interval = exact_interval(share.bad, share.bags);
  return words.text("outcome_percent", {{"share", percent(static_cast<double>(share.bad) / share.bags)},
                                        {"low", percent(interval.lower)},
                                        {"high", percent(interval.upper)}});
}

} // namespace coldbag
