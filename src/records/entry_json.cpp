#include "records/entry_json.h"

#include "clock/zone.h"
#include "errors/our_fault.h"
#include "records/canonical_json.h"
#include "records/canonical_members_json.h"
#include "records/members_json.h"
#include "run/report_words.h"

#include <fmt/format.h>

#include <nlohmann/json.hpp>

#include <chrono>
#include <cstdlib>
#include <utility>

namespace coldbag {

namespace {

using Json = nlohmann::json;

/// Of the keys of an entry. Another form gets another number, or old entries could be read as what they are
/// not.
constexpr std::uint64_t this_form = 1;

std::string text_of(const ClockedInstant& time) {
  return print_iso_local(Zone::fixed(time.utc_offset_s), time.at);
}

bool is_offset(int utc_offset_s) {
  return utc_offset_s % 60 == 0 && std::abs(utc_offset_s) < 86400;
}

std::optional<ClockedInstant> time_of(const std::string& text) {
  const auto time = parse_iso_time(text);
  if (!time || !time->has_clock || !time->offset_s) return std::nullopt;
  const std::int64_t offset_us = *time->offset_s * std::int64_t{1000000};
  const ClockedInstant read{Instant(std::chrono::microseconds(time->wall.us - offset_us)), *time->offset_s};
  // A time can be written in many ways, and an entry in one.
  if (text_of(read) != text) return std::nullopt;
  return read;
}

void check(const Entry& entry) {
  for (const ClockedInstant& time : {entry.event_at, entry.entered_at})
    our_check(is_offset(time.utc_offset_s), "a clock is ahead of UTC by whole minutes, less than a day");
  for (const Attachment& attachment : entry.attachments)
    our_check(attachment.size_bytes <= most_json_count, "the size of an attachment is one that JSON holds");
  our_check(entry.content.starts_with('{') && is_canonical_json(entry.content),
            "the content of an entry is an object in canonical JSON");
  our_check(!word(entry.kind).empty() && !word(entry.who.meaning).empty(), "an entry's words are known");
}

/// Two objects in canonical JSON as one; every key of `a` stands before every one of `b`.
std::string joined(std::string a, std::string_view b) {
  a.back() = ',';
  return a.append(b.substr(1));
}

// --- Reading ---

template <class Enum>
void take_word(Members& members, const std::string& key, Enum& value) {
  const auto text = members.text(key);
  if (!text) return;
  if (const auto found = find_word<Enum>(*text))
    value = *found;
  else
    members.complain(key, fmt::format("\"{}\" is none of the words for this", *text),
                     "write one of " + all_words<Enum>());
}

void take_time(Members& members, const std::string& key, ClockedInstant& value) {
  const auto text = members.text(key);
  if (!text) return;
  if (const auto time = time_of(*text))
    value = *time;
  else
    members.complain(key, fmt::format("\"{}\" is no time as the program writes it", *text),
                     "write it with its offset from UTC, for example \"2026-03-08T14:05:09-05:00\"");
}

void take_hash(Members& members, const std::string& key, Sha256& value) {
  const auto text = members.text(key);
  if (!text) return;
  if (const auto hash = read_hex_text(*text))
    value = *hash;
  else
    members.complain(key, "what stands here is no SHA-256", "64 digits are wanted, 0 to 9 and a to f");
}

std::vector<Attachment> take_attachments(ReadComplaints& complaints, Members& members) {
  std::vector<Attachment> attachments;
  const Json* list = members.list("attachments");
  for (std::size_t i = 0; list != nullptr && i < list->size(); ++i) {
    Members each(complaints, (*list)[i], fmt::format("attachments[{}]", i));
    Attachment& attachment = attachments.emplace_back();
    attachment.name = each.text("name").value_or("");
    take_hash(each, "sha256", attachment.sha256);
    attachment.size_bytes = each.count("size_bytes").value_or(0);
    each.done();
  }
  return attachments;
}

std::vector<EntryId> take_references(Members& members) {
  std::vector<EntryId> ids;
  const Json* list = members.list("refers_to");
  for (std::size_t i = 0; list != nullptr && i < list->size(); ++i) {
    const Json& id = (*list)[i];
    const auto hash = id.is_string() ? read_hex_text(id.get_ref<const std::string&>()) : std::nullopt;
    if (hash)
      ids.push_back(*hash);
    else
      members.complain(fmt::format("refers_to[{}]", i), "what stands here is no SHA-256",
                       "64 digits are wanted, 0 to 9 and a to f");
  }
  return ids;
}

Signer take_signer(ReadComplaints& complaints, Members& members) {
  Signer signer;
  if (const Json* object = members.object("who")) {
    Members who(complaints, *object, "who");
    signer.name = who.text("name").value_or("");
    take_word(who, "meaning", signer.meaning);
    who.done();
  }
  return signer;
}

void check_form(ReadComplaints& complaints, Members& members) {
  const auto form = members.count("form");
  if (form && *form != this_form)
    members.complain(
        "form", fmt::format("this entry is of form {}, and this program reads form {}", *form, this_form),
        "use the version of the program that wrote it");
  throw_if_any(complaints);
}

} // namespace

std::string entry_leaf(const Entry& entry) {
  check(entry);
  if (auto complaints = complaints_about(entry); !complaints.empty()) throw UserError(std::move(complaints));
  Json attachments = Json::array();
  for (const Attachment& each : entry.attachments)
    attachments.push_back(
        {{"name", each.name}, {"sha256", hex_text(each.sha256)}, {"size_bytes", each.size_bytes}});
  Json refers_to = Json::array();
  for (const EntryId& id : entry.refers_to)
    refers_to.push_back(hex_text(id));
  // The content is canonical already, and the longest part.
  const std::string before = canonical_json({{"attachments", std::move(attachments)}});
  const std::string content = "{\"content\":" + entry.content + "}";
  const std::string behind =
      canonical_json({{"form", this_form},
                      {"kind", word(entry.kind)},
                      {"event_at", text_of(entry.event_at)},
                      {"entered_at", text_of(entry.entered_at)},
                      {"refers_to", std::move(refers_to)},
                      {"who", {{"name", entry.who.name}, {"meaning", word(entry.who.meaning)}}}});
  return joined(joined(before, content), behind);
}

Entry read_entry(std::string_view source_name, std::string_view leaf) {
  Entry entry;
  Json root;
  for (const CanonicalMember& member : read_canonical_members(source_name, leaf))
    if (member.key == "content" && member.value.starts_with('{')) {
      entry.content = member.value; // the longest part, and kept as it stands
      root[member.key] = Json::object();
    } else {
      root[member.key] = Json::parse(member.value);
    }
  ReadComplaints complaints{std::string(source_name), {}};
  Members members(complaints, root, "");
  check_form(complaints, members);
  take_word(members, "kind", entry.kind);
  (void)members.object("content");
  entry.attachments = take_attachments(complaints, members);
  take_time(members, "event_at", entry.event_at);
  take_time(members, "entered_at", entry.entered_at);
  entry.refers_to = take_references(members);
  entry.who = take_signer(complaints, members);
  members.done();
  throw_if_any(complaints);
  complaints.all = complaints_about(entry);
  for (Complaint& complaint : complaints.all)
    complaint.place.source_name = source_name;
  throw_if_any(complaints);
  return entry;
}

} // namespace coldbag
