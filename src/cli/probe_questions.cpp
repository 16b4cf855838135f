#include "cli/probe_questions.h"

#include "cli/probe_readings.h"
#include "report/layout.h"
#include "report/made_check_text.h"

#include <string_view>

namespace coldbag {

namespace {

/// Keeps the answer where the check would take it; what an option would be told, a person is told at once.
Take taken(Given& given, const Bench& bench, const std::string& option) {
  return [&given, &bench, option](const std::string& answer) -> std::optional<Objection> {
    Given trial = given;
    trial.answer(option, answer);
    try {
      Bench here = bench;
      find_pressure(trial, here);
      if (option != "pressure-at-site") must_be_temperature(option, answer, bench);
      given = trial;
      return {};
    } catch (const UserError& error) {
      const Complaint& complaint = error.complaints().front();
      return Objection{complaint.problem, complaint.remedy};
    }
  };
}

void ask_one(Desk& desk, Given& given, const Bench& bench, const std::string& option,
             const std::string& question) {
  if (!given.has(option)) ask_until_taken(desk, question, taken(given, bench, option));
}

} // namespace

bool ask_readings(Desk& desk, Given& given, const Bench& bench, const Words& words) {
  desk.tell(how_to_check_text(words) + "\n" +
            wrapped(words.text("probe_begin",
                               {{"probe", clean(bench.probe)}, {"site", clean(bench.site.source_name)}}),
                    0));
  ask_one(desk, given, bench, "ice", words.text("probe_ask_ice"));
  ask_one(desk, given, bench, "boil", words.text("probe_ask_boil"));
  if (given.has("ice")) ask_one(desk, given, bench, "ice-left", words.text("probe_ask_ice_left"));
  if (given.has("boil")) ask_one(desk, given, bench, "boil-left", words.text("probe_ask_boil_left"));
  if (given.has("boil") && !given.has("pressure-at-sea-level"))
    ask_one(desk, given, bench, "pressure-at-site", words.text("probe_ask_barometer"));
  if (!given.has("by"))
    if (const auto by = desk.ask(words.text("probe_ask_by")); by && !by->empty()) given.answer("by", *by);
  return given.has("ice") || given.has("boil");
}

bool is_confirmed(Desk& desk, const std::string& path, const Words& words) {
  const auto answer = desk.ask("\n" + words.text("probe_ask_add", {{"file", path}}));
  // "yes", "sí"
  return answer &&
         (answer->empty() || std::string_view("ysYS").find(answer->front()) != std::string_view::npos);
}

} // namespace coldbag
