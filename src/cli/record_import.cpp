#include "cli/record_import.h"

#include "cli/files.h"
#include "records/import.h"
#include "records/public_key.h"
#include "records/verify.h"
#include "report/layout.h"
#include "report/ledger_blocks.h"
#include "report/screen.h"

#include <filesystem>
#include <system_error>
#include <utility>

namespace coldbag {

namespace {

namespace fs = std::filesystem;

/// The files of an export that a run is taken from.
std::vector<KeptFile> export_in(const std::string& folder) {
  std::vector<KeptFile> files;
  for (const std::string name : {"entry.json", "proof.txt", "head.json", "head.sig", "key.pem"})
    files.push_back({name, read_text_file((fs::path(folder) / name).string()).bytes});
  std::error_code none; // a run may have been kept without files
  for (const fs::directory_entry& each : fs::directory_iterator(fs::path(folder) / "files", none))
    files.push_back({"files/" + each.path().filename().string(), read_text_file(each.path().string()).bytes});
  return files;
}

void tell(const RecordWork& work, const Imported& imported, const PublicKey& key, const TreeHead& head) {
  print(screen_text({Paragraph{work.words.text("import_done", {{"added", std::to_string(imported.added)},
                                                               {"there", std::to_string(imported.there)}})},
                     Item{work.words.text("ledger_seal", {{"seal", seal_text(head)}})},
                     Item{work.words.text("ledger_key", {{"fingerprint", fingerprint(key)}})},
                     Item{work.words.text("import_compare")}}));
}

} // namespace

int record_import(const RecordWork& work) {
  if (work.operands.size() != 1)
    throw UserError(usage("record import needs the other ledger, or the folder of an export",
                          "write for example coldbag record import other.ledger"));
  const std::string& from = work.operands.front();
  const Entry by = entry_now(signer_of(work, Meaning::authorship), EntryKind::imported);
  Store to = opened_ledger(work);
  if (fs::is_directory(from)) {
    const ForeignRun run = foreign_run(export_in(from));
    tell(work, import_run(run, to, signing_key(work), by), run.key, run.proof.head);
    return 0;
  }
  const Store other = Store::open(from);
  const LedgerCheck check = verify_ledger(other, {});
  if (check.fault) {
    print(screen_text(ledger_check_blocks(check, false, false, work.words)));
    return broken_status;
  }
  tell(work, import_ledger(other, to, signing_key(work), by), check.keys.back(), check.head);
  return 0;
}

} // namespace coldbag
