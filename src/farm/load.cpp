#include "farm/load.h"

#include "farm/load_tables.h"
#include "farm/nearest.h"
#include "quantity/parse.h"
#include "tables/csv_line.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <numeric>

namespace coldbag {

namespace {

LoadLine read_line_table(KeyedTable& table) {
  LoadLine line;
  line.place = table.place();
  line.bag = table.required_text("bag", "brick");
  const Stated<int> count = table.whole_number("count", bag_count_bounds);
  if (count.asked || !table.has("count"))
    table.complain("count", count.asked ? "count cannot be \"?\"" : "count is missing",
                   "count the bags, for example count = 120");
  line.count = count.value.value_or(0);
  line.rack = table.plain_text("rack");
  line.layer = table.plain_text("layer");
  line.lot = table.plain_text("lot");
  const Stated<double> mass = table.quantity("mass", Dimension::mass, above_zero);
  const Stated<double> moisture = table.quantity("moisture", Dimension::fraction, zero_to_one);
  if (mass.asked) table.note_asked(mass.place);
  if (moisture.asked) table.note_asked(moisture.place);
  line.mass_kg = mass.value;
  line.moisture_wb = moisture.value;
  table.finish();
  return line;
}

/// The load table as it is read: columns by name, complaints gathered.
class LoadReader {
 public:
  LoadReader(std::string_view source_name, std::string_view csv) : source_name_(source_name), csv_(csv) {}

  [[nodiscard]] Load read() {
    if (csv_.find('\0') != std::string_view::npos) {
      complain(0, 0, "", "the table holds a zero byte", "save it again as plain CSV");
      throw UserError(complaints_);
    }
    int number = 0;
    for (std::size_t at = 0; at < csv_.size(); ++number) {
      const std::size_t end = std::min(csv_.find('\n', at), csv_.size());
      std::string_view line = csv_.substr(at, end - at);
      if (line.ends_with('\r')) line.remove_suffix(1);
      if (number == 0 && line.rfind("\xEF\xBB\xBF", 0) == 0) line.remove_prefix(3);
      take(line, number + 1);
      at = end + 1;
    }
    if (!has_head_)
      complain(1, 0, "", "the table is empty", head_remedy());
    else if (load_.lines.empty() && complaints_.empty())
      complain(1, 0, "", "the table has no line but its head", "add one line for each kind of bag and place");
    if (!complaints_.empty()) throw UserError(complaints_);
    return load_;
  }

 private:
  static constexpr std::array<std::string_view, 7> known{"bag",  "count",    "rack", "layer",
                                                         "mass", "moisture", "lot"};

  static std::string head_remedy() { return "begin with the line bag,count,rack,layer,mass,moisture,lot"; }

  void complain(int line, int column, std::string key, std::string problem, std::string remedy) {
    complaints_.push_back({Trouble::bad_data,
                           {source_name_, line, column, std::move(key)},
                           std::move(problem),
                           std::move(remedy)});
  }

  static std::string trim(std::string_view text) {
    while (!text.empty() && (text.front() == ' ' || text.front() == '\t'))
      text.remove_prefix(1);
    while (!text.empty() && (text.back() == ' ' || text.back() == '\t' || text.back() == '\r'))
      text.remove_suffix(1);
    return std::string(text);
  }

  /// Cells of one line, without the blanks around them; none where its quoting is bad.
  std::vector<CsvCell> cells(std::string_view line, int number) {
    std::vector<CsvCell> all = split_csv_line(line, separator_, {source_name_, number, 1, ""}, complaints_)
                                   .value_or(std::vector<CsvCell>{});
    for (CsvCell& cell : all)
      cell.text = trim(cell.text);
    return all;
  }

  void take(std::string_view line, int number) {
    const std::string bare = trim(line);
    if (bare.empty() || bare.front() == '#') return;
    if (has_head_)
      take_line(cells(line, number), number);
    else
      take_head(line, number);
  }

  void take_head(std::string_view line, int number) {
    has_head_ = true;
    for (const char candidate : {';', '\t'})
      if (line.find(candidate) != std::string_view::npos && line.find(',') == std::string_view::npos)
        separator_ = candidate;
    const std::vector<std::string> names(known.begin(), known.end());
    for (const CsvCell& cell : cells(line, number)) {
      head_.push_back(cell.text);
      if (std::find(names.begin(), names.end(), cell.text) == names.end()) {
        const std::string near = nearest_word(cell.text, names);
        complain(number, cell.column, cell.text, "the column is not known",
                 near.empty() ? "known: " + list_names(names, false) : "did you mean " + near + '?');
      } else if (std::count(head_.begin(), head_.end(), cell.text) > 1) {
        complain(number, cell.column, cell.text, "the column stands twice", "delete one of the two");
      }
    }
    if (head_.empty()) return; // the quoting was complained of
    for (const char* wanted : {"bag", "count"})
      if (std::find(head_.begin(), head_.end(), wanted) == head_.end())
        complain(number, 0, wanted, "the column is missing", head_remedy());
  }

  void take_line(const std::vector<CsvCell>& row, int number) {
    if (row.empty() || head_.empty()) return; // the quoting was complained of
    if (row.size() != head_.size()) {
      complain(number, 0, "",
               std::to_string(row.size()) + " cells under " + std::to_string(head_.size()) + " columns",
               "leave a cell empty where there is nothing to say; put text that holds a separator in quotes");
      return;
    }
    LoadLine line;
    line.place = {source_name_, number, 1, ""};
    for (std::size_t i = 0; i < row.size(); ++i)
      take_cell(head_[i], row[i], number, line);
    load_.lines.push_back(std::move(line));
  }

  void take_cell(const std::string& name, const CsvCell& cell, int number, LoadLine& line) {
    if (name == "bag")
      line.bag = wanted(name, cell, number, "brick");
    else if (name == "count")
      line.count = count(cell, number);
    else if (name == "rack")
      line.rack = cell.text;
    else if (name == "layer")
      line.layer = cell.text;
    else if (name == "lot")
      line.lot = cell.text;
    else if (name == "mass")
      line.mass_kg = quantity(name, cell, number, Dimension::mass, above_zero);
    else if (name == "moisture")
      line.moisture_wb = quantity(name, cell, number, Dimension::fraction, zero_to_one);
  }

  std::string wanted(const std::string& name, const CsvCell& cell, int number, const std::string& example) {
    if (cell.text.empty() || cell.text == "?")
      complain(number, cell.column, name, name + " is not said", "write it, for example " + example);
    return cell.text;
  }

  int count(const CsvCell& cell, int number) {
    const std::string text = wanted("count", cell, number, "120");
    if (text.empty() || text == "?") return 0;
    const std::optional<double> value = parse_number(text);
    if (value && *value >= *bag_count_bounds.lowest && *value <= *bag_count_bounds.highest &&
        std::floor(*value) == *value)
      return static_cast<int>(*value);
    complain(number, cell.column, "count", '"' + text + "\" is no count of bags",
             "count is " + std::string(bag_count_bounds.words));
    return 0;
  }

  /// Nothing where the cell is empty or "?".
  std::optional<double> quantity(const std::string& name, const CsvCell& cell, int number,
                                 Dimension dimension, const Bounds& bounds) {
    if (cell.text.empty() || cell.text == "?") return {};
    const Parsed parsed = parse_quantity(cell.text, dimension);
    const std::optional<double> bare =
        dimension == Dimension::fraction ? parse_number(cell.text) : std::nullopt;
    const std::optional<double> value = bare ? bare : parsed.value;
    if (!value) {
      complain(number, cell.column, name, parsed.problem, parsed.remedy);
      return {};
    }
    const bool too_low = *value < *bounds.lowest || (!bounds.lowest_itself && *value == *bounds.lowest);
    if (too_low || (bounds.highest && *value > *bounds.highest))
      complain(number, cell.column, name, '"' + cell.text + "\" is not possible",
               name + " is " + std::string(bounds.words) +
                   (dimension == Dimension::mass ? ", for example 5 lb" : ", for example 62 %"));
    return value;
  }

  std::string source_name_;
  std::string_view csv_;
  char separator_ = ',';
  bool has_head_ = false;
  std::vector<std::string> head_;
  Load load_;
  std::vector<Complaint> complaints_;
};

} // namespace

int Load::bag_count() const {
  return std::accumulate(lines.begin(), lines.end(), 0,
                         [](int sum, const LoadLine& line) { return sum + line.count; });
}

Load read_load_csv(std::string_view source_name, std::string_view csv) {
  return LoadReader(source_name, csv).read();
}

Load read_load_tables(KeyedTable& load) {
  Load all;
  for (KeyedTable& table : load.tables("bags"))
    all.lines.push_back(read_line_table(table));
  return all;
}

} // namespace coldbag
