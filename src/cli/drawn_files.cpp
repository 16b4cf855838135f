#include "cli/drawn_files.h"

#include "cli/option_group.h"
#include "cli/paper_option.h"
#include "cli/write_file.h"
#include "report/chart.h"
#include "report/inspection_blocks.h"
#include "report/page.h"
#include "report/pdf.h"
#include "report/readings_json.h"
#include "run/moment_text.h"

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

std::string page_of(const Blocks& blocks, const RunReport& report, const Words& words,
                    const TableFiles& tables) {
  PageChart chart;
  if (has_chart(report))
    chart = {chart_svg(report, words, ChartSize{}), chart_svg(report, words, narrow_chart)};
  return page_html(blocks, {words.text("record_title"), report.run_name, words.language()}, words, tables,
                   chart, readings_json(report, words, ChartSize{}, narrow_chart));
}

} // namespace

po::options_description drawing_options(const Words& words) {
  OptionGroup drawn(words, "drawn");
  drawn.text("html").text("pdf").text("paper").text("chart");
  return drawn.described();
}

void check_drawing_options(const Given& given) {
  if (given.has("chart")) (void)chart_kind(given.text("chart"));
  check_paper_option(given, {"pdf"});
}

void refuse_drawing_many(const Given& given) {
  for (const char* option : {"html", "pdf", "chart"})
    if (given.has(option))
      refuse_option(option, "several runs do not go into one file", "draw each run by a command of its own");
}

std::string run_pdf(const Given& given, const Blocks& blocks, const RunReport& report, const Words& words) {
  const Paper paper = paper_option(given, report.units);
  PdfAbout about;
  about.title = words.text("record_title");
  about.run_name = report.run_name;
  about.author = report.run_by;
  about.subject = report.treatment_name;
  about.language = words.language();
  if (report.clock.start) about.made_at = moment_iso(report.clock, 0);
  DrawChart draw;
  if (has_chart(report))
    draw = [&](_cairo* cairo, double width_pt, double height_pt) {
      draw_chart(cairo, report, words, {width_pt, height_pt});
    };
  return pdf_bytes(blocks, about, words, paper, draw);
}

void write_drawn_files(const Given& given, const RunReport& report, const Words& words,
                       const TableFiles& tables) {
  if (given.has("chart")) {
    if (!has_chart(report))
      refuse_option("chart", "there is no reading to draw", "give a log with temperatures");
    write_new_file(given.text("chart"),
                   chart_file(report, words, chart_kind(given.text("chart")), ChartSize{}));
  }
  if (!given.has("html") && !given.has("pdf")) return;
  const Blocks blocks = inspection_blocks(report, words);
  if (given.has("html")) write_new_file(given.text("html"), page_of(blocks, report, words, tables));
  if (given.has("pdf")) write_new_file(given.text("pdf"), run_pdf(given, blocks, report, words));
}

} // namespace coldbag
