#include "cli/drawn_files.h"

#include "cli/write_file.h"
#include "report/chart.h"

#include <boost/program_options.hpp>

#include <filesystem>
#include <utility>
#include <vector>

namespace coldbag {

namespace po = boost::program_options;

namespace {

const std::vector<std::pair<std::string, ChartFile>> chart_endings{
    {".svg", ChartFile::svg}, {".pdf", ChartFile::pdf}, {".png", ChartFile::png}};

ChartFile chart_kind(const std::string& path) {
  const std::string ending = std::filesystem::path(path).extension().string();
  for (const auto& [known, kind] : chart_endings)
    if (ending == known) return kind;
  refuse_option("chart", "\"" + path + "\" does not end in .svg, .pdf or .png", "write for example run.svg");
}

} // namespace

po::options_description drawing_options() {
  po::options_description options("The run drawn, into new files");
  const auto text = [] { return po::value<std::string>()->value_name("FILE"); };
  options.add_options()("chart", text(), "the chart alone: FILE ends in .svg, .pdf or .png");
  return options;
}

void check_drawing_options(const Given& given) {
  if (given.has("chart")) (void)chart_kind(given.text("chart"));
}

void write_drawn_files(const Given& given, const RunReport& report, const Words& words,
                       const TableFiles& /*tables*/) {
  if (given.has("chart"))
    write_new_file(given.text("chart"),
                   chart_file(report, words, chart_kind(given.text("chart")), ChartSize{}));
}

} // namespace coldbag
