#include "cli/record.h"

#include "cli/check_options.h"
#include "cli/language.h"
#include "cli/option_group.h"
#include "cli/options.h"
#include "cli/record_add.h"
#include "cli/record_again.h"
#include "cli/record_copy.h"
#include "cli/record_export.h"
#include "cli/record_import.h"
#include "cli/record_ledger.h"
#include "cli/record_outcomes.h"
#include "cli/record_questions.h"
#include "cli/record_state.h"
#include "cli/record_trends.h"
#include "cli/record_work.h"

#include <boost/program_options.hpp>

#include <algorithm>
#include <map>
#include <utility>

namespace coldbag {

namespace {

namespace po = boost::program_options;

po::options_description joined(std::initializer_list<const OptionGroup*> groups) {
  po::options_description all;
  for (const OptionGroup* group : groups)
    all.add(group->described());
  return all;
}

po::options_description options_of_record(const Words& words) {
  OptionGroup where(words, "record");
  where.text("ledger").text("key").text("by", "record-by").flag("passphrase");
  OptionGroup which(words, "record_which");
  which.text("kind")
      .text("run", "record-run")
      .text("vessel", "record-vessel")
      .text("treatment", "record-treatment")
      .text("bag", "record-bag");
  which.text("verdict").text("from", "record-from").text("before", "record-before").text("lot", "record-lot");
  which.text("reviewed").flag("open");
  OptionGroup looked(words, "record_looked");
  looked.texts("seal")
      .flag("recompute")
      .text("to", "record-to")
      .text("csv", "record-csv")
      .text("svg", "record-svg");
  OptionGroup later(words, "record_later");
  later.text("rule")
      .text("probe", "record-probe")
      .text("treatment-now", "record-treatment-now")
      .text("threads")
      .text("share");
  OptionGroup changed(words, "record_key");
  changed.text("new-key").text("reason", "record-reason").flag("lost");
  OptionGroup shown(words, "record_shown");
  shown.text("tables").text("language").flag("help,h");
  return joined({&where, &which, &looked, &later, &changed, &shown});
}

/// Of a run, its fields; of a statement, those of its kind.
po::options_description options_of_entry(const Words& words, const TableFiles& tables, EntryKind kind) {
  OptionGroup fields(words, "record_fields");
  add_field_options(fields, tables, words, kind);
  OptionGroup where(words, "record");
  where.text("ledger").text("key").text("by", "record-by");
  if (kind != EntryKind::run) where.text("at", "record-at").text("tables");
  where.text("language").flag("help,h");
  po::options_description all = joined({&fields, &where});
  if (kind == EntryKind::run) all.add(judging_options(words));
  return all;
}

/// The kind of entry that a command line makes, where it makes one with fields.
std::optional<EntryKind> kind_made(const std::vector<std::string>& arguments) {
  if (arguments.empty()) return std::nullopt;
  return arguments.front() == "add" ? EntryKind::run : statement_named(arguments.front());
}

/// The folder of --tables, before the options are known that its tables describe.
std::string tables_named(const std::vector<std::string>& arguments) {
  for (std::size_t i = 0; i < arguments.size(); ++i) {
    if (arguments[i].starts_with("--tables=")) return arguments[i].substr(9);
    if (arguments[i] == "--tables" && i + 1 < arguments.size()) return arguments[i + 1];
  }
  return "";
}

using Does = int (*)(const RecordWork& work);
const std::map<std::string, Does> works{
    {"start", start_ledger},
    {"add", add_runs},
    {"list", list_ledger},
    {"show", show_entry},
    {"verify", verify},
    {"seal", seal},
    {"key", change_key},
    {"due", due},
    {"keep", keep},
    {"trace", trace},
    {"judge-again", judge_again},
    {"affected", affected},
    {"export", record_export},
    {"backup", record_backup},
    {"copy", record_copy},
    {"import", record_import},
    {"trends", record_trends},
    {"outcomes", record_outcomes},
};

std::string all_works() {
  std::vector<std::string> names = statement_words();
  for (const auto& [name, does] : works)
    names.push_back(name);
  std::ranges::sort(names);
  std::string all;
  for (const std::string& name : names)
    all += (all.empty() ? "" : ", ") + name;
  return all;
}

std::string help_of_record(const Words& words, const po::options_description& described) {
  return help_text({{"coldbag record start|add|list|show|verify|seal|key --ledger FILE ...",
                     "coldbag record review|decide|deviation|remedy|amend NUMBER ... --help",
                     "coldbag record inoculate|outcome|spore-strip|probe-check --help",
                     "coldbag record due|trace|affected|keep|judge-again --ledger FILE ...",
                     "coldbag record export NUMBER|backup|copy --ledger FILE --to PLACE",
                     "coldbag record import PLACE --ledger FILE --key FILE --by NAME",
                     "coldbag record trends|outcomes --ledger FILE ..."},
                    words.text("help_says_record"),
                    R"(  coldbag record start --ledger farm.ledger --key farm.key --by "Ana Example"
  coldbag record add tonight/run.toml --ledger farm.ledger --key farm.key \
    --by "Ana Example"
  coldbag record review 1 --agrees yes --ledger farm.ledger --key farm.key \
    --by "Ben Example"
  coldbag record verify --ledger farm.ledger --recompute
)"},
                   described);
}

std::string about_entry(const std::string& work) {
  if (work == "add") return " RUN.toml | LOG.csv ...";
  return work == "probe-check" ? "" : " NUMBER ...";
}

std::string help_of_entry(const std::string& work, const Words& words,
                          const po::options_description& described) {
  return help_text(
      {{"coldbag record " + work + about_entry(work) + " --ledger FILE --key FILE --by NAME ..."},
       words.text(key_of_name("help_says_record", work)),
       ""},
      described);
}

} // namespace

int record_command(const std::vector<std::string>& arguments) {
  const Words words_of_help = help_words(arguments);
  const TableFiles tables = TableFiles::open(tables_named(arguments));
  const auto kind = kind_made(arguments);
  const po::options_description described =
      kind ? options_of_entry(words_of_help, tables, *kind) : options_of_record(words_of_help);
  const Given given = parse_options("record", described, {{"work", -1}}, arguments);
  if (given.has("help")) {
    print(kind ? help_of_entry(arguments.front(), words_of_help, described)
               : help_of_record(words_of_help, described));
    return 0;
  }
  std::vector<std::string> operands = given.texts("work");
  const std::string work = operands.empty() ? "" : operands.front();
  if (!operands.empty()) operands.erase(operands.begin());
  const Words words =
      program_words(tables, given, work == "add" && !operands.empty() ? operands.front() : "");
  if (const auto stated = statement_named(work)) return state({given, words, tables, operands}, *stated);
  const auto found = works.find(work);
  if (found == works.end())
    throw UserError(
        usage(work.empty() ? "record needs to know what to do" : "record does not know \"" + work + "\"",
              "one of: " + all_works()));
  return found->second({given, words, tables, std::move(operands)});
}

} // namespace coldbag
