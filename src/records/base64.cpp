#include "records/base64.h"

#include "errors/our_fault.h"

#include <openssl/evp.h>

#include <limits>

namespace coldbag {

namespace {

// NOLINTBEGIN(cppcoreguidelines-pro-type-reinterpret-cast): the same bytes under their other name
const unsigned char* plain_letters(std::string_view text) {
  return reinterpret_cast<const unsigned char*>(text.data());
}

unsigned char* letters_of(std::string& text) {
  return reinterpret_cast<unsigned char*>(text.data());
}
// NOLINTEND(cppcoreguidelines-pro-type-reinterpret-cast)

} // namespace

std::string base64_text(std::string_view bytes) {
  // NOLINTNEXTLINE(cppcoreguidelines-pro-type-reinterpret-cast): the same bytes under their other name
  return base64_text({reinterpret_cast<const std::uint8_t*>(bytes.data()), bytes.size()});
}

std::string base64_text(std::span<const std::uint8_t> bytes) {
  constexpr std::size_t group = 3;
  our_check(bytes.size() <= std::numeric_limits<int>::max() / 4 * group,
            "libcrypto counts letters in an int");
  std::string text((bytes.size() + group - 1) / group * 4 + 1, '\0');
  EVP_EncodeBlock(letters_of(text), bytes.data(), static_cast<int>(bytes.size()));
  text.pop_back(); // the zero behind it
  return text;
}

std::optional<std::string> read_base64(std::string_view text) {
  constexpr std::size_t group = 4;
  if (text.size() % group != 0 || text.size() > std::numeric_limits<int>::max()) return std::nullopt;
  std::string bytes(text.size() / group * 3, '\0');
  // libcrypto reads fourteen times as fast as libsodium, but also what base64 does not write.
  const int size = EVP_DecodeBlock(letters_of(bytes), plain_letters(text), static_cast<int>(text.size()));
  if (size < 0 || static_cast<std::size_t>(size) != bytes.size()) return std::nullopt;
  bytes.resize(bytes.size() - (text.ends_with("==") ? 2 : text.ends_with('=') ? 1 : 0));
  if (base64_text(bytes) != text) return std::nullopt;
  return bytes;
}

} // namespace coldbag
