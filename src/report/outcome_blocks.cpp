#include "report/outcome_blocks.h"

#include "report/heat_link_blocks.h"
#include "report/layout.h"
#include "report/trend_blocks.h"
#include "run/report_words.h"

#include <cmath>
#include <utility>
#include <vector>

namespace coldbag {

namespace {

constexpr std::size_t run_width = 14;
constexpr std::size_t date_width = 11;
constexpr std::size_t day_width = 4;
constexpr std::size_t bags_width = 5;
constexpr std::size_t bad_width = 5;
constexpr std::size_t share_width = 20;
constexpr std::size_t heat_width = 7;
constexpr std::size_t name_width = 30;
constexpr std::size_t looked_at_width = 14;
constexpr double minutes_per_hour = 60;

std::string heat_text(const ChartedRun& run) {
  if (run.margin_decades) return trend_value_text(TrendOf::margin, *run.margin_decades, run.units);
  if (run.hold_minutes) return print_fixed(*run.hold_minutes / minutes_per_hour, 1) + " h";
  return "-";
}

std::string joined(const std::vector<std::string>& parts, const char* between) {
  std::string out;
  for (const std::string& part : parts)
    out += (out.empty() ? "" : between) + part;
  return out;
}

class Writer {
 public:
  Writer(const Outcomes& outcomes, const Words& words) : outcomes_(outcomes), words_(words) {}

  Blocks blocks(const TrendFigures& figures) const {
    Blocks out{Heading{words_.text("outcome_title"), 1}};
    if (outcomes_.runs.empty()) {
      out.push_back(Paragraph{words_.text("outcome_none")});
    } else {
      append(out, all());
      out.push_back(by_run());
      if (outcomes_.share.bags > 0) append(out, of_counted());
      for (const HeatLink& link : outcomes_.links)
        append(out, heat_link_blocks(link, figures, words_));
    }
    Blocks strips;
    for (const StripResult& strip : outcomes_.strips)
      append(strips, strip_blocks(strip, words_));
    append(out, under(Heading{words_.text("outcome_strips"), 2}, std::move(strips)));
    return out;
  }

 private:
  [[nodiscard]] Blocks all() const {
    Blocks out;
    const Share& share = outcomes_.share;
    if (share.bags > 0)
      out.push_back(Paragraph{words_.text("outcome_all", {{"bad", std::to_string(share.bad)},
                                                          {"bags", std::to_string(share.bags)},
                                                          {"runs", std::to_string(outcomes_.followed)},
                                                          {"share", percent_with_interval(share, words_)}})});
    if (outcomes_.runs_without > 0)
      out.push_back(
          Item{words_.text("outcome_without", {{"count", std::to_string(outcomes_.runs_without)}})});
    return out;
  }

  [[nodiscard]] Block by_run() const {
    Table table;
    table.columns = {{words_.text("outcome_column_run"), run_width, true},
                     {words_.text("outcome_column_date"), date_width},
                     {words_.text("outcome_column_day"), day_width},
                     {words_.text("outcome_column_bags_short"), bags_width},
                     {words_.text("outcome_column_bad_short"), bad_width},
                     {words_.text("outcome_column_share"), share_width},
                     {words_.text("outcome_column_heat"), heat_width},
                     {words_.text("outcome_column_verdict")}};
    for (const RunOutcome& run : outcomes_.runs)
      table.rows.push_back({{clean(run.run.name), day_text(run.run.began), std::to_string(run.last_day),
                             std::to_string(run.share.bags), std::to_string(run.share.bad), share_of(run),
                             heat_text(run.run), verdict(run.run)},
                            note(run)});
    return table;
  }
  [[nodiscard]] std::string share_of(const RunOutcome& run) const {
    return run.fault.empty() ? percent_with_interval(run.share, words_) : "-";
  }
  [[nodiscard]] std::string verdict(const ChartedRun& run) const {
    if (!run.verdict) return "-";
    const std::string key = "verdict_" + std::string(word(*run.verdict));
    return words_.text(key);
  }
  [[nodiscard]] std::string note(const RunOutcome& run) const {
    std::vector<std::string> parts;
    if (!run.fault.empty()) parts.push_back(words_.text(run.fault));
    if (run.is_of_looked_at && run.fault.empty()) parts.push_back(words_.text("outcome_of_looked_at"));
    if (!run.left_out.empty()) {
      std::vector<std::string> names;
      for (const std::string& name : run.left_out)
        names.push_back(clean(name));
      parts.push_back(words_.text("outcome_left_out", {{"names", joined(names, ", ")}}));
    }
    if (run.run.burst_bags > static_cast<int>(run.left_out.size()))
      parts.push_back(words_.text("outcome_burst", {{"count", std::to_string(run.run.burst_bags)},
                                                    {"left_out", std::to_string(run.left_out.size())}}));
    return joined(parts, "; ");
  }

  [[nodiscard]] Blocks of_counted() const {
    Blocks out{Heading{words_.text("outcome_by_day"), 2}};
    Table days = table("outcome_column_day", "outcome_column_looked_at");
    days.columns.front().width = looked_at_width;
    for (const auto& [day, share] : outcomes_.by_day)
      days.rows.push_back(row(std::to_string(day), share));
    out.push_back(std::move(days));
    append(out, bad_by("outcome_by_kind", outcomes_.by_kind, false, true));
    append(out, bad_by("outcome_by_place", outcomes_.by_place, true, true));
    append(out, bad_by("outcome_by_rack", outcomes_.by_rack, false, false));
    append(out, by_name("outcome_by_spawn_lot", outcomes_.other.spawn_lot));
    if (outcomes_.other.several_lots) out.push_back(Item{words_.text("outcome_several_lots")});
    append(out, by_name("outcome_by_shift", outcomes_.other.shift));
    append(out, by_name("outcome_by_room", outcomes_.other.room));
    return out;
  }

  [[nodiscard]] Table table(const char* name_key, const char* bags_key) const {
    Table out;
    out.columns = {{words_.text(name_key), name_width, true},
                   {words_.text(bags_key), looked_at_width},
                   {words_.text("outcome_column_bad"), looked_at_width},
                   {words_.text("outcome_column_share")}};
    return out;
  }
  [[nodiscard]] TableRow row(const std::string& name, const Share& share) const {
    return {{name, std::to_string(share.bags), std::to_string(share.bad),
             share.bags > 0 && share.bad <= share.bags ? percent_with_interval(share, words_) : "-"},
            ""};
  }
  [[nodiscard]] std::string name_or_none(const std::string& name) const {
    return name.empty() ? words_.text("outcome_not_told") : clean(name);
  }

  /// What bad bags were, of all bags; where they stood, of no number that is known.
  [[nodiscard]] Blocks bad_by(const char* key, const SharesByName& shares, bool is_choice,
                              bool has_bags) const {
    if (shares.empty() || (shares.size() == 1 && shares.begin()->first.empty())) return {};
    Blocks out{Heading{words_.text(key), 2}};
    Table bad = table("outcome_column_name", "outcome_column_bags");
    for (const auto& [name, share] : shares) {
      TableRow line = row(is_choice && !name.empty() ? choice(name) : name_or_none(name), share);
      if (!has_bags) line.cells[1] = line.cells[3] = "-";
      bad.rows.push_back(std::move(line));
    }
    out.push_back(std::move(bad));
    if (!has_bags) out.push_back(Item{words_.text("outcome_rack_no_share")});
    return out;
  }
  [[nodiscard]] std::string choice(const std::string& name) const {
    const std::string key = "choice_" + name;
    return words_.has(key) ? words_.text(key) : clean(name);
  }

  [[nodiscard]] Blocks by_name(const char* key, const SharesByName& shares) const {
    if (shares.empty() || (shares.size() == 1 && shares.begin()->first.empty())) return {};
    Blocks out{Heading{words_.text(key), 2}};
    Table names = table("outcome_column_name", "outcome_column_bags");
    for (const auto& [name, share] : shares)
      names.rows.push_back(row(name_or_none(name), share));
    out.push_back(std::move(names));
    return out;
  }

  const Outcomes& outcomes_;
  const Words& words_;
};

std::string spores_text(double count) {
  if (count >= 10) return print_grouped(std::round(count));
  if (count >= 0.01) return print_fixed(count, 2);
  return "<0.01";
}

const char* strip_key(StripResult::Says says) {
  switch (says) {
  case StripResult::Says::nothing:
    return "outcome_strip_nothing";
  case StripResult::Says::little:
    return "outcome_strip_little";
  case StripResult::Says::clean:
    return "outcome_strip_clean";
  case StripResult::Says::as_foretold:
    return "outcome_strip_foretold";
  case StripResult::Says::beyond:
    return "outcome_strip_beyond";
  case StripResult::Says::grew_unknown:
    break;
  }
  return "outcome_strip_unknown";
}

} // namespace

Blocks outcome_blocks(const Outcomes& outcomes, const TrendFigures& figures, const Words& words) {
  return Writer(outcomes, words).blocks(figures);
}

Blocks strip_blocks(const StripResult& strip, const Words& words) {
  std::string text =
      words.text("outcome_strip", {{"run", clean(strip.run)},
                                   {"organism", clean(named(words, "organism", strip.organism_name))},
                                   {"strips", std::to_string(strip.strips)},
                                   {"grown", std::to_string(strip.grown)},
                                   {"control_strips", std::to_string(strip.control_strips)},
                                   {"control_grown", std::to_string(strip.control_grown)}});
  if (!strip.where.empty()) text += " " + words.text("outcome_strip_where", {{"where", clean(strip.where)}});
  text += " " + words.text(strip_key(strip.says));
  if (strip.most_left_on_each)
    text += " " + words.text("outcome_strip_left", {{"left", spores_text(*strip.left_on_each)},
                                                    {"most_left", spores_text(*strip.most_left_on_each)},
                                                    {"grown", spores_text(*strip.expected_grown)},
                                                    {"most_grown", spores_text(*strip.most_expected_grown)}});
  if (strip.most_left_on_each && strip.beyond_range) text += " " + words.text("outcome_strip_range");
  const bool says_something = strip.says != StripResult::Says::nothing;
  if (says_something && strip.grown > 0 && strip.verdict == Verdict::pass)
    text += " " + words.text("outcome_strip_deviation");
  return {Item{std::move(text)}};
}

} // namespace coldbag
