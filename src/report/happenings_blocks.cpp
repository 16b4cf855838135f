#include "report/happenings_blocks.h"

#include "report/layout.h"
#include "run/moment_text.h"

#include <fmt/format.h>

#include <algorithm>
#include <utility>

namespace coldbag {

namespace {

bool is_film(const Caution& caution) {
  return caution.kind == "film_over_limit";
}

bool says_when(const Caution& caution) {
  return std::any_of(caution.said.values.begin(), caution.said.values.end(),
                     [](const auto& value) { return value.first.ends_with("_at"); });
}

std::string caution_text(const RunReport& report, const Words& words, const Caution& caution) {
  std::string text = said_text(words, report, caution.said);
  if (caution.when_s && !says_when(caution))
    text += " (" + moment_for_people(report.clock, *caution.when_s) + ")";
  return clean(text);
}

std::string event_text(const RunReport& report, const Words& words, const EventResult& event) {
  const std::string key = "event_" + event.what;
  std::string line =
      moment_for_people(report.clock, event.at_s) + " " + (words.has(key) ? words.text(key) : event.what);
  if (!event.is_stated) line += " (" + words.text("events_seen") + ")";
  if (!event.probe.empty()) line += ", " + event.probe;
  if (!event.note.empty()) line += ": " + event.note;
  if (!event.who.empty()) line += " (" + event.who + ")";
  return clean(line);
}

} // namespace

Blocks film_blocks(const RunReport& report, const Words& words) {
  Blocks out;
  for (const Caution& caution : report.cautions)
    if (is_film(caution)) out.push_back(Paragraph{caution_text(report, words, caution), 2, Tone::warning});
  return out;
}

Blocks caution_blocks(const RunReport& report, const Words& words) {
  Blocks items;
  for (const Caution& caution : report.cautions)
    if (!is_film(caution)) items.push_back(Item{caution_text(report, words, caution)});
  return under({words.text("heading_cautions")}, std::move(items));
}

// Each kind once a probe: a bad contact may spike a hundred times.
Blocks fault_blocks(const RunReport& report, const Words& words) {
  Blocks items;
  for (const ProbeResult& p : report.probes)
    for (auto fault = p.faults.begin(); fault != p.faults.end(); ++fault) {
      const auto is_like = [&](const Fault& other) {
        return other.kind == fault->kind && other.effect == fault->effect;
      };
      if (std::any_of(p.faults.begin(), fault, is_like)) continue;
      const auto count = std::count_if(fault, p.faults.end(), is_like);
      items.push_back(Item{
          words.text(count > 1 ? "fault_line_more" : "fault_line",
                     {{"probe", clean(p.name)},
                      {"count", std::to_string(count)},
                      {"from", moment_for_people(report.clock, fault->from_s)},
                      {"to", moment_for_people(report.clock, fault->to_s)},
                      {"what", clean(said_text(words, report, said_of(*fault)))},
                      {"effect", words.text(fmt::format("fault_effect_{}", effect_text(fault->effect)))}})});
    }
  return under({words.text("faults_heading")}, std::move(items));
}

Blocks event_blocks(const RunReport& report, const Words& words) {
  Blocks items;
  for (const EventResult& event : report.events)
    items.push_back(Item{event_text(report, words, event)});
  return under({words.text("heading_events")}, std::move(items));
}

} // namespace coldbag
