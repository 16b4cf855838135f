// A folder, or a file, that comes into being whole or not at all.
#pragma once

#include "records/ledger.h"

#include <functional>
#include <string>
#include <string_view>
#include <vector>

namespace coldbag {

/// Throws UserError (cannot_write) where something is at `path` already.
void refuse_what_is_there(const std::string& path);

/// Lets `write` make a file or a folder at the path that it is given, beside `path`, and renames it. A break
/// leaves nothing at `path`. Throws UserError (cannot_write) where something is there or it cannot be made.
void write_whole(const std::string& path, const std::function<void(const std::string& beside)>& write);

/// Makes a folder of these files ("/" in a name parts folders), kept safe on the disk, by write_whole;
/// throws (io) too where it could not be written whole.
void write_new_folder(const std::string& path, const std::vector<KeptFile>& files);

/// The same for one file.
void write_whole_file(const std::string& path, std::string_view bytes);

} // namespace coldbag
