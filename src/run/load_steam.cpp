#include "run/load_steam.h"

#include "probes/curve.h"
#include "steam/saturation.h"

#include <algorithm>
#include <utility>

namespace coldbag {

namespace {

constexpr double standard_atmosphere_Pa = 101325; // ISO 2533:1975, at sea level

} // namespace

double held_to_model_degC(double degC) {
  return std::clamp(degC, -40.0, 200.0);
}

namespace {

/// From when to when bags were read while they had steam.
struct Span {
  double from_s = 0;
  double to_s = 0;
  double start_degC = 0; ///< of the coldest
};

std::optional<Span> span_of_bags(const LoadBasis& basis) {
  std::optional<Span> out;
  for (std::size_t i = 0; i < basis.probes.size(); ++i) {
    const Measured& one = basis.probes[i];
    if (one.probe->role != ProbeRole::bag || !one.is_relied_on) continue;
    const Curve curve(*basis.thin[i], Curve::From::credited_alone);
    if (curve.is_empty()) continue;
    const double start_degC = curve.points().front().degC;
    if (!out) out = Span{curve.starts_s(), curve.ends_s(), start_degC};
    out->start_degC = std::min(out->start_degC, start_degC);
    out->from_s = std::min(out->from_s, curve.starts_s());
    out->to_s = std::max(out->to_s, curve.ends_s());
  }
  if (out && basis.steam_off_at_s) out->to_s = std::min(out->to_s, *basis.steam_off_at_s);
  return out;
}

/// The first silence in the span that is longer than is bridged. What was before a probe that begins cold
/// heated nothing.
std::optional<Span> silence_in(const Curve& curve, const Span& span, double bridged_s, double still_cold_K) {
  double last_s = span.from_s;
  if (curve.points().front().degC <= span.start_degC + still_cold_K)
    last_s = std::max(last_s, curve.starts_s());
  for (const Curve::Point& point : curve.points()) {
    if (std::min(point.time_s, span.to_s) - last_s > bridged_s)
      return Span{last_s, std::min(point.time_s, span.to_s), 0};
    last_s = std::max(last_s, point.time_s);
  }
  if (span.to_s - last_s > bridged_s) return Span{last_s, span.to_s, 0};
  return std::nullopt;
}

LoadSteam steam_by(const LoadBasis& basis, const Measured& one, const Curve& curve) {
  std::optional<Curve> pressure;
  if (basis.pressure != nullptr) pressure.emplace(*basis.pressure, Curve::From::all_readings);
  const double outside_Pa = basis.input.site_pressure_Pa.value_or(standard_atmosphere_Pa);
  const bool is_gauge = basis.pressure_basis == PressureBasis::gauge;
  std::vector<SteamPoint> points;
  for (const Curve::Point& point : curve.points()) {
    const double degC = held_to_model_degC(point.degC);
    double Pa = std::max(outside_Pa, saturation_pressure_Pa(std::max(degC, 0.01)));
    if (pressure && !pressure->is_empty()) {
      const double logged_Pa = pressure->at(point.time_s) + (is_gauge ? outside_Pa : 0);
      if (logged_Pa > 0.8 * outside_Pa && logged_Pa < 2e6) Pa = logged_Pa;
    }
    points.push_back({point.time_s, degC, std::min(Pa, 2e6)});
  }
  return {SteamTrace(std::move(points)), one.measures.plateau_degC, *one.measures.near_top_at_s,
          coverage_k * one.probe->u_K};
}

} // namespace

FoundSteam load_steam(const LoadBasis& basis) {
  FoundSteam out{std::nullopt, Said{"load_no_steam_probe", {}}};
  const auto span = span_of_bags(basis);
  for (std::size_t i = 0; i < basis.probes.size(); ++i) {
    const Measured& one = basis.probes[i];
    if (one.probe->role != ProbeRole::vessel || !one.is_relied_on || !one.measures.near_top_at_s) continue;
    const ThinTrace& trace = *basis.thin[i];
    const Curve curve(trace, Curve::From::credited_alone);
    if (curve.points().size() < 2) continue;
    const double bridged_s = basis.gap_s[i] + 2 * trace.width_s();
    if (const auto silence =
            span ? silence_in(curve, *span, bridged_s, basis.input.heating->figures.still_cold_K)
                 : std::nullopt) {
      out.why_not =
          Said{"load_steam_not_seen",
               {{"probe", one.probe->name}, {"from_at", silence->from_s}, {"to_at", silence->to_s}}};
      continue;
    }
    return {steam_by(basis, one, curve), std::nullopt};
  }
  return out;
}

SteamTrace drawn_out(const SteamTrace& steam, double at_s, double by_s) {
  if (by_s <= 0) return steam;
  std::vector<SteamPoint> points;
  const SteamPoint turn = steam.at(at_s);
  for (const SteamPoint& p : steam.points())
    if (p.time_s < at_s - 1) points.push_back(p);
  points.push_back(turn);
  SteamPoint later = turn;
  later.time_s += by_s;
  points.push_back(later);
  for (SteamPoint p : steam.points())
    if (p.time_s > at_s + 1) {
      p.time_s += by_s;
      points.push_back(p);
    }
  return SteamTrace(std::move(points));
}

} // namespace coldbag
