#include "records/statement_rules.h"

#include <algorithm>
#include <array>
#include <charconv>
#include <utility>

namespace coldbag {

namespace {

std::string text_of(const FieldTexts& fields, const std::string& name) {
  const auto found = fields.find(name);
  return found == fields.end() ? "" : found->second;
}

/// 0 where it is no count, of which complaints_about the fields tells.
long count_of(const FieldTexts& fields, const std::string& name) {
  const std::string text = text_of(fields, name);
  long count = 0;
  std::from_chars(text.data(), text.data() + text.size(), count);
  return count;
}

Complaint complain(const char* field, std::string problem, std::string remedy) {
  Complaint complaint = usage(std::move(problem), std::move(remedy));
  complaint.place.key_path = field;
  return complaint;
}

std::vector<Complaint> of_disposition(const FieldTexts& fields, const std::string& signer,
                                      const std::string& verdict) {
  const std::string disposition = text_of(fields, "disposition");
  const bool is_release = disposition == "released" || disposition == "released_as_trial";
  if (!is_release || verdict == "pass") return {};
  std::vector<Complaint> complaints;
  const bool is_judged = !verdict.empty();
  if (text_of(fields, "reason").empty())
    complaints.push_back(complain("reason",
                                  is_judged ? "a release against a verdict that is not PASS needs a reason"
                                            : "a release against a run that was not judged needs a reason",
                                  "say why the bags are released"));
  const std::string second = text_of(fields, "second");
  if (second.empty() || second == signer)
    complaints.push_back(complain("second",
                                  is_judged
                                      ? "a release against a verdict that is not PASS needs a second name"
                                      : "a release against a run that was not judged needs a second name",
                                  "name another person who agrees"));
  return complaints;
}

void at_most(const FieldTexts& fields, const char* part, const char* whole,
             std::vector<Complaint>& complaints) {
  if (count_of(fields, part) > count_of(fields, whole))
    complaints.push_back(
        complain(part, "there are more of them than of \"" + std::string(whole) + "\"", "count both again"));
}

} // namespace

bool is_statement(EntryKind kind) {
  return kind != EntryKind::run && kind != EntryKind::key && kind != EntryKind::imported;
}

Meaning meaning_of(EntryKind kind) {
  if (kind == EntryKind::review) return Meaning::review;
  if (kind == EntryKind::disposition) return Meaning::approval;
  return Meaning::authorship;
}

std::vector<EntryKind> is_about(EntryKind kind) {
  switch (kind) {
  case EntryKind::review:
  case EntryKind::probe_check:
    return {};
  case EntryKind::corrective_action:
    return {EntryKind::deviation};
  default:
    return {EntryKind::run};
  }
}

std::vector<Complaint> complaints_about(EntryKind kind, const FieldTexts& fields, const std::string& signer,
                                        const std::string& verdict) {
  std::vector<Complaint> complaints;
  if (kind == EntryKind::disposition) return of_disposition(fields, signer, verdict);
  if (kind == EntryKind::outcome) at_most(fields, "bad", "looked_at", complaints);
  if (kind == EntryKind::spore_strip) {
    at_most(fields, "grown", "strips", complaints);
    at_most(fields, "control_grown", "control_strips", complaints);
  }
  return complaints;
}

std::optional<std::string> deviation_opened_by(EntryKind kind, const FieldTexts& fields,
                                               const std::string& verdict) {
  const bool is_alive = count_of(fields, "control_grown") > 0;
  if (kind == EntryKind::spore_strip && verdict == "pass" && is_alive && count_of(fields, "grown") > 0)
    return "growth";
  return std::nullopt;
}

std::optional<std::string> deviation_of_event(std::string_view what, bool before_steam_off) {
  constexpr std::array<std::pair<std::string_view, std::string_view>, 4> words{{
      {"door_opened", "door"},
      {"power_cut", "power"},
      {"water_added", "water"},
      {"bag_burst", "burst"},
  }};
  for (const auto& [event, word] : words)
    if (event == what && (before_steam_off || word == "burst")) return std::string(word);
  return std::nullopt;
}

} // namespace coldbag
