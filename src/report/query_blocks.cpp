#include "report/query_blocks.h"

#include "report/layout.h"
#include "report/ledger_blocks.h"
#include "run/report_words.h"

#include <algorithm>
#include <string_view>
#include <utility>

namespace coldbag {

namespace {

constexpr std::size_t number_width = 8;
constexpr std::size_t run_width = 26;
constexpr std::size_t day_width = 12;
constexpr std::size_t verdict_width = 12;
constexpr std::size_t event_width = 14;

std::string day_text(WallTime wall) {
  return print_iso_wall(wall).substr(0, 10);
}

std::string choice_text(const std::string& choice, const Words& words) {
  const std::string key = "choice_" + choice;
  return words.has(key) ? words.text(key) : clean(choice);
}

std::string joined(const std::vector<std::string>& texts) {
  std::string all;
  for (const std::string& text : texts)
    all += (all.empty() ? "" : ", ") + clean(text);
  return all;
}

std::string value_of(const std::vector<RecordField>& fields, const std::string& name, const std::string& text,
                     const Words& words) {
  const auto field = std::ranges::find(fields, name, &RecordField::name);
  return field != fields.end() && field->form == FieldForm::choice ? choice_text(text, words) : clean(text);
}

/// "12 review, 2026-03-09, Ben Example: yes".
std::string statement_line(const KeptStatement& kept, const Words& words) {
  const std::string kind_key = "ledger_kind_" + std::string(word(kept.kind));
  std::string says;
  for (const auto& [name, text] : kept.statement.fields) {
    const std::string label = field_label(name, words);
    says += (says.empty() ? "" : "; ") + label + ": " + choice_text(text, words);
  }
  return words.text("ledger_statement", {{"number", std::to_string(kept.number)},
                                         {"kind", words.text(kind_key)},
                                         {"day", day_text(wall_of(kept.event_at))},
                                         {"name", clean(kept.who.name)},
                                         {"says", says}});
}

std::string inoculated_text(const LotTrail::Inoculated& lot, const Words& words) {
  std::string text = words.text("trail_lot", {{"lot", clean(lot.lot)}, {"bags", clean(lot.bags)}});
  if (!lot.spawn_lots.empty()) text += words.text("trail_spawn", {{"lots", joined(lot.spawn_lots)}});
  if (!lot.room.empty()) text += words.text("trail_room", {{"room", clean(lot.room)}});
  return text;
}

std::string disposition_text(const std::string& disposition, const Words& words) {
  const std::size_t colon = disposition.find(": ");
  if (colon == std::string::npos) return choice_text(disposition, words);
  return choice_text(disposition.substr(0, colon), words) + ": " + clean(disposition.substr(colon + 2));
}

Blocks one_trail(const LotTrail& trail, const Words& words) {
  Blocks out{Heading{words.text("trail_run", {{"number", std::to_string(trail.number)},
                                              {"run", clean(trail.run)},
                                              {"verdict", kept_verdict_text(trail.verdict, words)},
                                              {"day", day_text(wall_of(trail.event_at))}}),
                     3}};
  if (!trail.went_in.empty()) out.push_back(Item{words.text("trail_in", {{"lots", joined(trail.went_in)}})});
  for (const LotTrail::Inoculated& lot : trail.came_out)
    out.push_back(Item{inoculated_text(lot, words)});
  for (const std::string& disposition : trail.dispositions)
    out.push_back(
        Item{words.text("trail_disposition", {{"disposition", disposition_text(disposition, words)}})});
  if (trail.bad > 0) out.push_back(Item{words.text("trail_bad", {{"bad", std::to_string(trail.bad)}})});
  return out;
}

Blocks review_table(const std::vector<MissingReview>& reviews, const Words& words) {
  Table table;
  table.columns = {{words.text("ledger_column_number"), number_width},
                   {words.text("ledger_column_run"), run_width, true},
                   {words.text("ledger_column_verdict"), verdict_width},
                   {words.text("due_column_due")}};
  for (const MissingReview& review : reviews)
    table.rows.push_back({{std::to_string(review.number), clean(review.run),
                           kept_verdict_text(review.verdict, words), day_text(review.due)},
                          ""});
  return {std::move(table)};
}

std::string check_line(const LastCheck& check, const Words& words) {
  const std::string runs = std::to_string(check.runs_since);
  if (!check.on) return words.text("due_never_checked", {{"probe", clean(check.probe)}, {"runs", runs}});
  if (!check.is_good)
    return words.text("due_bad_check",
                      {{"probe", clean(check.probe)}, {"on", day_text(*check.on)}, {"runs", runs}});
  return words.text("due_check", {{"probe", clean(check.probe)},
                                  {"on", day_text(*check.on)},
                                  {"due", day_text(*check.next_due)},
                                  {"runs", runs}});
}

} // namespace

std::string field_label(const std::string& field, const Words& words) {
  const std::string key = "field_" + field;
  return words.has(key) ? words.text(key) : clean(field);
}

Blocks field_blocks(const std::vector<RecordField>& fields, const FieldTexts& texts, const Words& words) {
  Blocks out;
  for (const auto& [name, text] : texts)
    out.push_back(Item{words.text("ledger_field", {{"field", field_label(name, words)},
                                                   {"text", value_of(fields, name, text, words)}})});
  return out;
}

Blocks empty_field_blocks(const std::vector<RecordField>& fields, const FieldTexts& texts,
                          const Words& words) {
  std::string empty;
  for (const RecordField& field : fields)
    if (!texts.contains(field.name)) empty += (empty.empty() ? "" : ", ") + field_label(field.name, words);
  if (empty.empty()) return {};
  return {Item{words.text("ledger_not_stated", {{"fields", empty}})}};
}

Blocks statements_about_blocks(const History& history, std::uint64_t run, const Words& words) {
  Blocks out;
  for (const KeptStatement& kept : history.statements) {
    const auto about = runs_about(history, kept);
    if (std::ranges::find(about, run) != about.end()) out.push_back(Item{statement_line(kept, words)});
  }
  return under(Heading{words.text("ledger_stated_since"), 2}, std::move(out));
}

Blocks open_blocks(const std::vector<OpenDeviation>& open, const Words& words) {
  if (open.empty()) return {Paragraph{words.text("open_none")}};
  Table table;
  table.columns = {{words.text("ledger_column_number"), number_width},
                   {words.text("ledger_column_when"), day_width},
                   {words.text("ledger_column_run"), run_width, true},
                   {words.text("open_column_event"), event_width},
                   {.title = words.text("open_column_what"), .goes_under = true}};
  for (const OpenDeviation& one : open)
    table.rows.push_back({{std::to_string(one.number), day_text(wall_of(one.event_at)), clean(one.run),
                           choice_text(one.event, words), clean(one.what)},
                          ""});
  return {std::move(table), Paragraph{words.text("open_how")}};
}

Blocks due_blocks(const std::vector<MissingReview>& reviews, const std::vector<LastCheck>& checks,
                  int working_days, const Words& words) {
  Blocks out;
  if (reviews.empty()) {
    out.push_back(Paragraph{words.text("due_no_review", {{"days", std::to_string(working_days)}})});
  } else {
    out.push_back(Heading{words.text("due_reviews", {{"days", std::to_string(working_days)}}), 2});
    append(out, review_table(reviews, words));
  }
  Blocks overdue;
  for (const LastCheck& check : checks)
    if (check.is_overdue) overdue.push_back(Item{check_line(check, words)});
  if (overdue.empty()) out.push_back(Paragraph{words.text("due_no_check")});
  append(out, under(Heading{words.text("due_checks"), 2}, std::move(overdue)));
  return out;
}

Blocks keep_blocks(const std::vector<KeepUntil>& kept, const RecordRule& rule, const Words& words) {
  if (kept.empty()) return {Paragraph{words.text("ledger_none")}};
  Table table;
  table.columns = {{words.text("ledger_column_number"), number_width},
                   {words.text("ledger_column_run"), run_width, true},
                   {words.text("keep_column_until"), day_width},
                   {""}};
  for (const KeepUntil& one : kept)
    table.rows.push_back({{std::to_string(one.number), clean(one.run), day_text(one.until),
                           one.is_past ? words.text("keep_past") : ""},
                          ""});
  return {Paragraph{words.text("keep_rule", {{"rule", rule.key}, {"years", std::to_string(rule.value)}})},
          std::move(table), Paragraph{words.text("keep_lists_only")}};
}

Blocks trail_blocks(const std::vector<LotTrail>& trails, const std::string& name, const Words& words) {
  if (trails.empty()) return {Paragraph{words.text("trail_none", {{"name", clean(name)}})}};
  Blocks out{Heading{
      words.text("trail_title", {{"name", clean(name)}, {"count", std::to_string(trails.size())}}), 1}};
  for (const LotTrail& trail : trails)
    append(out, one_trail(trail, words));
  return out;
}

} // namespace coldbag
