#include "cli/record_export.h"

#include "cli/drawn_files.h"
#include "cli/write_folder.h"
#include "records/export.h"
#include "records/run_entry_json.h"
#include "records/zip.h"
#include "report/export_text.h"
#include "report/inspection_blocks.h"
#include "report/layout.h"
#include "report/screen.h"
#include "run/run_report_json.h"

#include <filesystem>
#include <utility>

namespace coldbag {

namespace {

namespace fs = std::filesystem;

/// The report as the ledger has it, and the paper drawn of it.
void add_report(const RecordWork& work, const Exported& from, std::vector<KeptFile>& files) {
  if (from.run.entry.kind != EntryKind::run) return;
  const std::string json = read_run_content("entry", from.run.entry.content).report;
  const RunReport report = read_report_json("report.json", json);
  const OfLedger of{in_ledger_blocks(from, work.words), sha256_hex(json)};
  files.push_back({"report.json", json});
  files.push_back(
      {"report.pdf", run_pdf(work.given, inspection_blocks(report, work.words, &of), report, work.words)});
}

std::string zipped_folder(const std::string& path) {
  return fs::path(path).stem().string();
}

} // namespace

int record_export(const RecordWork& work) {
  if (work.operands.size() != 1)
    throw UserError(usage("record export needs the number of an entry",
                          "write for example coldbag record export 12 --to run-12"));
  const std::string to = needed_option(work, "to", "write for example --to run-12 or --to run-12.zip");
  refuse_what_is_there(to);
  const Store store = opened_ledger(work);
  Exported from = exported(store, entry_number(store, work.operands.front()));
  std::vector<KeptFile> files = std::move(from.files);
  add_report(work, from, files);
  files.push_back({"README.txt", export_readme(from, work.words)});
  files.push_back({"check.sh", export_script(work.words, work.tables)});
  files = with_sums(std::move(files));
  if (fs::path(to).extension() == ".zip")
    write_whole_file(to, zip_bytes(zipped_folder(to), files, from.run.entry.entered_at.at));
  else
    write_new_folder(to, files);
  print(screen_text({Paragraph{work.words.text("export_done", {{"number", std::to_string(from.run.number)},
                                                               {"count", std::to_string(files.size())},
                                                               {"to", clean(to)}})}}));
  return 0;
}

} // namespace coldbag
