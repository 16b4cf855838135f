// Decades, survivors and chances against published exercises.
#include "kinetics/lethality.h"
#include "kinetics/survivors.h"
#include "support/approx.h"

#include <doctest/doctest.h>

#include <cmath>

using namespace coldbag;
using coldbag::test::relative_error;
using coldbag::test::within;

namespace {

// Minutes from n0 down to an expected `target`.
double minutes_for(double n0, double target, double D_minutes) {
  return D_minutes * std::log10(n0 / target);
}

} // namespace

TEST_CASE("a set of probability exercises") {
  // Spanish problem set in a document-sharing library (item 1g2wq68epo25), no date.
  CHECK(within(survivors(10, log_reduction(2.88, 1.5)), 0.12, 0.005));
  CHECK(within(survivors(10, log_reduction(2.88, 1.5)), 0.120226, 0.5e-6));
  CHECK(within(survivors(1, log_reduction(1.2, 0.24)), 1 - 0.99999, 1e-15)); // five decades
  // Printed as "12D": from 100 down to 1e-12 are fourteen decades.
  CHECK(within(survivors(100, log_reduction(3.36, 0.24)), 1e-12, 0, 1e-12));
  CHECK(within(minutes_for(100, 1e-12, 0.24), 3.36, 1e-12));
  CHECK(within(survivors(100, log_reduction(10.5, 1.5)), 1e-5, 0, 1e-12));
  CHECK(within(survivors(1, log_reduction(10.5, 0.2)), 3.16e-53, 0.005e-53));
}

TEST_CASE("a mixed population is solved for the sum of its survivors") {
  // Same set, no printed answer: 3e5 with D 1.5 and 8e6 with D 0.8, one in a thousand together: 12.71568.
  const auto left = [](double F_minutes) {
    return survivors(3e5, log_reduction(F_minutes, 1.5)) + survivors(8e6, log_reduction(F_minutes, 0.8));
  };
  CHECK(left(12.715675) > 1e-3);
  CHECK(left(12.715685) < 1e-3);
  CHECK(within(minutes_for(3e5, 1e-3, 1.5), 12.7157, 0.5e-4));
  CHECK(within(minutes_for(8e6, 1e-3, 0.8), 7.9225, 0.5e-4));
}

TEST_CASE("a retort that only reaches 110 C: as much F, yet not as safe") {
  // Spanish course problem, no date: 22 min at 115 C with z 10 becomes 69.57 min at 110 C; a spoiler with D
  // 0.61 at 121.1, z 8, 10 a container, then spoils 1 in 4,600 instead of 1 in 170,000. The source rounds
  // the exponents to 3.7 and 5.23; unrounded they are 3.67297 and 5.23150.
  const Reference f0{"F0", 121.1, 10, std::nullopt, std::nullopt};
  const double F_minutes = segment_F_minutes(22 * 60, 115, 115, f0);
  CHECK(within(F_minutes, 5.400, 0.5e-3));
  const double at_110_minutes = F_minutes / lethal_rate(110, f0);
  CHECK(within(at_110_minutes, 69.57, 0.005));
  CHECK(within(at_110_minutes, 69.5701, 0.5e-4));

  CHECK(within(D_at_minutes(0.61, 121.1, 8, 115), 3.53045, 0.5e-5));
  CHECK(within(D_at_minutes(0.61, 121.1, 8, 110), 14.88778, 0.5e-5));
  const double before = survivors(10, log_reduction(22, D_at_minutes(0.61, 121.1, 8, 115)));
  const double after = survivors(10, log_reduction(at_110_minutes, D_at_minutes(0.61, 121.1, 8, 110)));
  CHECK(within(-std::log10(before), 5.23, 0.005));
  CHECK(within(1 / before, 170413, 0.5));
  CHECK(within(-std::log10(after), 3.7, 0.05));
  CHECK(within(1 / after, 4709, 0.5));
  // The same through the engine's own integral against a reference of the spoiler.
  const Reference spoiler{"", 121.1, 8, std::nullopt, std::nullopt};
  const double decades = log_reduction(segment_F_minutes(at_110_minutes * 60, 110, 110, spoiler), 0.61);
  CHECK(relative_error(survivors(10, decades), after) < 1e-12);

  // Sister exam problem: 1e8 with D121.1 3.5, z 16, at 115 C until F0 is 4. Only "unsatisfactory" is printed.
  const double t115_minutes = 4 / lethal_rate(115, f0);
  CHECK(within(t115_minutes, 16.295, 0.5e-3));
  CHECK(within(D_at_minutes(3.5, 121.1, 16, 115), 8.420, 0.5e-3));
  CHECK(
      within(survivors(1e8, log_reduction(t115_minutes, D_at_minutes(3.5, 121.1, 16, 115))), 1.161e6, 0.5e3));
}

TEST_CASE("hold for a stated chance of spoilage") {
  // Textbook problem on a tutoring page without its answer: 5e4, 0.00058, D121 1.5, z 11, at 110 C. 119 min
  // from memory; unrounded 119.033.
  CHECK(within(minutes_for(5e4, 0.00058, D_at_minutes(1.5, 121, 11, 110)), 119.033, 0.5e-3));
}

TEST_CASE("so many times D") {
  // Biotechnology entrance questions: D 12 s, 1e10 to 1: 2 min; D 0.2 min, twelve decades: 2.4 min.
  CHECK(within(log_reduction(2, 0.2), 10, 1e-14));
  CHECK(within(survivors(1e10, log_reduction(2, 0.2)), 1, 1e-12));
  CHECK(within(log_reduction(2.4, 0.2), 12, 1e-14));
}

TEST_CASE("a printed answer that is wrong is not met") {
  // Question page on agricultural science, no date: D 1.2 at 121.1 C, 0.019 at 139.1 C; 12 D at 130 C. It
  // prints 132.23 s; by the definitions of D and z it is 111.25 s.
  const double z_K = z_of_two_D_K(121.1, 1.2, 139.1, 0.019);
  CHECK(within(z_K, 9.9976, 0.5e-4));
  const double D130_minutes = D_at_minutes(1.2, 121.1, z_K, 130);
  CHECK(within(D130_minutes, 0.15451, 0.5e-5));
  CHECK(within(12 * 60 * D130_minutes, 111.25, 0.005));
  CHECK_FALSE(within(12 * 60 * D130_minutes, 132.23, 20));
}

TEST_CASE("the temperature that does it in a seventh of the time") {
  // Question page, apple juice: 35 min at 52 C, z 8, in 5 min at 58.76 C.
  CHECK(within(D_at_minutes(35, 52, 8, 58.7608), 5, 1e-3));
  CHECK(within(D_at_minutes(35, 52, 8, 58.76), 5, 0.005));
  CHECK_FALSE(within(D_at_minutes(35, 52, 8, 58.75), 5, 0.005));
}

TEST_CASE("z from D at two temperatures") {
  // Odlaug and Pflug, Appl. Environ. Microbiol. 34:23 (1977), buffer: D 1.3, 4.4, 17.6 at 115.6, 110, 104.4
  // C; printed z 9.9 by a line through three points. The outer two, at even steps, give the same line.
  CHECK(within(z_of_two_D_K(104.4, 17.6, 115.6, 1.3), 9.9, 0.05));
  CHECK(relative_error(z_of_two_D_K(104.4, 17.6, 115.6, 1.3), z_of_two_D_K(115.6, 1.3, 104.4, 17.6)) < 1e-14);
  // Kikoku et al. (2008), 80 to 90 C: printed 11.0 and 6.9 by three points; the outer two are close to it.
  CHECK(within(z_of_two_D_K(80, 114, 90, 14.1), 11.0, 0.05));
  CHECK(within(z_of_two_D_K(80, 286, 90, 10.3), 6.9, 0.05));
}

TEST_CASE("six decades of a spore at reference temperatures") {
  // Front. Microbiol. 15:1509681 (2024), abstract: log10 D at 82 C 0.32 (minutes), z 8.02. Ours from it.
  const double D82_minutes = std::pow(10, 0.32);
  CHECK(within(D_at_minutes(D82_minutes, 82, 8.02, 90), 0.2101, 0.5e-4));
  CHECK(within(6 * D_at_minutes(D82_minutes, 82, 8.02, 90), 1.261, 0.5e-3));
  CHECK(within(6 * D_at_minutes(D82_minutes, 82, 8.02, 80), 22.26, 0.005));
}

TEST_CASE("survival and kill times of a biological indicator") {
  // Pharmacopoeial relation (USP monograph on biological indicators): (log10 N - 2) D and (log10 N + 4) D;
  // D 1.5 and N 1e6 give 6.0 and 15.0 min: a hundred left, and one in ten thousand.
  CHECK(within(survivors(1e6, log_reduction(6.0, 1.5)), 100, 1e-10));
  CHECK(within(survivors(1e6, log_reduction(15.0, 1.5)), 1e-4, 1e-16));
  CHECK(within(chance_of_any(1e-4), 1e-4, 0, 1e-4));
}

TEST_CASE("Poisson chances of no colony") {
  // Monograph on the assurance of sterility, page 193: 36.8 % at mean 1; three zero plates in a row 4.98 %.
  CHECK(within(1 - chance_of_any(1), 0.368, 0.5e-3));
  CHECK(within(std::pow(1 - chance_of_any(1), 3), 0.0498, 0.5e-4));
  CHECK(within(1 - chance_of_any(3), 0.0498, 0.5e-4));
  // The 95 % bound where nothing was found: -ln 0.05 (derived here; the "rule of three").
  CHECK(within(chance_of_any(2.9957), 0.95, 0.5e-5));
}
