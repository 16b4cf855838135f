#include "cli/record_questions.h"

#include "probes/check_rules.h"
#include "records/query.h"
#include "report/query_blocks.h"
#include "report/screen.h"

#include <algorithm>
#include <utility>

namespace coldbag {

namespace {

int days_between_checks(const TableFiles& tables) {
  return static_cast<int>(read_check_rules(tables).next_due_after_days);
}

} // namespace

RecordRule rule_asked(const RecordWork& work, bool is_keep) {
  std::vector<RecordRule> rules = read_record_rules(work.tables);
  std::erase_if(rules, [&](const RecordRule& rule) { return rule.is_keep != is_keep; });
  const std::string asked = work.given.text("rule");
  std::vector<std::pair<std::string, RecordRule>> choices;
  for (const RecordRule& rule : rules)
    choices.emplace_back(rule.key, rule);
  if (!asked.empty()) return one_of("rule", asked, choices);
  if (rules.empty())
    throw UserError(usage("record-rules.csv has no such rule", "take the table that the program carries"));
  const auto by_value = [](const RecordRule& a, const RecordRule& b) { return a.value < b.value; };
  return is_keep ? *std::ranges::max_element(rules, by_value) : *std::ranges::min_element(rules, by_value);
}

int list_open(const RecordWork& work) {
  print(screen_text(
      open_blocks(open_deviations(read_history(opened_ledger(work), Reports::left_out)), work.words)));
  return 0;
}

int due(const RecordWork& work) {
  const RecordRule rule = rule_asked(work, false);
  const History history = read_history(opened_ledger(work), Reports::left_out);
  print(screen_text(due_blocks(missing_reviews(history, rule.value, now()),
                               last_checks(history, days_between_checks(work.tables), now()), rule.value,
                               work.words)));
  return 0;
}

int keep(const RecordWork& work) {
  const RecordRule rule = rule_asked(work, true);
  const History history = read_history(opened_ledger(work), Reports::left_out);
  print(screen_text(keep_blocks(keep_until(history, rule.value, now()), rule, work.words)));
  return 0;
}

std::optional<std::set<std::uint64_t>> runs_by_history(const RecordWork& work, const Store& store) {
  const Given& given = work.given;
  if (!given.has("lot") && !given.has("reviewed")) return std::nullopt;
  const std::string reviewed = given.text("reviewed");
  if (given.has("reviewed"))
    static_cast<void>(one_of<bool>("reviewed", reviewed, {{"yes", true}, {"no", false}}));
  const History history = read_history(store, Reports::left_out);
  std::set<std::uint64_t> chosen;
  const auto trails = lot_trails(history);
  for (const LotTrail& trail : given.has("lot") ? trails_of(trails, given.text("lot")) : trails)
    if (reviewed.empty() || is_reviewed(history, trail.number) == (reviewed == "yes"))
      chosen.insert(trail.number);
  return chosen;
}

int trace(const RecordWork& work) {
  if (work.operands.size() != 1)
    throw UserError(usage("record trace needs one name",
                          "give a lot, a spawn lot, a room or a run: coldbag record trace L7"));
  const std::string& name = work.operands.front();
  const History history = read_history(opened_ledger(work), Reports::left_out);
  print(screen_text(trail_blocks(trails_of(lot_trails(history), name), name, work.words)));
  return 0;
}

} // namespace coldbag
