#include "records/key_file.h"

#include "records/base64.h"
#include "records/made_keys.h"
#include "records/public_key.h"
#include "records/refused.h"
#include "support/temp_folder.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <filesystem>
#include <string>
#include <sys/stat.h>

using namespace coldbag;
using test::key_of_letter;
using test::refused;
using test::says;

namespace {

// The least that Argon2id takes; a real key file costs a guesser far more.
constexpr PassphraseCost cheap{1, 8192};
const std::string passphrase = "five wet straw bales";

Secret secret_of(std::string text) {
  return Secret::taken_from(text);
}

std::string text_of(const Secret& secret) {
  return std::string(secret.text());
}

std::string unlocked_text(const SigningKey& key) {
  return text_of(key_file_text(key, nullptr));
}

std::string locked_text(const SigningKey& key) {
  const Secret secret = secret_of(passphrase);
  return text_of(key_file_text(key, &secret, cheap));
}

Secret never_asked() {
  FAIL("nobody should be asked for a passphrase");
  return Secret(0);
}

/// The key that the text holds, opened with the passphrase where one is asked for.
SigningKey read(const std::string& text, const std::string& with = passphrase) {
  return read_key_file_text("my.key", secret_of(text), [&] { return secret_of(with); });
}

std::string seed_text(const SigningKey& key) {
  return base64_text(key.seed().text());
}

std::string replaced(std::string text, const std::string& from, const std::string& to) {
  const std::size_t at = text.find(from);
  REQUIRE(at != std::string::npos);
  return text.replace(at, from.size(), to);
}

/// The text without the line that begins so.
std::string without_line(const std::string& text, const std::string& begins) {
  const std::size_t at = text.find("\n" + begins);
  REQUIRE(at != std::string::npos);
  return text.substr(0, at) + text.substr(text.find('\n', at + 1));
}

} // namespace

TEST_CASE("an unlocked key file gives its key, and nobody is asked") {
  const SigningKey key = key_of_letter('a');
  const std::string text = unlocked_text(key);
  CHECK(text.starts_with("coldbag signing key, form 1\n# "));
  CHECK(says(text, "\npublic_key = " + public_key_text(key.public_key()) + "\n"));
  CHECK(says(text, "\nlock = none\n"));
  const SigningKey again = read_key_file_text("my.key", secret_of(text), never_asked);
  CHECK(again.sign("entry") == key.sign("entry"));
  CHECK(unlocked_text(again) == text);
}

TEST_CASE("a locked key file gives its key for the passphrase, asked for once") {
  const SigningKey key = key_of_letter('a');
  const std::string text = locked_text(key);
  CHECK_FALSE(says(text, seed_text(key)));
  CHECK(says(text, "\nkey_derivation = argon2id13\npasses = 1\nmemory_bytes = 8192\n"));
  int asked = 0;
  const SigningKey again = read_key_file_text("my.key", secret_of(text), [&] {
    ++asked;
    return secret_of(passphrase);
  });
  CHECK(asked == 1);
  CHECK(again.sign("entry") == key.sign("entry"));
  // Another salt and nonce every time.
  CHECK(locked_text(key) != text);
}

TEST_CASE("another passphrase does not open it") {
  const std::string text = locked_text(key_of_letter('a'));
  for (const std::string& other : {std::string(), passphrase + " ", std::string("five wet straw bale")}) {
    CAPTURE(other);
    CHECK(says(refused([&] { return read(text, other); }), "my.key: the passphrase does not open this key"));
  }
  const Secret none(0);
  CHECK(says(refused([&] { return key_file_text(key_of_letter('a'), &none, cheap); }),
             "the passphrase is empty"));
}

// Made once by this program, form 1: it must open as long as there is a program.
TEST_CASE("a key file of form 1 opens for ever") {
  const std::string text = "coldbag signing key, form 1\n"
                           "# Whoever can read this file can sign in your place. Send it to nobody;\n"
                           "# keep one copy of it locked away.\n"
                           "public_key = MCowBQYDK2VwAyEAyG0BrYsvtpSyL/YOPJ2eftkNtWBHcrdEUNQJE7mpy68=\n"
                           "lock = passphrase\n"
                           "key_derivation = argon2id13\n"
                           "passes = 2\n"
                           "memory_bytes = 65536\n"
                           "salt = mJzIbldp/0749ElHpJGhEA==\n"
                           "cipher = xchacha20poly1305_ietf\n"
                           "nonce = vr9xsQoAUllsDjcm+kPPIrQjisiIbjca\n"
                           "sealed_seed = DwNg4LmTniobm1kA6uNMZeWN0LeT+5Siwgayw5InGW/QN2uxhx+RxNsCTCXkohzG\n";
  CHECK(read(text).public_key() == key_of_letter('o').public_key());
}

TEST_CASE("any byte of a key file changed, and it is refused or says the same") {
  const SigningKey key = key_of_letter('a');
  for (const std::string& text : {unlocked_text(key), locked_text(key)}) {
    const std::size_t comment = text.find('#');
    const std::size_t behind_comment = text.find("public_key");
    for (std::size_t at = 0; at < text.size(); ++at) {
      CAPTURE(at);
      std::string changed = text;
      changed[at] = static_cast<char>(changed[at] ^ 1);
      std::string outcome = refused([&] { return read(changed); });
      if (outcome.empty()) {
        CHECK(read(changed).public_key() == key.public_key());
        CHECK((at > comment && at < behind_comment));
      }
    }
  }
}

TEST_CASE("lines that are missing, there twice or not known are refused by name") {
  const std::string text = locked_text(key_of_letter('a'));
  for (const char* line : {"public_key", "lock", "key_derivation", "passes", "memory_bytes", "salt", "cipher",
                           "nonce", "sealed_seed"}) {
    CAPTURE(line);
    CHECK(says(refused([&] { return read(without_line(text, line)); }),
               std::string("my.key: ") + line + ": this line is missing"));
  }
  CHECK(says(refused([&] { return read(text + "passes = 2\n"); }), "my.key:13: this line is there twice"));
  CHECK(says(refused([&] { return read(text + "colour = blue\n"); }),
             "my.key: colour: this line is not known"));
  CHECK(says(refused([&] { return read(text + "blue\n"); }), "my.key:13: this line is none of a key file"));
  CHECK(says(refused([&] { return read(unlocked_text(key_of_letter('a')) + "passes = 1\n"); }), "passes: "));
}

TEST_CASE("a key file asks for no more time and memory than a machine has") {
  const std::string text = locked_text(key_of_letter('a'));
  for (const auto& [from, to] :
       {std::pair("memory_bytes = 8192", "memory_bytes = 1073741825"),
        std::pair("memory_bytes = 8192", "memory_bytes = 1"), std::pair("passes = 1", "passes = 17"),
        std::pair("passes = 1", "passes = 0")}) {
    CAPTURE(to);
    CHECK(says(refused([&] {
                 return read_key_file_text("my.key", secret_of(replaced(text, from, to)), never_asked);
               }),
               "is not between"));
  }
  for (const char* to : {"passes = x", "passes = -1", "passes = 99999999999999999999", "passes = 1 "})
    CHECK(says(refused([&] { return read(replaced(text, "passes = 1", to)); }),
               "passes: what stands here is damaged"));
}

TEST_CASE("what is no key file is told apart from one of a later form") {
  CHECK(says(refused([] { return read("time,core\n0,20\n"); }), "this is no signing key"));
  CHECK(says(refused([] { return read(""); }), "this is no signing key"));
  CHECK(says(refused([] { return read("coldbag signing key, form 2\n"); }), "of a form that this version"));
}

TEST_CASE("a public key that is not that of the secret one is refused") {
  const std::string other = public_key_text(key_of_letter('b').public_key());
  const SigningKey key = key_of_letter('a');
  const std::string mine = public_key_text(key.public_key());
  CHECK(says(refused([&] { return read(replaced(unlocked_text(key), mine, other)); }),
             "not the public key of the secret one"));
  CHECK(
      says(refused([&] { return read(replaced(locked_text(key), mine, other)); }), "does not open this key"));
}

TEST_CASE("no complaint tells the secret") {
  const SigningKey key = key_of_letter('a');
  const std::string text = unlocked_text(key), seed = seed_text(key);
  for (const std::string& changed :
       {replaced(text, seed, seed + "!"), replaced(text, "seed = ", "seed "),
        replaced(text, "seed = ", "sead = "), replaced(text, "lock = none", "lock = " + seed),
        text + text.substr(text.find("seed = "))}) {
    const std::string complaint = refused([&] { return read(changed); });
    CAPTURE(complaint);
    CHECK_FALSE(complaint.empty());
    CHECK_FALSE(says(complaint, seed));
  }
}

TEST_CASE("line ends of other systems and blank lines do not matter") {
  const SigningKey key = key_of_letter('a');
  for (const std::string& text : {unlocked_text(key), locked_text(key)}) {
    std::string other = "";
    for (const char c : text)
      other += c == '\n' ? std::string("\r\n\r\n") : std::string(1, c);
    CHECK(read(other).public_key() == key.public_key());
    CHECK(read(text.substr(0, text.size() - 1)).public_key() == key.public_key());
  }
}

TEST_CASE("a key file on the disk is its owner's alone, and refused when it is not") {
  const test::TempFolder folder;
  const std::string path = folder.path_of("farm.key");
  const SigningKey key = key_of_letter('a');
  const Secret secret = secret_of(passphrase);
  write_key_file(path, key, &secret);
  CHECK(says(folder.read("farm.key"), "\npasses = 3\nmemory_bytes = 67108864\n"));
  CHECK(read_key_file(path, [] { return secret_of(passphrase); }).sign("entry") == key.sign("entry"));
  REQUIRE(::chmod(path.c_str(), 0644) == 0);
  CHECK(says(refused([&] { return read_key_file(path, never_asked); }), "others than its owner"));
}
