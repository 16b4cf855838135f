// The page: whatever a name holds it stays a name, every key of the mould has its value, and nothing is
// fetched.
#include "report/page.h"

#include "errors/user_error.h"

#include <doctest/doctest.h>

#include <unistd.h>

#include <algorithm>
#include <array>
#include <filesystem>
#include <fstream>
#include <iterator>
#include <set>

using namespace coldbag;

namespace {

namespace fs = std::filesystem;

const TableFiles& files() {
  static const TableFiles built_in = TableFiles::built_in();
  return built_in;
}

const Words& catalogue() {
  static const Words words = Words::read(files(), "en");
  return words;
}

constexpr std::string_view chart =
    "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"760pt\" "
    "height=\"420pt\" viewBox=\"0 0 760 420\"><path style=\"fill:none;stroke:rgb(12%,25%,42%);\" d=\"M 0 0 L "
    "9 "
    "9\"/><path style=\" stroke:none;\" d=\"M 1 1\"/></svg>";
constexpr std::string_view narrow_chart_svg =
    "<svg viewBox=\"0 0 230 410\"><g id=\"clip1\"/><g clip-path=\"url(#clip1)\" href=\"#clip1\"/></svg>";
constexpr std::string_view readings = R"({"probes":[{"name":"</script><b>","values":[1]}]})";

std::string page(const Blocks& blocks, const TableFiles& tables = files()) {
  return page_html(blocks, {"Report of a run", "an invented run", "en"}, catalogue(), tables,
                   {std::string(chart), std::string(narrow_chart_svg)}, readings);
}

std::size_t count(std::string_view text, std::string_view part) {
  std::size_t found = 0;
  for (std::size_t at = text.find(part); at != std::string_view::npos; at = text.find(part, at + part.size()))
    ++found;
  return found;
}

bool holds(std::string_view text, std::string_view part) {
  return count(text, part) > 0;
}

struct Kind {
  std::string name;
  Blocks blocks;
};

Table table_saying(const std::string& text) {
  Table table;
  table.columns = {{text}, {""}};
  table.rows = {{{text, text}, text}, {{"", "a cell that is too long to be left in one line"}, ""}};
  return table;
}

// One block of each kind, everything in it the same text.
std::vector<Kind> every_kind(const std::string& text) {
  return {{"name", {Heading{text, 1}}},
          {"part", {Heading{text, 2}, Heading{text, 3}}},
          {"pass", {VerdictSentence{text, text, Mark::pass}}},
          {"fail", {VerdictSentence{text, text, Mark::fail}}},
          {"unproven", {VerdictSentence{text, text, Mark::unproven}}},
          {"paragraph", {Paragraph{text}}},
          {"warning", {Paragraph{text, 2, Tone::warning}}},
          {"reason", {Paragraph{text, 2, Tone::reason}}},
          {"item", {Item{text}}},
          {"table", {table_saying(text)}},
          {"command", {Command{{text, text}}}},
          {"tick boxes", {TickBoxes{text, {text, text}}}},
          {"writing line", {WritingLine{{text, text}}}}};
}

Blocks everything(const std::string& text = "a text") {
  Blocks all{ChartPlace{}};
  for (Kind& kind : every_kind(text))
    append(all, std::move(kind.blocks));
  return all;
}

struct Hostile {
  std::string name;
  std::string on_page;
};

const std::string very_long(5000, 'x');

const std::array<Hostile, 11> hostile_names{
    {{"<script>alert(1)</script>", "&lt;script&gt;alert(1)&lt;/script&gt;"},
     {"</style></script><!--", "&lt;/style&gt;&lt;/script&gt;&lt;!--"},
     {R"(" onload="x' y='&amp;)", "&quot; onload=&quot;x&apos; y=&apos;&amp;amp;"},
     {"{{title}}{{{script}}}", "{{title}}{{{script}}}"},
     {very_long, very_long},
     {"a\u202Eb\u2066c\u200Fd\u061Ce\u2028f", "abcdef"},
     {"core \U0001F344 caf\u00E9 \u05E9\u05DC", "core \U0001F344 caf\u00E9 \u05E9\u05DC"},
     {"two\nlines\tand\ra tab", "two lines and a tab"},
     {std::string("nul\0 bell\a \x7F \u0085", 15), "nul\uFFFD bell\uFFFD \uFFFD \uFFFD"},
     {"cut\xE2\x80", "cut\xE2\x80"},
     {"\xF0", "\xF0"}}};

/// A folder of its own that goes with the test.
class Folder {
 public:
  Folder() : path_(fs::temp_directory_path() / ("coldbag_mould_" + std::to_string(getpid()))) {
    fs::create_directory(path_);
  }
  Folder(const Folder&) = delete;
  Folder& operator=(const Folder&) = delete;
  Folder(Folder&&) = delete;
  Folder& operator=(Folder&&) = delete;
  ~Folder() {
    std::error_code ignored;
    fs::remove_all(path_, ignored);
  }
  [[nodiscard]] TableFiles with(const std::string& name, std::string_view bytes) const {
    std::ofstream(path_ / name, std::ios::binary) << bytes;
    return TableFiles::open(path_.string());
  }

 private:
  fs::path path_;
};

struct Tag {
  std::size_t at = 0; ///< of its name
  std::string name;
  char sign = ' '; ///< '#', '^', '/', or ' ' for a value
};

std::vector<Tag> tags_of(std::string_view mould) {
  std::vector<Tag> tags;
  for (std::size_t at = mould.find("{{"); at != std::string_view::npos; at = mould.find("{{", at)) {
    at = mould.find_first_not_of('{', at);
    const std::size_t from = mould.find_first_not_of("#^/", at);
    const std::string name(mould.substr(from, mould.find('}', from) - from));
    tags.push_back({from, name, from == at ? ' ' : mould[at]});
  }
  return tags;
}

// The problem told of a mould, or "".
std::string told_of(const Folder& folder, std::string_view mould) {
  const TableFiles tables = folder.with("page.html.mustache", mould);
  try {
    static_cast<void>(page(everything(), tables));
    static_cast<void>(page({}, tables)); // has no name of its own
  } catch (const UserError& error) {
    return error.complaints().front().problem;
  }
  return "";
}

std::string between(const std::string& text, std::string_view opens, std::string_view closes) {
  const std::size_t from = text.find(opens);
  REQUIRE(from != std::string::npos);
  const std::size_t begin = from + opens.size();
  return text.substr(begin, text.find(closes, begin) - begin);
}

} // namespace

TEST_CASE("a name is shown and never obeyed, whatever block it stands in") {
  for (const Hostile& hostile : hostile_names)
    for (const Kind& kind : every_kind("[[" + hostile.name + "]]")) {
      CAPTURE(kind.name);
      CAPTURE(hostile.on_page);
      const std::string html = page(kind.blocks);
      CHECK(holds(html, "[[" + hostile.on_page + "]]"));
      CHECK(count(html, "[[") == count(html, "[[" + hostile.on_page + "]]"));
      CHECK(count(html, "<script") == 0); // without a chart there is no script at all
    }
}

TEST_CASE("a run's name and the kind of report are escaped too") {
  const std::string name = "<b>\"run\"</b>";
  const std::string html = page_html({}, {"<i>kind", name, "en"}, catalogue(), files(), {}, "");
  CHECK(holds(html, "<title>&lt;b&gt;&quot;run&quot;&lt;/b&gt;: &lt;i&gt;kind</title>"));
  CHECK(holds(html, "<h1 dir=\"auto\">&lt;b&gt;&quot;run&quot;&lt;/b&gt;</h1>"));
  CHECK_FALSE(holds(html, "<b>"));
  CHECK_FALSE(holds(html, "<i>"));
}

TEST_CASE("every text of a block is on the page") {
  Blocks blocks;
  std::set<std::string> said;
  const auto text = [&said] {
    const std::string next = "text-" + std::to_string(said.size() + 1) + ".";
    said.insert(next);
    return next;
  };
  blocks = {Heading{text(), 1},
            VerdictSentence{text(), text(), Mark::none},
            Paragraph{text()},
            Paragraph{text(), 2, Tone::reason},
            Paragraph{text(), 2, Tone::warning},
            Item{text()},
            Item{text()},
            Heading{text(), 2},
            Command{{text(), text()}},
            Heading{text(), 3},
            TickBoxes{text(), {text(), text()}},
            WritingLine{{text(), text()}}};
  Table table;
  table.columns = {{text()}, {text()}};
  table.rows = {{{text(), text()}, text()}, {{text(), text()}, text()}};
  blocks.emplace_back(table);
  const std::string html = page(blocks);
  const std::string seen = html.substr(html.find("<main>"));
  CHECK(said.size() == 25);
  for (const std::string& one : said)
    CHECK_MESSAGE(count(seen, one) == 1, one);
}

TEST_CASE("every tag of the mould has its value: misspelt, each of them is told") {
  const std::string mould(files().bytes("page.html.mustache"));
  const std::vector<Tag> tags = tags_of(mould);
  CHECK(tags.size() > 100);
  const Folder folder;
  REQUIRE(told_of(folder, mould).empty());
  for (std::size_t i = 0; i < tags.size(); ++i) {
    if (tags[i].sign == '/') continue;
    std::string misspelt = mould;
    if (tags[i].sign != ' ') { // its end first, which stands behind it
      const auto end =
          std::find_if(tags.begin() + static_cast<std::ptrdiff_t>(i), tags.end(),
                       [&](const Tag& tag) { return tag.sign == '/' && tag.name == tags[i].name; });
      REQUIRE(end != tags.end());
      misspelt.insert(end->at, "x_");
    }
    misspelt.insert(tags[i].at, "x_");
    CAPTURE(i);
    CHECK(told_of(folder, misspelt) == "the page has no {{x_" + tags[i].name + "}}");
  }
}

TEST_CASE("a mould that is not well formed is the user's to mend") {
  const Folder folder;
  CHECK(holds(told_of(folder, "{{#pieces}}"), "pieces"));
  CHECK_FALSE(told_of(folder, "{{title").empty());
  CHECK(holds(told_of(folder, "{{>another}}"), "another"));
}

TEST_CASE("the same report gives the same bytes") {
  const std::string first = page(everything());
  CHECK(first == page(everything()));
  CHECK(first != page(everything("another")));
}

TEST_CASE("the policy lets in this style and this script, by their hashes, and nothing else") {
  const std::string html = page(everything());
  const std::string policy = between(html, "Content-Security-Policy\" content=\"", "\"");
  const std::string style = between(html, "<style>", "</style>");
  const std::string script = between(html, "<script>", "</script>");
  CHECK(policy ==
        "default-src &apos;none&apos;; base-uri &apos;none&apos;; form-action &apos;none&apos;; img-src "
        "data:; style-src &apos;sha256-" +
            sha256_base64(style) + "&apos;; script-src &apos;sha256-" + sha256_base64(script) + "&apos;");
  CHECK(style == files().bytes("page.css"));
  CHECK(script == files().bytes("page.js"));
  CHECK(html.find("Content-Security-Policy") < html.find("<style>"));
  // What no hash would let in.
  CHECK_FALSE(holds(html, " style=\""));
  CHECK_FALSE(holds(html, " onload="));
}

TEST_CASE("where there is nothing to read there is no script, and none is let in") {
  for (const std::string_view svg : {std::string_view(), chart}) {
    const std::string html = page_html(everything(), {"Report", "", "en"}, catalogue(), files(),
                                       {std::string(svg), std::string(svg)}, svg.empty() ? readings : "");
    CHECK_FALSE(holds(html, "<script"));
    CHECK_FALSE(holds(html, "script-src"));
    CHECK_FALSE(holds(html, "class=\"readings\""));
  }
}

TEST_CASE("line ends of another system leave the hash right: a browser hashes plain ones") {
  const Folder folder;
  const std::string html = page(everything(), folder.with("page.css", "p {\r\n}\r\n"));
  CHECK(between(html, "<style>", "</style>") == "p {\n}\n");
  CHECK(holds(html, sha256_base64("p {\n}\n")));
}

TEST_CASE("the page asks for nothing from outside") {
  std::string html = page(everything());
  const std::string namespace_of_svg = "xmlns=\"http://www.w3.org/2000/svg\"";
  html.erase(html.find(namespace_of_svg), namespace_of_svg.size());
  for (const std::string within : {"url(#n-clip1)", "href=\"#n-clip1\""})
    html.erase(html.find(within), within.size());
  const std::string in_script = "\"http://www.w3.org/2000/svg\"";
  html.erase(html.find(in_script), in_script.size());
  for (const char* const asks : {"http:", "https:", "//www", "src=", "href=", "url(", "@import", "fetch(",
                                 "XMLHttpRequest", "<link", "<iframe", "<img", "import("})
    CHECK_MESSAGE(!holds(html, asks), asks);
}

TEST_CASE("the chart stands once, as a picture with its words, without what the policy forbids") {
  const std::string html = page({ChartPlace{}, Paragraph{"between"}, ChartPlace{}});
  CHECK(count(html, "<figure") == 1);
  CHECK(holds(html, "role=\"img\" aria-label=\"" + catalogue().text("page_chart") + "\""));
  CHECK(holds(html, "<path fill=\"none\" stroke=\"rgb(12%,25%,42%)\" d=\"M 0 0 L 9 9\"/>"));
  CHECK(holds(html, "<path stroke=\"none\" d=\"M 1 1\"/></svg></div>\n<div class=\"narrow\"><svg"));
  // The parts of one are not taken for those of the other.
  CHECK(holds(
      html, "<g id=\"n-clip1\"/><g clip-path=\"url(#n-clip1)\" href=\"#n-clip1\"/></svg></div>\n</figure>"));
  CHECK_FALSE(holds(html, "<?xml"));
  CHECK_FALSE(holds(page({Paragraph{"no place for one"}}), "<figure"));
  CHECK(holds(page({Heading{"part", 2}, Item{"in it"}, ChartPlace{}}),
              "</section>\n<div class=\"group\">\n<figure"));
}

TEST_CASE("readings cannot end the element that holds them") {
  const std::string html = page(everything());
  CHECK(between(html, "id=\"page-readings\">", "</script>") ==
        R"({"probes":[{"name":"\u003c/script>\u003cb>","values":[1]}]})");
}

TEST_CASE("items that follow each other are one list") {
  const std::string html = page({Item{"a"}, Item{"b"}, Paragraph{"p"}, Item{"c"}});
  CHECK(count(html, "<ul>") == 2);
  CHECK(holds(html, "<ul>\n<li>a</li>\n<li>b</li>\n</ul>\n<p>p</p>\n<ul>\n<li>c</li>\n</ul>"));
}

TEST_CASE("a part reaches to the next heading of its level, or to an empty line") {
  const std::string html =
      page({Heading{"one", 2}, Space{}, Paragraph{"in one"}, Heading{"within", 3}, Paragraph{"in within"},
            Heading{"two", 2}, Item{"in two"}, Space{}, Space{}, Paragraph{"in none"}});
  const std::array<std::string_view, 10> order{"<section",   "in one",     "<section", "in within",
                                               "</section>", "</section>", "<section", "in two",
                                               "</section>", "in none"};
  std::size_t at = html.find("<main>");
  for (const std::string_view part : order) {
    at = html.find(part, at);
    CAPTURE(part);
    REQUIRE(at != std::string::npos);
    at += part.size();
  }
  CHECK(count(html, "<section") == 3);
  CHECK(count(html, "</section>") == 3);
  CHECK(count(html, "<div") == count(html, "</div>"));
}

TEST_CASE("there is one name over the page: the report's own, else the run's, else its kind") {
  const auto name = [](const Blocks& blocks, const PageAbout& about) {
    const std::string html = page_html(blocks, about, catalogue(), files(), {}, "");
    CHECK(count(html, "<h1") == 1);
    return between(html, "<h1 dir=\"auto\">", "</h1>");
  };
  CHECK(name({Heading{"as the report says", 1}}, {"Kind", "run", "en"}) == "as the report says");
  CHECK(name({}, {"Kind", "run", "en"}) == "run");
  CHECK(name({}, {"Kind", "", "en"}) == "Kind");
  CHECK(holds(page_html({Heading{"own", 1}}, {"Kind", "run", "en"}, catalogue(), files(), {}, ""),
              ">Kind</p>"));
  const Blocks says_it{Heading{"Kind: own", 1}};
  CHECK_FALSE(holds(page_html(says_it, {"Kind", "run", "en"}, catalogue(), files(), {}, ""), ">Kind</p>"));
}

TEST_CASE("each verdict has a shape of its own beside its word") {
  std::set<std::string> shapes;
  for (const Mark mark : {Mark::pass, Mark::fail, Mark::unproven}) {
    const std::string html = page({VerdictSentence{"WORD", "sentence", mark}});
    CHECK(count(html, "class=\"mark\"") == 1);
    shapes.insert(between(html, "<svg class=\"mark\"", "</svg>"));
  }
  CHECK(shapes.size() == 3);
  CHECK_FALSE(holds(page({VerdictSentence{"WORD", "sentence", Mark::none}}), "class=\"mark\""));
}

TEST_CASE("a table names its columns and rows, and a note spans the row it stands under") {
  Table table;
  table.columns = {{""}, {"top"}, {"remark"}};
  table.rows = {{{"core_1", "121.3 C", "wetted twice, and drained over the night"}, "checked"}};
  const std::string html = page({table});
  CHECK(holds(html, "<tr><td class=\"short\"></td><th scope=\"col\" dir=\"auto\" class=\"short\">top</th>"));
  CHECK(holds(
      html,
      "<tr class=\"noted\"><th scope=\"row\" dir=\"auto\" class=\"short\">core_1</th><td dir=\"auto\" "
      "class=\"short\">121.3 C</td><td dir=\"auto\">wetted twice, and drained over the night</td></tr>"));
  CHECK(holds(html, "<td colspan=\"3\"><div class=\"note\">checked</div></td>"));
}

TEST_CASE("boxes to tick and lines to write on have their shapes") {
  const std::string html = page({TickBoxes{"bags", {"held", "released"}}, WritingLine{{"name", "signed"}}});
  CHECK(count(html, "<svg class=\"box\"") == 2);
  CHECK(count(html, "<span class=\"write\">") == 2);
}
