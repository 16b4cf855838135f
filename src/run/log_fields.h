// The keys of what a run's logs were read as.
#pragma once

#include "run/fields.h"
#include "run/run_report.h"

#include <optional>
#include <string>
#include <vector>

namespace coldbag {

template <class Way>
void fields(Way& way, Of<Way, Place>& place) {
  way.field("source", place.source_name);
  way.field("line", place.line);
  way.field("letter", place.column);
  way.field("key_path", place.key_path);
}

template <class Way, class Choice>
void choice(Way& way, Choice& choice) {
  way.field("value", choice.value);
  way.field("how", choice.how);
  way.field("evidence", choice.evidence);
}
template <class Way>
void fields(Way& way, Of<Way, Choice<std::string>>& c) {
  choice(way, c);
}
template <class Way>
void fields(Way& way, Of<Way, Choice<bool>>& c) {
  choice(way, c);
}
template <class Way>
void fields(Way& way, Of<Way, Choice<char>>& c) {
  choice(way, c);
}
template <class Way>
void fields(Way& way, Of<Way, Choice<ColumnKind>>& c) {
  choice(way, c);
}
template <class Way>
void fields(Way& way, Of<Way, Choice<ColumnUnit>>& c) {
  choice(way, c);
}
template <class Way>
void fields(Way& way, Of<Way, Choice<TimeRule::Form>>& c) {
  choice(way, c);
}
template <class Way>
void fields(Way& way, Of<Way, Choice<DateOrder>>& c) {
  choice(way, c);
}
template <class Way>
void fields(Way& way, Of<Way, Choice<WallTime>>& c) {
  choice(way, c);
}

template <class Way>
void fields(Way& way, Of<Way, LogColumn>& column) {
  way.field("name", column.name);
  way.field("position", column.position);
  way.field("kind", column.kind);
  way.field("unit", column.unit);
  way.field("pressure_basis", column.pressure_basis);
  way.field("unit_with_each_value", column.unit_with_each_value);
  way.field("unit_position", column.unit_position);
  way.field("place", column.place);
}

template <class Way>
void fields(Way& way, Of<Way, TimeRule>& time) {
  way.field("form", time.form);
  way.field("date_order", time.date_order);
  way.field("date", time.date);
  way.field("written_offset", time.written_offset);
  way.field("zone", time.zone);
}

template <class Way>
void fields(Way& way, Of<Way, LongLayout>& layout) {
  way.field("probe", layout.probe);
  way.field("reading", layout.reading);
  way.field("first", layout.first);
}

template <class Way>
void fields(Way& way, Of<Way, Understanding>& u) {
  way.field("encoding", u.encoding);
  way.field("text_encoding", u.text_encoding);
  way.field("delimiter", u.delimiter);
  way.field("decimal_mark", u.decimal_mark);
  way.field("preamble_lines", u.preamble_lines);
  way.field("header_line", u.header_line);
  way.field("first_data_line", u.first_data_line);
  way.field("header_rows", u.header_rows);
  way.field("by_hand", u.by_hand);
  way.field("time", u.time);
  way.field("columns", u.columns);
  way.field("long_layout", u.long_layout);
}

template <class Way>
void fields(Way& way, Of<Way, CellTally>& tally) {
  way.field("kind", tally.kind);
  way.field("count", tally.count);
  way.field("first", tally.first);
  way.field("text", tally.text);
}

template <class Way>
void fields(Way& way, Of<Way, Gap>& gap) {
  way.log_time("from_log_s", gap.from_s);
  way.log_time("to_log_s", gap.to_s);
}

template <class Way>
void fields(Way& way, Of<Way, ClockEvent>& event) {
  way.field("kind", event.kind);
  way.field("row", event.at);
  way.log_time("at_log_s", event.time_s);
  way.field("jump_s", event.jump_s);
  way.field("rows", event.rows);
  way.field("effect", event.effect);
}

template <class Way>
void fields(Way& way, Of<Way, LogResult>& log) {
  way.field("name", log.name);
  way.field("sha256", log.sha256);
  way.field("rows", log.rows);
  way.field("interval_s", log.interval_s);
  way.moment("from", log.from_s);
  way.moment("to", log.to_s);
  way.field("gap_count", log.gap_count);
  way.field("gaps", log.gaps);
  way.field("clock_events", log.clock_events);
  way.field("cells_unread", log.cells_unread);
  way.field("understanding", log.understanding);
  way.field("by_hand", log.by_hand);
}

} // namespace coldbag
