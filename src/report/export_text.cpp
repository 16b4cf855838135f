#include "report/export_text.h"

#include "clock/instant.h"
#include "errors/our_fault.h"
#include "records/ledger.h"
#include "records/ledger_json.h"
#include "records/public_key.h"
#include "report/layout.h"

#include <array>
#include <string_view>

namespace coldbag {

namespace {

/// A step by hand: the key of its words, and what is typed.
struct Step {
  const char* says;
  const char* typed;
};

constexpr std::array steps{
    Step{"export_step_sums", "sha256sum -c sha256sums\n"},
    Step{"export_step_leaf", "printf '\\000' | cat - entry.json | sha256sum\n"},
    Step{"export_step_files", "sha256sum files/*\n"
                              "sed 's/\\],\"content\":.*//; s/[{]/\\n/g' entry.json; echo\n"},
    Step{"export_step_proof", "bytes() { printf '%b' \"$(printf '\\\\0%03o' $(\n"
                              "  printf '%s' \"$1\" | sed 's/../0x& /g'))\"; }\n"
                              "now=$(printf '\\000' | cat - entry.json | sha256sum | cut -c 1-64)\n"
                              "while read -r side hash; do\n"
                              "  case $side in\n"
                              "    left) both=$hash$now ;;\n"
                              "    right) both=$now$hash ;;\n"
                              "    *) continue ;;\n"
                              "  esac\n"
                              "  now=$(bytes \"01$both\" | sha256sum | cut -c 1-64)\n"
                              "done <proof.txt\n"
                              "echo \"$now\"\n"},
    Step{"export_step_head", "cat head.json\n"
                             "openssl pkeyutl -verify -pubin -inkey key.pem -rawin \\\n"
                             "  -in head.json -sigfile head.sig\n"},
    Step{"export_step_key", "openssl pkey -pubin -in key.pem -outform DER | sha256sum\n"},
};

constexpr Step report_step{"export_step_report", "{ printf '\"report\":'; cat report.json; } |\n"
                                                 "  grep -c -F -f - entry.json\n"};

/// Lines that are typed stand apart from what is read.
std::string typed(std::string_view lines) {
  std::string out;
  while (!lines.empty()) {
    const std::size_t end = lines.find('\n') + 1;
    out += "    " + std::string(lines.substr(0, end));
    lines.remove_prefix(end);
  }
  return out;
}

std::string headed(const std::string& text) {
  return "\n" + text + "\n" + std::string(screen_length(text), '-') + "\n\n";
}

std::string when_text(const ClockedInstant& at) {
  constexpr std::int64_t us_per_s = 1000000;
  const std::int64_t us = at.at.time_since_epoch().count() + at.utc_offset_s * us_per_s;
  return print_iso_wall(WallTime{us}).substr(0, 10);
}

/// In single quotes of a shell.
std::string quoted(const std::string& text) {
  std::string out;
  for (const char c : text)
    out += c == '\'' ? std::string("'\\''") : std::string(1, c);
  return out;
}

} // namespace

std::string export_readme(const Exported& from, const Words& words) {
  const std::string title = words.text("export_title", {{"run", clean(subject_of(from.run.entry).run)},
                                                        {"number", std::to_string(from.run.number)}});
  std::string out = title + "\n" + std::string(screen_length(title), '=') + "\n\n";
  out += wrapped(words.text("export_what"), 0) + "\n";
  const bool has_report = from.run.entry.kind == EntryKind::run;
  if (has_report) out += item(words.text("export_file_pdf")) + item(words.text("export_file_report"));
  out += item(words.text("export_file_entry")) + item(words.text("export_file_kept"));
  if (!from.about.empty()) out += item(words.text("export_file_about"));
  out += item(words.text("export_file_proof")) + item(words.text("export_file_head"));
  out += headed(words.text("export_by_hand"));
  for (const Step& step : steps)
    out += wrapped(words.text(step.says), 0) + "\n" + typed(step.typed) + "\n";
  if (has_report) out += wrapped(words.text(report_step.says), 0) + "\n" + typed(report_step.typed) + "\n";
  out += wrapped(words.text("export_compare"), 0) + "\n";
  const std::string seal = seal_text(from.head);
  const std::size_t half = seal.size() / 2 + seal.substr(seal.size() / 2).find(' ');
  out += typed(seal.substr(0, half) + "\n" + seal.substr(half) + "\n");
  out += headed(words.text("export_cannot"));
  for (const char* key : {"export_cannot_probe", "export_cannot_when", "export_cannot_other"})
    out += item(words.text(key));
  return out;
}

std::string export_script(const Words& words, const TableFiles& files) {
  std::string script(files.bytes("export-check.sh"));
  for (const char* key : {"export_script_holds", "export_script_wrong", "export_script_sums",
                          "export_script_proof", "export_script_files", "export_script_report",
                          "export_script_about", "export_script_signed", "export_script_compare"}) {
    const std::string place = "@" + std::string(key) + "@";
    const std::string text = quoted(words.text(key));
    our_check(script.find(place) != std::string::npos, "the script has a place for its words");
    for (std::size_t at = script.find(place); at != std::string::npos;
         at = script.find(place, at + text.size()))
      script.replace(at, place.size(), text);
  }
  return script;
}

Blocks in_ledger_blocks(const Exported& from, const Words& words) {
  Blocks out{Heading{words.text("export_in_ledger")},
             Item{words.text("export_entry",
                             {{"number", std::to_string(from.run.number)}, {"id", hex_text(from.run.id)}})},
             Item{words.text("export_seal", {{"seal", seal_text(from.head)}})},
             Item{words.text("ledger_key", {{"fingerprint", fingerprint(from.key)}})}};
  for (const ProvedEntry& about : from.about) {
    const std::string kind = "ledger_kind_" + std::string(word(about.entry.kind));
    const std::string meaning = "ledger_meaning_" + std::string(word(about.entry.who.meaning));
    out.push_back(Item{words.text("export_later", {{"number", std::to_string(about.number)},
                                                   {"kind", words.text(kind)},
                                                   {"day", when_text(about.entry.event_at)},
                                                   {"name", clean(about.entry.who.name)},
                                                   {"meaning", words.text(meaning)}})});
  }
  out.push_back(Item{words.text("ledger_cannot_show")});
  return out;
}

} // namespace coldbag
