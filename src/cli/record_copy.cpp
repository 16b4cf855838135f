#include "cli/record_copy.h"

#include "cli/write_folder.h"
#include "records/copy.h"
#include "records/verify.h"
#include "report/layout.h"
#include "report/ledger_blocks.h"
#include "report/screen.h"

#include <filesystem>

namespace coldbag {

namespace {

bool is_file(const std::string& where) {
  return where.find("://") == std::string::npos;
}

/// The ledger there; a new one where there is none.
Store opened_or_made(const std::string& where) {
  if (is_file(where)) return std::filesystem::exists(where) ? Store::open(where) : Store::make(where);
  try {
    return Store::open(where);
  } catch (const UserError& error) {
    if (error.trouble() != Trouble::bad_data) throw;
    return Store::make(where); // which says the same where it is not that there is none
  }
}

/// Tells what was copied, and whether it is whole.
int told(const RecordWork& work, const Copied& copied, const LedgerCheck& check, const std::string& to) {
  Blocks out{Paragraph{work.words.text("copy_done", {{"to", clean(to)},
                                                     {"there", std::to_string(copied.there)},
                                                     {"added", std::to_string(copied.added)}})}};
  append(out, ledger_check_blocks(check, true, false, work.words));
  print(screen_text(out));
  return check.fault ? broken_status : 0;
}

/// As the ledger was: with what was copied sealed by its own last row.
LedgerCheck checked(const Store& from, const Store& to) {
  std::vector<TreeHead> seals;
  const std::uint64_t size = to.size();
  const std::optional<LedgerRow> last = size > 0 ? from.row(size - 1) : std::nullopt;
  if (last)
    if (const auto root = read_hex_text(last->root)) seals.push_back({size, *root});
  return verify_ledger(to, seals);
}

} // namespace

int record_backup(const RecordWork& work) {
  const std::string to = needed_option(work, "to", "write for example --to farm-backup.ledger");
  if (!is_file(to)) refuse_option("to", "a backup is a file", "coldbag record copy fills a database");
  const Store from = opened_ledger(work);
  Copied copied;
  LedgerCheck check;
  write_whole(to, [&](const std::string& beside) {
    Store store = Store::make(beside);
    copied = copy_ledger(from, store);
    check = checked(from, store);
  });
  return told(work, copied, check, to);
}

int record_copy(const RecordWork& work) {
  const std::string to = needed_option(work, "to", "write for example --to copy.ledger");
  const Store from = opened_ledger(work);
  Store store = opened_or_made(to);
  const Copied copied = copy_ledger(from, store);
  return told(work, copied, checked(from, store), to);
}

} // namespace coldbag
