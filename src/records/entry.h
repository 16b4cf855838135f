// One entry of the ledger: what happened, when, when it was written down, who stands for it.
#pragma once

#include "clock/instant.h"
#include "errors/user_error.h"
#include "tables/sha256.h"

#include <cstdint>
#include <string>
#include <string_view>
#include <vector>

namespace coldbag {

enum class EntryKind {
  run,               ///< a run as judged
  amendment,         ///< puts an older entry right, which stays
  review,            ///< somebody looked an older entry over
  disposition,       ///< what becomes of the bags
  deviation,         ///< what was not as planned
  corrective_action, ///< what was done about it
  outcome,           ///< how many bags went bad later
  probe_check,       ///< a probe beside a known temperature
  key,               ///< a key, or the one that follows it
  imported,          ///< "import": from records kept elsewhere
  inoculation,       ///< bags handed to the clean room, and the lot they are from then on
  spore_strip,       ///< strips of spores that went through a run, and some that did not
};

/// What a signature stands for (21 CFR 11.50 names these four).
enum class Meaning { authorship, review, approval, responsibility };

/// The word in an entry; empty where the enumeration has no such value, for find_word of run/report_words.
[[nodiscard]] std::string_view word(EntryKind kind);
[[nodiscard]] std::string_view word(Meaning meaning);

/// A file that goes with an entry. Its bytes are kept apart; the entry holds what they must be.
struct Attachment {
  std::string name; ///< of a file, without folders
  Sha256 sha256{};
  std::uint64_t size_bytes = 0;
  bool operator==(const Attachment&) const = default;
};

[[nodiscard]] Attachment attachment_of(std::string name, std::string_view bytes);
/// Whether these are the bytes.
[[nodiscard]] bool is_of(const Attachment& attachment, std::string_view bytes);

/// An instant, and what a clock on the wall showed then: how far it was ahead of UTC, whole minutes.
struct ClockedInstant {
  Instant at;
  int utc_offset_s = 0;
  bool operator==(const ClockedInstant&) const = default;
};

struct Signer {
  std::string name; ///< as it is to be printed
  Meaning meaning = Meaning::authorship;
  bool operator==(const Signer&) const = default;
};

/// An entry is known by the hash of its leaf (leaf_hash of entry_leaf), so a reference holds what it refers
/// to.
using EntryId = Sha256;

struct Entry {
  EntryKind kind = EntryKind::run;
  std::string content; ///< an object in canonical JSON
  std::vector<Attachment> attachments;
  ClockedInstant event_at;        ///< when it happened
  ClockedInstant entered_at;      ///< when it was written into the ledger
  std::vector<EntryId> refers_to; ///< older entries
  Signer who;
  bool operator==(const Entry&) const = default;
};

/// Whether it was written down more than a day after it happened.
[[nodiscard]] bool is_entered_late(const Entry& entry);

/// What is wrong with an entry as a user made it, each with the path of its key: no name of a signer, names
/// of attachments that are no names of files or stand twice, a reference twice, a time out of these
/// centuries. Empty where all is well.
[[nodiscard]] std::vector<Complaint> complaints_about(const Entry& entry);

} // namespace coldbag
