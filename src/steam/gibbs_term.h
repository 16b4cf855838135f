// One term of a fundamental equation of water, and its two slopes.
#pragma once

#include <cmath>
#include <span>

namespace coldbag {

/// n x^i y^j, as the tables of IAPWS R7-97(2012) print their coefficients.
struct GibbsTerm {
  int i;
  int j;
  double n;
};

/// Sum of d(n x^i y^j)/dx over the terms; x above 0, y not 0.
[[nodiscard]] inline double slope_in_x(std::span<const GibbsTerm> terms, double x, double y) {
  double sum = 0;
  for (const GibbsTerm& term : terms)
    sum += term.n * term.i * std::pow(x, term.i - 1) * std::pow(y, term.j);
  return sum;
}

/// Sum of d(n x^i y^j)/dy over the terms; x above 0, y not 0.
[[nodiscard]] inline double slope_in_y(std::span<const GibbsTerm> terms, double x, double y) {
  double sum = 0;
  for (const GibbsTerm& term : terms)
    sum += term.n * std::pow(x, term.i) * term.j * std::pow(y, term.j - 1);
  return sum;
}

} // namespace coldbag
