#include "records/run_entry_json.h"

#include "records/canonical_json.h"
#include "records/members_json.h"

#include <nlohmann/json.hpp>

#include <algorithm>
#include <cmath>
#include <utility>

namespace coldbag {

namespace {

using Json = nlohmann::json;

constexpr double alike_share = 1e-9;

std::string key_path(const std::string& path, const std::string& key) {
  return path.empty() ? key : path + "." + key;
}

bool may_differ(const std::string& path) {
  return path == "program_version" || path == "editions";
}

std::string difference(const Json& kept, const Json& now, const std::string& path);

std::string difference_of_objects(const Json& kept, const Json& now, const std::string& path) {
  for (const auto& [key, value] : kept.items()) {
    const std::string own = key_path(path, key);
    if (may_differ(own)) continue;
    const auto other = now.find(key);
    if (other == now.end()) return own;
    if (std::string found = difference(value, *other, own); !found.empty()) return found;
  }
  // JSON of reports only grows: what an older program did not write is no difference.
  return "";
}

std::string difference_of_lists(const Json& kept, const Json& now, const std::string& path) {
  if (kept.size() != now.size()) return path;
  for (std::size_t i = 0; i < kept.size(); ++i)
    if (std::string found = difference(kept[i], now[i], key_path(path, std::to_string(i))); !found.empty())
      return found;
  return "";
}

std::string difference(const Json& kept, const Json& now, const std::string& path) {
  if (kept.is_number() && now.is_number()) {
    const auto a = kept.get<double>();
    const auto b = now.get<double>();
    return std::abs(a - b) <= alike_share * std::max(std::abs(a), std::abs(b)) ? "" : path;
  }
  if (kept.type() != now.type()) return path;
  if (kept.is_object()) return difference_of_objects(kept, now, path);
  if (kept.is_array()) return difference_of_lists(kept, now, path);
  return kept == now ? "" : path;
}

/// Texts of a list, or the names of its objects; none where the report has no such list.
std::vector<std::string> texts_of(const Json& report, const char* key) {
  std::vector<std::string> texts;
  const auto list = report.find(key);
  if (list == report.end() || !list->is_array()) return texts;
  for (const Json& one : *list) {
    const Json text = one.is_object() ? one.value("name", Json()) : one;
    if (text.is_string()) texts.push_back(text.get<std::string>());
  }
  return texts;
}

std::map<std::string, std::string> check_days(const Json& report) {
  std::map<std::string, std::string> days;
  const auto probes = report.find("probes");
  if (probes == report.end() || !probes->is_array()) return days;
  for (const Json& probe : *probes) {
    if (!probe.is_object()) continue;
    const Json name = probe.value("name", Json());
    const Json day = probe.value("checked_on", Json());
    if (name.is_string() && day.is_string()) days[name.get<std::string>()] = day.get<std::string>();
  }
  return days;
}

} // namespace

std::string run_content_json(const RunContent& content) {
  Json files = Json::array();
  for (const RunFileUse& file : content.files)
    files.push_back({{"kept", file.kept}, {"name", file.name}, {"what", file.what}});
  return canonical_json(Json{{"run", content.run},
                             {"vessel", content.vessel},
                             {"treatment", content.treatment},
                             {"verdict", content.verdict},
                             {"report", read_exact_json("report", content.report)},
                             {"files", std::move(files)},
                             {"fields", content.fields},
                             {"options", content.options}});
}

RunContent read_run_content(std::string_view source_name, std::string_view json) {
  const Json whole = read_canonical_object(source_name, json);
  ReadComplaints complaints{std::string(source_name), {}};
  Members members(complaints, whole, "");
  RunContent out;
  out.run = members.text("run").value_or("");
  out.vessel = members.text("vessel").value_or("");
  out.treatment = members.text("treatment").value_or("");
  out.verdict = members.text("verdict").value_or("");
  if (const Json* report = members.object("report")) {
    out.report = canonical_json(*report);
    out.lots = texts_of(*report, "lots");
    out.probes = texts_of(*report, "probes");
    out.probe_checks = check_days(*report);
  }
  if (const Json* files = members.list("files"))
    for (std::size_t i = 0; i < files->size(); ++i) {
      Members file(complaints, (*files)[i], "files." + std::to_string(i));
      RunFileUse use;
      use.kept = file.text("kept").value_or("");
      use.name = file.text("name").value_or("");
      use.what = file.text("what").value_or("");
      file.done();
      out.files.push_back(std::move(use));
    }
  out.fields = members.texts("fields");
  if (const Json* options = members.object("options"))
    for (const auto& [name, texts] : options->items())
      out.options[name] = texts_of(*options, name.c_str());
  members.done();
  throw_if_any(std::move(complaints));
  return out;
}

std::string first_difference(std::string_view kept_report, std::string_view new_report) {
  return difference(read_exact_json("record", kept_report), read_exact_json("report", new_report), "");
}

} // namespace coldbag
