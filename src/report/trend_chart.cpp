#include "report/trend_chart.h"

#include "report/chart.h"
#include "report/chart_pen.h"
#include "report/chart_scale.h"
#include "report/trend_blocks.h"

#include <cairo.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <vector>

namespace coldbag {

namespace {

constexpr double title_pt = 18;
constexpr double values_pt = 120;
constexpr double steps_pt = 44;
constexpr double gap_pt = 14;
constexpr double days_pt = 16;
constexpr double legend_pt = 16;
constexpr double panel_pt = title_pt + values_pt + gap_pt + steps_pt + days_pt + 12;
constexpr double left_margin = 46;
constexpr double right_margin = 12;
constexpr double dot_pt = 1.9;
constexpr double outside_pt = 4;
constexpr double day_apart_pt = 76;
constexpr double stroke_pt = 16;
constexpr double most_step_limits = 3; // a longer step is cut off so high over its limit
constexpr double file_width_pt = 680;

constexpr TextLook title_look{9.5, true, ink};
constexpr TextLook mark_look{7.5, false, grey_dark};
constexpr TextLook drift_look{8, true, ink};
const std::vector<double> limit_dashes{5, 3};
const std::vector<double> mean_dashes{2, 2};

std::size_t panels_of(const Trends& trends) {
  std::size_t count = 0;
  for (const TrendGroup& group : trends.groups)
    count += group.trends.size();
  return count;
}

/// As the chart's axis counts: degrees as the site reads them, F in decades.
double shown(TrendOf of, double value, UnitSystem units) {
  return of == TrendOf::plateau ? shown_degrees(value, units) : value;
}

double shown_step(TrendOf of, double step, UnitSystem units) {
  return of == TrendOf::plateau ? shown_degrees(step, units) - shown_degrees(0, units) : step;
}

class Panel {
 public:
  Panel(cairo_t* cairo, const TrendGroup& group, const Trend& trend, const Words& words, double top,
        double width)
      : cairo_(cairo), group_(group), trend_(trend), words_(words), units_(group.runs.front().units),
        top_(top + title_pt), bottom_(top_ + values_pt), steps_top_(bottom_ + gap_pt),
        steps_bottom_(steps_top_ + steps_pt), right_(width - right_margin), width_(width) {
    double low = at(trend.limits ? trend.limits->lower : trend.values.front());
    double high = at(trend.limits ? trend.limits->upper : trend.values.front());
    const double span = high - low;
    for (std::size_t i = 0; i < trend.values.size(); ++i) {
      const double value = at(trend.values[i]);
      // A wild run would press all others flat: it stands at the edge, with its value.
      if (is_outside(i) && (value < low_limit() - span || value > high_limit() + span)) continue;
      low = std::min(low, value);
      high = std::max(high, value);
    }
    axis_ = value_axis(low, high, 5);
    double widest = trend.limits ? step(trend.limits->moving_range_upper) : 0;
    const double most = trend.limits ? most_step_limits * widest : std::numeric_limits<double>::infinity();
    for (std::size_t i = 1; i < trend.values.size(); ++i)
      widest = std::max(widest, std::min(range(i), most));
    steps_ = value_axis(0, widest > 0 ? widest : 1, 2);
  }

  void draw() {
    cairo_set_line_join(cairo_, CAIRO_LINE_JOIN_ROUND);
    draw_text(cairo_, left_margin, top_ - title_pt / 2 - 2, title(), title_look, TextEnd::left,
              right_ - left_margin);
    draw_axes();
    if (trend_.limits) draw_limits();
    draw_values();
    if (trend_.limits) draw_means();
    draw_steps();
    draw_days();
  }

 private:
  [[nodiscard]] std::string title() const {
    return trend_group_text(group_, words_) + ": " + trend_figure_name(trend_.of, words_) + ", " +
           words_.text(unit_key());
  }
  [[nodiscard]] const char* unit_key() const {
    if (trend_.of == TrendOf::margin) return "trend_unit_decades";
    if (trend_.of != TrendOf::plateau) return "trend_unit_minutes";
    return units_ == UnitSystem::us ? "trend_unit_fahrenheit" : "trend_unit_celsius";
  }
  [[nodiscard]] double at(double value) const { return shown(trend_.of, value, units_); }
  [[nodiscard]] double step(double value) const { return shown_step(trend_.of, value, units_); }
  [[nodiscard]] bool is_outside(std::size_t i) const { return std::ranges::count(trend_.outside, i) > 0; }
  [[nodiscard]] double low_limit() const { return at(trend_.limits->lower); }
  [[nodiscard]] double high_limit() const { return at(trend_.limits->upper); }
  [[nodiscard]] double range(std::size_t i) const {
    return std::abs(at(trend_.values[i]) - at(trend_.values[i - 1]));
  }
  [[nodiscard]] double x(std::size_t i) const {
    const auto last = static_cast<double>(std::max<std::size_t>(trend_.values.size() - 1, 1));
    return left_margin + 6 + (right_ - left_margin - 12) * static_cast<double>(i) / last;
  }
  [[nodiscard]] double y(double shown_value) const {
    const double held = std::clamp(shown_value, axis_.low, axis_.high);
    return bottom_ - values_pt * (held - axis_.low) / (axis_.high - axis_.low);
  }
  [[nodiscard]] double y_step(double value) const {
    return steps_bottom_ - steps_pt * std::min(value, steps_.high) / steps_.high;
  }
  [[nodiscard]] std::string day(std::size_t i) const { return day_text(group_.runs[trend_.runs[i]].began); }

  void draw_axes() {
    for (const double mark : axis_.marks) {
      draw_line(cairo_, left_margin, y(mark), right_, y(mark), 0.4, grey_light);
      draw_text(cairo_, left_margin - 5, y(mark), print_fixed(mark, axis_.decimals), mark_look,
                TextEnd::right);
    }
    for (const double mark : steps_.marks)
      if (mark >= 0) {
        draw_line(cairo_, left_margin, y_step(mark), right_, y_step(mark), 0.4, grey_light);
        draw_text(cairo_, left_margin - 5, y_step(mark), print_fixed(mark, steps_.decimals), mark_look,
                  TextEnd::right);
      }
    draw_line(cairo_, left_margin, bottom_, right_, bottom_, 0.6, grey);
    draw_line(cairo_, left_margin, steps_bottom_, right_, steps_bottom_, 0.6, grey);
  }

  void draw_limits() {
    const double low = y(at(trend_.limits->lower));
    const double high = y(at(trend_.limits->upper));
    const double centre = y(at(trend_.limits->centre));
    draw_line(cairo_, left_margin, centre, right_, centre, 0.8, grey);
    for (const double limit : {low, high})
      draw_line(cairo_, left_margin, limit, right_, limit, 0.8, grey_dark, limit_dashes);
    const double step_limit = y_step(step(trend_.limits->moving_range_upper));
    draw_line(cairo_, left_margin, step_limit, right_, step_limit, 0.8, grey_dark, limit_dashes);
  }

  void draw_dot(double middle_x, double middle_y, double radius, const Colour& colour, bool is_filled) {
    cairo_new_path(cairo_);
    cairo_arc(cairo_, middle_x, middle_y, radius, 0, 7);
    set_colour(cairo_, colour);
    if (is_filled)
      cairo_fill(cairo_);
    else
      cairo_stroke(cairo_);
  }

  void draw_values() {
    cairo_new_path(cairo_);
    for (std::size_t i = 0; i < trend_.values.size(); ++i)
      cairo_line_to(cairo_, x(i), y(at(trend_.values[i])));
    set_colour(cairo_, grey);
    cairo_set_line_width(cairo_, 0.5);
    cairo_stroke(cairo_);
    for (std::size_t i = 0; i < trend_.values.size(); ++i)
      draw_dot(x(i), y(at(trend_.values[i])), dot_pt, grey_dark, true);
    for (const std::size_t i : trend_.outside)
      draw_outside(i);
  }

  void draw_outside(std::size_t i) {
    const double value = at(trend_.values[i]);
    cairo_set_line_width(cairo_, 1.2);
    draw_dot(x(i), y(value), outside_pt, ink, false);
    if (value >= axis_.low && value <= axis_.high) return;
    const std::string text = trend_value_text(trend_.of, trend_.values[i], units_);
    const double width = text_width_pt(cairo_, text, mark_look);
    const double left =
        x(i) + outside_pt + 2 + width <= right_ ? x(i) + outside_pt + 2 : x(i) - outside_pt - 2 - width;
    draw_text_over(cairo_, std::max(left, 0.0), y(value) + (value < axis_.low ? -6 : 6), text, mark_look);
  }

  void draw_path(const std::vector<double>& values, double width, const std::vector<double>& dashes) {
    cairo_new_path(cairo_);
    for (std::size_t i = 0; i < values.size(); ++i)
      cairo_line_to(cairo_, x(i), y(at(values[i])));
    set_colour(cairo_, accent);
    cairo_set_line_width(cairo_, width);
    cairo_set_dash(cairo_, dashes.data(), static_cast<int>(dashes.size()), 0);
    cairo_stroke(cairo_);
    cairo_set_dash(cairo_, nullptr, 0, 0);
  }

  void draw_means() {
    std::vector<double> low;
    std::vector<double> high;
    for (const double half : trend_.half_widths) {
      low.push_back(trend_.limits->centre - half);
      high.push_back(trend_.limits->centre + half);
    }
    draw_path(low, 0.7, mean_dashes);
    draw_path(high, 0.7, mean_dashes);
    draw_path(trend_.means, 2, {});
    for (const Drift& drift : trend_.drifts) {
      draw_line(cairo_, x(drift.since), top_, x(drift.since), bottom_, 1, ink);
      const std::string text = words_.text("trend_chart_since", {{"day", day(drift.since)}});
      const double room = right_ - x(drift.since) - 4;
      const bool fits = text_width_pt(cairo_, text, drift_look) <= room;
      const double width =
          std::min(text_width_pt(cairo_, text, drift_look), x(drift.since) - left_margin - 4);
      if (fits)
        draw_text_over(cairo_, x(drift.since) + 4, top_ + 6, text, drift_look);
      else
        draw_text(cairo_, x(drift.since) - 4, top_ + 6, text, drift_look, TextEnd::right, width);
    }
  }

  void draw_steps() {
    for (std::size_t i = 1; i < trend_.values.size(); ++i) {
      const bool is_wide = trend_.limits && range(i) > step(trend_.limits->moving_range_upper);
      draw_line(cairo_, x(i), steps_bottom_, x(i), y_step(range(i)), is_wide ? 2.2 : 1, is_wide ? ink : grey);
    }
  }

  void draw_days() {
    double next = left_margin;
    for (std::size_t i = 0; i < trend_.values.size(); ++i) {
      if (x(i) < next) continue;
      const double width = text_width_pt(cairo_, day(i), mark_look);
      if (x(i) + width > width_) break;
      draw_line(cairo_, x(i), steps_bottom_, x(i), steps_bottom_ + 3, 0.6, grey);
      draw_text(cairo_, x(i), steps_bottom_ + days_pt / 2 + 2, day(i), mark_look);
      next = x(i) + std::max(day_apart_pt, width + 8);
    }
  }

  cairo_t* cairo_;
  const TrendGroup& group_;
  const Trend& trend_;
  const Words& words_;
  UnitSystem units_;
  double top_, bottom_, steps_top_, steps_bottom_, right_, width_;
  ValueAxis axis_;
  ValueAxis steps_;
};

/// What the lines are.
void draw_legend(cairo_t* cairo, const Words& words, double top, double width) {
  struct Sign {
    const char* key;
    double width;
    Colour colour;
    std::vector<double> dashes;
  };
  double left = left_margin;
  for (const Sign& sign :
       {Sign{"trend_chart_usual", 0.8, grey_dark, limit_dashes}, Sign{"trend_chart_mean", 2, accent, {}},
        Sign{"trend_chart_mean_limits", 0.7, accent, mean_dashes}}) {
    const std::string text = words.text(sign.key);
    if (left + stroke_pt + 4 >= width) return;
    draw_line(cairo, left, top, left + stroke_pt, top, sign.width, sign.colour, sign.dashes);
    draw_text(cairo, left + stroke_pt + 4, top, text, mark_look, TextEnd::left, width - left - stroke_pt - 6);
    left += stroke_pt + 18 + text_width_pt(cairo, text, mark_look);
  }
  if (left < width)
    draw_text(cairo, left, top, words.text("trend_chart_steps"), mark_look, TextEnd::left, width - left - 2);
}

} // namespace

ChartSize trend_chart_size(const Trends& trends, double width_pt) {
  return {width_pt, legend_pt + panel_pt * static_cast<double>(panels_of(trends))};
}

void draw_trend_chart(cairo_t* cairo, const Trends& trends, const Words& words, const ChartSize& size) {
  draw_legend(cairo, words, legend_pt / 2, size.width_pt);
  double top = legend_pt;
  for (const TrendGroup& group : trends.groups)
    for (const Trend& trend : group.trends) {
      Panel(cairo, group, trend, words, top, size.width_pt).draw();
      top += panel_pt;
    }
}

std::string trend_chart_svg(const Trends& trends, const Words& words) {
  if (panels_of(trends) == 0) return "";
  ChartSize size = trend_chart_size(trends, file_width_pt);
  return drawn_file(ChartFile::svg, size, "", [&](cairo_t* cairo, const ChartSize& room) {
    draw_trend_chart(cairo, trends, words, room);
  });
}

} // namespace coldbag
