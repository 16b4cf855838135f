#include "report/run_text.h"

#include "kinetics/exposure.h"
#include "run/moment_text.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace coldbag {

namespace {

constexpr std::size_t columns_of_screen = 80;

// Length on the screen: continuation bytes of UTF-8 take no room.
std::size_t screen_length(std::string_view text) {
  return static_cast<std::size_t>(std::count_if(
      text.begin(), text.end(), [](char c) { return (static_cast<unsigned char>(c) & 0xC0U) != 0x80U; }));
}

std::string wrapped(const std::string& text, std::size_t indent) {
  std::string out;
  std::string line(std::min(text.find_first_not_of(' '), text.size()), ' ');
  bool has_word = false;
  const auto flush = [&] {
    if (!out.empty()) out += std::string(indent, ' ');
    out += line + "\n";
    line.clear();
    has_word = false;
  };
  for (std::size_t at = 0; at <= text.size();) {
    std::size_t end = std::min(text.find(' ', at), text.size());
    if (text.compare(end, 2, " %") == 0) end += 2; // a number keeps its sign
    const std::string word = text.substr(at, end - at);
    const std::size_t used = (out.empty() ? 0 : indent) + screen_length(line);
    at = end + 1;
    if (word.empty()) continue;
    if (has_word && used + 1 + screen_length(word) > columns_of_screen) flush();
    line += (has_word ? " " : "") + word;
    has_word = true;
  }
  if (has_word) flush();
  return out;
}

std::string item(const std::string& text) {
  return wrapped("- " + text, 2);
}

std::string padded(const std::string& text, std::size_t width) {
  const std::size_t length = screen_length(text);
  return length >= width ? text : text + std::string(width - length, ' ');
}

// Names are the user's: control characters never reach the terminal.
std::string clean(const std::string& text) {
  std::string out;
  for (const char c : text)
    out += static_cast<unsigned char>(c) < 0x20 || c == 0x7F ? '?' : c;
  return out;
}

std::string cut(const std::string& text, std::size_t width) {
  if (screen_length(text) <= width) return text;
  std::string out;
  std::size_t length = 0;
  for (std::size_t at = 0; at < text.size(); ++at) {
    const bool starts = (static_cast<unsigned char>(text[at]) & 0xC0U) != 0x80U;
    if (starts && ++length >= width) break;
    out += text[at];
  }
  return out + "~";
}

std::string F_text(double minutes) {
  return minutes < 10 ? print_fixed(minutes, 2) + " min" : print_fixed(minutes, 1) + " min";
}

const ProbeResult* find_probe(const RunReport& report, const std::string& name) {
  for (const ProbeResult& p : report.probes)
    if (p.name == name) return &p;
  return nullptr;
}

std::string reach_text(const RunReport& report, const Words& words) {
  const std::map<std::string, std::string> values = {
      {"count", std::to_string(report.reach.probed_bags)},
      {"total", std::to_string(report.reach.bag_count.value_or(0))}};
  return words.text(report.reach.bag_count ? "reach_count" : "reach_no_load", values);
}

std::string verdict_word(const RunReport& report, const Words& words) {
  if (report.so_far) return words.text(*report.so_far == SoFar::enough ? "so_far_enough" : "so_far_not_yet");
  switch (*report.verdict) {
  case Verdict::pass:
    return words.text("verdict_pass");
  case Verdict::fail:
    return words.text("verdict_fail");
  default:
    return words.text("verdict_unproven");
  }
}

bool is_by_F(const RunReport& report) {
  return std::any_of(report.criteria.begin(), report.criteria.end(),
                     [](const CriterionResult& c) { return c.fails && c.name == "lethality"; });
}

std::string sentence(const RunReport& report, const Words& words) {
  const ProbeResult* at = find_probe(report, report.coldest);
  const bool in_bag = at != nullptr;
  for (const ProbeResult& p : report.probes)
    if (!in_bag && p.role != ProbeRole::bag && (at == nullptr || p.hold_minutes > at->hold_minutes)) at = &p;
  std::map<std::string, std::string> values = {{"treatment", report.treatment_name},
                                               {"reach", reach_text(report, words)}};
  if (at == nullptr) return words.text("sentence_nothing", values);
  values["hold_minutes"] = print_duration(std::floor(at->hold_minutes) * 60);
  values["setpoint_degC"] = print_setpoint(report.setpoint_degC, report.units);
  values["name"] = report.reference.name;
  values["F_minutes"] = F_text(at->F_minutes);
  values["F_lower_minutes"] = F_text(std::floor(at->F_minutes_lower * 100) / 100);
  const bool by_F = is_by_F(report);
  if (in_bag) return words.text(by_F ? "sentence_lethality" : "sentence_hold", values);
  return words.text(by_F ? "sentence_steam_lethality" : "sentence_steam_hold", values);
}

std::string amount(const RunReport& report, const CriterionResult& c, double value, bool against) {
  if (c.unit == "minutes") {
    const bool is_F = c.name.find("lethality") != std::string::npos;
    if (is_F)
      return (against ? print_against(value, c.required, c.sense, 1)
                      : print_fixed(value, value < 10 ? 2 : 1)) +
             " min";
    return against ? print_duration_against(value * 60, c.required * 60, c.sense)
                   : print_duration(value * 60);
  }
  if (c.unit == "degC")
    return against && report.units == UnitSystem::metric ? print_against(value, c.required, c.sense, 1) + " C"
                                                         : print_temperature(value, report.units);
  if (c.unit == "K") return print_temperature_difference(value, report.units);
  if (c.unit == "fraction") return fmt::format("{:.1f} %", value * 100);
  return print_fixed(value, 2);
}

std::string criterion_name(const Words& words, const std::string& name) {
  const std::string key = "criterion_" + name;
  return words.has(key) ? words.text(key) : clean(name);
}

std::string why(const RunReport& report, const Words& words, const CriterionResult& c) {
  if (!c.delivered) return words.text("why_unmeasured", {{"criterion", criterion_name(words, c.name)}});
  std::string bound;
  if (c.bound && c.status != Status::missed)
    bound = words.text(c.bound_side == "upper" ? "bound_upper" : "bound_lower",
                       {{"bound", amount(report, c, *c.bound, true)}});
  const std::map<std::string, std::string> values = {
      {"criterion", criterion_name(words, c.name)},
      {"required", amount(report, c, c.required, false)},
      {"delivered", amount(report, c, *c.delivered, c.status == Status::missed)},
      {"probe", clean(c.decided_by)},
      {"bound", bound}};
  if (c.status == Status::missed) return words.text(c.too_much ? "why_too_much" : "why_too_little", values);
  return words.text(c.too_much ? "why_unproven_much" : "why_unproven", values);
}

std::string whys(const RunReport& report, const Words& words) {
  std::string out;
  for (const CriterionResult& c : report.criteria)
    if (c.fails && (report.verdict == Verdict::fail ? c.status == Status::missed : c.status != Status::met))
      out += wrapped(why(report, words, c), 5);
  for (const Said& block : report.blocks)
    out += wrapped("Why: " + said_text(words, report, block), 5);
  return out;
}

std::string moment_or_dash(const RunReport& report, const std::optional<double>& at_s) {
  return at_s ? moment_for_people(report.clock, *at_s) : "-";
}

std::string probe_table(const RunReport& report, const Words& words) {
  std::string out = padded("", 16) + padded(words.text("table_hot_by"), 18) +
                    padded(words.text("table_stayed"), 14) + padded(words.text("table_top"), 9) +
                    padded(words.text("table_lethality"), 11) + words.text("table_at_least") + "\n";
  for (const ProbeResult& p : report.probes) {
    out += padded(cut(clean(p.name), 15), 16) + padded(moment_or_dash(report, p.hot_at_s), 18) +
           padded(p.hold_minutes > 0 ? print_duration(std::floor(p.hold_minutes) * 60) : "-", 14) +
           padded(p.top_degC ? print_temperature(*p.top_degC, report.units) : "-", 9) +
           padded(F_text(p.F_minutes), 10) + " ";
    if (p.role == ProbeRole::bag)
      out += F_text(std::floor(p.F_minutes_lower * 100) / 100);
    else
      out += "(" + words.text(fmt::format("role_{}", role_text(p.role))) + ")";
    out += "\n";
  }
  return out;
}

std::string log_lines(const RunReport& report) {
  std::string out;
  for (const LogResult& log : report.logs) {
    std::string line =
        fmt::format("{}: {} rows, {} to {}", clean(log.name), log.rows,
                    moment_for_people(report.clock, log.from_s), moment_for_people(report.clock, log.to_s));
    if (log.interval_s > 0) line += fmt::format(", one each {}", print_duration(log.interval_s));
    if (log.gap_count > 0) line += fmt::format(", {} gap{}", log.gap_count, log.gap_count == 1 ? "" : "s");
    out += wrapped(line, 2);
    if (log.cells_unread.empty()) out += "  everything in it was read\n";
    for (const CellTally& tally : log.cells_unread)
      out += wrapped(
          fmt::format("  not read: {} x {}, first at line {}{}{}", tally.count, tally.kind, tally.first.line,
                      tally.first.key_path.empty() ? "" : ", column " + clean(tally.first.key_path),
                      tally.text.empty() ? "" : ": \"" + clean(tally.text) + "\""),
          4);
  }
  return out;
}

std::string site_line(const RunReport& report) {
  if (!report.boiling_degC) return "";
  const std::string boils =
      fmt::format("water boils at {} here", print_temperature(*report.boiling_degC, report.units));
  return report.altitude_m ? wrapped(print_altitude(*report.altitude_m, report.units) + ": " + boils + ".", 0)
                           : wrapped(boils + ".", 0);
}

std::string reach_notes(const RunReport& report, const Words& words) {
  const Reach& reach = report.reach;
  if (reach.all_at_cold_spots) return item(words.text("cold_spots_note"));
  if (reach.all_at_random && reach.share_above_coldest) {
    std::string out = item(words.text(
        "random_note", {{"share_percent", value_text(report, "share_percent", *reach.share_above_coldest)}}));
    if (reach.most_short)
      out += item(words.text("random_count_note", {{"total", std::to_string(*reach.bag_count)},
                                                   {"most_short", std::to_string(*reach.most_short)}}));
    return out;
  }
  return reach.probed_bags > 0 ? item(words.text("unstated_spots_note")) : "";
}

// Both hold times side by side: the clock started at the gauge is the classic mistake.
std::string both_holds(const RunReport& report) {
  const ProbeResult* cold = find_probe(report, report.coldest);
  if (cold == nullptr || !report.vessel_hold_minutes) return "";
  return wrapped(fmt::format("Hold at or above {}: {} by the vessel, {} by the coldest bag.",
                             print_setpoint(report.setpoint_degC, report.units),
                             print_duration(std::floor(*report.vessel_hold_minutes) * 60),
                             print_duration(std::floor(cold->hold_minutes) * 60)),
                 2);
}

std::string probe_uncertainty_lines(const RunReport& report, const Words& words) {
  std::string out;
  for (const ProbeResult& p : report.probes)
    if (p.role == ProbeRole::bag && p.u_from == "u_unstated")
      out += item(fmt::format("{}: standard uncertainty {} ({})", clean(p.name),
                              print_temperature_difference(p.u_K, report.units, 2), words.text(p.u_from)));
  return out;
}

std::string full_criteria(const RunReport& report, const Words& words) {
  std::string out = "\nCriteria\n";
  for (const CriterionResult& c : report.criteria) {
    const char* status =
        c.status == Status::met ? "met" : (c.status == Status::missed ? "missed" : "not shown");
    std::string line =
        fmt::format("{}: {} {}", criterion_name(words, c.name),
                    c.sense == Sense::at_least ? "at least" : (c.sense == Sense::below ? "below" : "at most"),
                    amount(report, c, c.required, false));
    line += c.delivered
                ? fmt::format("; delivered {}", amount(report, c, *c.delivered, c.status != Status::met))
                : "; not measured";
    if (c.bound) line += fmt::format(", {} bound {}", c.bound_side, amount(report, c, *c.bound, true));
    line += fmt::format("; {}; on a miss {}; {}, {}{}", status, c.fails ? "fail" : "caution", c.evidence,
                        basis_text(c.basis), c.source.empty() ? "" : " [" + c.source + "]");
    out += item(line);
  }
  return out;
}

std::string band_text(std::size_t band) {
  if (band == 0) return fmt::format("below {:g} C", band_edges_degC.front());
  if (band == band_edges_degC.size()) return fmt::format("{:g} C up", band_edges_degC.back());
  return fmt::format("{:g}-{:g} C", band_edges_degC[band - 1], band_edges_degC[band]);
}

// Past twenty decades a figure says nothing more.
std::string decades_text(double decades) {
  return decades > 20 ? "over 20" : print_fixed(std::floor(decades * 10) / 10, 1);
}

std::string full_probe(const RunReport& report, const ProbeResult& p, const Words& words) {
  std::string out =
      fmt::format("\n{} ({})\n", clean(p.name), words.text(fmt::format("role_{}", role_text(p.role))));
  out += item(
      fmt::format("{} at {:g} C, z {:g} K: {}; without the cut-off {}; at least {}; after steam-off {}",
                  report.reference.name, report.reference.at_degC, report.reference.z_K, F_text(p.F_minutes),
                  F_text(p.F_minutes_all), F_text(p.F_minutes_lower), F_text(p.F_minutes_after_steam_off)));
  std::string bands = "F by band of temperature:";
  for (std::size_t i = 0; i < p.F_minutes_by_band.size(); ++i)
    if (p.F_minutes_by_band[i] > 0.0005)
      bands += fmt::format(" {} {},", band_text(i), F_text(p.F_minutes_by_band[i]));
  bands.pop_back();
  out += item(bands);
  out += item(fmt::format(
      "hold {} (at least {}), in all {}, strictly by raw readings {}; not credited {}",
      print_duration(std::floor(p.hold_minutes) * 60), print_duration(std::floor(p.hold_minutes_lower) * 60),
      print_duration(std::floor(p.hold_total_minutes) * 60),
      print_duration(std::floor(p.strict_hold_minutes) * 60), print_duration(p.not_credited_minutes * 60)));
  out += item(fmt::format("correction {:+.2f} K, standard uncertainty {:.2f} K ({}), noise {:.2f} K",
                          p.correction_K, p.u_K, p.u_from.empty() ? "-" : words.text(p.u_from), p.noise_K));
  for (const OrganismResult& o : p.organisms)
    out += item(fmt::format(
        "{}: {} log reductions, at least {} for D and z as stated, {} with z 1 K less ({}{}){}", o.name,
        decades_text(o.decades), decades_text(o.decades_lower), decades_text(o.decades_lower_z_less_one),
        o.basis, o.source.empty() ? "" : ", " + o.source,
        o.beyond_range ? "; beyond the measured temperatures, unproven" : ""));
  return out;
}

std::string full_text(const RunReport& report, const Words& words) {
  std::string out = full_criteria(report, words);
  for (const ProbeResult& p : report.probes)
    out += full_probe(report, p, words);
  out += "\nHow it was computed\n";
  out += item("Lethality: exact integral of 10^((T - Tref)/z) over straight segments between readings; "
              "bounds by moving the "
              "whole trace k u down or up (k 1.645, one-sided 95 %), noise divided out.");
  out += item("Hold: longest unbroken stretch of a running mean over 5 to 10 min, crossings interpolated.");
  out += item(fmt::format("Program {}.", report.program_version));
  for (const LogResult& log : report.logs)
    out += item(fmt::format("{} sha256 {}", clean(log.name), log.sha256));
  for (const Edition& e : report.editions)
    out += item(fmt::format("{} ({}) sha256 {}", e.name, e.origin, e.sha256.substr(0, 16)));
  return out;
}

std::string several_runs_text(const RunReport& report, const TextOptions& options) {
  std::string out = "Nothing judged: the log holds several runs, and heat never adds up over a break.\n\n";
  for (std::size_t i = 0; i < report.runs.size(); ++i)
    out += item(fmt::format("run {}: warm from {} to {}", i + 1,
                            moment_for_people(report.clock, report.runs[i].from_s),
                            moment_for_people(report.clock, report.runs[i].to_s)));
  const Stretch& last = report.runs.back();
  out +=
      fmt::format("\nChoose one, for example the last:\n  coldbag check {} --from {}\n", options.log_argument,
                  report.clock.start || report.clock.start_wall
                      ? moment_iso(report.clock, last.from_s - 1800).substr(0, 19)
                      : "\"" + print_duration(std::max(0.0, last.from_s - 1800)) + "\"");
  return out;
}

std::string bare_text(const RunReport& report, const Words& words, const TextOptions& options) {
  std::string out =
      "Nothing judged: no treatment was chosen.\n\n" + log_lines(report) + site_line(report) + "\n";
  for (const ProbeResult& p : report.probes)
    out += item(fmt::format("{} ({}): top {}, within 2 K of it from {}", clean(p.name),
                            words.text(fmt::format("role_{}", role_text(p.role))),
                            p.top_degC ? print_temperature(*p.top_degC, report.units) : "-",
                            moment_or_dash(report, p.near_top_at_s)));
  out += "\n" + padded("", 32) + padded("hot by", 18) + padded("stayed", 13) + "would need\n";
  for (const WouldNeed& w : report.would_need) {
    std::string needs = w.short_of.empty() ? "nothing more by the estimate" : "";
    for (const CriterionResult& c : w.short_of) {
      if (c.too_much) {
        needs += (needs.empty() ? "" : ", ") + std::string("not shown to have stayed under ") +
                 amount(report, c, c.required, false);
        continue;
      }
      const double more = c.required - c.delivered.value_or(0);
      needs += (needs.empty() ? "" : ", ") +
               fmt::format("{} more {}", c.name == "lethality" ? F_text(more) : print_duration_up(more * 60),
                           c.name == "lethality" ? "F" : "hold");
    }
    out += padded(cut(w.name, 31), 32) + padded(moment_or_dash(report, w.hot_at_s), 18) +
           padded(w.hold_minutes > 0 ? print_duration(std::floor(w.hold_minutes) * 60) : "-", 13) + needs +
           "\n";
  }
  std::string column = report.probes.empty() ? "COLUMN" : clean(report.probes.front().name);
  for (const ProbeResult& p : report.probes)
    if (p.role == ProbeRole::bag) column = clean(p.name);
  out += "\nType next:\n";
  out += fmt::format("  coldbag check {} --treatment atmospheric_steam \\\n    --in-bag \"{}\" --altitude "
                     "\"1150 m\" --vented\n",
                     options.log_argument, column);
  out += fmt::format("  coldbag check {} --explain\n", options.log_argument);
  return out;
}

} // namespace

std::string run_text(const RunReport& report, const Words& words, const TextOptions& options) {
  if (!report.runs.empty()) return several_runs_text(report, options);
  if (!report.verdict) return bare_text(report, words, options);
  std::string out;
  if (!report.run_name.empty()) out += wrapped(clean(report.run_name), 0);
  std::string first = wrapped(verdict_word(report, words) + " " + sentence(report, words), 2);
  if (options.has_colour) {
    const std::size_t end = verdict_word(report, words).size();
    first = "\x1b[1m" + first.substr(0, end) + "\x1b[0m" + first.substr(end);
  }
  out += first;
  if (*report.verdict != Verdict::pass) out += whys(report, words);
  if (!report.next.empty()) out += "\nWhat to do next\n";
  for (const Said& next : report.next)
    out += item(said_text(words, report, next));
  if (report.more_hold.why_not && !report.more_hold.possible && report.ended != Ended::yes &&
      *report.verdict != Verdict::pass)
    out += item(said_text(words, report, *report.more_hold.why_not));
  out += "\n" + probe_table(report, words);
  out += both_holds(report);
  if (!report.cautions.empty()) {
    out += "\nCautions\n";
    for (const Caution& caution : report.cautions)
      out += item(said_text(words, report, caution.said));
  }
  out += "\n" + site_line(report) + log_lines(report);
  out += "\n" + probe_uncertainty_lines(report, words) + reach_notes(report, words);
  for (const std::string& note : report.notes)
    if (words.has(note)) out += item(words.text(note));
  if (!report.unanswered.empty()) {
    std::string keys;
    for (const std::string& key : report.unanswered)
      keys += (keys.empty() ? "" : ", ") + key;
    out += item("Not answered in the site file: " + keys + ".");
  }
  out += item(words.text("no_log_can_show"));
  out += item(words.text("not_opened_note"));
  if (options.is_full) out += full_text(report, words);
  return out;
}

std::string run_line(const RunReport& report, const Words& words) {
  if (!report.runs.empty()) return "- nothing judged: the log holds several runs";
  if (!report.verdict) return "- nothing judged: no treatment was chosen";
  return verdict_word(report, words) + " " + sentence(report, words);
}

namespace {

std::string how_text(How how) {
  return how == How::given ? "given" : (how == How::found ? "found" : "assumed");
}

std::string shown(char c) {
  if (c == ' ') return "runs of blanks";
  return c == '\t' ? "tab" : std::string("\"") + c + "\"";
}

template <class T>
std::string choice_line(const std::string& what, const std::string& value, const Choice<T>& choice) {
  return wrapped(fmt::format("  {}{} ({}{})", padded(what, 16), value, how_text(choice.how),
                             choice.evidence.empty() ? "" : ": " + clean(choice.evidence)),
                 18);
}

std::string kind_text(ColumnKind kind) {
  switch (kind) {
  case ColumnKind::time:
    return "time";
  case ColumnKind::date:
    return "date";
  case ColumnKind::clock:
    return "clock";
  case ColumnKind::temperature:
    return "temperature";
  case ColumnKind::pressure:
    return "pressure";
  case ColumnKind::unit:
    return "units";
  default:
    return "not used";
  }
}

} // namespace

std::string understanding_text(const std::string& log_name, const Understanding& u) {
  std::string out = clean(log_name) + "\n";
  out += choice_line("encoding", u.encoding.value, u.encoding);
  out += choice_line("delimiter", shown(u.delimiter.value), u.delimiter);
  out += choice_line("decimal mark", shown(u.decimal_mark.value), u.decimal_mark);
  out += fmt::format("  {}{} line(s) before the header, header in line {}, data from line {}\n",
                     padded("lines", 16), u.preamble_lines, u.header_line, u.first_data_line);
  out += choice_line(
      "times", u.time.form.value == TimeRule::Form::iso ? "date and time, ISO 8601" : "elapsed", u.time.form);
  if (u.time.written_offset)
    out += fmt::format("  {}written with the times: {}\n", padded("zone", 16), *u.time.written_offset);
  else
    out += choice_line("zone", u.time.zone.value.empty() ? "not known" : u.time.zone.value, u.time.zone);
  for (const LogColumn& column : u.columns) {
    out += choice_line(fmt::format("column {}", column.position),
                       "\"" + clean(column.name) + "\", " + kind_text(column.kind.value), column.kind);
    if (column.kind.value == ColumnKind::temperature || column.kind.value == ColumnKind::pressure)
      out += choice_line("", "in " + unit_symbol(column.unit.value), column.unit);
  }
  return out;
}

} // namespace coldbag
