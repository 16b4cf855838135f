#include "report/understanding_text.h"

#include "report/layout.h"

#include <fmt/format.h>

namespace coldbag {

namespace {

std::string how_text(How how, const Words& words) {
  switch (how) {
  case How::given:
    return words.text("how_given");
  case How::found:
    return words.text("how_found");
  default:
    return words.text("how_assumed");
  }
}

std::string shown(char c, const Words& words) {
  if (c == ' ') return words.text("understood_blanks");
  return c == '\t' ? words.text("understood_tab") : std::string("\"") + c + "\"";
}

// The label takes the place of the blanks that the value is set in by.
std::string plain_line(const std::string& what, const std::string& value) {
  const std::string label = "  " + padded(what, 16);
  return label + wrapped(std::string(label.size(), ' ') + value, 18).substr(label.size());
}

template <class T>
std::string choice_line(const std::string& what, const std::string& value, const Choice<T>& choice,
                        const Words& words) {
  return plain_line(what,
                    fmt::format("{} ({}{})", value, how_text(choice.how, words),
                                choice.evidence.empty() ? "" : ": " + clean(words.retold(choice.evidence))));
}

std::string kind_text(ColumnKind kind, const Words& words) {
  switch (kind) {
  case ColumnKind::time:
    return words.text("column_time");
  case ColumnKind::date:
    return words.text("column_date");
  case ColumnKind::clock:
    return words.text("column_clock");
  case ColumnKind::temperature:
    return words.text("column_temperature");
  case ColumnKind::pressure:
    return words.text("column_pressure");
  case ColumnKind::unit:
    return words.text("column_units");
  default:
    return words.text("column_unused");
  }
}

std::string form_text(TimeRule::Form form, const Words& words) {
  switch (form) {
  case TimeRule::Form::iso:
    return words.text("time_form_iso");
  case TimeRule::Form::written:
    return words.text("time_form_written");
  case TimeRule::Form::epoch:
    return words.text("time_form_epoch");
  case TimeRule::Form::serial_1900:
    return words.text("time_form_serial_1900");
  case TimeRule::Form::serial_1904:
    return words.text("time_form_serial_1904");
  case TimeRule::Form::clock:
    return words.text("time_form_clock");
  default:
    return words.text("time_form_elapsed");
  }
}

std::string order_text(DateOrder order, const Words& words) {
  switch (order) {
  case DateOrder::day_first:
    return words.text("date_order_day_first");
  case DateOrder::month_first:
    return words.text("date_order_month_first");
  default:
    return words.text("date_order_year_first");
  }
}

std::string date_lines(const TimeRule& time, const Words& words) {
  std::string out;
  if (time.date_order)
    out += choice_line(words.text("understood_date_order"), order_text(time.date_order->value, words),
                       *time.date_order, words);
  if (time.date)
    return out + choice_line(words.text("understood_date"), print_iso_wall(time.date->value).substr(0, 10),
                             *time.date, words);
  if (time.form.value == TimeRule::Form::clock)
    out += plain_line(words.text("understood_date"), words.text("understood_date_unknown"));
  return out;
}

std::string time_lines(const TimeRule& time, const Words& words) {
  const std::string zone = words.text("understood_zone");
  std::string out =
      choice_line(words.text("understood_times"), form_text(time.form.value, words), time.form, words) +
      date_lines(time, words);
  if (time.written_offset)
    return out + plain_line(zone, words.text("understood_zone_written", {{"offset", *time.written_offset}}));
  return out + choice_line(zone,
                           time.zone.value.empty() ? words.text("understood_zone_unknown") : time.zone.value,
                           time.zone, words);
}

std::string column_lines(const LogColumn& column, const Words& words) {
  std::string out = choice_line(
      words.text("understood_column", {{"position", std::to_string(column.position)}}),
      "\"" + clean(column.name) + "\", " + kind_text(column.kind.value, words), column.kind, words);
  if (column.kind.value == ColumnKind::temperature || column.kind.value == ColumnKind::pressure)
    out += choice_line("", words.text("understood_unit", {{"unit", unit_symbol(column.unit.value)}}),
                       column.unit, words);
  return out;
}

} // namespace

std::string understanding_text(const std::string& log_name, const Understanding& u, const Words& words) {
  std::string out = wrapped(clean(log_name), 2);
  out += choice_line(words.text("understood_encoding"), u.encoding.value, u.encoding, words);
  out += choice_line(words.text("understood_delimiter"), shown(u.delimiter.value, words), u.delimiter, words);
  out += choice_line(words.text("understood_decimal"), shown(u.decimal_mark.value, words), u.decimal_mark,
                     words);
  out += plain_line(words.text("understood_lines"),
                    words.text("understood_lines_are", {{"before", fmt::format("{}", u.preamble_lines)},
                                                        {"header", fmt::format("{}", u.header_line)},
                                                        {"data", fmt::format("{}", u.first_data_line)}}));
  out += time_lines(u.time, words);
  if (u.by_hand.value)
    out += choice_line(words.text("understood_readings"), words.text("understood_by_hand"), u.by_hand, words);
  for (const LogColumn& column : u.columns)
    out += column_lines(column, words);
  return out;
}

} // namespace coldbag
