#include "report/ledger_blocks.h"

#include "clock/zone.h"
#include "records/ledger.h"
#include "records/ledger_json.h"
#include "records/public_key.h"
#include "report/layout.h"

#include <string>

namespace coldbag {

namespace {

constexpr std::size_t number_width = 8;
constexpr std::size_t when_width = 18;
constexpr std::size_t kind_width = 13;
constexpr std::size_t run_width = 22;
constexpr std::size_t vessel_width = 9;
constexpr std::int64_t us_per_s = 1000000;

/// To the minute, by the clock on the wall where it happened.
std::string when_text(const ClockedInstant& at) {
  const std::int64_t us = at.at.time_since_epoch().count() + at.utc_offset_s * us_per_s;
  std::string text = print_iso_wall(WallTime{us}).substr(0, 16);
  if (const std::size_t t = text.find('T'); t != std::string::npos) text[t] = ' ';
  return text;
}

std::string kind_text(const std::string& kind, const Words& words) {
  const std::string key = "ledger_kind_" + kind;
  return words.text(key);
}

} // namespace

std::string kept_verdict_text(const std::string& verdict, const Words& words) {
  if (verdict.empty()) return "";
  const std::string key = "verdict_" + verdict;
  return words.text(key);
}

Blocks ledger_list_blocks(const std::vector<ListedRow>& rows, const Words& words) {
  if (rows.empty()) return {Paragraph{words.text("ledger_none")}};
  Table table;
  table.columns = {{words.text("ledger_column_number"), number_width},
                   {words.text("ledger_column_when"), when_width},
                   {words.text("ledger_column_kind"), kind_width},
                   {words.text("ledger_column_run"), run_width, true},
                   {words.text("ledger_column_vessel"), vessel_width, true},
                   {words.text("ledger_column_verdict")}};
  for (const ListedRow& row : rows) {
    const ClockedInstant at{Instant(std::chrono::microseconds(row.subject.event_us)), 0};
    table.rows.push_back(
        {{std::to_string(row.number), when_text(at), kind_text(row.subject.kind, words),
          clean(row.subject.run), clean(row.subject.vessel), kept_verdict_text(row.subject.verdict, words)},
         ""});
  }
  return {std::move(table)};
}

Blocks entry_blocks(const LedgerRow& row, const Entry& entry, const Words& words) {
  const RowSubject subject = subject_of(entry);
  Blocks out{Heading{words.text("ledger_entry", {{"number", std::to_string(row.number)},
                                                 {"kind", kind_text(subject.kind, words)}}),
                     1}};
  if (!subject.run.empty()) out.push_back(Item{words.text("ledger_of_run", {{"run", clean(subject.run)}})});
  if (!subject.verdict.empty())
    out.push_back(
        Item{words.text("ledger_judged", {{"verdict", kept_verdict_text(subject.verdict, words)}})});
  out.push_back(Item{words.text("ledger_happened", {{"at", when_text(entry.event_at)}})});
  out.push_back(Item{words.text(is_entered_late(entry) ? "ledger_entered_late" : "ledger_entered",
                                {{"at", when_text(entry.entered_at)}})});
  const std::string meaning = "ledger_meaning_" + std::string(word(entry.who.meaning));
  out.push_back(Item{
      words.text("ledger_signed_by", {{"name", clean(entry.who.name)}, {"meaning", words.text(meaning)}})});
  for (const EntryId& id : entry.refers_to)
    out.push_back(Item{words.text("ledger_refers_to", {{"id", hex_text(id)}})});
  for (const Attachment& file : entry.attachments)
    out.push_back(Item{words.text("ledger_file", {{"file", clean(file.name)},
                                                  {"size", std::to_string(file.size_bytes)},
                                                  {"hash", hex_text(file.sha256)}})});
  out.push_back(Item{words.text("ledger_hashes", {{"id", row.id}, {"root", row.root}})});
  return out;
}

Blocks ledger_check_blocks(const LedgerCheck& check, bool has_seal, bool recomputed, const Words& words) {
  Blocks out;
  if (check.fault) {
    const std::string& fault = check.fault->key;
    out.push_back(Paragraph{words.text("ledger_broken", {{"number", std::to_string(check.fault->number)},
                                                         {"why", words.text(fault)}}),
                            2, Tone::warning});
    if (!check.fault->detail.empty()) out.push_back(Item{clean(check.fault->detail)});
    out.push_back(Item{words.text("ledger_holds_before", {{"count", std::to_string(check.entries)}})});
    return out;
  }
  out.push_back(Paragraph{words.text(
      "ledger_whole", {{"count", std::to_string(check.entries)}, {"files", std::to_string(check.files)}})});
  if (recomputed) out.push_back(Item{words.text("ledger_recomputed")});
  for (const std::uint64_t number : check.lost)
    out.push_back(
        Paragraph{words.text("ledger_lost_key", {{"number", std::to_string(number)}}), 2, Tone::warning});
  for (const PublicKey& key : check.keys)
    out.push_back(Item{words.text("ledger_key", {{"fingerprint", fingerprint(key)}})});
  out.push_back(Item{words.text("ledger_seal", {{"seal", seal_text(check.head)}})});
  out.push_back(Item{words.text(has_seal ? "ledger_sealed" : "ledger_not_sealed")});
  out.push_back(Item{words.text("ledger_cannot_show")});
  return out;
}

} // namespace coldbag
