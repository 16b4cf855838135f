#include "cli/typist.h"

#include "cli/options.h"
#include "quantity/print.h"

#include <fmt/format.h>

namespace coldbag {

namespace {

/// What one line of input asks for beside a value.
enum class Wish { value, back, end };

Wish wish_of(const std::optional<std::string>& line) {
  if (!line || *line == "end") return Wish::end;
  return *line == "back" ? Wish::back : Wish::value;
}

/// Asks row after row until the end.
class Typist {
 public:
  Typist(Desk& desk, const Words& words, SheetFile& file, const SheetRange& range, WallTime first,
         const BegunSheet& begun)
      : desk_(desk), words_(words), file_(file), range_(range), first_(first), begun_(begun) {}

  void type_rows(const std::string& first_note) {
    note_ = first_note;
    for (;;) {
      const Wish wish = type_row();
      if (wish == Wish::end) return;
      if (wish == Wish::value) {
        ++at_;
      } else if (at_ == 0) {
        desk_.object(
            {"this is the first row typed now", "go on, or mend earlier rows in the file afterwards"});
      } else {
        --at_;
      }
    }
  }

 private:
  [[nodiscard]] bool is_old() const { return at_ < file_.rows().size(); }

  [[nodiscard]] std::optional<WallTime> time_above() const {
    if (at_ > 0) return file_.rows()[at_ - 1].time;
    return begun_.last_time;
  }

  [[nodiscard]] WallTime time_shown() const {
    if (is_old()) return file_.rows()[at_].time;
    const auto above = time_above();
    if (!above) return first_;
    return {above->us + static_cast<std::int64_t>(file_.sheet().interval_s * 1e6)};
  }

  [[nodiscard]] std::string prompt_of_time(WallTime shown) const {
    const std::string text = print_iso_wall(shown);
    const auto above = time_above();
    const bool new_day = !above || print_iso_wall(*above).substr(0, 10) != text.substr(0, 10);
    return fmt::format("{:>3}  {}{}?", begun_.row_count + static_cast<int>(at_) + 1,
                       new_day ? text.substr(0, 10) + " " : "", text.substr(11, 5));
  }

  /// The values above a cell and those of the cells behind it.
  [[nodiscard]] std::vector<std::string> values_above(std::size_t from) const {
    std::vector<std::string> values;
    for (std::size_t i = from; i < file_.sheet().probes.size(); ++i)
      if (at_ > 0)
        values.push_back(file_.rows()[at_ - 1].cells[i].value);
      else
        values.push_back(i < begun_.last_values.size() ? begun_.last_values[i] : "");
    return values;
  }

  bool takes_note(const std::string& line) {
    if (!line.starts_with('#')) return false;
    note_ = trimmed_text(line.substr(1));
    return true;
  }

  Wish ask_time(WallTime& time) {
    const WallTime shown = time_shown();
    for (;;) {
      const auto line = desk_.ask(prompt_of_time(shown));
      const Wish wish = wish_of(line);
      if (wish != Wish::value) return wish;
      if (takes_note(*line)) continue;
      time = shown;
      if (!line->empty()) {
        const Typed<WallTime> typed = typed_time(*line, time_above(), shown);
        if (!typed.value) {
          desk_.object({typed.problem, typed.remedy});
          continue;
        }
        time = *typed.value;
      }
      if (at_ + 1 < file_.rows().size() && time >= file_.rows()[at_ + 1].time) {
        desk_.object({"this is not before the row below", "type a time between the two rows"});
        continue;
      }
      const auto above = time_above();
      if (above && static_cast<double>(time.us - above->us) > 2e6 * file_.sheet().interval_s)
        desk_.tell(
            "  " +
            words_.text("type_since_above",
                        {{"minutes", print_duration(static_cast<double>(time.us - above->us) / 1e6)}}) +
            "\n");
      return wish;
    }
  }

  /// Fills the cells from `at` on with one line; false where the line is none.
  bool take_cells(const std::string& line, std::size_t& at, SheetRow& row) {
    if (line.empty() && is_old()) {
      ++at; // as it was
      return true;
    }
    const Typed<std::vector<SheetCell>> typed =
        typed_cells(line, values_above(at), file_.sheet().in_degF, range_);
    if (!typed.value) {
      desk_.object({typed.problem, typed.remedy});
      return false;
    }
    if (typed.value->size() > row.cells.size() - at) {
      desk_.object({fmt::format("{} readings for {} column(s)", typed.value->size(), row.cells.size() - at),
                    "type a reading a column; - for none"});
      return false;
    }
    for (const SheetCell& cell : *typed.value)
      row.cells[at++] = cell;
    return true;
  }

  [[nodiscard]] std::string prompt_of_cell(std::size_t at) const {
    std::string prompt = "     " + file_.sheet().probes[at];
    if (is_old()) {
      const std::string& value = file_.rows()[at_].cells[at].value;
      prompt += " [" + (value.empty() ? "-" : value) + "]";
    }
    return prompt + ":";
  }

  Wish type_row() {
    const std::size_t width = file_.sheet().probes.size();
    SheetRow row{{}, std::vector<SheetCell>(width), ""};
    if (is_old()) {
      note_ = file_.rows()[at_].note;
      row.cells = file_.rows()[at_].cells;
    }
    std::size_t at = 0;
    bool ended = false;
    for (;;) {
      const Wish wish = ask_time(row.time);
      if (wish != Wish::value) return wish;
      bool again = false;
      while (at < width && !ended && !again) {
        const auto line = desk_.ask(prompt_of_cell(at));
        const Wish of_cell = wish_of(line);
        ended = of_cell == Wish::end;
        again = of_cell == Wish::back;
        if (of_cell == Wish::value && !takes_note(*line)) (void)take_cells(*line, at, row);
      }
      if (!again) break;
      at = 0;
    }
    // A row of which nothing was typed before the end is not there; of a row begun, nothing is lost.
    if (ended && at == 0 && note_.empty()) return Wish::end;
    row.note = note_;
    note_.clear();
    if (is_old())
      file_.mend(at_, row);
    else
      file_.add(row);
    return ended ? Wish::end : Wish::value;
  }

  Desk& desk_;
  const Words& words_;
  SheetFile& file_;
  SheetRange range_;
  WallTime first_;
  const BegunSheet& begun_;
  std::size_t at_ = 0; ///< row being typed, of those typed now
  std::string note_;
};

} // namespace

void type_rows(Desk& desk, const Words& words, SheetFile& file, const SheetRange& range, WallTime first,
               const BegunSheet& begun, const std::string& first_note) {
  Typist(desk, words, file, range, first, begun).type_rows(first_note);
}

} // namespace coldbag
