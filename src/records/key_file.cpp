#include "records/key_file.h"

#include "errors/our_fault.h"
#include "errors/user_error.h"
#include "records/base64.h"
#include "records/owner_file.h"
#include "records/public_key.h"

#include <fmt/format.h>

#include <sodium.h>

#include <algorithm>
#include <array>
#include <charconv>
#include <map>
#include <optional>
#include <utility>
#include <vector>

namespace coldbag {

namespace {

constexpr std::string_view first_line = "coldbag signing key, form 1";
constexpr std::string_view first_line_of_any_form = "coldbag signing key, form ";
constexpr std::string_view warning =
    "# Whoever can read this file can sign in your place. Send it to nobody;\n"
    "# keep one copy of it locked away.\n";
constexpr std::string_view derivation_name = "argon2id13";
constexpr std::string_view cipher_name = "xchacha20poly1305_ietf";
constexpr std::size_t most_letters = 1024; // of a whole key file
constexpr std::uint64_t most_passes = 16;
constexpr std::uint64_t most_memory_bytes = 1073741824;

constexpr const char* as_made = "take the key file as the program made it, or a copy of it";

using Salt = std::array<std::uint8_t, crypto_pwhash_SALTBYTES>;
using Nonce = std::array<std::uint8_t, crypto_aead_xchacha20poly1305_ietf_NPUBBYTES>;
using SealedSeed =
    std::array<std::uint8_t, crypto_sign_SEEDBYTES + crypto_aead_xchacha20poly1305_ietf_ABYTES>;

[[noreturn]] void refuse(std::string_view source_name, const std::string& key, std::string problem,
                         std::string remedy) {
  throw UserError(
      {Trouble::bad_data, {std::string(source_name), 0, 0, key}, std::move(problem), std::move(remedy)});
}

/// How a seed is locked.
struct Lock {
  PassphraseCost cost;
  Salt salt{};
  Nonce nonce{};
};

/// All lines that stand before the sealed seed: sealed with it, so that none can be changed.
std::string lines_of(const PublicKey& key, const Lock& lock) {
  return fmt::format(
      "public_key = {}\nlock = passphrase\nkey_derivation = {}\npasses = {}\nmemory_bytes = {}\n"
      "salt = {}\ncipher = {}\nnonce = {}\n",
      public_key_text(key), derivation_name, lock.cost.passes, lock.cost.memory_bytes, base64_text(lock.salt),
      cipher_name, base64_text(lock.nonce));
}

/// The key that a passphrase stands for; nothing where there is not memory enough.
std::optional<Secret> derived_key(const Secret& passphrase, const Lock& lock) {
  Secret key(crypto_aead_xchacha20poly1305_ietf_KEYBYTES);
  const int fault = crypto_pwhash(key.bytes().data(), key.bytes().size(), passphrase.text().data(),
                                  passphrase.text().size(), lock.salt.data(), lock.cost.passes,
                                  lock.cost.memory_bytes, crypto_pwhash_ALG_ARGON2ID13);
  if (fault != 0) return std::nullopt;
  return key;
}

Secret derived_key_or_refuse(std::string_view source_name, const Secret& passphrase, const Lock& lock) {
  auto key = derived_key(passphrase, lock);
  if (!key)
    refuse(source_name, "",
           fmt::format("the passphrase needs {} MiB of memory, and there is not so much",
                       lock.cost.memory_bytes / 1048576),
           "close other programs, or use another machine");
  return std::move(*key);
}

const unsigned char* plain_bytes(std::string_view bytes) {
  // NOLINTNEXTLINE(cppcoreguidelines-pro-type-reinterpret-cast): the library takes unsigned char
  return reinterpret_cast<const unsigned char*>(bytes.data());
}

SealedSeed sealed(const Secret& seed, const Secret& key, const Lock& lock, std::string_view lines) {
  SealedSeed box{};
  crypto_aead_xchacha20poly1305_ietf_encrypt(box.data(), nullptr, seed.bytes().data(), seed.bytes().size(),
                                             plain_bytes(lines), lines.size(), nullptr, lock.nonce.data(),
                                             key.bytes().data());
  return box;
}

std::optional<Secret> opened(const SealedSeed& box, const Secret& key, const Lock& lock,
                             std::string_view lines) {
  Secret seed(crypto_sign_SEEDBYTES);
  const int fault = crypto_aead_xchacha20poly1305_ietf_decrypt(
      seed.bytes().data(), nullptr, nullptr, box.data(), box.size(), plain_bytes(lines), lines.size(),
      lock.nonce.data(), key.bytes().data());
  if (fault != 0) return std::nullopt;
  return seed;
}

/// Adds bytes in base64, leaving no copy behind.
void add_base64(std::string& text, const Secret& bytes) {
  std::array<char, sodium_base64_ENCODED_LEN(crypto_sign_SEEDBYTES, sodium_base64_VARIANT_ORIGINAL)>
      letters{};
  sodium_bin2base64(letters.data(), letters.size(), bytes.bytes().data(), bytes.bytes().size(),
                    sodium_base64_VARIANT_ORIGINAL);
  text += letters.data();
  sodium_memzero(letters.data(), letters.size());
}

/// The lines of a key file, by name. Values are never told in an error: one of them is the secret.
class Lines {
 public:
  Lines(std::string_view source_name, std::string_view text) : source_name_(source_name) {
    std::string_view first = take_line(text);
    if (first != first_line) refuse_first(first);
    for (int number = 2; !text.empty(); ++number) {
      const std::string_view line = take_line(text);
      if (line.empty() || line.starts_with('#')) continue;
      const std::size_t sign = line.find(" = ");
      if (sign == std::string_view::npos) refuse_line(number, "this line is none of a key file");
      if (!values_.emplace(line.substr(0, sign), line.substr(sign + 3)).second)
        refuse_line(number, "this line is there twice");
    }
  }
  [[nodiscard]] std::string_view take(const std::string& name) {
    const auto found = values_.find(name);
    if (found == values_.end()) refuse(source_name_, name, "this line is missing", as_made);
    const std::string_view value = found->second;
    values_.erase(found);
    return value;
  }
  void take_word(const std::string& name, std::string_view word) {
    if (take(name) != word) refuse_value(name);
  }
  [[nodiscard]] std::uint64_t take_number(const std::string& name, std::uint64_t least, std::uint64_t most) {
    const std::string_view text = take(name);
    std::uint64_t number = 0;
    const auto [end, fault] = std::from_chars(text.data(), text.data() + text.size(), number);
    if (fault != std::errc() || end != text.data() + text.size()) refuse_value(name);
    if (number < least || number > most)
      refuse(source_name_, name, fmt::format("{} is not between {} and {}", number, least, most), as_made);
    return number;
  }
  template <std::size_t size>
  void take_bytes(const std::string& name, std::array<std::uint8_t, size>& bytes) {
    const auto found = read_base64(take(name));
    if (!found || found->size() != size) refuse_value(name);
    std::ranges::copy(*found, bytes.begin());
  }
  [[nodiscard]] Secret take_seed(const std::string& name) {
    const std::string_view text = take(name);
    Secret seed(crypto_sign_SEEDBYTES);
    std::size_t size = 0;
    if (sodium_base642bin(seed.bytes().data(), seed.bytes().size(), text.data(), text.size(), nullptr, &size,
                          nullptr, sodium_base64_VARIANT_ORIGINAL) != 0 ||
        size != seed.bytes().size())
      refuse_value(name);
    return seed;
  }
  void done() const {
    if (!values_.empty())
      refuse(source_name_, std::string(values_.begin()->first), "this line is not known", as_made);
  }
  [[noreturn]] void refuse_value(const std::string& name) const {
    refuse(source_name_, name, "what stands here is damaged", as_made);
  }

 private:
  static std::string_view take_line(std::string_view& text) {
    const std::size_t end = std::min(text.find('\n'), text.size());
    std::string_view line = text.substr(0, end);
    text.remove_prefix(std::min(end + 1, text.size()));
    if (line.ends_with('\r')) line.remove_suffix(1);
    return line;
  }
  [[noreturn]] void refuse_first(std::string_view first) const {
    if (first.starts_with(first_line_of_any_form))
      refuse(source_name_, "", "this key file is of a form that this version of the program does not know",
             "use the version of the program that wrote it");
    refuse(source_name_, "", "this is no signing key",
           fmt::format("name the file whose first line is \"{}\"", first_line));
  }
  [[noreturn]] void refuse_line(int number, std::string problem) const {
    throw UserError({Trouble::bad_data, {source_name_, number, 0, ""}, std::move(problem), as_made});
  }

  std::string source_name_;
  std::map<std::string_view, std::string_view, std::less<>> values_;
};

PublicKey take_public_key(Lines& lines) {
  const auto key = read_public_key_text(lines.take("public_key"));
  if (!key) lines.refuse_value("public_key");
  return *key;
}

Secret take_locked_seed(Lines& lines, std::string_view source_name, const PublicKey& key,
                        const AskPassphrase& ask) {
  Lock lock;
  lines.take_word("key_derivation", derivation_name);
  lock.cost.passes = lines.take_number("passes", crypto_pwhash_argon2id_OPSLIMIT_MIN, most_passes);
  lock.cost.memory_bytes =
      lines.take_number("memory_bytes", crypto_pwhash_argon2id_MEMLIMIT_MIN, most_memory_bytes);
  lines.take_bytes("salt", lock.salt);
  lines.take_word("cipher", cipher_name);
  lines.take_bytes("nonce", lock.nonce);
  SealedSeed box{};
  lines.take_bytes("sealed_seed", box);
  lines.done();
  auto seed = opened(box, derived_key_or_refuse(source_name, ask(), lock), lock, lines_of(key, lock));
  if (!seed)
    refuse(source_name, "", "the passphrase does not open this key, or the file was changed",
           "type the passphrase again, or take a copy of the file");
  return std::move(*seed);
}

} // namespace

Secret key_file_text(const SigningKey& key, const Secret* passphrase, const PassphraseCost& cost) {
  std::string text;
  text.reserve(most_letters); // or letters of the seed would stay where the text stood before
  text += fmt::format("{}\n{}", first_line, warning);
  if (passphrase == nullptr) {
    text += fmt::format("public_key = {}\nlock = none\nseed = ", public_key_text(key.public_key()));
    add_base64(text, key.seed());
    text += '\n';
  } else {
    if (passphrase->bytes().empty())
      refuse("", "", "the passphrase is empty", "give one, or make a key file without");
    Lock lock{cost, {}, {}};
    randombytes_buf(lock.salt.data(), lock.salt.size());
    randombytes_buf(lock.nonce.data(), lock.nonce.size());
    const std::string lines = lines_of(key.public_key(), lock);
    const Secret sealing = derived_key_or_refuse("", *passphrase, lock);
    text += fmt::format("{}sealed_seed = {}\n", lines, base64_text(sealed(key.seed(), sealing, lock, lines)));
  }
  our_check(text.size() <= most_letters, "a key file has room enough");
  return Secret::taken_from(text);
}

SigningKey read_key_file_text(std::string_view source_name, const Secret& text, const AskPassphrase& ask) {
  Lines lines(source_name, text.text());
  const PublicKey key = take_public_key(lines);
  const std::string_view lock = lines.take("lock");
  if (lock != "none" && lock != "passphrase") lines.refuse_value("lock");
  const Secret seed =
      lock == "none" ? lines.take_seed("seed") : take_locked_seed(lines, source_name, key, ask);
  lines.done();
  SigningKey signing = SigningKey::of_seed(seed);
  if (signing.public_key() != key)
    refuse(source_name, "public_key", "this is not the public key of the secret one below", as_made);
  return signing;
}

void write_key_file(const std::string& path, const SigningKey& key, const Secret* passphrase) {
  write_owner_file(path, key_file_text(key, passphrase));
}

SigningKey read_key_file(const std::string& path, const AskPassphrase& ask) {
  return read_key_file_text(path, read_owner_file(path), ask);
}

} // namespace coldbag
