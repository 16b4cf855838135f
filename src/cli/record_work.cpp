#include "cli/record_work.h"

#include "cli/passphrase.h"
#include "clock/instant.h"
#include "records/key_file.h"
#include "run/report_words.h"

#include <charconv>
#include <chrono>

namespace coldbag {

std::string needed_option(const RecordWork& work, const char* option, const char* remedy) {
  if (!work.given.has(option) || trimmed_text(work.given.text(option)).empty())
    refuse_option(option, "it is needed here", remedy);
  return work.given.text(option);
}

Store opened_ledger(const RecordWork& work) {
  return Store::open(needed_option(work, "ledger", "write for example --ledger farm.ledger"));
}

SigningKey signing_key(const RecordWork& work) {
  return read_key_file(needed_option(work, "key", "write for example --key farm.key"),
                       [&] { return asked_passphrase(work.words.text("record_ask_passphrase")); });
}

Signer signer_of(const RecordWork& work, Meaning meaning) {
  return {trimmed_text(needed_option(work, "by", "write for example --by \"Ana Example\"")), meaning};
}

Instant now() {
  return std::chrono::floor<std::chrono::microseconds>(std::chrono::system_clock::now());
}

Entry entry_now(const Signer& signer, EntryKind kind) {
  Entry entry;
  entry.kind = kind;
  entry.event_at = {now(), 0};
  entry.entered_at = entry.event_at;
  entry.who = signer;
  return entry;
}

std::uint64_t entry_number(const Store& store, const std::string& text) {
  std::uint64_t number = 0;
  const auto [end, fault] = std::from_chars(text.data(), text.data() + text.size(), number);
  if (fault == std::errc{} && end == text.data() + text.size() && number < store.size()) return number;
  RowFilter filter;
  filter.kind = word(EntryKind::run);
  filter.run = text;
  const auto found = text.empty() ? std::vector<ListedRow>{} : store.list(filter);
  if (found.size() > 1)
    throw UserError(usage("\"" + text + "\" is kept " + std::to_string(found.size()) + " times",
                          "give the number of the entry: coldbag record list shows them"));
  if (found.empty())
    throw UserError(usage("there is no entry \"" + text + "\" in this ledger",
                          "give a number or the name of a run: coldbag record list shows them"));
  return found.front().number;
}

std::optional<std::int64_t> day_option(const Given& given, const char* option) {
  if (!given.has(option)) return std::nullopt;
  const auto day = parse_iso_time(given.text(option));
  if (!day)
    refuse_option(option, "\"" + given.text(option) + "\" is no date", "write for example 2026-03-01");
  return day->wall.us;
}

RowFilter filter_of(const Given& given) {
  RowFilter filter;
  filter.kind = given.text("kind");
  filter.run = given.text("run");
  filter.vessel = given.text("vessel");
  filter.treatment = given.text("treatment");
  filter.verdict = given.text("verdict");
  filter.from_us = day_option(given, "from");
  filter.before_us = day_option(given, "before");
  return filter;
}

std::size_t count_option(const Given& given, const char* option) {
  const std::string text = given.text(option);
  std::size_t count = 0;
  const auto [end, fault] = std::from_chars(text.data(), text.data() + text.size(), count);
  if (fault != std::errc{} || end != text.data() + text.size() || count == 0)
    refuse_option(option, "\"" + text + "\" is no whole number above 0", "write for example 4");
  return count;
}

} // namespace coldbag
