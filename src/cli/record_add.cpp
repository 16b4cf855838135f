#include "cli/record_add.h"

#include "cli/desk.h"
#include "cli/record_run.h"
#include "cli/record_state.h"
#include "report/layout.h"
#include "report/query_blocks.h"
#include "report/screen.h"
#include "run/moment_text.h"
#include "run/report_words.h"

#include <utility>

namespace coldbag {

namespace {

constexpr std::int64_t us_per_s = 1000000;

/// When a run began, by its own clock where that is known.
ClockedInstant began(const RunReport& report) {
  if (!report.clock.start) return {now(), 0};
  ClockedInstant at{*report.clock.start, 0};
  if (const auto wall = wall_at(report.clock, 0)) {
    const std::int64_t ahead_s = (wall->us - at.at.time_since_epoch().count()) / us_per_s;
    if (ahead_s % 60 == 0) at.utc_offset_s = static_cast<int>(ahead_s);
  }
  return at;
}

std::string verdict_of(const RunReport& report, const Words& words) {
  if (!report.verdict) return words.text("bare_nothing_judged");
  const std::string key = "verdict_" + std::string(word(*report.verdict));
  return words.text(key);
}

void ask_field(Desk& desk, const RecordField& field, const Words& words, FieldTexts& texts) {
  const std::string label = field_label(field.name, words);
  ask_until_taken(desk, words.text("record_ask_field", {{"field", label}}),
                  [&](const std::string& text) -> std::optional<Objection> {
                    const auto wrong = complaints_about({field}, {{field.name, text}});
                    if (!wrong.empty()) return Objection{wrong.front().problem, wrong.front().remedy};
                    texts[field.name] = text;
                    return std::nullopt;
                  });
}

/// The fields of a run: as options, and the others asked once of a person at a terminal.
FieldTexts asked_fields(const RecordWork& work) {
  FieldTexts texts = given_fields(work, EntryKind::run);
  Desk desk(work.words.errors());
  if (!desk.is_person()) return texts;
  desk.tell(work.words.text("record_ask_begin") + "\n");
  for (const RecordField& field : fields_of(read_record_fields(work.tables), EntryKind::run))
    if (!texts.contains(field.name)) ask_field(desk, field, work.words, texts);
  return texts;
}

void tell(const RecordWork& work, const JudgedRun& run, std::uint64_t number, std::size_t deviations) {
  Blocks blocks{
      Paragraph{work.words.text("record_added", {{"number", std::to_string(number)},
                                                 {"run", clean(run.content.run)},
                                                 {"verdict", verdict_of(run.report, work.words)}})}};
  if (deviations > 0)
    blocks.push_back(
        Item{work.words.text("record_deviations_opened", {{"count", std::to_string(deviations)}})});
  print(screen_text(blocks));
}

} // namespace

int add_runs(const RecordWork& work) {
  if (work.operands.empty())
    throw UserError(
        usage("record add needs a run file", "write for example coldbag record add tonight/run.toml"));
  const Signer signer = signer_of(work, Meaning::authorship);
  const FieldTexts fields = asked_fields(work);
  Store store = opened_ledger(work);
  const SigningKey key = signing_key(work);
  for (const std::string& path : work.operands) {
    JudgedRun run = judge_to_keep(path, work.given, work.words, work.tables);
    run.content.fields = fields;
    Entry entry = entry_now(signer, EntryKind::run);
    entry.event_at = began(run.report);
    entry.content = run_content_json(run.content);
    std::vector<NewEntry> entries{with_files(std::move(entry), std::move(run.files))};
    for (NewEntry& deviation : deviations_of(run.report, entries.front().entry, work.words))
      entries.push_back(std::move(deviation));
    tell(work, run, add_entries(store, key, entries), entries.size() - 1);
  }
  return 0;
}

} // namespace coldbag
