#include "report/learned_text.h"

#include "quantity/print.h"
#include "report/figures.h"
#include "report/layout.h"

#include <fmt/format.h>

#include <cmath>

namespace coldbag {

namespace {

/// "1.04 (0.93 to 1.17)": where 90 of 100 lie.
std::string factor_range(const FitPrior& prior, std::size_t which, const Words& words) {
  const double sd = std::sqrt(prior.covariance[which][which]);
  const auto factor = [&](double k) { return fmt::format("{:.2f}", std::exp(prior.ln[which] + k * sd)); };
  return words.text("learned_range",
                    {{"factor", factor(0)}, {"lower", factor(-coverage_k)}, {"upper", factor(coverage_k)}});
}

std::string bag_text(const LearnedBag& bag, const Words& words) {
  return item(words.text("learned_bag", {{"bag", clean(bag.bag)},
                                         {"description", bag_description(words, bag.described)},
                                         {"runs", std::to_string(bag.runs)},
                                         {"bags", std::to_string(bag.bags)},
                                         {"conductivity", factor_range(bag.prior, 0, words)},
                                         {"vapour", factor_range(bag.prior, 1, words)},
                                         {"film", factor_range(bag.prior, 2, words)}}));
}

std::string pattern_item(const LearnedPattern& pattern, const Words& words) {
  const std::string last = print_iso_wall(pattern.last).substr(0, 10);
  return item(words.text("learned_pattern", {{"pattern", clean(pattern.name)},
                                             {"count", std::to_string(pattern.count)},
                                             {"bag", clean(pattern.bag)},
                                             {"runs", std::to_string(pattern.runs)},
                                             {"last", last}}));
}

std::string place_text(const ProbeNext& next, const Words& words) {
  if (next.rack.empty() && next.layer.empty()) return words.text("learned_next_lowest");
  const std::string place = next.rack + (next.rack.empty() || next.layer.empty() ? "" : ", ") + next.layer;
  return words.text("learned_next_place",
                    {{"place", clean(place)}, {"count", std::to_string(next.probed_there)}});
}

std::string next_text(const ProbeNext& next, const Words& words) {
  const std::string then = fmt::format("{:.2f}", next.factor_then);
  const std::map<std::string, std::string> values{
      {"bag", clean(next.bag)},
      {"bags", std::to_string(next.bags)},
      {"unprobed", std::to_string(next.most_unprobed)},
      {"now", next.factor_now ? fmt::format("{:.2f}", *next.factor_now) : ""},
      {"then", then},
      {"place", place_text(next, words)}};
  return item(words.text(next.factor_now ? "learned_next" : "learned_next_first", values));
}

std::string taught_nothing(const ShownRun& run, const RunReport& report, const Words& words) {
  std::string why;
  if (report.load_not_judged) why = said_text(words, report, *report.load_not_judged);
  for (const BagHeating& kind : report.heating)
    if (why.empty() && !kind.not_fitted.empty()) why = words.text(kind.not_fitted);
  if (why.empty()) why = words.text("not_fitted_no_probe");
  return item(words.text("learned_nothing_by", {{"run", clean(run.name)}, {"why", why}}));
}

} // namespace

std::string learned_text(const Learned& learned, const std::vector<ShownRun>& shown,
                         const std::vector<RunReport>& reports, const std::string& kept_in,
                         const Words& words) {
  const std::string runs = std::to_string(shown.size());
  std::string out = wrapped(words.text("learned_heading", {{"runs", runs}}), 2);
  for (const LearnedBag& bag : learned.bags)
    out += bag_text(bag, words);
  if (!learned.bags.empty())
    out += item(words.text("learned_spread", {{"spread", fmt::format("{:.3f}", learned.spread.sd)},
                                              {"freedom", fmt::format("{:.0f}", learned.spread.freedom)}}));
  for (const LearnedPattern& pattern : learned.patterns)
    out += pattern_item(pattern, words);
  for (std::size_t i = 0; i < shown.size(); ++i)
    if (shown[i].kinds.empty()) out += taught_nothing(shown[i], reports[i], words);
  if (const auto next = probe_next(learned, shown)) out += next_text(*next, words);
  if (learned.bags.empty()) return out + wrapped(words.text("learned_nothing"), 2);
  if (kept_in.empty()) return out + wrapped(words.text("learned_not_kept"), 2);
  return out + wrapped(words.text("learned_kept", {{"file", clean(kept_in)}}), 2);
}

} // namespace coldbag
