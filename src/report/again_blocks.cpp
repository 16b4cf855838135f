#include "report/again_blocks.h"

#include "report/layout.h"
#include "report/ledger_blocks.h"

#include <algorithm>
#include <iterator>
#include <utility>

namespace coldbag {

namespace {

constexpr std::size_t number_width = 8;
constexpr std::size_t run_width = 26;
constexpr std::size_t verdict_width = 13;

std::string verdict_text(const std::string& verdict, const Words& words) {
  return verdict.empty() ? words.text("again_not_judged") : kept_verdict_text(verdict, words);
}

bool is_other(const JudgedAgain& again) {
  return !again.why_not.empty() || again.now != again.then;
}

Table table_of(const std::vector<JudgedAgain>& all, bool has_without, const Words& words) {
  Table table;
  table.columns = {{words.text("ledger_column_number"), number_width},
                   {words.text("ledger_column_run"), run_width, true},
                   {words.text("again_column_then"), verdict_width},
                   {words.text("again_column_now"), has_without ? verdict_width : 0}};
  if (has_without) table.columns.push_back({words.text("again_column_without")});
  for (const JudgedAgain& again : all) {
    const bool is_judged = again.why_not.empty();
    TableRow row{{std::to_string(again.number), clean(again.run), verdict_text(again.then, words),
                  is_judged ? verdict_text(again.now, words) : "-"},
                 is_judged ? "" : words.text("again_cannot", {{"why", clean(again.why_not)}})};
    if (has_without) row.cells.push_back(again.without ? verdict_text(*again.without, words) : "-");
    table.rows.push_back(std::move(row));
  }
  return table;
}

} // namespace

Blocks again_blocks(const std::vector<JudgedAgain>& all, const Words& words) {
  std::vector<JudgedAgain> others;
  std::ranges::copy_if(all, std::back_inserter(others), is_other);
  const std::string count = std::to_string(all.size());
  Blocks out{Heading{words.text("again_title"), 1}};
  if (others.empty()) {
    out.push_back(Paragraph{words.text("again_same", {{"count", count}})});
  } else {
    out.push_back(Paragraph{
        words.text("again_changed", {{"count", count}, {"changed", std::to_string(others.size())}})});
    out.push_back(table_of(others, false, words));
  }
  out.push_back(Paragraph{words.text("again_report_only")});
  return out;
}

Blocks affected_blocks(const std::vector<JudgedAgain>& all, const std::string& probe,
                       std::optional<WallTime> last_good, const Words& words) {
  const std::string count = std::to_string(all.size());
  Blocks out{
      Paragraph{last_good ? words.text("again_affected", {{"probe", clean(probe)},
                                                          {"count", count},
                                                          {"on", print_iso_wall(*last_good).substr(0, 10)}})
                          : words.text("again_affected_never", {{"probe", clean(probe)}, {"count", count}})}};
  if (all.empty()) return out;
  out.push_back(table_of(all, true, words));
  out.push_back(Paragraph{words.text("again_affected_how")});
  out.push_back(Paragraph{words.text("again_report_only")});
  return out;
}

} // namespace coldbag
