#include "kinetics/lethality.h"

#include "errors/our_fault.h"

#include <algorithm>
#include <array>
#include <bit>
#include <cmath>
#include <cstdint>

namespace coldbag {

namespace {

constexpr double log2_of_10 = 3.321928094887362347870319429489390175864831393;
constexpr double ln_of_2 = 0.693147180559945309417232121458176568075500134;
constexpr double ln_of_10 = 2.302585092994045684017991454684364207601101488;

// 1/k!: the series of e^y over |y| <= ln2/2 is cut where the next term is below 4e-18.
constexpr std::array<double, 14> inverse_factorial = {
    1.0,        1.0,         1.0 / 2,      1.0 / 6,       1.0 / 24,       1.0 / 120,       1.0 / 720,
    1.0 / 5040, 1.0 / 40320, 1.0 / 362880, 1.0 / 3628800, 1.0 / 39916800, 1.0 / 479001600, 1.0 / 6227020800};

// 2^x without a library call, so that no processor gives another digit; |x| up to 1000.
double exp2_own(double x) {
  const double whole = std::floor(x + 0.5);
  const double y = (x - whole) * ln_of_2;
  double sum = inverse_factorial.back();
  for (std::size_t k = inverse_factorial.size() - 1; k-- > 0;)
    sum = sum * y + inverse_factorial[k];
  const auto exponent = static_cast<std::uint64_t>(static_cast<std::int64_t>(whole) + 1023);
  return sum * std::bit_cast<double>(exponent << 52U);
}

// (e^x - 1)/x, exact to rounding also where the two readings are nearly equal.
double growth_mean(double x) {
  if (std::abs(x) < 0.04) { // eight terms: the next is below 1e-17
    double sum = 0;
    for (std::size_t k = 8; k-- > 0;)
      sum = sum * x + inverse_factorial[k + 1];
    return sum;
  }
  if (std::abs(x) < 0.5) {
    double sum = 0;
    for (std::size_t k = 13; k-- > 0;)
      sum = sum * x + inverse_factorial[k + 1];
    return sum;
  }
  return (exp2_own(x / ln_of_2) - 1.0) / x;
}

double plain_rate(double t_degC, const Reference& reference) {
  return exp2_own(std::clamp((t_degC - reference.at_degC) / reference.z_K * log2_of_10, -1000.0, 1000.0));
}

// Between the cut-offs.
double plain_segment(double dt_s, double t1_degC, double t2_degC, const Reference& reference) {
  // From the hotter end, where the rate has its size; both directions then give the same digits.
  const double hot_degC = std::max(t1_degC, t2_degC);
  const double x = ln_of_10 * (std::min(t1_degC, t2_degC) - hot_degC) / reference.z_K;
  return dt_s / 60.0 * plain_rate(hot_degC, reference) * growth_mean(x);
}

} // namespace

double lethal_rate(double t_degC, const Reference& reference) {
  if (reference.lowest_degC && t_degC < *reference.lowest_degC) return 0;
  const double top_degC = reference.highest_degC ? std::min(t_degC, *reference.highest_degC) : t_degC;
  return plain_rate(top_degC, reference);
}

double segment_F_minutes(double dt_s, double t1_degC, double t2_degC, const Reference& reference) {
  double low_degC = std::min(t1_degC, t2_degC);
  double high_degC = std::max(t1_degC, t2_degC);
  const double run_K = high_degC - low_degC;
  double span_s = dt_s;
  if (reference.lowest_degC && low_degC < *reference.lowest_degC) {
    if (high_degC < *reference.lowest_degC) return 0;
    span_s *= (high_degC - *reference.lowest_degC) / run_K;
    low_degC = *reference.lowest_degC;
  }
  double above_minutes = 0;
  if (reference.highest_degC && high_degC > *reference.highest_degC) {
    const double top_degC = *reference.highest_degC;
    if (low_degC >= top_degC) return span_s / 60.0 * plain_rate(top_degC, reference);
    const double above_s = dt_s * (high_degC - top_degC) / run_K;
    above_minutes = above_s / 60.0 * plain_rate(top_degC, reference);
    span_s -= above_s;
    high_degC = top_degC;
  }
  return above_minutes + plain_segment(span_s, low_degC, high_degC, reference);
}

void LethalSum::add_minutes(double F_minutes) {
  our_check(F_minutes >= 0, "a segment's lethality is a number at or above zero");
  const double units = std::min(F_minutes, most_minutes_in_segment) * 0x1p80;
  if (units < 0x1p52) { // may have a fraction: rounded once
    sum_ += static_cast<std::int64_t>(std::nearbyint(units));
    return;
  }
  const auto bits = std::bit_cast<std::uint64_t>(units); // a whole number: its digits, shifted to their place
  const auto digits = (bits & ((std::uint64_t{1} << 52U) - 1)) | (std::uint64_t{1} << 52U);
  sum_ += static_cast<Wide>(digits) << ((bits >> 52U) - 1075U);
}

double LethalSum::minutes() const {
  return static_cast<double>(sum_) * 0x1p-80;
}

} // namespace coldbag
