#include "cli/setup_log.h"

#include "cli/log_options.h"
#include "logs/rows.h"
#include "report/layout.h"

#include <fmt/format.h>

#include <algorithm>

namespace coldbag {

namespace {

std::string words_of(const LogSettingRule& rule) {
  std::string all;
  for (const std::string& word : rule.words)
    all += (all.empty() ? "" : ", ") + word;
  return all;
}

/// What stands for a setting as an option does; with why not, where it is none of its words.
Take taken(Given& given, const LogSettingRule& rule) {
  return [&given, &rule](const std::string& answer) -> std::optional<Objection> {
    if (!rule.words.empty() && std::find(rule.words.begin(), rule.words.end(), answer) == rule.words.end())
      return Objection{"\"" + answer + "\" is none of its values", "type one of " + words_of(rule)};
    given.answer(option_of_setting(rule.key), answer);
    return {};
  };
}

bool ask_setting(Desk& desk, const Words& words, Given& given, const LogSettingRule& rule) {
  return ask_until_taken(desk, words.text(fmt::format("setup_ask_log_{}", rule.key)), taken(given, rule));
}

/// The setting that would settle why a log could not be read.
const LogSettingRule* setting_wanted(const UserError& error, const Given& given) {
  const std::string& remedy = error.complaints().front().remedy;
  for (const LogSettingRule& rule : log_setting_rules()) {
    const std::string option = option_of_setting(rule.key);
    if (!given.has(option) && remedy.find("--" + option) != std::string::npos) return &rule;
  }
  return nullptr;
}

ProbeLog open_log(Desk& desk, const Words& words, Given& given, const std::string& path) {
  for (;;) {
    try {
      LogOptions options;
      read_log_options(given, options);
      return ProbeLog::open(Source::file(path), options);
    } catch (const UserError& error) {
      const LogSettingRule* wanted = desk.is_person() ? setting_wanted(error, given) : nullptr;
      if (wanted == nullptr) throw;
      const UserError told = desk.told(error);
      for (const Complaint& complaint : told.complaints())
        desk.tell(wrapped(to_text(complaint), 2));
      if (!ask_setting(desk, words, given, *wanted)) throw;
    }
  }
}

const LogSettingRule& rule_of(const std::string& key) {
  const auto rules = log_setting_rules();
  return *std::find_if(rules.begin(), rules.end(),
                       [&](const LogSettingRule& rule) { return rule.key == key; });
}

/// Keeps what later logs of the recorder may not settle; asks for what this one did not.
void keep(Desk& desk, const Words& words, Given& given, SetupAnswers& answers, const std::string& key,
          How how, const std::string& found) {
  const std::string option = option_of_setting(key);
  if (given.has(option) || how == How::given) return;
  if (how == How::found)
    given.answer(option, found);
  else if (!desk.is_person() || !ask_setting(desk, words, given, rule_of(key)))
    answers.log.push_back({key, "?"});
}

std::string word_of(DateOrder order) {
  switch (order) {
  case DateOrder::day_first:
    return "day-first";
  case DateOrder::month_first:
    return "month-first";
  default:
    return "year-first";
  }
}

/// Where a column's own name does not say it, a person is asked.
std::optional<ProbeRole> place_of(Desk& desk, const Words& words, const std::string& column) {
  const ProbeRole named = role_by_name(column);
  if (named != ProbeRole::unstated) return named;
  if (!desk.is_person()) return std::nullopt;
  std::optional<ProbeRole> place;
  ask_until_taken(desk, words.text("setup_ask_place", {{"column", clean(column)}}),
                  [&](const std::string& answer) -> std::optional<Objection> {
                    for (const ProbeRole role : {ProbeRole::bag, ProbeRole::vessel, ProbeRole::lid,
                                                 ProbeRole::drain, ProbeRole::surface, ProbeRole::outside})
                      if (role_text(role) == answer) place = role;
                    if (place) return {};
                    return Objection{"\"" + answer + "\" is no place",
                                     "type bag, vessel, lid, drain, surface or outside"};
                  });
  return place;
}

} // namespace

void take_log(Desk& desk, const Words& words, Given given, const std::string& path, SetupAnswers& answers) {
  const ProbeLog log = open_log(desk, words, given, path);
  const Understanding& understood = log.understanding();
  if (understood.time.date_order)
    keep(desk, words, given, answers, "date_order", understood.time.date_order->how,
         word_of(understood.time.date_order->value));
  bool unit_assumed = false;
  for (const int index : log.value_columns()) {
    const LogColumn& column = understood.columns[static_cast<std::size_t>(index)];
    if (column.kind.value != ColumnKind::temperature) continue;
    unit_assumed = unit_assumed || column.unit.how == How::assumed;
    answers.probes.push_back({column.name, place_of(desk, words, column.name), {}, {}, {}});
  }
  if (unit_assumed) keep(desk, words, given, answers, "unit", How::assumed, "");
  take_log_settings(given, answers);
}

void take_log_settings(const Given& given, SetupAnswers& answers) {
  for (const LogSettingRule& rule : log_setting_rules())
    if (const std::string option = option_of_setting(rule.key); given.has(option))
      answers.log.push_back({rule.key, given.text(option)});
}

} // namespace coldbag
