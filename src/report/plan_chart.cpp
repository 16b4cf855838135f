#include "report/plan_chart.h"

#include "report/chart.h"
#include "report/chart_pen.h"
#include "report/chart_scale.h"
#include "report/figures.h"
#include "report/plan_blocks.h"

#include <cairo.h>

#include <algorithm>
#include <optional>
#include <utility>
#include <vector>

namespace coldbag {

namespace {

constexpr double left_margin = 42;
constexpr double label_width = 128;
constexpr double narrow = 400; // below it names stand under the chart, not beside it
constexpr double narrow_right_margin = 16;
constexpr double stroke_pt = 14;
constexpr double row_pt = 14;
constexpr double time_row = 14;
constexpr double degree_mark_apart = 34;
constexpr double time_mark_apart = 40;
constexpr double sign_width = 17;
constexpr double entry_gap = 16;
constexpr double disc_pt = 6;

constexpr TextLook mark_look{8.5, false, grey_dark};
constexpr TextLook core_look{9.5, true, accent};
constexpr TextLook note_look{8.5, false, ink};
constexpr TextLook number_look{7.5, true, ink};

/// What may stand under the chart: a text with its sign before it.
struct Entry {
  std::string text;
  double left = 0;
  int row = 0;
};

/// A step of the plan with its number on the chart.
struct Numbered : Entry {
  double at_s = 0;
  bool is_steam_off = false;
};

/// A line with its stroke.
struct Name : Entry {
  double end_degC = 0;
  TextLook look;
  double width = 1;
  std::vector<double> dashes;
};

using Value = double PlanMoment::*;

class PlanDrawing {
 public:
  PlanDrawing(cairo_t* cairo, const PlanReport& report, const Words& words, const ChartSize& size)
      : cairo_(cairo), report_(report), words_(words), size_(size), curve_(report.plan.curve) {
    if (report.steam_on_us) clock_.start_wall = WallTime{*report.steam_on_us};
    number_steps();
    place_entries();
    place();
  }

  void draw() {
    cairo_set_line_join(cairo_, CAIRO_LINE_JOIN_ROUND);
    draw_marks();
    fill_between(&PlanMoment::vessel_degC, &PlanMoment::vessel_slow_degC, grey_light);
    fill_between(&PlanMoment::core_likely_degC, &PlanMoment::core_slow_degC, {0.122, 0.251, 0.420, 0.12});
    draw_curve(&PlanMoment::vessel_degC, 1.1, grey_dark, {});
    draw_curve(&PlanMoment::core_slow_degC, 1.3, accent, {5, 3});
    draw_curve(&PlanMoment::core_likely_degC, 2.2, accent, {});
    draw_setpoint();
    draw_steps();
    draw_names();
  }

 private:
  void number_steps() {
    for (const PlanStep& step : report_.steps)
      if (const auto at_s = step.likely_s ? step.likely_s : step.slow_s;
          at_s && *at_s >= curve_.front().time_s)
        steps_.push_back({{step_text(report_, step, words_)}, *at_s, step.key == "size_step_off"});
  }

  [[nodiscard]] bool is_narrow() const { return size_.width_pt < narrow; }

  /// In rows under the chart: the names where they do not stand beside their lines, and the steps.
  void place_entries() {
    const double first = is_narrow() ? 2 : left_margin;
    double left = first;
    int row = 0;
    bool any = false;
    const auto place = [&](Entry& entry) {
      const double width = sign_width + text_width_pt(cairo_, entry.text, note_look);
      if (left > first && left + width > size_.width_pt - 4) {
        left = first;
        ++row;
      }
      entry.left = left;
      entry.row = row;
      left += width + entry_gap;
      any = true;
    };
    names_ = names();
    if (is_narrow())
      for (Name& name : names_)
        place(name);
    for (Numbered& step : steps_)
      place(step);
    entry_rows_ = any ? row + 1 : 0;
  }

  void place() {
    right_ = size_.width_pt - (is_narrow() ? narrow_right_margin : label_width);
    from_s_ = curve_.front().time_s;
    to_s_ = std::max(curve_.back().time_s, from_s_ + 60);
    std::vector<double> at;
    at.reserve(steps_.size());
    for (const Numbered& step : steps_)
      at.push_back(x(step.at_s) - disc_pt);
    marker_rows_ = rows_of_labels(at, std::vector<double>(at.size(), 2 * disc_pt), 1);
    const int rows = marker_rows_.empty() ? 0 : *std::ranges::max_element(marker_rows_) + 1;
    top_ = 8 + rows * row_pt;
    bottom_ = size_.height_pt - entry_rows_ * row_pt - time_row - 8;
    double lowest = setpoint_degC();
    double highest = lowest;
    for (const PlanMoment& moment : curve_)
      for (const Value value : {&PlanMoment::vessel_degC, &PlanMoment::vessel_slow_degC,
                                &PlanMoment::core_likely_degC, &PlanMoment::core_slow_degC}) {
        lowest = std::min(lowest, moment.*value);
        highest = std::max(highest, moment.*value);
      }
    degrees_ = value_axis(shown_degrees(lowest, report_.units), shown_degrees(highest, report_.units),
                          std::clamp(static_cast<int>((bottom_ - top_) / degree_mark_apart), 3, 9));
  }

  [[nodiscard]] double setpoint_degC() const { return report_.resolved.input.need.setpoint_degC; }
  [[nodiscard]] double x(double at_s) const {
    return left_margin +
           (right_ - left_margin) * (std::clamp(at_s, from_s_, to_s_) - from_s_) / (to_s_ - from_s_);
  }
  [[nodiscard]] double y(double degC) const { return y_of_shown(shown_degrees(degC, report_.units)); }
  [[nodiscard]] double y_of_shown(double shown) const {
    return bottom_ - (bottom_ - top_) * (shown - degrees_.low) / (degrees_.high - degrees_.low);
  }

  void draw_marks() {
    for (const double mark : degrees_.marks) {
      const double at = y_of_shown(mark);
      draw_line(cairo_, left_margin, at, right_, at, 0.4, grey_light);
      const char* unit = report_.units == UnitSystem::us ? " F" : " C";
      draw_text(cairo_, left_margin - 6, at,
                print_fixed(mark, degrees_.decimals) + (mark == degrees_.marks.back() ? unit : ""), mark_look,
                TextEnd::right);
    }
    const int most = std::max(2, static_cast<int>((right_ - left_margin) / time_mark_apart));
    for (const TimeMark& mark : time_marks(clock_, from_s_, to_s_, most)) {
      draw_line(cairo_, x(mark.at_s), top_, x(mark.at_s), bottom_ + 3, 0.3, grey_light);
      draw_text(cairo_, x(mark.at_s), bottom_ + time_row - 3, mark.text, mark_look, TextEnd::middle);
    }
    draw_line(cairo_, left_margin, bottom_, right_, bottom_, 0.8, grey_dark);
  }

  void fill_between(Value first, Value second, const Colour& colour) {
    cairo_new_path(cairo_);
    for (const PlanMoment& moment : curve_)
      cairo_line_to(cairo_, x(moment.time_s), y(moment.*first));
    for (auto moment = curve_.rbegin(); moment != curve_.rend(); ++moment)
      cairo_line_to(cairo_, x(moment->time_s), y((*moment).*second));
    cairo_close_path(cairo_);
    set_colour(cairo_, colour);
    cairo_fill(cairo_);
  }

  void draw_curve(Value value, double width, const Colour& colour, const std::vector<double>& dashes) {
    cairo_new_path(cairo_);
    for (const PlanMoment& moment : curve_)
      cairo_line_to(cairo_, x(moment.time_s), y(moment.*value));
    set_colour(cairo_, colour);
    cairo_set_line_width(cairo_, width);
    cairo_set_dash(cairo_, dashes.data(), static_cast<int>(dashes.size()), 0);
    cairo_stroke(cairo_);
    cairo_set_dash(cairo_, nullptr, 0, 0);
  }

  void draw_setpoint() {
    const double at = y(setpoint_degC());
    draw_line(cairo_, left_margin, at, right_, at, 0.9, ink, setpoint_dashes());
  }

  [[nodiscard]] static std::vector<double> setpoint_dashes() { return {7, 2, 1.5, 2}; }

  void draw_number(double middle_x, double middle_y, std::size_t index) {
    cairo_new_path(cairo_);
    cairo_arc(cairo_, middle_x, middle_y, disc_pt, 0, 7);
    set_colour(cairo_, Colour{1, 1, 1});
    cairo_fill_preserve(cairo_);
    set_colour(cairo_, ink);
    cairo_set_line_width(cairo_, 0.8);
    cairo_stroke(cairo_);
    draw_text(cairo_, middle_x, middle_y, std::to_string(index + 1), number_look, TextEnd::middle);
  }

  [[nodiscard]] double entries_top() const { return bottom_ + time_row + 6; }

  void draw_steps() {
    for (std::size_t i = 0; i < steps_.size(); ++i) {
      const double at = x(steps_[i].at_s);
      const double middle = top_ - 7 - marker_rows_[i] * row_pt;
      draw_line(cairo_, at, middle, at, bottom_, steps_[i].is_steam_off ? 1.0 : 0.5,
                steps_[i].is_steam_off ? ink : grey,
                steps_[i].is_steam_off ? std::vector<double>{} : std::vector<double>{2, 2});
    }
    for (std::size_t i = 0; i < steps_.size(); ++i) {
      draw_number(x(steps_[i].at_s), top_ - 7 - marker_rows_[i] * row_pt, i);
      const double middle = entries_top() + steps_[i].row * row_pt + row_pt / 2;
      draw_number(steps_[i].left + disc_pt, middle, i);
      draw_text(cairo_, steps_[i].left + sign_width, middle, steps_[i].text, note_look, TextEnd::left,
                size_.width_pt - steps_[i].left - sign_width - 2);
    }
  }

  [[nodiscard]] std::vector<Name> names() const {
    const PlanMoment& last = curve_.back();
    return {{{print_setpoint(setpoint_degC(), report_.units)},
             setpoint_degC(),
             note_look,
             0.9,
             setpoint_dashes()},
            {{words_.text("plan_chart_vessel")}, last.vessel_degC, mark_look, 1.1, {}},
            {{words_.text("plan_chart_core")}, last.core_likely_degC, core_look, 2.2, {}},
            {{words_.text("plan_chart_core_slow")}, last.core_slow_degC, core_look, 1.3, {5, 3}}};
  }

  void draw_name(const Name& name, double left, double middle, const TextLook& look) {
    draw_line(cairo_, left, middle, left + stroke_pt, middle, name.width, name.look.colour, name.dashes);
    draw_text(cairo_, left + stroke_pt + 4, middle, name.text, look, TextEnd::left,
              size_.width_pt - left - stroke_pt - 6);
  }

  /// Beside the ends of the lines, or under a narrow chart.
  void draw_names() {
    if (is_narrow()) {
      for (const Name& name : names_)
        draw_name(name, name.left, entries_top() + name.row * row_pt + row_pt / 2, note_look);
      return;
    }
    std::vector<double> wanted;
    wanted.reserve(names_.size());
    for (const Name& name : names_)
      wanted.push_back(y(name.end_degC));
    const std::vector<double> at = spread_labels(wanted, row_pt, top_, bottom_);
    for (std::size_t i = 0; i < names_.size(); ++i)
      draw_name(names_[i], right_ + 4, at[i], names_[i].look);
  }

  cairo_t* cairo_;
  const PlanReport& report_;
  const Words& words_;
  ChartSize size_;
  const std::vector<PlanMoment>& curve_;
  RunClock clock_;
  std::vector<Numbered> steps_;
  std::vector<Name> names_;
  std::vector<int> marker_rows_;
  int entry_rows_ = 0;
  double right_ = 0, top_ = 0, bottom_ = 0;
  double from_s_ = 0, to_s_ = 0;
  ValueAxis degrees_;
};

} // namespace

bool has_chart(const PlanReport& report) {
  return report.plan.is_enough && report.plan.curve.size() > 1;
}

void draw_plan_chart(cairo_t* cairo, const PlanReport& report, const Words& words, const ChartSize& size) {
  if (has_chart(report)) PlanDrawing(cairo, report, words, size).draw();
}

std::string plan_chart_svg(const PlanReport& report, const Words& words, const ChartSize& size) {
  return drawn_file(ChartFile::svg, size, std::nullopt, [&](cairo_t* cairo, const ChartSize& room) {
    draw_plan_chart(cairo, report, words, room);
  });
}

} // namespace coldbag
