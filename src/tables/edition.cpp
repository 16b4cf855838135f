#include "tables/edition.h"

#include "errors/our_fault.h"
#include "errors/user_error.h"
#include "tables/built_in.h"

#include <algorithm>
#include <filesystem>
#include <fstream>
#include <iterator>
#include <optional>
#include <system_error>
#include <utility>

namespace coldbag {

namespace {

namespace fs = std::filesystem;

constexpr std::string_view built_in_origin = "built in";

bool is_folder(const fs::path& path) {
  std::error_code ignored; // what cannot be looked at is no folder for us
  return fs::is_directory(path, ignored);
}

bool is_there(const fs::path& path) {
  std::error_code ignored;
  return fs::exists(path, ignored);
}

[[noreturn]] void refuse(const fs::path& path) {
  throw UserError({Trouble::no_input,
                   {path.string(), 0, 0, ""},
                   "the table cannot be read",
                   "see that it is a file and that you may read it"});
}

std::string read_whole(const fs::path& path) {
  if (is_folder(path)) refuse(path); // reading one throws the library's own exception
  std::ifstream file(path, std::ios::binary);
  if (!file) refuse(path);
  std::string bytes(std::istreambuf_iterator<char>(file), {});
  if (file.bad()) refuse(path);
  return bytes;
}

/// Folders beside the program, then the one it was built to be installed with; only those that are there.
std::vector<fs::path> installed_folders() {
  std::vector<fs::path> folders;
  std::error_code none;
  const fs::path program = fs::read_symlink("/proc/self/exe", none);
  if (!none) folders.push_back(program.parent_path() / ".." / "share" / "coldbag");
  folders.emplace_back(COLDBAG_TABLES_DIR);
  std::erase_if(folders, [](const fs::path& folder) { return !is_folder(folder); });
  return folders;
}

std::string table_names() {
  std::string names;
  for (const BuiltInTable& table : built_in_tables()) {
    if (!names.empty()) names += ", ";
    names += table.name;
  }
  return names;
}

/// A folder that a user names must be there and hold at least one table, or a slip would go unseen.
void check_given(const std::string& folder) {
  const Place place{folder, 0, 0, ""};
  if (!is_folder(folder))
    throw UserError({Trouble::no_input, place, "there is no such folder", "name the folder of your tables"});
  const bool any = std::ranges::any_of(
      built_in_tables(), [&](const BuiltInTable& table) { return is_there(fs::path(folder) / table.name); });
  if (!any)
    throw UserError({Trouble::no_input, place, "the folder holds no table", "tables are " + table_names()});
}

// The mould of the page, its style and its script say how a result looks, not what it is.
bool bears_on_results(std::string_view name) {
  return name.ends_with(".csv") || name.ends_with(".toml");
}

std::optional<fs::path> find_file(const std::vector<fs::path>& folders, std::string_view name) {
  for (const fs::path& folder : folders)
    if (is_there(folder / name)) return (folder / name).lexically_normal();
  return std::nullopt;
}

} // namespace

TableFiles TableFiles::open(const std::string& folder) {
  std::vector<fs::path> folders = installed_folders();
  if (!folder.empty()) {
    check_given(folder);
    folders.insert(folders.begin(), folder);
  }
  TableFiles files = built_in();
  for (auto& [name, file] : files.files_) {
    const std::optional<fs::path> path = find_file(folders, name);
    if (!path) continue;
    file.bytes = read_whole(*path);
    file.edition = {name, path->string(), sha256_hex(file.bytes)};
  }
  return files;
}

TableFiles TableFiles::built_in() {
  TableFiles files;
  for (const BuiltInTable& table : built_in_tables()) {
    const std::string name(table.name);
    files.files_.emplace(
        name, File{std::string(table.bytes), {name, std::string(built_in_origin), sha256_hex(table.bytes)}});
  }
  return files;
}

std::string_view TableFiles::bytes(std::string_view name) const {
  const auto file = files_.find(name);
  our_check(file != files_.end(), "only tables of shared/ are asked for");
  return file->second.bytes;
}

std::string TableFiles::source_name(std::string_view name) const {
  const auto file = files_.find(name);
  our_check(file != files_.end(), "only tables of shared/ are asked for");
  const Edition& edition = file->second.edition;
  return edition.origin == built_in_origin ? "built-in " + edition.name : edition.origin;
}

std::vector<Edition> TableFiles::editions() const {
  std::vector<Edition> editions;
  for (const auto& [name, file] : files_)
    if (bears_on_results(name)) editions.push_back(file.edition);
  return editions;
}

} // namespace coldbag
