// Bytes made small for keeping: Zstandard (RFC 8878).
#pragma once

#include <cstdint>
#include <string>
#include <string_view>

namespace coldbag {

/// The most that is packed or unpacked.
inline constexpr std::uint64_t most_packed_bytes = 1073741824;

/// One frame that says its size and has a checksum. Throws UserError where there is more than
/// most_packed_bytes.
[[nodiscard]] std::string packed(std::string_view source_name, std::string_view bytes);

/// The bytes of one frame, which must be as many as were packed. No more memory is taken than that, nor more
/// than a frame of this length can hold. Throws UserError where the frame is damaged, holds more or less, or
/// more than most_packed_bytes are asked for. Guarded by tests/records/packed_test.cpp.
[[nodiscard]] std::string unpacked(std::string_view source_name, std::string_view frame,
                                   std::uint64_t size_bytes);

} // namespace coldbag
