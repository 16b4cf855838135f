#include "run/shown.h"

#include "errors/our_fault.h"
#include "run/pattern.h"

#include <algorithm>
#include <cctype>
#include <cmath>

namespace coldbag {

namespace {

ShownBags shown_bags(const BagHeating& heating) {
  ShownBags out;
  out.bag = heating.bag;
  out.described = heating.described;
  out.ln = {std::log(heating.conductivity), std::log(heating.vapour), std::log(heating.film)};
  auto next = heating.covariance.begin();
  for (std::size_t i = 0; i < unknown_count; ++i)
    for (std::size_t j = 0; j <= i; ++j)
      out.covariance[i][j] = out.covariance[j][i] = *next++;
  std::ranges::copy(heating.lag_powers, out.lag_powers.begin());
  for (const ProbeHeating& probe : heating.probes)
    if (probe.fitted_minutes) out.speeds_ln.push_back(std::log(probe.speed));
  return out;
}

/// Words in small letters with one blank before, between and behind: " rack a low ".
std::string plain_words(const std::string& text) {
  std::string out = " ";
  for (const char c : text) {
    const auto byte = static_cast<unsigned char>(c);
    if (std::isalnum(byte) != 0 || byte >= 0x80)
      out += static_cast<char>(std::tolower(byte));
    else if (out.back() != ' ')
      out += ' ';
  }
  return out.back() == ' ' ? out : out + " ";
}

bool names(const std::string& text, const std::string& words) {
  return plain_words(text).find(plain_words(words)) != std::string::npos;
}

/// A probe counts to a place where its position names the rack and the layer of it, as far as these were
/// said.
std::vector<ShownPlace> shown_places(const RunInput& input) {
  std::vector<ShownPlace> out;
  if (!input.load) return out;
  for (const LoadLine& line : input.load->lines) {
    ShownPlace place{line.bag, line.rack, line.layer, line.count, 0};
    for (const RunProbe& probe : input.probes)
      if (probe.role == ProbeRole::bag && !probe.left_out &&
          (probe.bag == line.bag || (probe.bag.empty() && input.bags.size() == 1)) &&
          names(probe.place, line.rack) && names(probe.place, line.layer) && place.probed < place.count)
        ++place.probed;
    out.push_back(std::move(place));
  }
  return out;
}

} // namespace

ShownRun shown_by(const std::string& name, const RunInput& input, const RunReport& report) {
  our_check(!input.learned, "a run that teaches was judged by the tables alone");
  ShownRun out;
  out.name = name;
  if (report.clock.start_wall)
    out.on = report.clock.start_wall;
  else if (report.clock.start)
    out.on = WallTime{report.clock.start->time_since_epoch().count()};
  out.places = shown_places(input);
  bool all_fitted = !report.heating.empty();
  for (const BagHeating& heating : report.heating) {
    all_fitted = all_fitted && heating.evidence == "fitted";
    if (!heating.not_fitted.empty() || heating.lag_powers.size() != unknown_count) continue;
    ShownBags bags = shown_bags(heating);
    if (!bags.speeds_ln.empty()) out.kinds.push_back(std::move(bags));
  }
  if (report.verdict == Verdict::pass && report.scope == "load" && all_fitted)
    out.pattern = pattern_as_loaded(input);
  return out;
}

} // namespace coldbag
