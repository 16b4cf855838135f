// What is drawn, as the bytes of a file of its own.
#pragma once

#include <functional>
#include <optional>
#include <string>

struct _cairo;

namespace coldbag {

/// Points of 1/72 inch. Letters keep their size: a chart that is shown larger than it was drawn is read from
/// farther off.
struct ChartSize {
  double width_pt = 640;
  double height_pt = 410;
};

/// For a screen held in one hand: high, and its names under it.
inline constexpr ChartSize narrow_chart{230, 410};

enum class ChartFile { svg, pdf, png };

/// Draws within a room whose upper left corner is at 0, 0.
using DrawInRoom = std::function<void(_cairo* cairo, const ChartSize& room)>;

/// The file, on white with its title; without any on nothing, to stand within a page. PNG has 192 to the
/// inch. The same drawing gives the same bytes.
[[nodiscard]] std::string drawn_file(ChartFile kind, const ChartSize& size,
                                     const std::optional<std::string>& title, const DrawInRoom& draw);

} // namespace coldbag
