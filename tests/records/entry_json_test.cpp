#include "records/entry_json.h"

#include "errors/our_fault.h"
#include "records/canonical_json.h"
#include "records/canonical_members_json.h"
#include "records/made_entry.h"
#include "records/merkle.h"
#include "records/refused.h"

#include <doctest/doctest.h>
#include <nlohmann/json.hpp>

#include <algorithm>
#include <chrono>
#include <functional>
#include <random>
#include <set>
#include <string>

using namespace coldbag;
using test::made_entry;
using test::refused;
using test::says;
using Json = nlohmann::json;

namespace {

/// What reading the made entry's leaf complains of after a change to its JSON.
std::string complaint(const std::function<void(Json&)>& change) {
  Json json = Json::parse(entry_leaf(made_entry()));
  change(json);
  return refused([&] { return read_entry("ledger", canonical_json(json)); });
}

} // namespace

TEST_CASE("the leaf of an entry is canonical JSON of exactly its members") {
  CHECK(entry_leaf(made_entry()) ==
        R"({"attachments":[{"name":"log.csv","sha256":")" + sha256_hex("time_s,core\n0,20\n") +
            R"(","size_bytes":17},{"name":"photo ñ.jpg","sha256":")" + sha256_hex("") +
            R"(","size_bytes":0}],"content":{"bags":420,"load":"willow ridge 7"},)"
            R"("entered_at":"2026-03-08T15:05:09.25+00:00","event_at":"2026-03-08T09:05:09-05:00","form":1,)"
            R"("kind":"run","refers_to":[")" +
            sha256_hex("older") + R"(",")" + sha256_hex("oldest") +
            R"("],"who":{"meaning":"responsibility","name":"Ana Example"}})");
  CHECK(is_canonical_json(entry_leaf(made_entry())));
}

TEST_CASE("an entry comes back from its leaf, whatever it holds") {
  std::mt19937 chance(20260308); // NOLINT(cert-msc51-cpp): the same entries every time
  const auto one_of = [&](int count) { return static_cast<int>(chance() % static_cast<unsigned>(count)); };
  for (int i = 0; i < 500; ++i) {
    CAPTURE(i);
    Entry entry = made_entry();
    entry.kind = static_cast<EntryKind>(one_of(10));
    entry.who.meaning = static_cast<Meaning>(one_of(4));
    entry.content = canonical_json({{"i", i}, {"deep", {{"x", {1.5, nullptr, "é\n"}}}}});
    entry.attachments.resize(static_cast<std::size_t>(one_of(3)));
    if (!entry.attachments.empty()) entry.attachments[0].size_bytes = most_json_count;
    entry.refers_to.resize(static_cast<std::size_t>(one_of(3)));
    entry.event_at = {Instant(std::chrono::microseconds(1700000000000000 + one_of(1000000000))),
                      900 * (one_of(96) - 48)};
    entry.entered_at = {Instant(std::chrono::seconds(-2208988800) + std::chrono::hours(one_of(1700000))),
                        60 * one_of(1440)};
    const std::string leaf = entry_leaf(entry);
    REQUIRE(read_entry("ledger", leaf) == entry);
  }
}

TEST_CASE("every byte of a leaf matters") {
  const Entry entry = made_entry();
  const std::string leaf = entry_leaf(entry);
  const Sha256 hash = leaf_hash(leaf);
  int read_as_other = 0;
  for (std::size_t at = 0; at < leaf.size(); ++at)
    for (unsigned bit = 0; bit < 8; ++bit) {
      std::string changed = leaf;
      changed[at] = static_cast<char>(static_cast<unsigned char>(changed[at]) ^ (1U << bit));
      CAPTURE(changed);
      CHECK(leaf_hash(changed) != hash);
      if (!refused([&] { return read_entry("ledger", changed); }).empty()) continue;
      const Entry read = read_entry("ledger", changed);
      CHECK(read != entry);
      CHECK(entry_leaf(read) == changed);
      ++read_as_other;
    }
  CHECK(read_as_other > 100); // letters of names, digits of hashes and times
  for (std::size_t size = 0; size < leaf.size(); ++size)
    CHECK_FALSE(refused([&] { return read_entry("ledger", leaf.substr(0, size)); }).empty());
}

TEST_CASE("every member of an entry is in its leaf") {
  const std::function<void(Entry&)> changes[] = {
      [](Entry&) {},
      [](Entry& e) { e.kind = EntryKind::amendment; },
      [](Entry& e) { e.content = "{}"; },
      [](Entry& e) { e.attachments.pop_back(); },
      [](Entry& e) { e.attachments[0].name = "log2.csv"; },
      [](Entry& e) { e.attachments[0].sha256[31] ^= 1; },
      [](Entry& e) { ++e.attachments[0].size_bytes; },
      [](Entry& e) { std::swap(e.attachments[0], e.attachments[1]); },
      [](Entry& e) { e.event_at.at += std::chrono::microseconds(1); },
      [](Entry& e) { e.event_at.utc_offset_s += 60; },
      [](Entry& e) { e.entered_at.at += std::chrono::microseconds(1); },
      [](Entry& e) { e.entered_at.utc_offset_s -= 60; },
      [](Entry& e) { e.refers_to.pop_back(); },
      [](Entry& e) { std::swap(e.refers_to[0], e.refers_to[1]); },
      [](Entry& e) { e.refers_to[0][0] ^= 1; },
      [](Entry& e) { e.who.name += "s"; },
      [](Entry& e) { e.who.meaning = Meaning::review; },
  };
  std::set<std::string> leaves;
  for (const auto& change : changes) {
    Entry entry = made_entry();
    change(entry);
    leaves.insert(entry_leaf(entry));
  }
  CHECK(leaves.size() == std::size(changes));
}

TEST_CASE("a key that is missing or not known is refused by its path") {
  for (const char* key :
       {"attachments", "content", "entered_at", "event_at", "form", "kind", "refers_to", "who"}) {
    CAPTURE(key);
    CHECK(says(complaint([&](Json& json) { json.erase(key); }),
               std::string("ledger: ") + key + ": this key is missing"));
  }
  CHECK(
      says(complaint([](Json& json) { json["colour"] = "blue"; }), "ledger: colour: this key is not known"));
  CHECK(says(complaint([](Json& json) { json["who"]["colour"] = "blue"; }),
             "who.colour: this key is not known"));
  CHECK(says(complaint([](Json& json) { json["who"].erase("name"); }), "who.name: this key is missing"));
  CHECK(says(complaint([](Json& json) { json["attachments"][1]["path"] = ""; }),
             "attachments[1].path: this key is not"));
  CHECK(says(complaint([](Json& json) { json["attachments"][1].erase("sha256"); }),
             "attachments[1].sha256: this key is"));
}

TEST_CASE("a value of the wrong kind is refused by its path") {
  const auto with = [](const char* pointer, const Json& value) {
    return complaint([&](Json& json) { json[Json::json_pointer(pointer)] = value; });
  };
  CHECK(says(with("/kind", 7), "kind: what stands here is no text"));
  CHECK(says(with("/kind", "party"),
             "kind: \"party\" is none of the words for this; write one of run, amendment, "
             "review, disposition, deviation, corrective_action, outcome, probe_check, key, "
             "import"));
  CHECK(says(with("/who/meaning", ""), "write one of authorship, review, approval, responsibility"));
  CHECK(says(with("/who", "Ana"), "who: what stands here is no object"));
  CHECK(says(with("/content", Json::array()), "content: what stands here is no object"));
  CHECK(says(with("/attachments", nullptr), "attachments: what stands here is no list"));
  CHECK(says(with("/attachments/0", 1), "attachments[0]: what stands here is no object"));
  CHECK(says(with("/attachments/0/sha256", "ab"), "attachments[0].sha256: what stands here is no SHA-256"));
  for (const Json& size : {Json(-1), Json(1.5), Json("17"), Json(most_json_count + 1)})
    CHECK(says(with("/attachments/0/size_bytes", size), "size_bytes: what stands here is no whole number"));
  CHECK(says(with("/refers_to/1", std::string(64, 'A')), "refers_to[1]: what stands here is no SHA-256"));
  CHECK(says(with("/refers_to/0", 1), "refers_to[0]: what stands here is no SHA-256"));
  CHECK(says(with("/form", 2), "form: this entry is of form 2, and this program reads form 1"));
  CHECK(says(with("/form", "1"), "form: what stands here is no whole number"));
  CHECK(says(with("/who/name", ""), "ledger: who.name: nobody stands for this entry"));
  CHECK(says(with("/attachments/0/name", "../log.csv"), "ledger: attachments[0].name: "));
}

TEST_CASE("a time is read in the one way it is written, with its offset") {
  for (const char* time :
       {"2026-03-08T09:05:09", "2026-03-08T09:05:09Z", "2026-03-08 09:05:09-05:00", "2026-03-08T09:05-05:00",
        "2026-03-08T09:05:09.0-05:00", "2026-03-08T09:05:09.1234567-05:00", "2026-03-08T09:05:09-0500",
        "2026-03-08T09:05:09-05", "2026-03-08T09:05:09-00:00", "2026-03-08T24:00:00-05:00",
        "2026-03-08T23:59:60-05:00", "2026-02-30T09:05:09-05:00", "2026-03-08T09:05:09-05:00:30",
        "2026-03-08T09:05:09-24:00", "2026-03-08", "", "20260308T090509-0500",
        "2026-03-08T09:05:09-05:00 "}) {
    CAPTURE(time);
    CHECK(says(complaint([&](Json& json) { json["event_at"] = time; }),
               "event_at: \"" + std::string(time) + "\" is no time"));
  }
  CHECK(says(complaint([](Json& json) { json["event_at"] = "1899-12-31T23:59:59+00:00"; }),
             "between the years"));
  CHECK(complaint([](Json& json) { json["event_at"] = "2026-03-08T09:05:09+12:45"; }).empty());
}

TEST_CASE("all that is wrong in a leaf is said at once") {
  const std::string all = complaint([](Json& json) {
    json["kind"] = "party";
    json["event_at"] = "noon";
    json.erase("who");
  });
  CHECK(std::count(all.begin(), all.end(), '\n') == 2);
}

TEST_CASE("bytes that are not canonical JSON of an object are refused") {
  const std::string leaf = entry_leaf(made_entry());
  CHECK(says(refused([&] { return read_entry("ledger", leaf + "\n"); }),
             "not in its canonical form (RFC 8785)"));
  CHECK(says(refused([&] { return read_entry("ledger", " " + leaf); }), "not in its canonical form"));
  CHECK(says(refused([] { return read_entry("ledger", "[]"); }), "what stands here is no object"));
  CHECK(says(refused([] { return read_entry("ledger", "steam"); }), "this is no JSON"));
}

TEST_CASE("what a user typed is complained of when an entry is written, what the program did is our fault") {
  Entry entry = made_entry();
  entry.who.name = "";
  CHECK(says(refused([&] { return entry_leaf(entry); }), "who.name: nobody stands"));
  entry = made_entry();
  entry.who.name = "Jos\xE9";
  CHECK(says(refused([&] { return entry_leaf(entry); }), "who.name: this text has bytes that are no UTF-8"));

  const std::function<void(Entry&)> faults[] = {
      [](Entry& e) { e.content = "{ }"; },
      [](Entry& e) { e.content = "[]"; },
      [](Entry& e) { e.content = ""; },
      [](Entry& e) { e.event_at.utc_offset_s = 30; },
      [](Entry& e) { e.entered_at.utc_offset_s = 86400; },
      [](Entry& e) { e.attachments[0].size_bytes = most_json_count + 1; },
      [](Entry& e) { e.kind = static_cast<EntryKind>(99); },
  };
  for (const auto& fault : faults) {
    entry = made_entry();
    fault(entry);
    CHECK_THROWS_AS((void)entry_leaf(entry), OurFault);
  }
}
