#include "records/base64.h"

#include <sodium.h>

namespace coldbag {

std::string base64_text(std::string_view bytes) {
  // NOLINTNEXTLINE(cppcoreguidelines-pro-type-reinterpret-cast): the same bytes under their other name
  return base64_text({reinterpret_cast<const std::uint8_t*>(bytes.data()), bytes.size()});
}

std::string base64_text(std::span<const std::uint8_t> bytes) {
  std::string text(sodium_base64_encoded_len(bytes.size(), sodium_base64_VARIANT_ORIGINAL), '\0');
  sodium_bin2base64(text.data(), text.size(), bytes.data(), bytes.size(), sodium_base64_VARIANT_ORIGINAL);
  text.pop_back(); // the zero behind it
  return text;
}

std::optional<std::string> read_base64(std::string_view text) {
  std::string bytes(text.size() / 4 * 3, '\0');
  std::size_t size = 0;
  // NOLINTNEXTLINE(cppcoreguidelines-pro-type-reinterpret-cast)
  auto* into = reinterpret_cast<unsigned char*>(bytes.data());
  if (sodium_base642bin(into, bytes.size(), text.data(), text.size(), nullptr, &size, nullptr,
                        sodium_base64_VARIANT_ORIGINAL) != 0)
    return std::nullopt;
  bytes.resize(size);
  return bytes;
}

} // namespace coldbag
