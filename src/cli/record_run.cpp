#include "cli/record_run.h"

#include "cli/asked.h"
#include "cli/check_options.h"
#include "cli/log_options.h"
#include "run/judge.h"
#include "run/report_words.h"
#include "run/run_report_json.h"

#include <algorithm>
#include <array>
#include <filesystem>
#include <utility>

namespace coldbag {

namespace {

std::string all_bytes(const Source& source) {
  const auto reader = source.open();
  std::string bytes;
  std::array<char, 65536> part{};
  for (;;) {
    const std::size_t got = reader->read(part.data(), part.size());
    bytes.append(part.data(), got);
    if (got < part.size()) return bytes;
  }
}

/// Keeps a file under its name without folders; where two have one name, under another.
void keep(JudgedRun& run, const char* what, const std::string& name, std::string bytes) {
  const std::string own = std::filesystem::path(name).filename().string();
  const auto is_taken = [&](const std::string& kept) {
    return std::ranges::any_of(run.files, [&](const KeptFile& file) { return file.name == kept; });
  };
  std::string kept = own;
  for (int n = 2; is_taken(kept); ++n)
    kept = std::to_string(n) + "-" + own;
  run.content.files.push_back({what, name, kept});
  run.files.push_back({kept, std::move(bytes)});
}

void keep_files(JudgedRun& run, RunRequest& request) {
  const auto text = [&](const char* what, const std::optional<NamedText>& file) {
    if (file) keep(run, what, file->name, file->bytes);
  };
  text("run_file", request.run_file);
  text("site", request.site);
  text("load", request.load);
  text("learned", request.learned);
  // What is judged is what is kept, also where a log can be read once only.
  for (Source& log : request.logs) {
    std::string bytes = all_bytes(log);
    log = Source::memory(log.name(), bytes);
    keep(run, "log", log.name(), std::move(bytes));
  }
}

} // namespace

JudgedRun judge_to_keep(const std::string& path, const Given& given, const Words& words,
                        const TableFiles& tables) {
  JudgedRun out;
  Asked asked = asked_for(path, given, read_check_options(given, tables), words);
  out.content.options = judging_given(given, words);
  // These are kept as files, or stand in the report.
  out.content.options.erase("site");
  out.content.options.erase("tables");
  keep_files(out, asked.request);
  const RunInput input = open_run(std::move(asked.request), tables);
  if (input.run_file) out.content.vessel = input.run_file->vessel.value.value_or("");
  out.report = judge_run(input);
  out.content.run =
      out.report.run_name.empty() ? std::filesystem::path(path).filename().string() : out.report.run_name;
  out.content.treatment = out.report.treatment;
  if (out.report.verdict) out.content.verdict = word(*out.report.verdict);
  out.content.report = report_json(out.report);
  return out;
}

RunRequest kept_request(const Store& store, const std::vector<Attachment>& attachments,
                        const RunContent& content, const TableFiles& tables) {
  RunRequest request;
  for (const RunFileUse& use : content.files) {
    const auto found = std::ranges::find(attachments, use.kept, &Attachment::name);
    if (found == attachments.end()) continue; // judging says what is missing
    std::string bytes = file_bytes(store, *found);
    if (use.what == "log")
      request.logs.push_back(Source::memory(use.name, std::move(bytes)));
    else if (use.what == "run_file")
      request.run_file = NamedText{use.name, std::move(bytes)};
    else if (use.what == "site")
      request.site = NamedText{use.name, std::move(bytes)};
    else if (use.what == "load")
      request.load = NamedText{use.name, std::move(bytes)};
    else if (use.what == "learned")
      request.learned = NamedText{use.name, std::move(bytes)};
  }
  Given given;
  for (const auto& [name, texts] : content.options)
    given.put(name, texts);
  request.options = read_check_options(given, tables);
  if (request.site)
    read_log_options(with_log_settings(given, read_site(request.site->name, request.site->bytes)),
                     request.options.log);
  return request;
}

std::string recomputed_difference(const Store& store, const Entry& entry, const TableFiles& tables) {
  try {
    const RunContent content = read_run_content("entry", entry.content);
    return first_difference(
        content.report,
        report_json(judge_run(open_run(kept_request(store, entry.attachments, content, tables), tables))));
  } catch (const UserError& error) {
    return to_text(error.complaints().front());
  }
}

} // namespace coldbag
