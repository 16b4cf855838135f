// Log reduction and what may be left alive, from F and an organism's D.
#pragma once

namespace coldbag {

/// Decades killed: F / D at the same reference. D above 0 (checked).
[[nodiscard]] double log_reduction(double F_minutes, double D_minutes);
/// Expected survivors of n0 after so many decades.
[[nodiscard]] double survivors(double n0, double decades);
/// Chance that at least one is left where `mean` are expected (Poisson): 1 - exp(-mean).
[[nodiscard]] double chance_of_any(double mean);
/// D at another temperature: D_ref 10^((Tref - T)/z).
[[nodiscard]] double D_at_minutes(double D_ref_minutes, double ref_degC, double z_K, double t_degC);
/// z from D at two temperatures: (T2 - T1) / log10(D1/D2); D1 and D2 differ (checked).
[[nodiscard]] double z_of_two_D_K(double t1_degC, double D1_minutes, double t2_degC, double D2_minutes);

} // namespace coldbag
