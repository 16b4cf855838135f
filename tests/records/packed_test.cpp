#include "records/packed.h"

#include "records/refused.h"

#include <doctest/doctest.h>

#include <random>
#include <string>

using namespace coldbag;
using test::refused;
using test::says;

namespace {

std::string log_text() {
  std::string text = "time_s,core\n";
  for (int i = 0; i < 20000; ++i)
    text += std::to_string(i) + "," + std::to_string(20 + i % 80) + ".5\n";
  return text;
}

std::string chance_bytes(std::size_t size) {
  std::mt19937 chance(7); // NOLINT(cert-msc51-cpp): the same bytes every time
  std::string bytes;
  for (std::size_t i = 0; i < size; ++i)
    bytes += static_cast<char>(chance());
  return bytes;
}

std::string refusal(const std::string& frame, std::uint64_t size_bytes) {
  return refused([&] { return unpacked("log.csv", frame, size_bytes); });
}

constexpr const char* damaged = "log.csv: what was kept of this file is damaged";

// Frames put together by hand from RFC 8878, section 3.1.1: the magic number; a descriptor that says one
// segment with four bytes of size; the size; then blocks of a three-byte head and their bytes.
std::string frame_of(std::uint32_t size, const std::string& blocks) {
  std::string frame = "\x28\xB5\x2F\xFD";
  frame += '\xA0';
  for (unsigned i = 0; i < 4; ++i)
    frame += static_cast<char>(size >> (8 * i));
  return frame + blocks;
}

/// kind: 0 as it is, 1 one byte again and again.
std::string block(std::uint32_t size, unsigned kind, bool is_last, const std::string& bytes) {
  const std::uint32_t head = size << 3U | kind << 1U | (is_last ? 1U : 0U);
  std::string text;
  for (unsigned i = 0; i < 3; ++i)
    text += static_cast<char>(head >> (8 * i));
  return text + bytes;
}

} // namespace

TEST_CASE("bytes come back as they were") {
  for (const std::string& bytes :
       {std::string(), std::string("a"), log_text(), chance_bytes(100000), std::string(5000000, 'x')}) {
    CAPTURE(bytes.size());
    const std::string frame = packed("log.csv", bytes);
    CHECK(unpacked("log.csv", frame, bytes.size()) == bytes);
  }
  CHECK(packed("log.csv", log_text()).size() < log_text().size() / 4);
}

TEST_CASE("frames made by hand from RFC 8878 are unpacked") {
  CHECK(unpacked("log.csv", frame_of(5, block(5, 0, true, "hello")), 5) == "hello");
  CHECK(unpacked("log.csv", frame_of(11, block(8, 1, false, "a") + block(3, 0, true, "end")), 11) ==
        "aaaaaaaaend");
}

TEST_CASE("a frame of another size is refused") {
  const std::string frame = packed("log.csv", "0,20\n");
  for (const std::uint64_t size : {0U, 4U, 6U, 100000U})
    CHECK(says(refusal(frame, size), damaged));
  // It says five and holds four or six.
  CHECK(says(refusal(frame_of(5, block(4, 0, true, "hell")), 5), damaged));
  CHECK(says(refusal(frame_of(5, block(6, 0, true, "hello!")), 5), damaged));
}

TEST_CASE("any bit of a frame changed, or any end cut off, and it is refused or gives the same") {
  const std::string bytes = "time_s,core\n0,20.5\n60,20.5\n120,20.5\n180,20.6\n240,20.7\n300,20.9\n";
  const std::string frame = packed("log.csv", bytes);
  int same = 0;
  for (std::size_t at = 0; at < frame.size(); ++at)
    for (unsigned bit = 0; bit < 8; ++bit) {
      std::string changed = frame;
      changed[at] = static_cast<char>(static_cast<unsigned char>(changed[at]) ^ (1U << bit));
      if (!refusal(changed, bytes.size()).empty()) continue;
      CHECK(unpacked("log.csv", changed, bytes.size()) == bytes);
      ++same;
    }
  CHECK(same <= 3); // bits without use in RFC 8878: one of the descriptor, two of the modes of compression
  for (std::size_t size = 0; size < frame.size(); ++size)
    CHECK(says(refusal(frame.substr(0, size), bytes.size()), damaged));
  CHECK(says(refusal(frame + " ", bytes.size()), damaged));
  CHECK(says(refusal(frame + frame, bytes.size()), damaged));
  const std::string nothing = packed("log.csv", "");
  CHECK(says(refusal(nothing + nothing, 0), damaged));
}

TEST_CASE("what is no frame is refused, a frame to be skipped among it") {
  CHECK(says(refusal("", 0), damaged));
  CHECK(says(refusal("time_s,core\n", 12), damaged));
  CHECK(says(refusal(std::string("\x50\x2A\x4D\x18\x00\x00\x00\x00", 8), 0), damaged));
}

TEST_CASE("a frame that does not say its size is refused") {
  // The same blocks behind a descriptor without size, which says a window instead.
  const std::string frame = std::string("\x28\xB5\x2F\xFD\x00\x58", 6) + block(5, 0, true, "hello");
  CHECK(says(refusal(frame, 5), damaged));
}

TEST_CASE("a short frame takes no more memory than it can fill, however large it says it is") {
  const std::string few = frame_of(1073741824, block(131072, 1, true, "a"));
  CHECK(says(refusal(few, 1073741824), damaged));
  // 32 blocks of one byte again and again are 4 MiB in 137 bytes: as much as there can be.
  std::string blocks;
  for (int i = 0; i < 32; ++i)
    blocks += block(131072, 1, i == 31, "a");
  CHECK(unpacked("log.csv", frame_of(4194304, blocks), 4194304) == std::string(4194304, 'a'));
}

TEST_CASE("more than the most is neither packed nor unpacked") {
  CHECK(says(refusal(packed("log.csv", "a"), most_packed_bytes + 1),
             "log.csv: a file of 1073741825 bytes is too large to be kept; at most 1073741824 bytes can be"));
  const std::string_view huge("a", most_packed_bytes + 1); // looked at by its size alone
  CHECK(says(refused([&] { return packed("log.csv", huge); }), "too large to be kept"));
}
