#include "logs/ordered_lines.h"

#include <cstdint>
#include <deque>
#include <memory>
#include <queue>
#include <string>
#include <utility>
#include <vector>

namespace coldbag {

namespace {

constexpr std::size_t most_bytes_kept = std::size_t{32} << 20U;

struct KeptLine {
  std::string text;
  int number = 0;
  std::int64_t marked_characters = 0;

  explicit KeptLine(const Line& line)
      : text(line.view()), number(line.number), marked_characters(line.marked_characters) {}
  [[nodiscard]] Line line() { return {text.data(), text.size(), number, marked_characters}; }
};

/// Holds rows back until none can come that belongs before them.
class RowSorter {
 public:
  RowSorter(const TimeLine& time_line, int first_line, const std::function<void(const Line&)>& take)
      : time_line_(time_line), first_line_(first_line), take_(take) {}

  void add(const Line& line) {
    const auto row = static_cast<std::size_t>(line.number - first_line_);
    if (time_line_.rows_rise || row >= time_line_.row_us.size() || !is_time(time_line_.row_us[row]))
      return take_(line);
    waiting_.push({time_line_.row_us[row], count_++, std::make_shared<KeptLine>(line)});
    if (waiting_.size() > most_rows_late) hand_on();
  }

  void finish() {
    while (!waiting_.empty())
      hand_on();
  }

 private:
  struct Waiting {
    std::int64_t us = 0;
    std::int64_t order = 0;
    std::shared_ptr<KeptLine> line;
    bool operator>(const Waiting& other) const {
      return us != other.us ? us > other.us : order > other.order;
    }
  };

  void hand_on() {
    const auto line = waiting_.top().line;
    waiting_.pop();
    take_(line->line());
  }

  const TimeLine& time_line_;
  int first_line_;
  const std::function<void(const Line&)>& take_;
  std::priority_queue<Waiting, std::vector<Waiting>, std::greater<>> waiting_;
  std::int64_t count_ = 0;
};

/// The last lines before `end_line` that fit into the memory allowed.
std::deque<KeptLine> last_lines(const Source& source, int first_line, int end_line) {
  std::deque<KeptLine> kept;
  std::size_t bytes = 0;
  Lines lines(source);
  for (Line line; lines.next(line) && line.number < end_line;) {
    if (line.number < first_line) continue;
    kept.emplace_back(line);
    bytes += line.size + sizeof(KeptLine);
    while (bytes > most_bytes_kept && kept.size() > 1) {
      bytes -= kept.front().text.size() + sizeof(KeptLine);
      kept.pop_front();
    }
  }
  return kept;
}

} // namespace

void for_each_line_in_order(const Source& source, const TimeLine& time_line, int first_line,
                            const std::function<void(const Line&)>& take) {
  RowSorter sorter(time_line, first_line, take);
  if (!time_line.newest_first) {
    Lines lines(source);
    for (Line line; lines.next(line);)
      if (line.number >= first_line) sorter.add(line);
    return sorter.finish();
  }
  for (int end_line = INT32_MAX; end_line > first_line;) {
    auto kept = last_lines(source, first_line, end_line);
    if (kept.empty()) break;
    end_line = kept.front().number;
    for (auto line = kept.rbegin(); line != kept.rend(); ++line)
      sorter.add(line->line());
  }
  sorter.finish();
}

} // namespace coldbag
