#include "report/page.h"

#include "errors/our_fault.h"
#include "errors/user_error.h"
#include "report/characters.h"
#include "report/layout.h"

#include <fmt/format.h>
#include <kainjow/mustache.hpp>

#include <algorithm>
#include <array>
#include <cstddef>
#include <sstream>
#include <utility>

namespace coldbag {

namespace {

namespace mould = kainjow::mustache;

// One of these stands in each piece of the page; the mould sees the others as absent.
constexpr std::array kinds{"name",    "part_opens", "part_closes", "group_opens", "group_closes",
                           "verdict", "reason",     "paragraph",   "warning",     "list",
                           "table",   "command",    "chart",       "tick_boxes",  "writing_line"};

constexpr std::ptrdiff_t most_letters_unbroken = 18; // a cell so short is not broken over lines

bool is_blank(char c) {
  return c == '\n' || c == '\r' || c == '\t';
}

std::string shown(std::string_view text) {
  std::string out;
  for (std::size_t at = 0; at < text.size();) {
    const std::string_view character = text.substr(at, character_bytes(text, at));
    at += character.size();
    if (is_blank(character.front()))
      out += ' ';
    else if (is_control(character))
      out += "\uFFFD"; // bytes that are no UTF-8 are left to the browser
    else if (!turns_or_breaks(character))
      out += character;
  }
  return out;
}

std::string replaced(std::string text, std::string_view from, std::string_view to) {
  for (std::size_t at = text.find(from); at != std::string::npos; at = text.find(from, at + to.size()))
    text.replace(at, from.size(), to);
  return text;
}

// Browsers hash a text after they have turned its line ends into these.
std::string with_plain_line_ends(std::string_view text) {
  return replaced(replaced(std::string(text), "\r\n", "\n"), "\r", "\n");
}

// "a:b;c:d" as a="b" c="d".
std::string as_attributes(std::string_view style) {
  std::string out;
  while (!style.empty()) {
    const std::size_t end = std::min(style.find(';'), style.size());
    std::string_view declaration = style.substr(0, end);
    declaration.remove_prefix(std::min(declaration.find_first_not_of(' '), declaration.size()));
    const std::size_t colon = declaration.find(':');
    if (colon != std::string_view::npos)
      out += fmt::format("{}{}=\"{}\"", out.empty() ? "" : " ", declaration.substr(0, colon),
                         declaration.substr(colon + 1));
    style.remove_prefix(std::min(end + 1, style.size()));
  }
  return out;
}

// cairo writes style="fill:none;..." which the page's policy forbids; each of these is an attribute too. What
// stands before the svg element belongs to a file of its own. Two charts on a page must not share the names
// of their parts: `mark` goes before each.
std::string chart_within_page(std::string_view svg, const std::string& mark) {
  constexpr std::string_view opens = " style=\"";
  std::string out;
  svg.remove_prefix(std::min(svg.find("<svg"), svg.size()));
  for (std::size_t at = svg.find(opens); at != std::string_view::npos; at = svg.find(opens)) {
    out += svg.substr(0, at + 1);
    svg.remove_prefix(at + opens.size());
    const std::size_t ends = std::min(svg.find('"'), svg.size());
    out += as_attributes(svg.substr(0, ends));
    svg.remove_prefix(std::min(ends + 1, svg.size()));
  }
  out += svg;
  for (const std::string_view before : {" id=\"", "href=\"#", "url(#"})
    out = replaced(std::move(out), before, std::string(before) + mark);
  return out;
}

mould::data list_of(const std::string& key, const std::vector<std::string>& texts) {
  mould::data list{mould::data::type::list};
  for (const std::string& text : texts)
    list << mould::object{{key, shown(text)}};
  return list;
}

mould::data piece(std::string_view kind, const mould::data& content) {
  our_check(std::ranges::find(kinds, kind) != kinds.end(), "a piece is of a kind that the mould knows");
  mould::object flags;
  for (const std::string_view other : kinds)
    flags.emplace(other, other == kind ? content : mould::data(false));
  return flags;
}

bool is_short(std::string_view text) {
  return std::ranges::count_if(text, [](char c) {
           return (static_cast<unsigned char>(c) & 0xC0U) != 0x80U;
         }) <= most_letters_unbroken;
}

mould::data row_of(const TableRow& row) {
  mould::data cells{mould::data::type::list};
  for (std::size_t i = 1; i < row.cells.size(); ++i)
    cells << mould::object{{"text", shown(row.cells[i])}, {"is_short", is_short(row.cells[i])}};
  return mould::object{{"row_name", row.cells.empty() ? "" : shown(row.cells.front())},
                       {"is_short", !row.cells.empty() && is_short(row.cells.front())},
                       {"cells", cells},
                       {"has_note", !row.note.empty()},
                       {"note", shown(row.note)}};
}

mould::data table_of(const Table& table, const Words& words) {
  mould::data columns{mould::data::type::list};
  for (const TableColumn& column : table.columns)
    columns << mould::object{{"has_title", !column.title.empty()},
                             {"is_short", is_short(column.title)},
                             {"title", shown(column.title)}};
  mould::data rows{mould::data::type::list};
  for (const TableRow& row : table.rows)
    rows << row_of(row);
  return mould::object{{"table_label", words.text("page_table")},
                       {"column_count", std::to_string(table.columns.size())},
                       {"columns", columns},
                       {"rows", rows}};
}

mould::data command_of(const Command& command) {
  mould::data parts{mould::data::type::list};
  for (const std::string& part : command.parts)
    parts << mould::object{{"is_next", &part != &command.parts.front()}, {"part", shown(part)}};
  return mould::object{{"parts", parts}};
}

/// Puts the blocks into pieces that follow each other: a part opens and closes, and so does what stands in
/// none. An empty line ends the part before it, as on a screen.
class Pieces {
 public:
  Pieces(const Words& words, bool has_chart, const std::string& chart_says)
      : words_(words), has_chart_(has_chart),
        chart_says_(chart_says.empty() ? words.text("page_chart") : chart_says) {}

  mould::data of(const Blocks& blocks) {
    for (std::size_t i = 0; i < blocks.size(); ++i) {
      if (const Item* item = std::get_if<Item>(&blocks[i])) {
        items_.push_back(with_units_kept(item->text));
        continue;
      }
      close_list();
      if (const Heading* heading = std::get_if<Heading>(&blocks[i]))
        open_part(*heading);
      else
        std::visit(*this, blocks[i]);
    }
    close_list();
    close_parts(0);
    return std::move(pieces_);
  }

  void operator()(const Space&) {
    if (in_group_) close_parts(0);
  }
  void operator()(const Heading&) {} // with the blocks under it, above
  void operator()(const Item&) {}    // with its neighbours, above
  void operator()(const VerdictSentence& verdict) {
    add("verdict", mould::object{{"is_pass", verdict.mark == Mark::pass},
                                 {"is_fail", verdict.mark == Mark::fail},
                                 {"is_unproven", verdict.mark == Mark::unproven},
                                 {"word", shown(verdict.verdict)},
                                 {"sentence", shown(with_units_kept(verdict.sentence))}});
  }
  void operator()(const Paragraph& paragraph) {
    const char* kind = paragraph.tone == Tone::warning  ? "warning"
                       : paragraph.tone == Tone::reason ? "reason"
                                                        : "paragraph";
    add(kind, mould::object{{"text", shown(with_units_kept(paragraph.text))}});
  }
  void operator()(const Table& table) { add("table", table_of(table, words_)); }
  void operator()(const Command& command) { add("command", command_of(command)); }
  void operator()(const ChartPlace&) {
    if (!std::exchange(has_chart_, false)) return; // once: its parts have names
    close_parts(0);                                // it shows the whole run
    add("chart", mould::object{{"chart_label", shown(chart_says_)},
                               {"reading_hint", words_.text("page_reading_hint")},
                               {"reading_slider", words_.text("page_reading_slider")},
                               {"reading_probe", words_.text("page_reading_probe")},
                               {"reading_value", words_.text("page_reading_value")},
                               {"reading_lethality", words_.text("table_lethality")}});
  }
  void operator()(const TickBoxes& boxes) {
    add("tick_boxes",
        mould::object{{"label", shown(boxes.label)}, {"choices", list_of("choice", boxes.choices)}});
  }
  void operator()(const WritingLine& line) {
    add("writing_line", mould::object{{"labels", list_of("label", line.labels)}});
  }

 private:
  void put(std::string_view kind, const mould::data& content) { pieces_ << piece(kind, content); }
  void add(std::string_view kind, const mould::data& content) {
    if (!std::exchange(in_group_, true)) put("group_opens", true);
    put(kind, content);
  }
  void close_list() {
    if (!items_.empty()) add("list", mould::object{{"items", list_of("text", items_)}});
    items_.clear();
  }
  void close_group() {
    if (std::exchange(in_group_, false)) put("group_closes", true);
  }
  void close_parts(int level) {
    close_group();
    for (; !open_levels_.empty() && open_levels_.back() >= level; open_levels_.pop_back())
      put("part_closes", true);
  }
  void open_part(const Heading& heading) {
    close_parts(heading.level);
    if (heading.level <= 1) {
      put("name", mould::object{{"heading", shown(heading.text)}});
      return;
    }
    open_levels_.push_back(heading.level);
    put("part_opens", mould::object{{"level", std::to_string(std::min(heading.level, 6))},
                                    {"heading", shown(heading.text)}});
  }

  const Words& words_;
  bool has_chart_;
  std::string chart_says_;
  mould::data pieces_{mould::data::type::list};
  std::vector<std::string> items_;
  std::vector<int> open_levels_;
  bool in_group_ = false;
};

[[noreturn]] void refuse_mould(const std::string& source_name, const std::string& problem) {
  Complaint complaint;
  complaint.place.source_name = source_name;
  complaint.problem = problem;
  complaint.remedy = "mend it, or take the file out of your folder of tables: the program has its own";
  throw UserError(complaint);
}

/// What the mould may name. The library would put nothing in the place of a misspelt name.
class Named : public mould::context<std::string> {
 public:
  Named(const mould::data* data, std::string source_name)
      : context(data), source_name_(std::move(source_name)) {}
  const mould::data* get(const std::string& name) const override {
    const mould::data* data = context::get(name);
    if (data == nullptr) refuse_mould(source_name_, "the page has no {{" + name + "}}");
    return data;
  }
  const mould::data* get_partial(const std::string& name) const override { return get(name); }

 private:
  std::string source_name_;
};

std::string poured(const TableFiles& files, const mould::data& content) {
  constexpr std::string_view name = "page.html.mustache";
  const std::string source_name = files.source_name(name);
  mould::mustache form{std::string(files.bytes(name))};
  if (!form.is_valid()) refuse_mould(source_name, form.error_message());
  Named named(&content, source_name);
  std::ostringstream out;
  form.render(named, out);
  if (!form.is_valid()) refuse_mould(source_name, form.error_message());
  return out.str();
}

std::string policy(std::string_view style, std::string_view script) {
  std::string out =
      "default-src 'none'; base-uri 'none'; form-action 'none'; img-src data:; style-src 'sha256-" +
      sha256_base64(style) + "'";
  if (!script.empty()) out += "; script-src 'sha256-" + sha256_base64(script) + "'";
  return out;
}

// The report's own, or "".
std::string name_of(const Blocks& blocks) {
  for (const Block& block : blocks)
    if (const Heading* heading = std::get_if<Heading>(&block); heading != nullptr && heading->level <= 1)
      return heading->text;
  return "";
}

bool shows_chart(const Blocks& blocks, const PageChart& chart) {
  return !chart.wide_svg.empty() && std::ranges::any_of(blocks, [](const Block& block) {
    return std::holds_alternative<ChartPlace>(block);
  });
}

} // namespace

std::string page_html(const Blocks& blocks, const PageAbout& about, const Words& words,
                      const TableFiles& files, const PageChart& chart, std::string_view readings_json) {
  our_check(chart.wide_svg.empty() == chart.narrow_svg.empty(), "a chart is drawn for both widths of a page");
  const bool has_chart = shows_chart(blocks, chart);
  const bool has_readings = has_chart && !readings_json.empty();
  const std::string style = with_plain_line_ends(files.bytes("page.css"));
  const std::string script = has_readings ? with_plain_line_ends(files.bytes("page.js")) : "";
  const std::string own_name = name_of(blocks);
  const std::string run_name = about.run_name.empty() ? about.title : about.run_name;
  const std::string& name = own_name.empty() ? run_name : own_name;
  const bool says_title = name.find(about.title) != std::string::npos;
  return poured(files,
                mould::object{{"language", about.language},
                              {"policy", policy(style, script)},
                              {"window_title", shown(says_title ? name : name + ": " + about.title)},
                              {"title", shown(about.title)},
                              {"has_title", !says_title},
                              {"wants_name", own_name.empty()},
                              {"page_name", shown(name)},
                              {"style", style},
                              {"pieces", Pieces(words, has_chart, about.chart_says).of(blocks)},
                              {"wide_chart", has_chart ? chart_within_page(chart.wide_svg, "w-") : ""},
                              {"narrow_chart", has_chart ? chart_within_page(chart.narrow_svg, "n-") : ""},
                              {"has_readings", has_readings},
                              // Nothing in it can end the element that holds it.
                              {"readings", replaced(std::string(readings_json), "<", "\\u003c")},
                              {"script", script}});
}

} // namespace coldbag
