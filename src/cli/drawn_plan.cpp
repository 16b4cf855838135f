#include "cli/drawn_plan.h"

#include "cli/paper_option.h"
#include "cli/write_file.h"
#include "report/page.h"
#include "report/pdf.h"
#include "report/plan_blocks.h"
#include "report/plan_chart.h"

namespace coldbag {

namespace {

std::string page_of(const Blocks& blocks, const PlanReport& report, const Words& words,
                    const TableFiles& tables) {
  PageChart chart;
  if (has_chart(report))
    chart = {plan_chart_svg(report, words, ChartSize{}), plan_chart_svg(report, words, narrow_chart)};
  return page_html(blocks,
                   {words.text("plan_title"), report.name, words.language(), words.text("page_plan_chart")},
                   words, tables, chart, "");
}

std::string paper_bytes(const Blocks& blocks, const PlanReport& report, const Words& words, Paper paper) {
  PdfAbout about;
  about.title = words.text("plan_title");
  about.run_name = report.name;
  about.subject = report.resolved.treatment.name;
  about.language = words.language();
  DrawChart draw;
  if (has_chart(report))
    draw = [&](_cairo* cairo, double width_pt, double height_pt) {
      draw_plan_chart(cairo, report, words, {width_pt, height_pt});
    };
  return pdf_bytes(blocks, about, words, paper, draw);
}

} // namespace

void write_drawn_plan(const Given& given, const PlanReport& report, const BesidePlan& beside,
                      const Words& words, const TableFiles& tables) {
  if (!given.has("html") && !given.has("pdf")) return;
  const Blocks blocks = plan_sheet_blocks(report, beside, words);
  if (given.has("html")) write_new_file(given.text("html"), page_of(blocks, report, words, tables));
  if (given.has("pdf"))
    write_new_file(given.text("pdf"), paper_bytes(blocks, report, words, paper_option(given, report.units)));
}

} // namespace coldbag
