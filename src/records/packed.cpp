#include "records/packed.h"

#include "errors/our_fault.h"
#include "errors/user_error.h"

#include <fmt/format.h>

#include <zstd.h>

#include <memory>
#include <utility>

namespace coldbag {

namespace {

// A log of a night at one reading a second takes a second; higher levels gain a few per cent.
constexpr int level = 9;

// RFC 8878, section 3.1.1.2: a block holds at most 128 KiB and takes a head of three bytes and one more.
constexpr std::uint64_t most_block_bytes = 131072;
constexpr std::uint64_t least_block_letters = 4;
// Section 3.1.1; a frame to be skipped begins otherwise.
constexpr std::string_view magic_number = "\x28\xB5\x2F\xFD";

[[noreturn]] void refuse(std::string_view source_name, std::string problem, std::string remedy) {
  throw UserError(
      {Trouble::bad_data, {std::string(source_name), 0, 0, ""}, std::move(problem), std::move(remedy)});
}

[[noreturn]] void refuse_damaged(std::string_view source_name) {
  refuse(source_name, "what was kept of this file is damaged", "take it from a copy of the records");
}

void refuse_too_large(std::string_view source_name, std::uint64_t size_bytes) {
  if (size_bytes > most_packed_bytes)
    refuse(source_name, fmt::format("a file of {} bytes is too large to be kept", size_bytes),
           fmt::format("at most {} bytes can be", most_packed_bytes));
}

/// Whether the frame is one frame, whole, of this size, and long enough to hold it.
bool can_hold(std::string_view frame, std::uint64_t size_bytes) {
  return frame.starts_with(magic_number) &&
         ZSTD_findFrameCompressedSize(frame.data(), frame.size()) == frame.size() &&
         ZSTD_getFrameContentSize(frame.data(), frame.size()) == size_bytes &&
         size_bytes / most_block_bytes <= frame.size() / least_block_letters;
}

} // namespace

std::string packed(std::string_view source_name, std::string_view bytes) {
  refuse_too_large(source_name, bytes.size());
  const std::unique_ptr<ZSTD_CCtx, decltype(&ZSTD_freeCCtx)> packer(ZSTD_createCCtx(), &ZSTD_freeCCtx);
  our_check(packer != nullptr, "there is memory to pack with");
  ZSTD_CCtx_setParameter(packer.get(), ZSTD_c_compressionLevel, level);
  ZSTD_CCtx_setParameter(packer.get(), ZSTD_c_checksumFlag, 1);
  std::string frame(ZSTD_compressBound(bytes.size()), '\0');
  const std::size_t size =
      ZSTD_compress2(packer.get(), frame.data(), frame.size(), bytes.data(), bytes.size());
  our_check(ZSTD_isError(size) == 0U, "bytes within the bound can be packed");
  frame.resize(size);
  return frame;
}

std::string unpacked(std::string_view source_name, std::string_view frame, std::uint64_t size_bytes) {
  refuse_too_large(source_name, size_bytes);
  if (!can_hold(frame, size_bytes)) refuse_damaged(source_name);
  std::string bytes(size_bytes, '\0');
  const std::size_t size = ZSTD_decompress(bytes.data(), bytes.size(), frame.data(), frame.size());
  if (ZSTD_isError(size) != 0U || size != size_bytes) refuse_damaged(source_name);
  return bytes;
}

} // namespace coldbag
