#include "records/entry.h"

#include "records/made_entry.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <chrono>
#include <set>
#include <string>

using namespace coldbag;
using test::made_entry;

namespace {

/// The complaints about the made entry after a change, a line each.
template <class Change>
std::string complaints(const Change& change) {
  Entry entry = made_entry();
  change(entry);
  std::string text;
  for (const Complaint& complaint : complaints_about(entry))
    text += to_text(complaint) + "\n";
  return text;
}

} // namespace

TEST_CASE("every kind and meaning has a word of its own, and there are no more") {
  std::set<std::string_view> words;
  for (int i = 0; i < 12; ++i)
    words.insert(word(static_cast<EntryKind>(i)));
  CHECK(words.size() == 12);
  CHECK_FALSE(words.contains(""));
  CHECK(word(EntryKind::corrective_action) == "corrective_action");
  CHECK(word(EntryKind::imported) == "import");
  CHECK(word(static_cast<EntryKind>(12)).empty());
  CHECK(word(static_cast<EntryKind>(-1)).empty());
  CHECK(word(Meaning::responsibility) == "responsibility");
  CHECK(word(static_cast<Meaning>(4)).empty());
}

TEST_CASE("an attachment knows its bytes from all others") {
  const Attachment attachment = attachment_of("log.csv", "0,20\n");
  CHECK(attachment.size_bytes == 5);
  CHECK(attachment.sha256 == sha256("0,20\n"));
  CHECK(is_of(attachment, "0,20\n"));
  CHECK_FALSE(is_of(attachment, "0,21\n"));
  CHECK_FALSE(is_of(attachment, "0,20\n "));
  Attachment longer = attachment;
  longer.size_bytes = 6;
  CHECK_FALSE(is_of(longer, "0,20\n"));
}

TEST_CASE("an entry is late when it was written down more than a day after the event") {
  Entry entry = made_entry();
  entry.event_at = {Instant(std::chrono::hours(1000)), 3600};
  for (const auto& [hours_later, is_late] :
       {std::pair(0, false), std::pair(24, false), std::pair(25, true)}) {
    entry.entered_at = {Instant(std::chrono::hours(1000 + hours_later)), -3600}; // clocks of two zones
    CHECK(is_entered_late(entry) == is_late);
  }
  entry.entered_at.at = entry.event_at.at + std::chrono::hours(24) + std::chrono::microseconds(1);
  CHECK(is_entered_late(entry));
  entry.entered_at.at = entry.event_at.at - std::chrono::hours(48); // a clock that was set wrong
  CHECK_FALSE(is_entered_late(entry));
}

TEST_CASE("an entry that a user made well is not complained of") {
  CHECK(complaints([](Entry&) {}).empty());
}

TEST_CASE("somebody stands for every entry, by a name on one line") {
  for (const char* name : {"", "   ", "Ana\nExample", "Ana\x7F"}) {
    CAPTURE(name);
    CHECK(complaints([&](Entry& entry) { entry.who.name = name; }) ==
          "who.name: nobody stands for this entry; give the name of the person who signs it, on one line\n");
  }
}

TEST_CASE("the name of an attachment leads out of no folder, and stands once") {
  for (const char* name : {"", ".", "..", "a/b", "/etc/passwd", "..\\b", "a\tb", " "}) {
    CAPTURE(name);
    CHECK(complaints([&](Entry& entry) { entry.attachments[1].name = name; }) ==
          "attachments[1].name: \"" + std::string(name) +
              "\" is no name of a file; give a name without folders, at most 255 letters, for example "
              "\"log.csv\"\n");
  }
  CHECK_FALSE(complaints([](Entry& entry) { entry.attachments[0].name = std::string(256, 'a'); }).empty());
  CHECK(complaints([](Entry& entry) { entry.attachments[0].name = std::string(255, 'a'); }).empty());
  CHECK(complaints([](Entry& entry) { entry.attachments[1].name = "log.csv"; }) ==
        "attachments[1].name: two attachments are called \"log.csv\"; give each a name of its own\n");
  CHECK(complaints([](Entry& entry) { entry.attachments[0].name = "...csv"; }).empty());
}

TEST_CASE("an older entry is referred to once") {
  CHECK(complaints([](Entry& entry) { entry.refers_to.push_back(entry.refers_to[0]); }) ==
        "refers_to[2]: this entry is referred to twice; name it once\n");
}

TEST_CASE("times lie in these centuries") {
  const auto at = [](const char* key, Instant time) {
    return complaints([&](Entry& entry) { (key[1] == 'v' ? entry.event_at : entry.entered_at).at = time; });
  };
  constexpr Instant first{std::chrono::seconds(-2208988800)}, behind{std::chrono::seconds(4102444800)};
  constexpr auto least = std::chrono::microseconds(1);
  for (const char* key : {"event_at", "entered_at"}) {
    CHECK(at(key, first).empty());
    CHECK(at(key, behind - least).empty());
    for (const Instant out : {first - least, behind, Instant::min(), Instant::max()})
      CHECK(at(key, out) ==
            std::string(key) + ": this time is not between the years 1900 and 2100; see to the year\n");
  }
}

TEST_CASE("all that is wrong is said at once") {
  const std::string all = complaints([](Entry& entry) {
    entry.who.name = "";
    entry.attachments[0].name = "";
    entry.event_at.at = Instant::min();
  });
  CHECK(std::count(all.begin(), all.end(), '\n') == 3);
}
