#include "logs/time_line.h"

#include "errors/our_fault.h"

#include <algorithm>
#include <cstdlib>
#include <functional>
#include <queue>
#include <utility>

namespace coldbag {

namespace {

using Us = std::int64_t;

constexpr Us us_of_second = 1'000'000;
constexpr Us us_of_hour = 3600 * us_of_second;
constexpr std::size_t steps_beside = 5;       // that must be even on both sides of a jump; assumed
constexpr std::size_t fewest_steps = 3;       // near the ends of a log; assumed
constexpr double even_share = 0.1;            // of the interval; assumed
constexpr double jump_share = 0.2;            // a step off by more is a jump; assumed
constexpr double other_interval_share = 0.15; // assumed
constexpr double jitter_share = 0.1;          // of all steps; assumed
constexpr std::size_t fewest_for_jitter = 20;
constexpr std::size_t fewest_dropped_to_break = 3; // a stray row costs nothing

double seconds(Us us) {
  return static_cast<double>(us) / 1e6;
}

bool is_within(Us value, Us of, double share_of_interval, Us interval) {
  return static_cast<double>(std::abs(value - of)) <= share_of_interval * static_cast<double>(interval);
}

/// The rows that have a time, in the order in which time runs.
struct Rows {
  std::vector<std::uint32_t> at; ///< index of the line
  std::vector<Us> us;            ///< INT64_MIN..: the mark of a fate once the row is given up
};

/// Rows whose clock was not touched between them.
struct Piece {
  std::size_t from = 0, to = 0; ///< rows, `to` behind the last
  Us least = 0, most = 0;       ///< as written
  Us shift = 0;
  Us used_up_to = INT64_MIN; ///< rows at or before it, as written, are a stretch seen already
};

/// A step that is no plain passing of time, before row `row`.
struct Jump {
  std::size_t row = 0;
  std::string kind;
  Us jump_us = 0;
  Us interval_us = 0;
  bool breaks = true;
};

struct Evenness {
  bool is_even = false;
  Us step = 0;
};

class Drawing {
 public:
  Drawing(StampList stamps, const ClockNature& nature, int first_line)
      : nature_(nature), first_line_(first_line), stamps_(std::move(stamps)) {}

  TimeLine draw() {
    collect();
    line_.row_us = std::move(stamps_.us);
    if (rows_.us.empty()) return std::move(line_);
    tell_twofold_apart();
    interval_us_ = median_step();
    find_jumps();
    cut_into_pieces();
    place_pieces();
    for (Piece& piece : pieces_)
      settle(piece);
    find_jitter();
    write();
    return std::move(line_);
  }

 private:
  [[nodiscard]] Us step(std::size_t row) const { return rows_.us[row] - rows_.us[row - 1]; }
  [[nodiscard]] int line_of(std::size_t row) const { return first_line_ + static_cast<int>(rows_.at[row]); }

  void collect() {
    for (std::size_t i = 0; i < stamps_.us.size(); ++i) {
      if (!is_time(stamps_.us[i])) continue;
      rows_.at.push_back(static_cast<std::uint32_t>(i));
      rows_.us.push_back(stamps_.us[i]);
    }
    // Rows further apart than rows may be out of order say which way time runs.
    const std::size_t apart = std::max<std::size_t>(1, std::min(most_rows_late, rows_.us.size() / 2));
    std::size_t rises = 0;
    std::size_t falls = 0;
    for (std::size_t row = apart; row < rows_.us.size(); ++row) {
      rises += rows_.us[row] > rows_.us[row - apart] ? 1 : 0;
      falls += rows_.us[row] < rows_.us[row - apart] ? 1 : 0;
    }
    line_.newest_first = falls >= 2 && falls > 2 * rises;
    if (!line_.newest_first) return;
    std::reverse(rows_.at.begin(), rows_.at.end());
    std::reverse(rows_.us.begin(), rows_.us.end());
  }

  /// Of the two instants of an hour that comes twice, the one nearer to where the row before leads; a log
  /// that begins in such an hour is led by the first row behind it.
  void tell_twofold_apart() {
    if (stamps_.twofold.empty()) return;
    std::vector<std::pair<std::size_t, Us>> later; // row, its second instant
    for (const auto& [line, us] : stamps_.twofold) {
      const auto found = line_.newest_first
                             ? std::lower_bound(rows_.at.begin(), rows_.at.end(), line, std::greater<>())
                             : std::lower_bound(rows_.at.begin(), rows_.at.end(), line);
      later.emplace_back(static_cast<std::size_t>(found - rows_.at.begin()), us);
    }
    std::sort(later.begin(), later.end());
    const Us interval_us = median_step();
    const auto nearer = [](Us first, Us second, Us wanted) {
      return std::abs(second - wanted) < std::abs(first - wanted) ? second : first;
    };
    std::size_t begun = 0;
    while (begun < later.size() && later[begun].first == begun)
      ++begun;
    bool falls = false;
    for (std::size_t row = 1; row < begun; ++row)
      falls = falls || step(row) < -us_of_hour / 2;
    if (!falls && begun > 0 && begun < rows_.us.size())
      for (std::size_t row = begun; row-- > 0;)
        rows_.us[row] = nearer(rows_.us[row], later[row].second, rows_.us[row + 1] - interval_us);
    else
      begun = 0;
    for (std::size_t i = begun; i < later.size(); ++i) {
      const auto& [row, us] = later[i];
      if (row > 0) rows_.us[row] = nearer(rows_.us[row], us, rows_.us[row - 1] + interval_us);
    }
  }

  [[nodiscard]] Us median_step() const {
    std::vector<Us> steps;
    for (std::size_t row = 1; row < rows_.us.size(); ++row)
      if (step(row) > 0) steps.push_back(step(row));
    if (steps.empty()) return 0;
    const auto middle = steps.begin() + static_cast<std::ptrdiff_t>(steps.size() / 2);
    std::nth_element(steps.begin(), middle, steps.end());
    return *middle;
  }

  /// The steps before `row` (without the one that leads to it) or behind it; doubled rows do not count.
  [[nodiscard]] Evenness evenness(std::size_t row, bool behind) const {
    std::vector<Us> steps;
    for (std::size_t i = behind ? row + 1 : row - 1;
         steps.size() < steps_beside && i > 0 && i < rows_.us.size(); i = behind ? i + 1 : i - 1)
      if (step(i) != 0) steps.push_back(step(i));
    if (steps.size() < fewest_steps) return {};
    std::vector<Us> sorted = steps;
    std::sort(sorted.begin(), sorted.end());
    const Us middle = sorted[sorted.size() / 2];
    if (middle <= 0) return {};
    const bool even = is_within(sorted.front(), middle, even_share, middle) &&
                      is_within(sorted.back(), middle, even_share, middle);
    return {even, middle};
  }

  [[nodiscard]] bool begins_epoch(std::size_t row) const {
    const int year = calendar_time(WallTime{rows_.us[row]}).year;
    return nature_.has_dates && (year == 1970 || year == 2000);
  }

  /// Zones change their clocks in the small hours of a Sunday nearly everywhere (IANA time zone database).
  [[nodiscard]] bool is_near_summer_change(std::size_t row) const {
    if (!nature_.has_dates || nature_.knows_summer_time) return false;
    const Us us = std::max(rows_.us[row], rows_.us[row - 1]);
    const Us day = us / (24 * us_of_hour);
    const bool is_sunday = (day + 4) % 7 == 0; // 1970-01-01 was a Thursday
    return is_sunday && us % (24 * us_of_hour) <= 4 * us_of_hour;
  }

  [[nodiscard]] std::string kind_of(std::size_t row, Us jump_us, Us interval_us) const {
    if (begins_epoch(row) != begins_epoch(row - 1)) return jump_us < 0 ? "clock_reset" : "clock_set_forward";
    if (jump_us < 0 && !nature_.has_dates && rows_.us[row] <= rows_.us[0] + interval_us && row > 1)
      return "clock_reset";
    if (is_within(std::abs(jump_us), us_of_hour, even_share, interval_us) && is_near_summer_change(row))
      return "summer_time";
    return jump_us < 0 ? "clock_set_back" : "clock_set_forward";
  }

  /// Whole intervals ahead are readings that were missed, unless the clock came out of its beginning or
  /// changed to summer time.
  [[nodiscard]] bool is_plain_gap(std::size_t row, Us jump_us, Us interval_us) const {
    if (jump_us < 0 || begins_epoch(row) != begins_epoch(row - 1)) return false;
    if (kind_of(row, jump_us, interval_us) == "summer_time") return false;
    const Us rest = jump_us % interval_us;
    return std::min(rest, interval_us - rest) <=
           static_cast<Us>(even_share * static_cast<double>(interval_us));
  }

  void find_jumps() {
    for (std::size_t row = 1; row < rows_.us.size(); ++row) {
      const Us d = step(row);
      if (d == 0 || is_within(d, interval_us_, even_share, interval_us_)) {
        // A log whose interval changed once has two even halves; the half at the median is passed here.
        if (d == 0 || row < 2 || is_within(step(row - 1), d, jump_share, d)) continue;
      }
      const Evenness before = evenness(row, false);
      const Evenness behind = evenness(row, true);
      if (!before.is_even || !behind.is_even) continue;
      if (!is_within(behind.step, before.step, other_interval_share, std::max(before.step, behind.step))) {
        if (d > 0 && is_within(d, behind.step, jump_share, behind.step))
          jumps_.push_back({row, "interval_changed", behind.step - before.step, before.step, false});
        continue;
      }
      const Us jump_us = d - before.step;
      if (is_within(jump_us, 0, jump_share, before.step) || is_plain_gap(row, jump_us, before.step)) continue;
      jumps_.push_back({row, kind_of(row, jump_us, before.step), jump_us, before.step, true});
    }
  }

  void cut_into_pieces() {
    std::size_t from = 0;
    const auto cut = [&](std::size_t to) {
      const auto begin = rows_.us.begin() + static_cast<std::ptrdiff_t>(from);
      const auto [least, most] =
          std::minmax_element(begin, rows_.us.begin() + static_cast<std::ptrdiff_t>(to));
      pieces_.push_back({from, to, *least, *most, 0, INT64_MIN});
      from = to;
    };
    for (const Jump& jump : jumps_)
      if (jump.breaks) cut(jump.row);
    cut(rows_.us.size());
  }

  /// A piece that stands behind all before it keeps its own times. One that lies where no row was yet (a
  /// clock begun anew) goes on one interval behind the piece before. One that goes back over a stretch that
  /// was logged already is used only from where that stretch ends: the same minutes never count twice.
  void place_pieces() {
    Us end = INT64_MIN;
    std::size_t jump = 0;
    for (std::size_t i = 0; i < pieces_.size(); ++i) {
      Piece& piece = pieces_[i];
      if (i > 0) {
        while (!jumps_[jump].breaks)
          ++jump;
        const Us interval_us = jumps_[jump++].interval_us;
        if (i == 1 && begins_epoch(0) && !begins_epoch(piece.from)) {
          pieces_[0].shift = piece.least - interval_us - pieces_[0].most;
          end = pieces_[0].most + pieces_[0].shift;
        }
        if (piece.least <= end) follow(i, end, interval_us);
      }
      end = std::max(end, piece.most + piece.shift);
    }
  }

  void follow(std::size_t i, Us end, Us interval_us) {
    Piece& piece = pieces_[i];
    for (std::size_t j = i; j-- > 0;) {
      const Piece& seen = pieces_[j];
      if (piece.most < seen.least || piece.least > seen.most) continue;
      piece.shift = seen.shift;
      piece.used_up_to = std::max(seen.most, end - seen.shift);
      return;
    }
    piece.shift = end + interval_us - piece.least;
  }

  void give_up(std::size_t row, RowFate fate) { rows_.us[row] = mark_of(fate); }

  void settle(Piece& piece) {
    if (piece.used_up_to > INT64_MIN)
      for (std::size_t row = piece.from; row < piece.to; ++row)
        if (rows_.us[row] <= piece.used_up_to) give_up(row, RowFate::goes_back);
    drop_far_ahead(piece);
    sort_out(piece);
    for (std::size_t row = piece.from; row < piece.to; ++row)
      if (is_time(rows_.us[row])) rows_.us[row] += piece.shift;
    if (piece.from > 0) break_before_.push_back(piece.from);
  }

  void drop_far_ahead(const Piece& piece) {
    const Us far_us = static_cast<Us>(most_rows_late + 1) * interval_us_;
    Us most = INT64_MIN;
    for (std::size_t row = piece.from; row < piece.to; ++row) {
      const Us us = rows_.us[row];
      if (!is_time(us)) continue;
      if (most > INT64_MIN && us - most > far_us && is_far_ahead(piece, row)) {
        give_up(row, RowFate::out_of_place);
        continue;
      }
      most = std::max(most, us);
    }
  }

  /// Whether nearly all that follows, as far as a row may come late and more, is earlier than this row.
  [[nodiscard]] bool is_far_ahead(const Piece& piece, std::size_t row) const {
    const std::size_t end = std::min(piece.to, row + 1 + 2 * most_rows_late);
    std::size_t earlier = 0;
    for (std::size_t i = row + 1; i < end; ++i)
      earlier += is_time(rows_.us[i]) && rows_.us[i] < rows_.us[row] ? 1 : 0;
    constexpr std::size_t with_it = 3;
    return earlier > 0 && earlier + with_it >= end - row - 1;
  }

  /// Gives up rows that come too late to be put in their place, and counts those that are.
  void sort_out(const Piece& piece) {
    std::priority_queue<Us, std::vector<Us>, std::greater<>> waiting;
    Us most = INT64_MIN;
    Us handed_on = INT64_MIN;
    std::size_t dropped = 0;
    for (std::size_t row = piece.from; row < piece.to; ++row) {
      const Us us = rows_.us[row];
      if (!is_time(us)) continue;
      if (us < handed_on) {
        give_up(row, RowFate::goes_back);
        ++dropped;
        continue;
      }
      if (dropped >= fewest_dropped_to_break) break_before_.push_back(row);
      dropped = 0;
      if (us < most) {
        line_.rows_rise = false;
        if (reordered_++ == 0) first_reordered_ = row;
      }
      most = std::max(most, us);
      waiting.push(us);
      if (waiting.size() > most_rows_late) {
        handed_on = waiting.top();
        waiting.pop();
      }
    }
  }

  void find_jitter() {
    if (std::any_of(jumps_.begin(), jumps_.end(), [](const Jump& j) { return !j.breaks; })) return;
    const Us tolerance =
        std::max(us_of_second, static_cast<Us>(even_share * static_cast<double>(interval_us_)));
    std::size_t steps = 0;
    std::size_t off = 0;
    std::size_t first = 0;
    Us most = 0;
    for (std::size_t row = 1; row < rows_.us.size(); ++row) {
      if (!is_time(rows_.us[row]) || !is_time(rows_.us[row - 1])) continue;
      const Us d = step(row);
      if (d <= 0 || d > interval_us_ + interval_us_ / 2) continue;
      ++steps;
      if (std::abs(d - interval_us_) <= tolerance) continue;
      if (off++ == 0) first = row;
      most = std::max(most, std::abs(d - interval_us_));
    }
    if (reordered_ > 0 || steps < fewest_for_jitter ||
        static_cast<double>(off) <= jitter_share * static_cast<double>(steps))
      return;
    add_event("interval_jitter", first, most, off, "told");
  }

  void add_event(std::string kind, std::size_t row, Us jump_us, std::size_t rows, std::string effect) {
    Us time = end_us();
    for (std::size_t i = row; i < rows_.us.size(); ++i)
      if (is_time(rows_.us[i])) {
        time = rows_.us[i];
        break;
      }
    ClockEvent event{std::move(kind),  {"", line_of(row), 0, ""},       0,
                     seconds(jump_us), static_cast<std::int64_t>(rows), std::move(effect)};
    events_.emplace_back(time, std::move(event));
  }

  [[nodiscard]] Us end_us() const {
    Us end = INT64_MIN;
    for (const Us us : rows_.us)
      end = std::max(end, us);
    return end;
  }

  void write() {
    Us first = INT64_MAX;
    for (const Us us : rows_.us)
      if (is_time(us)) first = std::min(first, us);
    for (const Jump& jump : jumps_)
      add_event(jump.kind, jump.row, jump.jump_us, 0, jump.breaks ? "stretch_not_credited" : "told");
    if (reordered_ > 0) add_event("rows_reordered", first_reordered_, 0, reordered_, "put_in_order");
    if (line_.newest_first) add_event("newest_first", 0, 0, rows_.us.size(), "put_in_order");
    line_.first_us = first;
    for (std::size_t row = 0; row < rows_.us.size(); ++row)
      line_.row_us[rows_.at[row]] = is_time(rows_.us[row]) ? rows_.us[row] - first : rows_.us[row];
    for (const std::size_t row : break_before_)
      for (std::size_t i = row; i < rows_.us.size(); ++i)
        if (is_time(rows_.us[i])) {
          line_.breaks_us.push_back(rows_.us[i] - first);
          break;
        }
    std::sort(line_.breaks_us.begin(), line_.breaks_us.end());
    line_.breaks_us.erase(std::unique(line_.breaks_us.begin(), line_.breaks_us.end()), line_.breaks_us.end());
    std::stable_sort(events_.begin(), events_.end(),
                     [](const auto& a, const auto& b) { return a.first < b.first; });
    for (auto& [us, event] : events_) {
      event.time_s = seconds(us - first);
      line_.events.push_back(std::move(event));
    }
  }

  const ClockNature& nature_;
  int first_line_;
  StampList stamps_;
  Rows rows_;
  TimeLine line_;
  Us interval_us_ = 0;
  std::vector<Jump> jumps_;
  std::vector<Piece> pieces_;
  std::vector<std::size_t> break_before_;
  std::size_t reordered_ = 0;
  std::size_t first_reordered_ = 0;
  std::vector<std::pair<Us, ClockEvent>> events_;
};

} // namespace

void StampList::add(std::size_t row, const Stamp& stamp) {
  us.resize(row, mark_of(RowFate::no_row));
  switch (stamp.kind) {
  case StampKind::bad_time:
  case StampKind::zone_differs: // refused where it is read
    us.push_back(mark_of(RowFate::bad_time));
    return;
  case StampKind::missing_hour:
    us.push_back(mark_of(RowFate::missing_hour));
    return;
  case StampKind::good:
    us.push_back(stamp.us);
    if (stamp.later_us != stamp.us) twofold.push_back({row, stamp.later_us});
  }
}

TimeLine draw_time_line(StampList stamps, const ClockNature& nature, int first_line) {
  return Drawing(std::move(stamps), nature, first_line).draw();
}

} // namespace coldbag
