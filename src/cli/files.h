// Files on disk as named bytes, for an engine that opens no paths.
#pragma once

#include "run/run_input.h"

#include <optional>
#include <string>

namespace coldbag {

/// Throws UserError (no_input, io) where the file is not there or cannot be read.
[[nodiscard]] NamedText read_text_file(const std::string& path);

/// `written` as seen from the folder of `from`.
[[nodiscard]] std::string beside(const std::string& from, const std::string& written);

/// True for a name that ends in .toml.
[[nodiscard]] bool is_toml(const std::string& path);

/// The file of learned figures that a site names, if any. Throws UserError where it is not there.
[[nodiscard]] std::optional<NamedText> learned_file_of(const Site& site);

/// Adds the file of learned figures that the request's site file names; nothing where the site
/// file is at fault, or the run is to be judged by the tables alone.
void add_learned_file(RunRequest& request);

/// Adds what a run file names (site, load, logs) to a request that holds the run file; a site given apart
/// stays. The site's learned figures too.
void add_named_files(RunRequest& request, const std::string& run_path);

} // namespace coldbag
