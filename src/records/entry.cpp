#include "records/entry.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <chrono>
#include <set>
#include <utility>

namespace coldbag {

namespace {

template <class Enum, std::size_t count>
std::string_view word_of(const std::array<std::string_view, count>& words, Enum value) {
  const auto idx = static_cast<std::size_t>(value);
  return idx < count ? words[idx] : std::string_view();
}

bool is_control(char c) {
  return static_cast<unsigned char>(c) < 0x20 || c == 0x7F;
}

bool is_name(const std::string& text) {
  return std::ranges::any_of(text, [](char c) { return c != ' '; }) && !std::ranges::any_of(text, is_control);
}

// Written out again some day, perhaps on another system: a name must not lead out of its folder.
bool is_file_name(const std::string& name) {
  constexpr std::size_t most_letters = 255;
  return is_name(name) && name.size() <= most_letters && name != "." && name != ".." &&
         name.find_first_of("/\\") == std::string::npos;
}

class Complaints {
 public:
  void add(std::string key_path, std::string problem, std::string remedy) {
    all_.push_back(
        {Trouble::bad_data, {"", 0, 0, std::move(key_path)}, std::move(problem), std::move(remedy)});
  }
  [[nodiscard]] std::vector<Complaint> take() { return std::move(all_); }

 private:
  std::vector<Complaint> all_;
};

void check_attachments(const Entry& entry, Complaints& complaints) {
  std::set<std::string> names;
  for (std::size_t i = 0; i < entry.attachments.size(); ++i) {
    const std::string& name = entry.attachments[i].name;
    const std::string path = fmt::format("attachments[{}].name", i);
    if (!is_file_name(name))
      complaints.add(path, fmt::format("\"{}\" is no name of a file", name),
                     "give a name without folders, at most 255 letters, for example \"log.csv\"");
    else if (!names.insert(name).second)
      complaints.add(path, fmt::format("two attachments are called \"{}\"", name),
                     "give each a name of its own");
  }
}

void check_time(const ClockedInstant& time, const char* key, Complaints& complaints) {
  constexpr auto first = Instant(std::chrono::seconds(-2208988800)); // 1900-01-01
  constexpr auto last = Instant(std::chrono::seconds(4102444800));   // 2100-01-01
  if (time.at < first || time.at >= last)
    complaints.add(key, "this time is not between the years 1900 and 2100", "see to the year");
}

void check_references(const Entry& entry, Complaints& complaints) {
  std::set<EntryId> ids;
  for (std::size_t i = 0; i < entry.refers_to.size(); ++i)
    if (!ids.insert(entry.refers_to[i]).second)
      complaints.add(fmt::format("refers_to[{}]", i), "this entry is referred to twice", "name it once");
}

} // namespace

std::string_view word(EntryKind kind) {
  constexpr std::array<std::string_view, 12> words = {
      "run",     "amendment",   "review", "disposition", "deviation",   "corrective_action",
      "outcome", "probe_check", "key",    "import",      "inoculation", "spore_strip"};
  return word_of(words, kind);
}

std::string_view word(Meaning meaning) {
  constexpr std::array<std::string_view, 4> words = {"authorship", "review", "approval", "responsibility"};
  return word_of(words, meaning);
}

Attachment attachment_of(std::string name, std::string_view bytes) {
  return {std::move(name), sha256(bytes), bytes.size()};
}

bool is_of(const Attachment& attachment, std::string_view bytes) {
  return attachment.size_bytes == bytes.size() && attachment.sha256 == sha256(bytes);
}

bool is_entered_late(const Entry& entry) {
  return entry.entered_at.at - entry.event_at.at > std::chrono::hours(24);
}

std::vector<Complaint> complaints_about(const Entry& entry) {
  Complaints complaints;
  check_attachments(entry, complaints);
  check_references(entry, complaints);
  check_time(entry.event_at, "event_at", complaints);
  check_time(entry.entered_at, "entered_at", complaints);
  if (!is_name(entry.who.name))
    complaints.add("who.name", "nobody stands for this entry",
                   "give the name of the person who signs it, on one line");
  return complaints.take();
}

} // namespace coldbag
