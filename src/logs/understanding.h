// How a log was understood: every choice, and whether the user gave it, the log showed it or it was assumed.
#pragma once

#include "clock/written_time.h"
#include "clock/zone.h"
#include "errors/user_error.h"
#include "logs/source.h"

#include <optional>
#include <string>
#include <vector>

namespace coldbag {

enum class How { given, found, assumed };

/// A setting, how it came about, and what in the log showed it ("12 of 12 lines have 5 semicolons").
template <class T>
struct Choice {
  T value{};
  How how = How::assumed;
  std::string evidence;
  bool operator==(const Choice&) const = default;
};

/// How bytes are characters. Windows-1252 stands for all one-byte encodings of western Europe.
enum class TextEncoding { utf8, utf16_le, utf16_be, windows_1252 };

enum class ColumnKind {
  time,        ///< date and clock together, or elapsed
  date,        ///< the date half
  clock,       ///< the clock half
  temperature, ///< a probe
  pressure,    ///< of the vessel
  unit,        ///< the units of another column, row by row
  ignored      ///< row number, humidity, battery, text; said, never dropped silently
};

/// What the numbers of a column are in; values are handed on as degC or Pa.
enum class ColumnUnit {
  none,
  degC,
  degF,
  kelvin,
  Pa,
  hPa,
  kPa,
  MPa,
  mbar,
  bar,
  psi,
  seconds,
  minutes,
  hours,
  days,
  milliseconds
};
enum class PressureBasis { none, gauge, absolute, unstated };

struct LogColumn {
  std::string name; ///< as in the header, without its unit; "column 3" where there is no header
  int position = 0; ///< in the file, from 1
  Choice<ColumnKind> kind;
  Choice<ColumnUnit> unit;
  PressureBasis pressure_basis = PressureBasis::none;
  bool unit_with_each_value = false; ///< each row says its unit, in the cell or in the unit column
  int unit_position = 0;             ///< of the unit column, from 1; 0 where there is none
  Place place;                       ///< of the header's cell
  bool operator==(const LogColumn&) const = default;
};

/// How the time of a row is had.
struct TimeRule {
  enum class Form {
    iso,         ///< date and clock by ISO 8601
    written,     ///< date and clock in any other way
    epoch,       ///< seconds or milliseconds since 1970-01-01T00:00Z
    serial_1900, ///< days of a spreadsheet, 1 being 1900-01-01
    serial_1904, ///< the same, 0 being 1904-01-01
    clock,       ///< time of day alone
    elapsed
  };
  Choice<Form> form;
  std::optional<Choice<DateOrder>> date_order; ///< where the dates themselves leave it open
  std::optional<Choice<WallTime>> date;        ///< midnight before the first time of day; none: not known
  std::optional<std::string> written_offset;   ///< set where the times carry their own zone ("Z", "+02:00")
  Choice<std::string> zone; ///< name of the zone used for wall times; "" where none is known
  bool operator==(const TimeRule&) const = default;
};

/// A row for each time and probe.
struct LongLayout {
  int probe = 0;   ///< column that names the probe, from 0
  int reading = 0; ///< column of its reading
  int first = 0;   ///< index of the first of the columns made of those names, which end the list
  bool operator==(const LongLayout&) const = default;
};

struct Understanding {
  Choice<std::string> encoding; ///< "UTF-8", "UTF-8 with mark", "UTF-16 LE", "Windows-1252"
  TextEncoding text_encoding = TextEncoding::utf8;
  Choice<char> delimiter;
  Choice<char> decimal_mark;
  int preamble_lines = 0; ///< lines before the header
  int header_line = 0;    ///< line of the (last) header row, 0 where there is none
  int first_data_line = 0;
  std::vector<std::string> header_rows; ///< as written, names first; a repeated header is known by them
  TimeRule time;
  Choice<bool> by_hand;           ///< the log says that it was transcribed from paper
  std::vector<LogColumn> columns; ///< all of the file, in order; then, in the long layout, one for each probe
  std::optional<LongLayout> long_layout;
  bool operator==(const Understanding&) const = default;
};

/// What the user gave; an empty field means: find it.
struct LogOptions {
  std::optional<TextEncoding> encoding;
  std::optional<char> delimiter;
  std::optional<char> decimal_mark;
  std::optional<ColumnUnit> temperature_unit; ///< degC, degF or kelvin
  std::optional<ColumnUnit> elapsed_unit;     ///< seconds, minutes, hours or days
  std::optional<TimeRule::Form> time_form;    ///< how the times are written
  std::optional<ColumnUnit> epoch_unit;       ///< seconds or milliseconds, with the form epoch
  std::optional<DateOrder> date_order;
  std::optional<WallTime> date;           ///< of the first row, for times of day
  std::optional<std::string> time_column; ///< name, or number from 1
  std::optional<std::string> date_column;
  std::optional<std::string> pressure_column; ///< name of the vessel pressure column
  std::optional<ColumnUnit> pressure_unit;
  PressureBasis pressure_basis = PressureBasis::none;
  std::optional<Zone> zone;               ///< for wall times without a zone of their own
  std::string zone_given_by;              ///< "--zone" or "site.zone in farm.toml"; evidence
  std::vector<std::string> probe_columns; ///< names; empty: every temperature column
  bool operator==(const LogOptions&) const = default;
};

/// Understands a log from its first bytes (at most 256 KiB). Throws UserError where it cannot, naming the
/// option that would settle it.
[[nodiscard]] Understanding understand(const Source& source, const LogOptions& options);

/// The symbol of a unit as messages write it: "C", "F", "kPa".
[[nodiscard]] std::string unit_symbol(ColumnUnit unit);

} // namespace coldbag
