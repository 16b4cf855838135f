// How far a few probed bags speak for all bags, when the probes were put in bags picked at random.
#pragma once

namespace coldbag {

/// Share of all bags that did at least as well as the lowest of n_random bags, at this confidence:
/// (1 - confidence)^(1 / n_random). No shape of distribution is assumed.
/// n_random: 1 or more; confidence: between 0 and 1, neither included (both checked).
/// S. S. Wilks, Ann. Math. Stat. 12:91 (1941).
[[nodiscard]] double fraction_above_lowest(int n_random, double confidence);

/// The largest number of failing bags among bag_count for which the chance that `probed` bags picked at
/// random all pass is still above 1 - confidence. Hypergeometric distribution (picking without putting back).
/// bag_count: 1 or more; probed: 0 to bag_count; confidence: between 0 and 1, neither included (all checked).
[[nodiscard]] int most_failing_compatible(int bag_count, int probed, double confidence);

} // namespace coldbag
