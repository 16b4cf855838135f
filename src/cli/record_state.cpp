#include "cli/record_state.h"

#include "clock/instant.h"
#include "records/run_entry_json.h"
#include "records/statement_json.h"
#include "records/statement_rules.h"
#include "report/layout.h"
#include "report/query_blocks.h"
#include "report/screen.h"
#include "run/moment_text.h"
#include "run/report_words.h"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <array>
#include <chrono>
#include <utility>

namespace coldbag {

namespace {

constexpr std::int64_t us_per_s = 1000000;

constexpr std::array<std::pair<std::string_view, EntryKind>, 9> statement_works{{
    {"review", EntryKind::review},
    {"decide", EntryKind::disposition},
    {"deviation", EntryKind::deviation},
    {"remedy", EntryKind::corrective_action},
    {"inoculate", EntryKind::inoculation},
    {"outcome", EntryKind::outcome},
    {"spore-strip", EntryKind::spore_strip},
    {"probe-check", EntryKind::probe_check},
    {"amend", EntryKind::amendment},
}};

std::string option_of(std::string name) {
  std::ranges::replace(name, '_', '-');
  return name;
}

/// An amendment may put right whatever is asked of a run.
std::vector<RecordField> fields_asked(const TableFiles& tables, EntryKind kind) {
  const auto all = read_record_fields(tables);
  std::vector<RecordField> fields = fields_of(all, kind);
  if (kind == EntryKind::amendment)
    for (RecordField& field : fields_of(all, EntryKind::run))
      fields.push_back(std::move(field));
  return fields;
}

/// The older entry a statement is about, with what is found by.
struct Older {
  std::uint64_t number = 0;
  EntryId id{};
  EntryKind kind = EntryKind::run;
  Statement subject; ///< without fields
  std::string verdict;
  int utc_offset_s = 0;
};

Older older_entry(const Store& store, const std::string& operand) {
  const std::uint64_t number = entry_number(store, operand);
  const Entry entry = entry_of(*store.row(number));
  Older older{number, id_of(entry), entry.kind, {}, "", entry.event_at.utc_offset_s};
  if (entry.kind == EntryKind::run) {
    const RunContent content = read_run_content("entry", entry.content);
    older.subject = {content.run, content.vessel, content.treatment, {}};
    older.verdict = content.verdict;
  } else if (is_statement(entry.kind)) {
    older.subject = read_statement("entry", entry.content);
    older.subject.fields.clear();
  }
  return older;
}

void check_kind(EntryKind kind, const Older& older, const std::string& operand) {
  const auto allowed = is_about(kind);
  if (allowed.empty() || std::ranges::find(allowed, older.kind) != allowed.end()) return;
  throw UserError(usage("entry \"" + operand + "\" is of kind \"" + std::string(word(older.kind)) + "\"",
                        "name one of kind \"" + std::string(word(allowed.front())) +
                            "\": coldbag record list --kind shows them"));
}

/// --at, by the clock of the run where it says no zone; a day alone is its noon.
ClockedInstant happened_at(const Given& given, int utc_offset_s) {
  if (!given.has("at")) return {now(), 0};
  const std::string text = given.text("at");
  const auto time = parse_iso_time(text);
  if (!time)
    refuse_option("at", "\"" + text + "\" is no time",
                  "write for example 2026-03-01, \"2026-03-01 10:30\" or 2026-03-01T10:30:00-05:00");
  constexpr std::int64_t noon_us = 12 * 3600 * us_per_s;
  ClockedInstant at;
  at.utc_offset_s = time->offset_s.value_or(utc_offset_s);
  at.at = Instant(std::chrono::microseconds(time->wall.us + (time->has_clock ? 0 : noon_us) -
                                            at.utc_offset_s * us_per_s));
  // Today has a noon that may be to come.
  if (!time->has_clock && at.at > now() && at.at - now() < std::chrono::hours(12)) at.at = now();
  if (at.at > now()) refuse_option("at", "\"" + text + "\" is still to come", "write when it happened");
  return at;
}

Entry stated(EntryKind kind, const Signer& who, const ClockedInstant& at, const Statement& statement,
             std::vector<EntryId> about) {
  Entry entry = entry_now(who, kind);
  entry.event_at = at;
  entry.content = statement_json(statement);
  entry.refers_to = std::move(about);
  return entry;
}

/// A deviation, with the words of whoever keeps the ledger.
NewEntry deviation(const Signer& who, const ClockedInstant& at, Statement subject, const std::string& event,
                   std::string what, std::vector<EntryId> about) {
  subject.fields = {{"event", event}, {"what", std::move(what)}};
  return with_files(
      stated(EntryKind::deviation, {who.name, Meaning::authorship}, at, subject, std::move(about)), {});
}

[[noreturn]] void throw_about_options(std::vector<Complaint> complaints) {
  for (Complaint& complaint : complaints)
    complaint.place.key_path = "--" + option_of(complaint.place.key_path);
  throw UserError(std::move(complaints));
}

/// A statement and what it opens.
std::vector<NewEntry> entries_of(const RecordWork& work, EntryKind kind, const FieldTexts& fields,
                                 const Signer& who, const Older* older) {
  const std::string verdict = older != nullptr ? older->verdict : "";
  if (auto complaints = complaints_about(kind, fields, who.name, verdict); !complaints.empty())
    throw_about_options(std::move(complaints));
  const ClockedInstant at = happened_at(work.given, older != nullptr ? older->utc_offset_s : 0);
  Statement statement = older != nullptr ? older->subject : Statement{};
  statement.fields = fields;
  std::vector<EntryId> about;
  if (older != nullptr) about.push_back(older->id);
  std::vector<NewEntry> entries{with_files(stated(kind, who, at, statement, about), {})};
  if (const auto event = deviation_opened_by(kind, fields, verdict)) {
    about.push_back(id_of(entries.front().entry));
    entries.push_back(
        deviation(who, at, statement, *event, work.words.text("record_growth_after_pass"), about));
  }
  return entries;
}

void tell(const RecordWork& work, EntryKind kind, std::uint64_t number, const std::string& run) {
  const std::string kind_key = "ledger_kind_" + std::string(word(kind));
  const std::string key = run.empty() ? "record_stated" : "record_stated_of";
  print(screen_text({Paragraph{work.words.text(
      key,
      {{"number", std::to_string(number)}, {"kind", work.words.text(kind_key)}, {"run", clean(run)}})}}));
}

} // namespace

std::optional<EntryKind> statement_named(std::string_view work) {
  const auto found = std::ranges::find(statement_works, work, &std::pair<std::string_view, EntryKind>::first);
  if (found == statement_works.end()) return std::nullopt;
  return found->second;
}

std::vector<std::string> statement_words() {
  std::vector<std::string> words;
  for (const auto& [work, kind] : statement_works)
    words.emplace_back(work);
  return words;
}

void add_field_options(OptionGroup& group, const TableFiles& tables, const Words& words, EntryKind kind) {
  for (const RecordField& field : fields_asked(tables, kind)) {
    std::string says = field_label(field.name, words);
    if (!field.choices.empty()) says += fmt::format(": {}", fmt::join(field.choices, ", "));
    if (field.is_needed) says += " " + words.text("record_field_needed");
    group.described_text(option_of(field.name), says);
  }
}

FieldTexts given_fields(const RecordWork& work, EntryKind kind) {
  const auto fields = fields_asked(work.tables, kind);
  FieldTexts texts;
  for (const RecordField& field : fields)
    if (const std::string text = trimmed_text(work.given.text(option_of(field.name))); !text.empty())
      texts[field.name] = text;
  if (auto complaints = complaints_about(fields, texts); !complaints.empty())
    throw_about_options(std::move(complaints));
  return texts;
}

int state(const RecordWork& work, EntryKind kind) {
  const FieldTexts fields = given_fields(work, kind);
  const Signer who = signer_of(work, meaning_of(kind));
  Store store = opened_ledger(work);
  if (kind == EntryKind::probe_check) {
    if (!work.operands.empty())
      throw UserError(
          usage("a probe check is about no entry, and \"" + work.operands.front() + "\" was named",
                "name the probe with --probe"));
    const auto made = entries_of(work, kind, fields, who, nullptr);
    tell(work, kind, add_entries(store, signing_key(work), made), "");
    return 0;
  }
  if (work.operands.empty())
    throw UserError(usage("it is not said which entry this is about",
                          "give its number, or the name of the run: coldbag record list shows them"));
  // All is looked at before anything is added.
  std::vector<NewEntry> all;
  std::vector<std::string> runs;
  for (const std::string& operand : work.operands) {
    const Older older = older_entry(store, operand);
    check_kind(kind, older, operand);
    for (NewEntry& made : entries_of(work, kind, fields, who, &older)) {
      all.push_back(std::move(made));
      runs.push_back(older.subject.run);
    }
  }
  const std::uint64_t number = add_entries(store, signing_key(work), all);
  for (std::size_t i = 0; i < all.size(); ++i)
    tell(work, all[i].entry.kind, number + i, runs[i]);
  return 0;
}

std::vector<NewEntry> deviations_of(const RunReport& report, const Entry& run, const Words& words) {
  const RunContent content = read_run_content("entry", run.content);
  std::vector<NewEntry> deviations;
  for (const EventResult& event : report.events) {
    const bool is_before = !report.steam_off_at_s || event.at_s < *report.steam_off_at_s;
    const auto deviates = event.is_stated ? deviation_of_event(event.what, is_before) : std::nullopt;
    if (!deviates) continue;
    const std::string key = "event_" + event.what;
    std::string what = words.text(
        "record_event_at", {{"event", words.text(key)}, {"at", moment_for_people(report.clock, event.at_s)}});
    if (!event.note.empty()) what += ": " + event.note;
    deviations.push_back(deviation(run.who, run.event_at,
                                   {content.run, content.vessel, content.treatment, {}}, *deviates,
                                   std::move(what), {id_of(run)}));
  }
  return deviations;
}

} // namespace coldbag
