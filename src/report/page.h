// A report as one HTML file that needs nothing beside it: no network, no fonts, no images.
#pragma once

#include "report/block.h"
#include "report/words.h"
#include "tables/edition.h"

#include <string>
#include <string_view>

namespace coldbag {

struct PageAbout {
  std::string title;           ///< what kind of report it is
  std::string run_name;        ///< may be ""
  std::string language;        ///< "en"
  std::string chart_says = {}; ///< for who cannot see the chart; "": what each probe read
};

/// As cairo writes them, or "". Both or neither: a screen shows the one it has room for.
struct PageChart {
  std::string wide_svg = {};   ///< ChartSize
  std::string narrow_svg = {}; ///< narrow_chart
};

/// The whole file, by the mould page.html.mustache with page.css and page.js; the same report gives the same
/// bytes. Readable without its script. Throws UserError where the mould is not well formed or names what the
/// page does not have. A part reaches from its heading to the next of its level, or to an empty line.
///
/// chart: it stands where the blocks say, once.
/// readings_json: what the script shows under the pointer, or "":
/// `plot` {`left`, `right`, `top`, `bottom`, `width`, `height`} in units of the wide SVG, `narrow_plot` of
/// the narrow one; `from_s`, `to_s`, `width_s` of a bucket; `unit` ("C", "F"); `times`, a text for each
/// bucket, or `clock_from_min`, minutes of the day at `from_s`; `probes` [{`name`, `values`, and where it is
/// known `F`, minutes}], a number or null for each bucket. Where a piece is missing there is no reading line.
/// Guarded by tests/report/page_test.cpp and tests/program/page_in_browser.py.
[[nodiscard]] std::string page_html(const Blocks& blocks, const PageAbout& about, const Words& words,
                                    const TableFiles& files, const PageChart& chart,
                                    std::string_view readings_json);

} // namespace coldbag
