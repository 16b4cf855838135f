#include "cli/files.h"

#include <filesystem>
#include <fstream>
#include <iterator>
#include <utility>

namespace coldbag {

namespace fs = std::filesystem;

NamedText read_text_file(const std::string& path) {
  std::error_code none;
  if (!fs::exists(path, none))
    throw UserError(
        {Trouble::no_input, {path, 0, 0, ""}, "no such file", "check the path, or the folder you are in"});
  if (fs::is_directory(path, none))
    throw UserError({Trouble::no_input, {path, 0, 0, ""}, "this is a folder", "name a file in it"});
  std::ifstream in(path, std::ios::binary);
  std::string bytes{std::istreambuf_iterator<char>(in), std::istreambuf_iterator<char>()};
  if (!in.good() && !in.eof())
    throw UserError({Trouble::io, {path, 0, 0, ""}, "the file cannot be read", "check that you may read it"});
  return {path, std::move(bytes)};
}

std::string beside(const std::string& from, const std::string& written) {
  const fs::path path(written);
  return path.is_absolute() ? written : (fs::path(from).parent_path() / path).lexically_normal().string();
}

bool is_toml(const std::string& path) {
  return fs::path(path).extension() == ".toml";
}

std::optional<NamedText> learned_file_of(const Site& site) {
  if (site.learned_file.empty()) return std::nullopt;
  const std::string path = beside(site.source_name, site.learned_file);
  std::error_code none;
  if (!fs::exists(path, none)) {
    Complaint complaint{
        Trouble::no_input, {path, 0, 0, ""}, "no such file, but " + site.source_name + " names it", ""};
    complaint.remedy =
        "have it written by coldbag lag --learn RUN.toml ..., or take learned out of the site file";
    throw UserError(std::move(complaint));
  }
  return read_text_file(path);
}

void add_learned_file(RunRequest& request) {
  if (!request.site || request.options.by_tables_alone) return;
  std::optional<Site> site;
  try {
    site = read_site(request.site->name, request.site->bytes);
  } catch (const UserError&) {
    return; // said when the run is opened
  }
  request.learned = learned_file_of(*site);
}

void add_named_files(RunRequest& request, const std::string& run_path) {
  const RunFile run = read_run_file(request.run_file->name, request.run_file->bytes);
  if (!request.site && !run.site_file.empty()) request.site = read_text_file(beside(run_path, run.site_file));
  add_learned_file(request);
  if (!run.load_file.empty()) request.load = read_text_file(beside(run_path, run.load_file));
  for (const RunLog& log : run.logs)
    request.logs.push_back(Source::file(beside(run_path, log.file)));
}

} // namespace coldbag
