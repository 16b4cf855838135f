// A file that its owner alone can read.
#pragma once

#include "records/secret.h"

#include <string>

namespace coldbag {

/// The largest file that read_owner_file takes.
inline constexpr std::size_t most_owner_file_bytes = 65536;

/// Makes a file that nobody else can read from its first moment on (0600), and waits until it is on the disk.
/// Throws UserError (cannot_write) where it is there already or cannot be made, or where the folder's disk
/// keeps no rights; (io) where it could not be written whole. What was begun is then taken away.
void write_owner_file(const std::string& path, const Secret& bytes);

/// Throws UserError (no_input) where it is not there; (bad_data) where others can read or change it, or where
/// it is too large; (io) where reading fails. Guarded by tests/records/owner_file_test.cpp.
[[nodiscard]] Secret read_owner_file(const std::string& path);

} // namespace coldbag
