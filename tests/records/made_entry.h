// An invented entry for tests: every member holds something.
#pragma once

#include "records/entry.h"

#include <chrono>

namespace coldbag::test {

[[nodiscard]] inline Entry made_entry() {
  Entry entry;
  entry.kind = EntryKind::run;
  entry.content = R"({"bags":420,"load":"willow ridge 7"})";
  entry.attachments = {attachment_of("log.csv", "time_s,core\n0,20\n"), attachment_of("photo ñ.jpg", "")};
  entry.event_at = {Instant(std::chrono::seconds(1772978709)), -5 * 3600};
  entry.entered_at = {Instant(std::chrono::microseconds(1772982309250000)), 0};
  entry.refers_to = {sha256("older"), sha256("oldest")};
  entry.who = {"Ana Example", Meaning::responsibility};
  return entry;
}

} // namespace coldbag::test
