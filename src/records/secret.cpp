#include "records/secret.h"

#include "errors/our_fault.h"

#include <sodium.h>

#include <algorithm>

namespace coldbag {

namespace {

std::uint8_t* guarded_memory(std::size_t size) {
  our_check(sodium_init() >= 0, "libsodium can be used");
  auto* memory = static_cast<std::uint8_t*>(sodium_malloc(size));
  our_check(memory != nullptr, "there is memory for a secret");
  return memory;
}

} // namespace

Secret::Secret(std::size_t size) : memory_(guarded_memory(size)), size_(size) {
  sodium_memzero(memory_.get(), size_);
}

Secret Secret::taken_from(std::string& text) {
  Secret secret(text.size());
  std::ranges::copy(text, secret.bytes().begin());
  sodium_memzero(text.data(), text.size());
  text.clear();
  return secret;
}

std::string_view Secret::text() const {
  // NOLINTNEXTLINE(cppcoreguidelines-pro-type-reinterpret-cast): the same bytes under their other name
  return {reinterpret_cast<const char*>(memory_.get()), size_};
}

void Secret::Wipe::operator()(std::uint8_t* memory) const noexcept {
  sodium_free(memory); // wipes first
}

} // namespace coldbag
