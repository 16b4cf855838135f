// Files written so that nothing of the user's is ever lost: made anew, or replaced as a whole.
#pragma once

#include <string>
#include <string_view>

namespace coldbag {

/// Makes a file; throws UserError (cannot_write) where it is there already or cannot be made, (io) where it
/// could not be written whole.
void write_new_file(const std::string& path, std::string_view bytes);

/// Puts `bytes` in the place of `old_bytes` in one step: a file beside it is written, kept safe on the disk
/// and renamed. Throws UserError (cannot_write) where the file no longer holds `old_bytes` or its folder
/// cannot be written; (io) where it does not read back as written. Links are followed; rights stay.
void replace_file(const std::string& path, std::string_view old_bytes, std::string_view bytes);

/// Adds bytes behind a file that is there and holds `size` bytes, and waits until they are on the disk.
/// Throws as replace_file does.
void append_to_file(const std::string& path, std::size_t size, std::string_view bytes);

} // namespace coldbag
