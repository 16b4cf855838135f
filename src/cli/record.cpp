#include "cli/record.h"

#include "cli/language.h"
#include "cli/option_group.h"
#include "cli/options.h"
#include "cli/passphrase.h"
#include "cli/record_copy.h"
#include "cli/record_csv.h"
#include "cli/record_export.h"
#include "cli/record_import.h"
#include "cli/record_run.h"
#include "cli/record_work.h"
#include "clock/instant.h"
#include "records/key_file.h"
#include "records/ledger_json.h"
#include "records/public_key.h"
#include "records/verify.h"
#include "report/layout.h"
#include "report/ledger_blocks.h"
#include "report/screen.h"
#include "run/moment_text.h"
#include "run/report_words.h"

#include <boost/program_options.hpp>

#include <chrono>
#include <filesystem>
#include <functional>
#include <map>
#include <utility>

namespace coldbag {

namespace {

namespace po = boost::program_options;

constexpr std::int64_t us_per_s = 1000000;
constexpr int broken_status = 1;

po::options_description options_of_record(const Words& words) {
  OptionGroup where(words, "record");
  where.text("ledger").text("key").text("by", "record-by").flag("passphrase");
  OptionGroup which(words, "record_which");
  which.text("kind")
      .text("run", "record-run")
      .text("vessel", "record-vessel")
      .text("treatment", "record-treatment");
  which.text("verdict").text("from", "record-from").text("before", "record-before");
  OptionGroup looked(words, "record_looked");
  looked.text("to", "record-to").text("csv", "record-csv");
  looked.texts("seal").flag("recompute").text("tables").text("language").flag("help,h");
  po::options_description all;
  for (const OptionGroup* group : {&where, &which, &looked})
    all.add(group->described());
  return all;
}

int start(const RecordWork& work) {
  const std::string where = needed_option(work, "ledger", "write for example --ledger farm.ledger");
  const std::string key_path = needed_option(work, "key", "write for example --key farm.key");
  const Entry first = entry_now(signer_of(work, Meaning::authorship), EntryKind::key);
  const SigningKey key = SigningKey::make();
  // The key first: a ledger without its key is of no use, a key without a ledger does no harm.
  if (work.given.has("passphrase")) {
    const Secret passphrase = new_passphrase(work.words);
    write_key_file(key_path, key, &passphrase);
  } else {
    write_key_file(key_path, key, nullptr);
  }
  Store store = Store::make(where);
  begin_ledger(store, key, first);
  print(screen_text({Paragraph{work.words.text("record_started", {{"ledger", clean(where)}})},
                     Item{work.words.text("record_key_kept", {{"key", clean(key_path)}})},
                     Item{work.words.text("ledger_key", {{"fingerprint", fingerprint(key.public_key())}})},
                     Item{work.words.text("record_keep_apart")}}));
  return 0;
}

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

int add(const RecordWork& work) {
  if (work.operands.empty())
    throw UserError(
        usage("record add needs a run file", "write for example coldbag record add tonight/run.toml"));
  const Signer signer = signer_of(work, Meaning::authorship);
  Store store = opened_ledger(work);
  const SigningKey key = signing_key(work);
  for (const std::string& path : work.operands) {
    const JudgedRun run = judge_to_keep(path, work.given, work.words, work.tables);
    Entry entry = entry_now(signer, EntryKind::run);
    entry.event_at = began(run.report);
    entry.content = run_content_json(run.content);
    const std::uint64_t number = add_entry(store, key, std::move(entry), run.files);
    print(screen_text(
        {Paragraph{work.words.text("record_added", {{"number", std::to_string(number)},
                                                    {"run", clean(run.content.run)},
                                                    {"verdict", verdict_of(run.report, work.words)}})}}));
  }
  return 0;
}

int list(const RecordWork& work) {
  RowFilter filter;
  for (const auto& [option, into] : std::map<std::string, std::string*>{{"kind", &filter.kind},
                                                                        {"run", &filter.run},
                                                                        {"vessel", &filter.vessel},
                                                                        {"treatment", &filter.treatment},
                                                                        {"verdict", &filter.verdict}})
    *into = work.given.text(option);
  filter.from_us = day_option(work.given, "from");
  filter.before_us = day_option(work.given, "before");
  if (work.given.has("csv")) return list_csv(work, filter);
  print(screen_text(ledger_list_blocks(opened_ledger(work).list(filter), work.words)));
  return 0;
}

int show(const RecordWork& work) {
  const Store store = opened_ledger(work);
  if (work.operands.size() != 1)
    throw UserError(
        usage("record show needs the number of an entry", "write for example coldbag record show 12"));
  const auto row = store.row(entry_number(store, work.operands.front()));
  print(screen_text(entry_blocks(*row, entry_of(*row), work.words)));
  return 0;
}

std::vector<TreeHead> seals_of(const Given& given) {
  std::vector<TreeHead> seals;
  for (const std::string& text : given.texts("seal")) {
    const auto seal = read_seal(trimmed_text(text));
    if (!seal)
      refuse_option("seal", "\"" + text + "\" is no seal",
                    "give the line that coldbag record seal printed, in quotes");
    seals.push_back(*seal);
  }
  return seals;
}

int verify(const RecordWork& work) {
  const Store store = opened_ledger(work);
  const bool recomputes = work.given.has("recompute");
  LookAtEntry look;
  if (recomputes)
    look = [&](std::uint64_t, const Entry& entry) {
      return entry.kind == EntryKind::run ? recomputed_difference(store, entry, work.tables) : "";
    };
  const auto seals = seals_of(work.given);
  const LedgerCheck check = verify_ledger(store, seals, look);
  print(screen_text(ledger_check_blocks(check, !seals.empty(), recomputes, work.words)));
  return check.fault ? broken_status : 0;
}

int seal(const RecordWork& work) {
  const LedgerCheck check = verify_ledger(opened_ledger(work), seals_of(work.given), {});
  if (check.fault) {
    print(screen_text(ledger_check_blocks(check, false, false, work.words)));
    return broken_status;
  }
  print(seal_text(check.head) + "\n");
  return 0;
}

using Does = int (*)(const RecordWork& work);
const std::map<std::string, Does> works{{"start", start},
                                        {"add", add},
                                        {"list", list},
                                        {"show", show},
                                        {"verify", verify},
                                        {"seal", seal},
                                        {"export", record_export},
                                        {"backup", record_backup},
                                        {"copy", record_copy},
                                        {"import", record_import}};

} // namespace

int record_command(const std::vector<std::string>& arguments) {
  const Words words_of_help = help_words(arguments);
  const po::options_description described = options_of_record(words_of_help);
  const Given given = parse_options("record", described, {{"what", -1}}, arguments);
  if (given.has("help")) {
    print(help_text({{"coldbag record start|add|list|show|verify|seal --ledger FILE ..."},
                     words_of_help.text("help_says_record"),
                     R"(  coldbag record start --ledger farm.ledger --key farm.key --by "Ana Example"
  coldbag record add tonight/run.toml --ledger farm.ledger --key farm.key \
    --by "Ana Example"
  coldbag record verify --ledger farm.ledger --recompute
)"},
                    described));
    return 0;
  }
  std::vector<std::string> operands = given.texts("what");
  const auto found = operands.empty() ? works.end() : works.find(operands.front());
  if (found == works.end())
    throw UserError(usage(operands.empty() ? "record needs to know what to do"
                                           : "record does not know \"" + operands.front() + "\"",
                          "one of: add, backup, copy, export, import, list, seal, show, start, verify"));
  operands.erase(operands.begin());
  const TableFiles tables = TableFiles::open(given.text("tables"));
  const Words words = program_words(tables, given, operands.empty() ? "" : operands.front());
  return found->second({given, words, tables, std::move(operands)});
}

} // namespace coldbag
