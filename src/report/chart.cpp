#include "report/chart.h"

#include "errors/our_fault.h"
#include "farm/probe.h"
#include "quantity/unit.h"
#include "report/chart_pen.h"
#include "report/chart_scale.h"
#include "report/figures.h"
#include "report/layout.h"

#include <cairo.h>

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <optional>

namespace coldbag {

namespace {

constexpr double least_left_margin = 42;
constexpr double mark_gap = 6;             // between an axis and its marks
constexpr double narrow = 400;             // below it names stand under the chart, not beside it
constexpr double narrow_right_margin = 16; // half of a time stands in it
constexpr double label_lead = 12;          // from the end of a line to its name
constexpr double most_label_share = 0.26;  // of the width
constexpr double degree_mark_apart = 20;
constexpr double F_mark_apart = 14;
constexpr double time_row = 13;
constexpr double legend_row = 13;
constexpr double event_row = 13;
constexpr double label_row = 11;
constexpr double strip_share = 0.22; // of the height that both panels have
constexpr double between_panels = 16;
constexpr double marker_apart = 7;
constexpr double time_mark_apart = 32;
constexpr int most_event_rows = 3;
constexpr double most_legend_share = 0.3; // of the height
constexpr double gap_in_intervals = 3;
constexpr std::ptrdiff_t many_bags = 8; // their lines are thinner, or they run into one
constexpr double day_s = 24 * 3600;

constexpr TextLook mark_look{8, false, grey_dark};
constexpr TextLook label_look{8.5, false, grey_dark};
constexpr TextLook coldest_look{9.5, true, accent};
constexpr TextLook note_look{8, false, ink};
constexpr TextLook number_look{7, true, ink};

struct Box {
  double left = 0, top = 0, right = 0, bottom = 0;
  [[nodiscard]] double width() const { return right - left; }
  [[nodiscard]] double height() const { return bottom - top; }
};

struct Span {
  double from = 0, to = 0;
};

/// What stands under the chart: a sign and what it means.
struct LegendEntry {
  enum class Sign {
    number,
    coldest,
    other_bag,
    beside_bags,
    setpoint,
    cross,
    hatch,
    dotted,
    dashed,
    lower_line
  } sign = Sign::number;
  std::string text;
  int number = 0;
};

struct NumberedEvent {
  const EventResult* event = nullptr;
  int number = 0;
};

bool is_beside_bags(const ProbeResult& probe) {
  return probe.role != ProbeRole::bag;
}

std::optional<Span> time_span(const RunReport& report) {
  std::optional<Span> span;
  const auto add = [&](double from, double to) {
    span = span ? Span{std::min(span->from, from), std::max(span->to, to)} : Span{from, to};
  };
  for (const ProbeCurve& curve : report.curves.probes)
    if (!curve.at_s.empty()) add(curve.at_s.front(), curve.at_s.back());
  if (span && span->to - span->from < 60) span->to = span->from + 60;
  return span;
}

/// A temperature that no bag may reach, where one may have: what the verdict rests on then.
const CriterionResult* passed_limit(const RunReport& report) {
  for (const CriterionResult& c : report.criteria)
    if (c.unit == "degC" && c.too_much && c.fails && c.evidence == "measured" && c.status != Status::met)
      return &c;
  return nullptr;
}

/// Of what counts: a faulty reading may lie anywhere, and is drawn at the edge then.
Span degC_span(const RunReport& report) {
  std::optional<Span> span;
  const auto add = [&](double value) {
    span = span ? Span{std::min(span->from, value), std::max(span->to, value)} : Span{value, value};
  };
  for (const bool wants_credited : {true, false}) {
    if (span) break;
    for (const ProbeCurve& curve : report.curves.probes)
      for (std::size_t i = 0; i < curve.at_s.size(); ++i)
        if (!wants_credited || curve.credited_share[i] >= 1) {
          add(curve.lowest_degC[i]);
          add(curve.highest_degC[i]);
        }
  }
  if (report.verdict) add(report.setpoint_degC);
  if (const CriterionResult* limit = passed_limit(report)) add(limit->required);
  if (report.curves.slowest)
    for (const double core : report.curves.slowest->core_lower_degC)
      add(core);
  return span.value_or(Span{0, 100});
}

const CriterionResult* F_criterion(const RunReport& report) {
  for (const CriterionResult& c : report.criteria)
    if (c.name == "lethality" && c.evidence == "measured") return &c;
  return nullptr;
}

class ChartDrawing {
 public:
  ChartDrawing(cairo_t* cairo, const RunReport& report, const Words& words, const ChartSize& size)
      : cairo_(cairo), report_(report), words_(words), size_(size), time_(*time_span(report)),
        is_narrow_(size.width_pt < narrow) {
    has_strip_ = report_.verdict && coldest_curve() != nullptr;
    collect_line_ends();
    find_right();
    number_events();
    collect_legend();
    place_legend();
    place_boxes();
    const Span degC = degC_span(report);
    degrees_ = value_axis(shown_degrees(degC.from), shown_degrees(degC.to),
                          std::clamp(static_cast<int>(plot_.height() / degree_mark_apart), 3, 9));
    if (has_strip_)
      F_axis_ = value_axis(0, most_F(), std::clamp(static_cast<int>(strip_.height() / F_mark_apart), 3, 5));
    find_left();
  }

  [[nodiscard]] ChartPlot plot() const {
    return {plot_.left, plot_.right, plot_.top, strip_.bottom, time_.from, time_.to};
  }

  void draw() {
    cairo_set_line_join(cairo_, CAIRO_LINE_JOIN_ROUND);
    draw_hold();
    draw_gaps();
    draw_degree_marks();
    draw_time_marks();
    draw_slowest();
    for (const bool beside_bags : {true, false})
      for (const ProbeCurve& curve : report_.curves.probes)
        if (const ProbeResult* probe = find_probe(report_, curve.probe);
            probe != nullptr && is_beside_bags(*probe) == beside_bags && !is_coldest(curve))
          draw_curve(curve, *probe);
    for (const ProbeCurve& curve : report_.curves.probes)
      if (is_coldest(curve)) draw_curve(curve, *find_probe(report_, curve.probe));
    draw_setpoint();
    draw_fault_marks();
    draw_events();
    draw_labels();
    if (has_strip_) draw_strip();
    draw_legend();
  }

 private:
  [[nodiscard]] std::string word(const std::string& key,
                                 const std::map<std::string, std::string>& values = {}) const {
    return words_.text(key, values);
  }
  [[nodiscard]] bool is_coldest(const ProbeCurve& curve) const { return curve.probe == report_.coldest; }
  [[nodiscard]] double shown_degrees(double degC) const {
    return coldbag::shown_degrees(degC, report_.units);
  }
  [[nodiscard]] double x(double at_s) const {
    return plot_.left + plot_.width() * (at_s - time_.from) / (time_.to - time_.from);
  }
  [[nodiscard]] double y(double degC) const {
    const double at = (shown_degrees(degC) - degrees_.low) / (degrees_.high - degrees_.low);
    return plot_.bottom - plot_.height() * std::clamp(at, 0.0, 1.0);
  }
  [[nodiscard]] double y_of_F(double F_minutes) const {
    return strip_.bottom - strip_.height() * std::clamp(F_minutes / F_axis_.high, 0.0, 1.0);
  }
  [[nodiscard]] bool is_in_time(double at_s) const { return at_s >= time_.from && at_s <= time_.to; }

  [[nodiscard]] const ProbeCurve* coldest_curve() const {
    for (const ProbeCurve& curve : report_.curves.probes)
      if (is_coldest(curve) && !curve.at_s.empty()) return &curve;
    return nullptr;
  }

  [[nodiscard]] double most_F() const {
    double most = coldest_curve()->F_minutes.back();
    if (const CriterionResult* needed = F_criterion(report_)) most = std::max(most, needed->required * 1.1);
    return std::max(most, 0.01);
  }

  void number_events() {
    for (const EventResult& event : report_.events)
      if (is_in_time(event.at_s)) events_.push_back({&event, static_cast<int>(events_.size()) + 1});
    std::vector<double> left(events_.size());
    const double width = right_ - least_left_margin;
    for (std::size_t i = 0; i < events_.size(); ++i)
      left[i] = width * (events_[i].event->at_s - time_.from) / (time_.to - time_.from);
    event_rows_ = rows_of_labels(left, std::vector<double>(left.size(), event_row), 1);
  }

  /// The day stands on the axis; within one day the time alone says which.
  [[nodiscard]] std::string event_text(const EventResult& event) const {
    const std::string key = "event_" + event.what;
    std::string at = moment_or_dash(report_, event.at_s);
    const std::size_t blank = at.find(' ');
    if (report_.clock.start_wall && time_.to - time_.from < day_s && blank != std::string::npos)
      at.erase(0, blank + 1);
    return at + " " + (words_.has(key) ? word(key) : clean(event.what));
  }

  void collect_legend() {
    const auto any_curve = [&](auto is_such) {
      return std::ranges::any_of(report_.curves.probes, [&](const ProbeCurve& curve) {
        const ProbeResult* probe = find_probe(report_, curve.probe);
        return !curve.at_s.empty() && probe != nullptr && is_such(curve, *probe);
      });
    };
    if (coldest_curve() != nullptr)
      legend_.push_back(
          {LegendEntry::Sign::coldest, word("chart_coldest", {{"probe", clean(report_.coldest)}})});
    if (any_curve([&](const ProbeCurve& curve, const ProbeResult& probe) {
          return !is_coldest(curve) && !is_beside_bags(probe);
        }))
      legend_.push_back({LegendEntry::Sign::other_bag,
                         word(coldest_curve() != nullptr ? "chart_other_bags" : "chart_bags")});
    if (any_curve([](const ProbeCurve&, const ProbeResult& probe) { return is_beside_bags(probe); }))
      legend_.push_back({LegendEntry::Sign::beside_bags, word("chart_beside_bags")});
    if (report_.verdict && is_narrow_) // else named beside its end
      legend_.push_back({LegendEntry::Sign::setpoint, print_setpoint(report_.setpoint_degC, report_.units)});
    if (passed_limit(report_) != nullptr && is_narrow_)
      legend_.push_back({LegendEntry::Sign::setpoint, limit_text(*passed_limit(report_))});
    if (report_.curves.slowest) legend_.push_back({LegendEntry::Sign::dashed, word("chart_unprobed_band")});
    if (has_strip_) legend_.push_back({LegendEntry::Sign::lower_line, word("chart_lethality_lower")});
    bool any_fault = false;
    bool any_not_credited = false;
    for (const ProbeResult& probe : report_.probes)
      any_fault = any_fault || !probe.faults.empty();
    for (const ProbeCurve& curve : report_.curves.probes)
      any_not_credited = any_not_credited ||
                         std::ranges::any_of(curve.credited_share, [](double share) { return share < 1; });
    if (any_fault) legend_.push_back({LegendEntry::Sign::cross, word("chart_fault")});
    if (any_not_credited) legend_.push_back({LegendEntry::Sign::dotted, word("chart_not_counted")});
    if (std::ranges::any_of(report_.logs, [](const LogResult& log) { return !log.gaps.empty(); }))
      legend_.push_back({LegendEntry::Sign::hatch, word("chart_gap")});
    for (const NumberedEvent& one : events_)
      legend_.push_back({LegendEntry::Sign::number, event_text(*one.event), one.number});
  }

  [[nodiscard]] double legend_left() const { return is_narrow_ ? 2 : least_left_margin; }

  /// In rows; what has no room is counted in the last of them.
  void place_legend() {
    constexpr double sign_width = 17;
    constexpr double apart = 16;
    const double right = size_.width_pt - 4;
    const int most_legend_rows = std::clamp(
        static_cast<int>(most_legend_share * size_.height_pt / legend_row), 1, is_narrow_ ? 10 : 5);
    double at = legend_left();
    int row = 0;
    const std::string more_text = word("chart_more", {{"count", std::to_string(legend_.size())}});
    const double more_width = text_width_pt(cairo_, more_text, note_look);
    for (std::size_t i = 0; i < legend_.size(); ++i) {
      const double width =
          std::min(sign_width + text_width_pt(cairo_, legend_[i].text, note_look), right - legend_left());
      if (at > legend_left() && at + width > right) {
        ++row;
        at = legend_left();
      }
      const bool is_last_row = row == most_legend_rows - 1;
      if (row >= most_legend_rows ||
          (is_last_row && i + 1 < legend_.size() && at + width + apart + more_width > right)) {
        left_out_ = legend_.size() - i;
        legend_.resize(i);
        left_out_at_ = {at, static_cast<double>(std::min(row, most_legend_rows - 1))};
        break;
      }
      legend_at_.push_back({at, static_cast<double>(row)});
      at += width + apart;
    }
    legend_rows_ = legend_.empty() && left_out_ == 0 ? 0 : std::min(row, most_legend_rows - 1) + 1;
  }

  void place_boxes() {
    const int rows =
        event_rows_.empty() ? 0 : std::min(most_event_rows, *std::ranges::max_element(event_rows_) + 1);
    const double top = 12 + rows * event_row;
    const double bottom = size_.height_pt - legend_rows_ * legend_row - 2 * time_row - 8;
    const double both = bottom - top - (has_strip_ ? between_panels : 0);
    plot_ = {least_left_margin, top, right_, top + both * (has_strip_ ? 1 - strip_share : 1)};
    strip_ = {plot_.left, has_strip_ ? plot_.bottom + between_panels : plot_.bottom, plot_.right, bottom};
  }

  /// Room for the names beside the lines, as wide as they are.
  void find_right() {
    right_ = size_.width_pt - narrow_right_margin;
    if (is_narrow_) return;
    double widest = 0;
    for (const LineEnd& end : line_ends_)
      widest = std::max(widest, text_width_pt(cairo_, end.text, end.look));
    right_ = size_.width_pt - label_lead - 4 - std::min(widest, most_label_share * size_.width_pt);
  }

  void find_left() {
    double widest = 0;
    for (const double mark : degrees_.marks)
      widest = std::max(widest, text_width_pt(cairo_, degree_text(mark), mark_look));
    for (const double mark : has_strip_ ? F_axis_.marks : std::vector<double>{})
      widest = std::max(widest, text_width_pt(cairo_, F_mark_text(mark), mark_look));
    plot_.left = strip_.left = std::max(is_narrow_ ? 0 : least_left_margin, widest + mark_gap + 2);
  }

  [[nodiscard]] std::string degree_text(double mark) const {
    const std::string unit = report_.units == UnitSystem::us ? " F" : " C";
    return print_fixed(mark, degrees_.decimals) + (mark == degrees_.marks.back() ? unit : "");
  }
  [[nodiscard]] std::string F_mark_text(double mark) const {
    return mark >= 1000 ? print_grouped(mark) : print_fixed(mark, F_axis_.decimals);
  }

  void draw_hold() {
    const ProbeResult* coldest = find_probe(report_, report_.coldest);
    if (coldest == nullptr || !report_.verdict || !coldest->stayed_from_s || !coldest->stayed_to_s) return;
    const double from = x(std::clamp(*coldest->stayed_from_s, time_.from, time_.to));
    const double to = x(std::clamp(*coldest->stayed_to_s, time_.from, time_.to));
    if (to <= from) return;
    Colour tint = accent;
    tint.opacity = 0.09;
    fill_box(cairo_, from, plot_.top, to - from, plot_.height(), tint);
    const double bar = plot_.bottom - 9;
    fill_box(cairo_, from, bar - 1.5, to - from, 3, accent);
    draw_line(cairo_, from, bar - 5, from, bar + 5, 1.2, accent);
    draw_line(cairo_, to, bar - 5, to, bar + 5, 1.2, accent);
    const std::string text =
        is_narrow_
            ? hold_text(coldest->hold_minutes)
            : word("chart_hold", {{"hold_minutes", hold_text(coldest->hold_minutes)},
                                  {"setpoint_degC", print_setpoint(report_.setpoint_degC, report_.units)}});
    hold_text_ =
        PlacedText{beside_steam_off({from, to}, text_width_pt(cairo_, text, note_look)), bar - 13, text};
  }

  struct PlacedText {
    double left = 0, middle = 0;
    std::string text;
  };

  /// Where a text of this width begins that is about a stretch: over its middle, and so that the line of
  /// steam off does not run through it.
  [[nodiscard]] double beside_steam_off(const Span& stretch, double width) const {
    constexpr double apart = 5;
    const double middle = (stretch.from + stretch.to) / 2;
    const double left =
        std::clamp(middle - width / 2, plot_.left + 2, std::max(plot_.left + 2, plot_.right - width - 2));
    for (const NumberedEvent& one : events_) {
      const double at = x(one.event->at_s);
      if (one.event->what != "steam_off" || at < left - apart || at > left + width + apart) continue;
      const double before = at - apart - width;
      const double behind = at + apart;
      const bool has_room_before = before > plot_.left;
      const bool has_room_behind = behind + width < plot_.right;
      if (has_room_before && (at >= middle || !has_room_behind)) return before;
      if (has_room_behind) return behind;
    }
    return left;
  }

  void draw_gaps() {
    for (const LogResult& log : report_.logs)
      for (const Gap& gap : log.gaps) {
        const double from = x(std::max(time_.from, log.from_s + gap.from_s));
        const double to = x(std::min(time_.to, log.from_s + gap.to_s));
        if (to > from) hatch_box(cairo_, from, plot_.top, std::max(1.0, to - from), plot_.height(), grey);
      }
  }

  void draw_degree_marks() {
    for (const double mark : degrees_.marks) {
      const double at =
          plot_.bottom - plot_.height() * (mark - degrees_.low) / (degrees_.high - degrees_.low);
      draw_line(cairo_, plot_.left, at, plot_.right, at, 0.4, grey_light);
      draw_text(cairo_, plot_.left - mark_gap, at, degree_text(mark), mark_look, TextEnd::right);
    }
    draw_line(cairo_, plot_.left, plot_.bottom, plot_.right, plot_.bottom, 0.8, grey_dark);
  }

  void draw_time_marks() {
    const auto marks = time_marks(report_.clock, time_.from, time_.to,
                                  std::max(2, static_cast<int>(plot_.width() / time_mark_apart)));
    for (const TimeMark& mark : marks) {
      const double at = x(mark.at_s);
      draw_line(cairo_, at, plot_.top, at, plot_.bottom, 0.3, grey_light);
      if (has_strip_) draw_line(cairo_, at, strip_.top, at, strip_.bottom, 0.3, grey_light);
      draw_line(cairo_, at, strip_.bottom, at, strip_.bottom + 3, 0.8, grey_dark);
      draw_text(cairo_, at, strip_.bottom + time_row - 3, mark.text, mark_look, TextEnd::middle);
    }
    draw_days(marks);
  }

  /// Each under the first time of its day, from the same left end on; the last first, since a day that has
  /// only just begun to show may have to give way.
  void draw_days(const std::vector<TimeMark>& marks) {
    double free_until = size_.width_pt - 2;
    for (auto mark = marks.rbegin(); mark != marks.rend(); ++mark) {
      if (mark->day.empty()) continue;
      const double width = text_width_pt(cairo_, mark->day, mark_look);
      const double wanted = x(mark->at_s) - text_width_pt(cairo_, mark->text, mark_look) / 2;
      const double left = std::min(wanted, free_until - width);
      if (left < 2) continue;
      draw_text(cairo_, left, strip_.bottom + 2 * time_row - 3, mark->day, mark_look);
      free_until = left - 6;
    }
  }

  void draw_slowest() {
    if (!report_.curves.slowest || report_.curves.slowest->at_s.size() < 2) return;
    const SlowestCurve& slowest = *report_.curves.slowest;
    cairo_save(cairo_);
    clip_to_plot();
    cairo_new_path(cairo_);
    for (std::size_t i = 0; i < slowest.at_s.size(); ++i)
      cairo_line_to(cairo_, x(slowest.at_s[i]), y(slowest.core_degC[i]));
    for (std::size_t i = slowest.at_s.size(); i-- > 0;)
      cairo_line_to(cairo_, x(slowest.at_s[i]), y(slowest.core_lower_degC[i]));
    cairo_close_path(cairo_);
    Colour tint = grey;
    tint.opacity = 0.25;
    set_colour(cairo_, tint);
    cairo_fill(cairo_);
    begin_dashes({5, 3});
    for (std::size_t i = 0; i < slowest.at_s.size(); ++i)
      cairo_line_to(cairo_, x(slowest.at_s[i]), y(slowest.core_degC[i]));
    stroke(1.1, ink);
    begin_dashes({1.5, 2.5});
    for (std::size_t i = 0; i < slowest.at_s.size(); ++i)
      cairo_line_to(cairo_, x(slowest.at_s[i]), y(slowest.core_lower_degC[i]));
    stroke(0.8, grey_dark);
    cairo_restore(cairo_);
  }

  void clip_to_plot() const {
    cairo_rectangle(cairo_, plot_.left, plot_.top - 1, plot_.width(), plot_.height() + 2);
    cairo_clip(cairo_);
  }
  void begin_dashes(const std::vector<double>& dashes) const {
    cairo_set_dash(cairo_, dashes.data(), static_cast<int>(dashes.size()), 0);
    cairo_new_path(cairo_);
  }
  void stroke(double width, const Colour& colour) const {
    set_colour(cairo_, colour);
    cairo_set_line_width(cairo_, width);
    cairo_stroke(cairo_);
    cairo_set_dash(cairo_, nullptr, 0, 0);
  }

  /// Longer between two points nobody read, as the logs' own intervals say.
  [[nodiscard]] double bridged_s() const {
    double interval_s = report_.curves.width_s;
    for (const LogResult& log : report_.logs)
      interval_s = std::max(interval_s, log.interval_s);
    return gap_in_intervals * interval_s;
  }

  struct Stroke {
    double width = 1;
    Colour colour;
  };
  [[nodiscard]] static Stroke coldest_stroke() { return {2.2, accent}; }
  [[nodiscard]] static Stroke beside_bags_stroke() { return {2.6, {0.74, 0.74, 0.75}}; }
  [[nodiscard]] Stroke other_bag_stroke() const {
    const auto bags =
        std::ranges::count_if(report_.probes, [](const ProbeResult& p) { return !is_beside_bags(p); });
    return bags > many_bags ? Stroke{0.6, grey} : Stroke{1.0, grey_dark};
  }

  void draw_curve(const ProbeCurve& curve, const ProbeResult& probe) {
    cairo_save(cairo_);
    clip_to_plot();
    const auto [width, colour] = is_beside_bags(probe) ? beside_bags_stroke()
                                 : is_coldest(curve)   ? coldest_stroke()
                                                       : other_bag_stroke();
    std::size_t first = 0;
    while (first < curve.at_s.size()) {
      const bool is_credited = curve.credited_share[first] >= 1;
      std::size_t end = first + 1;
      while (end < curve.at_s.size() && (curve.credited_share[end] >= 1) == is_credited &&
             curve.at_s[end] - curve.at_s[end - 1] <= bridged_s())
        ++end;
      // Where credit ends without a gap the line goes on to the next point.
      const bool goes_on = end < curve.at_s.size() && curve.at_s[end] - curve.at_s[end - 1] <= bridged_s();
      begin_dashes(is_credited ? std::vector<double>{} : std::vector<double>{1, 2});
      double last = (curve.lowest_degC[first] + curve.highest_degC[first]) / 2;
      for (std::size_t i = first; i < end + (goes_on ? 1 : 0); ++i) {
        double near = curve.lowest_degC[i];
        double far = curve.highest_degC[i];
        if (std::abs(far - last) < std::abs(near - last)) std::swap(near, far);
        // Where a width holds several readings the line rises through it, not at its beginning.
        cairo_line_to(cairo_, x(curve.at_s[i]), y(near));
        if (far != near) cairo_line_to(cairo_, x(curve.at_s[i] + report_.curves.width_s / 2), y(far));
        last = far;
      }
      if (end - first == 1 && !goes_on) { // a single reading is a dot
        cairo_new_path(cairo_);
        cairo_arc(cairo_, x(curve.at_s[first]), y(last), width * 0.7, 0, 7);
        set_colour(cairo_, colour);
        cairo_fill(cairo_);
      } else {
        stroke(is_credited ? width : std::max(1.0, width / 2), colour);
      }
      first = end;
    }
    cairo_restore(cairo_);
  }

  void draw_setpoint() {
    if (!report_.verdict) return;
    const double at = y(report_.setpoint_degC);
    draw_line(cairo_, plot_.left, at, plot_.right, at, 0.9, ink, needed_dashes());
    if (const CriterionResult* limit = passed_limit(report_))
      draw_line(cairo_, plot_.left, y(limit->required), plot_.right, y(limit->required), 0.9, ink,
                needed_dashes());
  }

  [[nodiscard]] static std::vector<double> needed_dashes() { return {7, 2, 1.5, 2}; }

  void draw_fault_marks() {
    for (const ProbeCurve& curve : report_.curves.probes) {
      const ProbeResult* probe = find_probe(report_, curve.probe);
      double free_from = -1e9;
      for (const Fault& fault : probe == nullptr ? std::vector<Fault>{} : probe->faults) {
        if (!is_in_time(fault.from_s) || curve.at_s.empty()) continue;
        const double at = x(fault.from_s);
        if (at < free_from) continue;
        free_from = at + marker_apart;
        draw_cross(at, y(degC_at(curve, fault.from_s)));
      }
    }
  }

  [[nodiscard]] static double degC_at(const ProbeCurve& curve, double at_s) {
    const auto next = std::ranges::upper_bound(curve.at_s, at_s);
    const auto i = static_cast<std::size_t>(std::max<std::ptrdiff_t>(0, next - curve.at_s.begin() - 1));
    return curve.highest_degC[i];
  }

  void draw_cross(double at, double middle) const {
    constexpr double arm = 3;
    for (const double side : {-arm, arm}) {
      draw_line(cairo_, at - side, middle - arm, at + side, middle + arm, 2.6, Colour{1, 1, 1});
      draw_line(cairo_, at - side, middle - arm, at + side, middle + arm, 1.1, ink);
    }
  }

  void draw_number(double left, double middle, int number) const {
    const std::string text = std::to_string(number);
    const double radius = std::max(5.2, text_width_pt(cairo_, text, number_look) / 2 + 2);
    cairo_new_path(cairo_);
    cairo_arc(cairo_, left, middle, radius, 0, 7);
    set_colour(cairo_, Colour{1, 1, 1});
    cairo_fill_preserve(cairo_);
    stroke(0.8, ink);
    draw_text(cairo_, left, middle, text, number_look, TextEnd::middle);
  }

  void draw_events() {
    for (std::size_t i = 0; i < events_.size(); ++i) {
      const double at = x(events_[i].event->at_s);
      const bool is_steam_off = events_[i].event->what == "steam_off";
      const int row = event_rows_[i];
      if (row >= most_event_rows) continue; // it stands in the legend all the same
      const double middle = plot_.top - 7 - row * event_row;
      draw_line(cairo_, at, middle, at, strip_.bottom, is_steam_off ? 1.0 : 0.5, is_steam_off ? ink : grey,
                is_steam_off ? std::vector<double>{} : std::vector<double>{2, 2});
    }
    for (std::size_t i = 0; i < events_.size(); ++i)
      if (event_rows_[i] < most_event_rows)
        draw_number(x(events_[i].event->at_s), plot_.top - 7 - event_rows_[i] * event_row, events_[i].number);
    if (hold_text_) draw_text_over(cairo_, hold_text_->left, hold_text_->middle, hold_text_->text, note_look);
  }

  struct LineEnd {
    double at_s = 0, degC = 0;
    std::string text;
    TextLook look;
  };

  void collect_line_ends() {
    for (const ProbeCurve& curve : report_.curves.probes) {
      if (curve.at_s.empty()) continue;
      const double last = (curve.lowest_degC.back() + curve.highest_degC.back()) / 2;
      line_ends_.push_back(
          {curve.at_s.back(), last, clean(curve.probe), is_coldest(curve) ? coldest_look : label_look});
    }
    if (report_.curves.slowest && report_.slowest_unprobed && !report_.curves.slowest->at_s.empty()) {
      const SlowestCurve& slowest = *report_.curves.slowest;
      line_ends_.push_back(
          {slowest.at_s.back(), slowest.core_degC.back(),
           word("chart_unprobed", {{"count", std::to_string(report_.slowest_unprobed->count)}}), label_look});
    }
    if (report_.verdict)
      line_ends_.push_back(
          {time_.to, report_.setpoint_degC, print_setpoint(report_.setpoint_degC, report_.units), note_look});
    if (const CriterionResult* limit = passed_limit(report_))
      line_ends_.push_back({time_.to, limit->required, limit_text(*limit), note_look});
  }

  [[nodiscard]] std::string limit_text(const CriterionResult& limit) const {
    return word("chart_limit", {{"limit_degC", print_setpoint(limit.required, report_.units)}});
  }

  void draw_labels() {
    if (is_narrow_) return;
    std::vector<double> wanted;
    wanted.reserve(line_ends_.size());
    for (const LineEnd& end : line_ends_)
      wanted.push_back(y(end.degC));
    const std::vector<double> at = spread_labels(wanted, label_row, plot_.top - 4, strip_.bottom);
    const double left = plot_.right + label_lead;
    for (std::size_t i = 0; i < line_ends_.size(); ++i) {
      const LineEnd& end = line_ends_[i];
      draw_line(cairo_, std::min(x(end.at_s) + 1, plot_.right), wanted[i], plot_.right, wanted[i], 0.4, grey);
      draw_line(cairo_, plot_.right, wanted[i], left - 2, at[i], 0.4, grey);
      draw_text(cairo_, left, at[i], end.text, end.look, TextEnd::left, size_.width_pt - left - 2);
    }
  }

  void draw_strip() {
    const ProbeCurve& curve = *coldest_curve();
    for (const double mark : F_axis_.marks)
      draw_text(cairo_, plot_.left - mark_gap, y_of_F(mark), F_mark_text(mark), mark_look, TextEnd::right);
    draw_line(cairo_, strip_.left, strip_.bottom, strip_.right, strip_.bottom, 0.8, grey_dark);
    draw_line(cairo_, strip_.left, strip_.top, strip_.right, strip_.top, 0.4, grey_light);
    if (const CriterionResult* needed = F_criterion(report_)) {
      const double at = y_of_F(needed->required);
      draw_line(cairo_, strip_.left, at, strip_.right, at, 0.9, ink, needed_dashes());
    }
    draw_F(curve, curve.F_minutes_lower, 0.9, {3, 2});
    draw_F(curve, curve.F_minutes, 2.0, {});
    const std::string title = word("chart_lethality", {{"name", clean(report_.reference.name)}});
    draw_text_over(cairo_, strip_.left + 4, strip_.top + 6, title, note_look);
    if (const CriterionResult* needed = F_criterion(report_)) draw_needed(*needed);
  }

  void draw_needed(const CriterionResult& needed) {
    const std::string text =
        word("chart_needed", {{"required", amount(report_, needed, needed.required, false)}});
    const double at = y_of_F(needed.required);
    const double middle = at - 7 < strip_.top + 12 ? at + 7 : at - 7;
    draw_text_over(cairo_, strip_.left + 4, std::min(middle, strip_.bottom - 6), text, note_look);
  }

  void draw_F(const ProbeCurve& curve, const std::vector<double>& F_minutes, double width,
              const std::vector<double>& dashes) {
    begin_dashes(dashes);
    for (std::size_t i = 0; i < curve.at_s.size(); ++i)
      cairo_line_to(cairo_, x(curve.at_s[i]), y_of_F(F_minutes[i]));
    stroke(width, accent);
  }

  void draw_legend() {
    const double top = strip_.bottom + 2 * time_row + 4;
    for (std::size_t i = 0; i < legend_.size(); ++i) {
      const double middle = top + legend_at_[i].to * legend_row + legend_row / 2;
      draw_sign(legend_[i], legend_at_[i].from + 6, middle);
      draw_text(cairo_, legend_at_[i].from + 16, middle, legend_[i].text, note_look, TextEnd::left,
                size_.width_pt - legend_at_[i].from - 20);
    }
    if (left_out_ > 0)
      draw_text(cairo_, left_out_at_.from, top + left_out_at_.to * legend_row + legend_row / 2,
                word("chart_more", {{"count", std::to_string(left_out_)}}), note_look);
  }

  void draw_stroke(const Stroke& of, double middle_x, double middle_y) const {
    draw_line(cairo_, middle_x - 7, middle_y, middle_x + 6, middle_y, of.width, of.colour);
  }

  void draw_sign(const LegendEntry& entry, double middle_x, double middle_y) const {
    switch (entry.sign) {
    case LegendEntry::Sign::number:
      return draw_number(middle_x, middle_y, entry.number);
    case LegendEntry::Sign::coldest:
      return draw_stroke(coldest_stroke(), middle_x, middle_y);
    case LegendEntry::Sign::other_bag:
      return draw_stroke(other_bag_stroke(), middle_x, middle_y);
    case LegendEntry::Sign::beside_bags:
      return draw_stroke(beside_bags_stroke(), middle_x, middle_y);
    case LegendEntry::Sign::setpoint:
      return draw_line(cairo_, middle_x - 7, middle_y, middle_x + 6, middle_y, 0.9, ink, needed_dashes());
    case LegendEntry::Sign::cross:
      return draw_cross(middle_x, middle_y);
    case LegendEntry::Sign::hatch:
      return hatch_box(cairo_, middle_x - 6, middle_y - 4, 12, 8, grey);
    case LegendEntry::Sign::dotted:
      return draw_line(cairo_, middle_x - 7, middle_y, middle_x + 6, middle_y, 1.2, ink, {1, 2});
    case LegendEntry::Sign::dashed:
      return draw_line(cairo_, middle_x - 7, middle_y, middle_x + 6, middle_y, 1.1, ink, {5, 3});
    case LegendEntry::Sign::lower_line:
      return draw_line(cairo_, middle_x - 7, middle_y, middle_x + 6, middle_y, 0.9, accent, {3, 2});
    }
  }

  cairo_t* cairo_;
  const RunReport& report_;
  const Words& words_;
  ChartSize size_;
  Span time_;
  bool is_narrow_ = false;
  bool has_strip_ = false;
  double right_ = 0; ///< of both panels
  std::vector<LineEnd> line_ends_;
  Box plot_, strip_;
  ValueAxis degrees_, F_axis_;
  std::vector<NumberedEvent> events_;
  std::vector<int> event_rows_;
  std::vector<LegendEntry> legend_;
  std::vector<Span> legend_at_; ///< left end and row of each
  int legend_rows_ = 0;
  std::size_t left_out_ = 0;
  Span left_out_at_;
  std::optional<PlacedText> hold_text_;
};

/// The chart of a report as a file; without a chart's own title where it stands within a page.
std::string drawn(const RunReport& report, const Words& words, ChartFile kind, const ChartSize& size,
                  const std::optional<std::string>& title) {
  return drawn_file(kind, size, title,
                    [&](cairo_t* cairo, const ChartSize& room) { draw_chart(cairo, report, words, room); });
}

} // namespace

double shown_degrees(double degC, UnitSystem units) {
  const Unit* unit = find_unit(units == UnitSystem::us ? "F" : "C", Dimension::temperature);
  our_check(unit != nullptr, "a unit that is drawn is in the table");
  return (degC - unit->offset) / unit->factor;
}

bool has_chart(const RunReport& report) {
  return time_span(report).has_value();
}

void draw_chart(cairo_t* cairo, const RunReport& report, const Words& words, const ChartSize& size) {
  if (has_chart(report)) ChartDrawing(cairo, report, words, size).draw();
}

std::string chart_file(const RunReport& report, const Words& words, ChartFile kind, const ChartSize& size) {
  return drawn(report, words, kind, size, report.run_name);
}

std::string chart_svg(const RunReport& report, const Words& words, const ChartSize& size) {
  return drawn(report, words, ChartFile::svg, size, std::nullopt);
}

ChartPlot chart_plot(const RunReport& report, const Words& words, const ChartSize& size) {
  ChartPlot plot;
  (void)drawn_file(ChartFile::svg, size, std::nullopt, [&](cairo_t* cairo, const ChartSize& room) {
    plot = ChartDrawing(cairo, report, words, room).plot();
  });
  return plot;
}

} // namespace coldbag
