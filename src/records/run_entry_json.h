// What an entry of a run holds: the report, and which kept file was what.
#pragma once

#include "records/entry.h"
#include "records/fields.h"

#include <map>
#include <string>
#include <string_view>
#include <vector>

namespace coldbag {

/// A file that a run was judged from.
struct RunFileUse {
  std::string what; ///< "run_file", "site", "load", "learned", "log"
  std::string name; ///< as it was given, and stands in the report
  std::string kept; ///< name of the attachment
  bool operator==(const RunFileUse&) const = default;
};

struct RunContent {
  std::string run;
  std::string vessel;
  std::string treatment;
  std::string verdict; ///< "PASS", or "" where nothing was judged
  std::string report;  ///< JSON of the report
  std::vector<RunFileUse> files;
  /// What the command line said beside the files, texts by the name of the option.
  std::map<std::string, std::vector<std::string>> options;
  FieldTexts fields;                               ///< what a person stated beside the files
  std::vector<std::string> lots;                   ///< as the report has them; read only
  std::map<std::string, std::string> probe_checks; ///< day of the check that counted, by probe; read only
  std::vector<std::string> probes;                 ///< names of the report's probes; read only
};

/// In canonical JSON.
[[nodiscard]] std::string run_content_json(const RunContent& content);
/// What run_content_json wrote. Throws UserError where it is anything else.
[[nodiscard]] RunContent read_run_content(std::string_view source_name, std::string_view json);

/// Where two reports differ, a path such as "probes.0.F_minutes"; "" where they agree: texts and statuses
/// exactly, figures to a part of 1e-9. The program's version and the list of tables may be others.
[[nodiscard]] std::string first_difference(std::string_view kept_report, std::string_view new_report);

} // namespace coldbag
