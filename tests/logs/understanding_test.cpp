// Every choice says how it came about and what showed it.
#include "logs/understanding.h"

#include "logs/samples.h"
#include "support/approx.h"

#include <doctest/doctest.h>

#include <string>
#include <vector>

namespace coldbag {
namespace {

Understanding understand_text(const std::string& text, const LogOptions& options = {}) {
  return understand(Source::memory("run.csv", text), options);
}

const std::string plain = "Time,Core 1 (°C),Vessel pressure (kPa gauge),Humidity (%)\n"
                          "2026-03-08 14:00:00,96.1,0.5,99\n2026-03-08 14:01:00,96.2,0.6,99\n";

const LogColumn& column(const Understanding& understanding, std::size_t position) {
  return understanding.columns.at(position - 1);
}

std::string message_of(const std::string& text, const LogOptions& options = {}) {
  try {
    (void)understand_text(text, options);
  } catch (const UserError& error) {
    return error.what();
  }
  return "(no error)";
}

bool has(const std::string& text, const std::string& part) {
  return text.find(part) != std::string::npos;
}

/// A header, how its column is understood.
struct Layout {
  std::string header;
  ColumnKind kind;
  ColumnUnit unit;
  PressureBasis basis;
  std::string name;
};

} // namespace

TEST_CASE("what the log shows is found, with evidence") {
  const Understanding u = understand_text(plain);
  CHECK(u.encoding == Choice<std::string>{"UTF-8", How::found, "the first lines are UTF-8"});
  CHECK(u.delimiter == Choice<char>{',', How::found, "3 of 3 lines have 3 commas"});
  CHECK(u.decimal_mark == Choice<char>{'.', How::found, "4 numbers with a point, first 96.1"});
  CHECK(u.time.form ==
        Choice<TimeRule::Form>{TimeRule::Form::iso, How::found, "first time is 2026-03-08 14:00:00"});
  CHECK(u.time.zone.how == How::assumed);
  CHECK(has(u.time.zone.evidence, "--zone"));
  CHECK(u.preamble_lines == 0);
  CHECK(u.header_line == 1);
  CHECK(u.first_data_line == 2);
  CHECK(column(u, 1).kind ==
        Choice<ColumnKind>{ColumnKind::time, How::found,
                           "2 of 2 first rows are ISO 8601 times, first 2026-03-08 14:00:00"});
  CHECK(column(u, 2).kind ==
        Choice<ColumnKind>{ColumnKind::temperature, How::found, "the header's unit is \"°C\""});
  CHECK(column(u, 2).unit == Choice<ColumnUnit>{ColumnUnit::degC, How::found, "the header says \"°C\""});
  CHECK(column(u, 2).place == Place{"run.csv", 1, 6, ""});
  CHECK(column(u, 3).kind.value == ColumnKind::pressure);
  CHECK(column(u, 3).pressure_basis == PressureBasis::gauge);
  CHECK(column(u, 4).kind ==
        Choice<ColumnKind>{ColumnKind::ignored, How::found, "the name says \"humidity\""});
}

TEST_CASE("what the user gave is said to be given, with the option") {
  LogOptions options;
  options.delimiter = ';';
  options.decimal_mark = ',';
  options.temperature_unit = ColumnUnit::degF;
  options.time_column = "2";
  options.zone = Zone::find("+05:30");
  options.zone_given_by = "site.zone in farm.toml";
  options.probe_columns = {"Core 1"};
  const Understanding u = understand_text("Other;When;Core 1;Core 2\n"
                                          "7;2026-03-08 14:00;205;205\n7;2026-03-08 14:01;205;205\n",
                                          options);
  CHECK(u.delimiter == Choice<char>{';', How::given, "--delimiter"});
  CHECK(u.decimal_mark == Choice<char>{',', How::given, "--decimal"});
  CHECK(u.time.zone == Choice<std::string>{options.zone->name(), How::given, "site.zone in farm.toml"});
  CHECK(column(u, 2).kind == Choice<ColumnKind>{ColumnKind::time, How::given, "--time-column"});
  CHECK(column(u, 3).kind ==
        Choice<ColumnKind>{ColumnKind::temperature, How::given, "a probe is in this column"});
  CHECK(column(u, 3).unit == Choice<ColumnUnit>{ColumnUnit::degF, How::given, "--unit"});
  CHECK(column(u, 4).kind ==
        Choice<ColumnKind>{ColumnKind::ignored, How::given, "no probe is in this column"});
}

TEST_CASE("what no row shows is said to be assumed") {
  const Understanding u = understand_text("Time;Core 1 (C)\n2026-03-08 14:00;96\n2026-03-08 14:01;96\n");
  CHECK(u.decimal_mark == Choice<char>{'.', How::assumed, "no number has a decimal mark"});
  CHECK(u.time.zone.how == How::assumed);
  CHECK(understand_text("Time;Core 1 (\xb0"
                        "C)\n2026-03-08 14:00;96\n")
            .encoding.how == How::assumed);
}

TEST_CASE("a unit or zone of the preamble is found, with its line") {
  const Understanding u = understand(test::sample_file("odd/preamble-with-unit-and-zone.csv"), {});
  CHECK(u.preamble_lines == 5);
  CHECK(u.header_line == 6);
  CHECK(column(u, 2).unit ==
        Choice<ColumnUnit>{ColumnUnit::degF, How::found, "line 3: Temperature unit: °F"});
  CHECK(u.time.zone ==
        Choice<std::string>{"America/Bogota", How::found, "line 4: Time zone: America/Bogota"});
}

TEST_CASE("headers name units in many ways") {
  const std::vector<Layout> layouts{
      {"Core 1 (°C)", ColumnKind::temperature, ColumnUnit::degC, PressureBasis::none, "Core 1"},
      {"Core [F]", ColumnKind::temperature, ColumnUnit::degF, PressureBasis::none, "Core"},
      {"\"T1, degC\"", ColumnKind::temperature, ColumnUnit::degC, PressureBasis::none, "T1"},
      {"T1 °F", ColumnKind::temperature, ColumnUnit::degF, PressureBasis::none, "T1"},
      {"T1 deg C", ColumnKind::temperature, ColumnUnit::degC, PressureBasis::none, "T1"},
      {"Core (rear) (K)", ColumnKind::temperature, ColumnUnit::kelvin, PressureBasis::none, "Core (rear)"},
      {"Core no. 2 (°C)", ColumnKind::temperature, ColumnUnit::degC, PressureBasis::none, "Core no. 2"},
      {"Vessel (psig)", ColumnKind::pressure, ColumnUnit::psi, PressureBasis::gauge, "Vessel"},
      {"Vessel (kPa abs)", ColumnKind::pressure, ColumnUnit::kPa, PressureBasis::absolute, "Vessel"},
      {"Gauge pressure (bar)", ColumnKind::pressure, ColumnUnit::bar, PressureBasis::gauge, "Gauge pressure"},
      {"Vessel pressure (bar)", ColumnKind::ignored, ColumnUnit::none, PressureBasis::none,
       "Vessel pressure"},
      {"Current (mA)", ColumnKind::ignored, ColumnUnit::none, PressureBasis::none, "Current"},
      {"Dew point (°C)", ColumnKind::ignored, ColumnUnit::none, PressureBasis::none, "Dew point"},
      {"Sample no.", ColumnKind::ignored, ColumnUnit::none, PressureBasis::none, "Sample no."},
  };
  for (const Layout& layout : layouts) {
    CAPTURE(layout.header);
    const Understanding u = understand_text("Time,Lid (C)," + layout.header +
                                            "\n2026-03-08 14:00,96.1,1.5\n2026-03-08 14:01,96.1,1.5\n");
    const LogColumn& found = column(u, 3);
    CHECK(found.kind.value == layout.kind);
    CHECK(found.unit.value == layout.unit);
    CHECK(found.pressure_basis == layout.basis);
    CHECK(found.name == layout.name);
    CHECK_FALSE(found.kind.evidence.empty());
  }
}

TEST_CASE("the encoding says what showed it") {
  const auto encoding = [](const char* file) { return understand(test::sample_file(file), {}).encoding; };
  // 67 characters, of them the degree sign U+00B0 too, have a zero half.
  CHECK(encoding("odd/utf-16-le-without-mark.csv").value == "UTF-16 LE");
  CHECK(encoding("odd/utf-16-le-without-mark.csv").how == How::found);
  CHECK(
      has(encoding("odd/utf-16-le-without-mark.csv").evidence, "67 of 67 pairs of bytes have a zero second"));
  CHECK(encoding("odd/utf-16-be-with-mark.csv") ==
        Choice<std::string>{"UTF-16 BE with mark", How::found, "the first bytes are the mark"});
  CHECK(encoding("odd/windows-1252-spanish.csv") ==
        Choice<std::string>{"Windows-1252", How::assumed,
                            "line 1 has bytes that are no UTF-8; in Windows-1252 the first is \"á\""});
  LogOptions options;
  options.encoding = TextEncoding::windows_1252;
  const Understanding u = understand_text("Time,Core 1 (C)\n2026-03-08 14:00,96.1\n", options);
  CHECK(u.encoding == Choice<std::string>{"Windows-1252", How::given, "--encoding"});
}

TEST_CASE("rows of units and places belong to the header") {
  const Understanding u = understand(test::sample_file("odd/header-of-three-rows.csv"), {});
  CHECK(u.header_line == 1);
  CHECK(u.first_data_line == 4);
  CHECK(u.preamble_lines == 0);
  CHECK(column(u, 1).kind.value == ColumnKind::ignored);
  CHECK(column(u, 4).name == "Ch 1 Bag 7");
  CHECK(column(u, 4).unit == Choice<ColumnUnit>{ColumnUnit::degC, How::found, "the header says \"°C\""});
  const Understanding above = understand(test::sample_file("odd/header-with-places-above.csv"), {});
  CHECK(above.header_line == 2);
  CHECK(above.preamble_lines == 0);
  CHECK(column(above, 2).name == "T Bag 7");
  CHECK(column(above, 3).name == "T Bag 9");
}

TEST_CASE("a unit column says whose units it holds, and the value column where its unit is") {
  const Understanding u = understand(test::sample_file("odd/unit-columns.csv"), {});
  CHECK(column(u, 2).kind.value == ColumnKind::temperature);
  CHECK(column(u, 2).unit ==
        Choice<ColumnUnit>{ColumnUnit::degC, How::found, "each row says it in \"Unit\", first \"C\""});
  CHECK(column(u, 2).unit_position == 3);
  CHECK(column(u, 3).kind == Choice<ColumnKind>{ColumnKind::unit, How::found,
                                                "holds units, first \"C\", of the column \"Temp 1\""});
  CHECK(column(u, 6).kind.value == ColumnKind::ignored);
  CHECK(column(u, 7).kind.value == ColumnKind::ignored);
}

TEST_CASE("a column without a name that counts the rows is no probe") {
  LogOptions options;
  options.temperature_unit = ColumnUnit::degC;
  const Understanding u = understand(test::sample_file("odd/no-header-with-row-numbers.csv"), options);
  CHECK(column(u, 1).kind ==
        Choice<ColumnKind>{ColumnKind::ignored, How::found, "has no name, and counts the rows: 1, ..."});
  CHECK(column(u, 3).kind.value == ColumnKind::temperature);
}

TEST_CASE("blanks, decimal marks and thousands marks say what showed them") {
  const Understanding blanks = understand(test::sample_file("odd/blanks-and-decimal-commas.csv"), {});
  CHECK(blanks.delimiter == Choice<char>{' ', How::found, "2 of 3 lines have 3 runs of blanks"});
  CHECK(blanks.decimal_mark.value == ',');
  const Understanding thousands = understand(test::sample_file("odd/thousands-commas.csv"), {});
  CHECK(thousands.decimal_mark == Choice<char>{'.', How::found, "3 numbers with a point, first 96.1"});
  CHECK(thousands.delimiter.value == '\t');
}

TEST_CASE("a number sign is bookkeeping, however it is written") {
  for (const std::string sign : {"N\u00BA", "N.\u00BA", "n\u00B0", "N.\u00B0", "Nro.", "No."}) {
    CAPTURE(sign);
    const Understanding u = understand_text(sign + ",Fecha,Sonda 1 (C)\n7,2026-03-08 14:00,96.1\n");
    CHECK(column(u, 1).kind.value == ColumnKind::ignored);
    CHECK(column(u, 1).kind.evidence == "the name says \"" + sign + '"');
  }
}

TEST_CASE("a column of lowest readings is no count of minutes") {
  const Understanding u = understand_text("Elapsed (h),Min (C),Max (C)\n0,96.1,97\n1,96.2,97.1\n");
  CHECK(column(u, 1).kind.value == ColumnKind::time);
  CHECK(column(u, 2).kind.value == ColumnKind::temperature);
  CHECK(has(message_of("No,Min (C)\n7,96.1\n8,96.2\n"), "no column holds times"));
  LogOptions options;
  options.time_column = "Min";
  CHECK(has(message_of("Min (C),Max (C)\n0,97\n1,97.1\n", options), "elapsed time has no unit"));
  CHECK(column(understand_text("Min,Core (C)\n0,97\n1,97.1\n"), 1).unit.value == ColumnUnit::minutes);
}

TEST_CASE("neither a text before the first unit nor a minus sign of typesetting hides the unit in cells") {
  const std::string head = "Time,Core 1\n2026-03-08 14:00,";
  const Understanding behind_text =
      understand_text(head + "start\n2026-03-08 14:01,95.1 F\n2026-03-08 14:02,95.2 F\n");
  CHECK(column(behind_text, 2).unit ==
        Choice<ColumnUnit>{ColumnUnit::degF, How::found, "cells say it, first \"95.1 F\""});
  const Understanding minus = understand_text(head + "\u22125.1 F\n2026-03-08 14:01,\u22125.2 F\n");
  CHECK(column(minus, 2).unit.value == ColumnUnit::degF);
}

TEST_CASE("a decimal comma that is given does not part cells too") {
  LogOptions options;
  options.temperature_unit = ColumnUnit::degC;
  const std::string rows = "2026-03-08 18:30,20,1\n2026-03-08 18:31,20,2\n";
  CHECK(has(message_of("2026-03-08 18:30,-5,1\n2026-03-08 18:31,-4,2\n", options),
            "\"-5,1\" may be two readings"));
  options.decimal_mark = ',';
  CHECK(has(message_of(rows, options), "--decimal comma was given, but the comma of \"20,1\" parts cells"));
  options.temperature_unit.reset();
  CHECK(has(message_of("Time,A (C),B (C)\n" + rows, options), "--decimal comma was given"));
  CHECK(understand_text("Time,A (C)\n2026-03-08 18:30,\"20,1\"\n", options).columns.size() == 2);
}

TEST_CASE("one letter after a blank is a name and no unit") {
  CHECK(has(message_of("Time,Probe C,Probe F\n2026-03-08 14:00,96.1,96.1\n"),
            "Probe C: has no temperature unit"));
}

TEST_CASE("columns of time are found in many layouts") {
  struct Times {
    std::string header, first, second;
    ColumnUnit unit;
  };
  for (const Times& times : std::vector<Times>{
           {"Time", "2026-03-08T14:00:00Z", "2026-03-08T14:01:00Z", ColumnUnit::none},
           {"When", "2026-03-08 14:00", "2026-03-08 14:01", ColumnUnit::none},
           {"Date,Clock", "2026-03-08,14:00:00", "2026-03-08,14:01:00", ColumnUnit::none},
           {"Clock,Date", "14:00:00,2026-03-08", "14:01:00,2026-03-08", ColumnUnit::none},
           {"elapsed (min)", "5", "6", ColumnUnit::minutes},
           {"time [s]", "5.5", "65.5", ColumnUnit::seconds},
           {"h", "1", "1.0166666666666666", ColumnUnit::hours},
           {"Elapsed time (h)", "1:30", "1:31", ColumnUnit::hours},
           {"Elapsed time (min)", "1:30", "2:30", ColumnUnit::minutes},
           {"Elapsed", "0:59:30", "1:00:30", ColumnUnit::none},
       }) {
    CAPTURE(times.header);
    const ProbeLog log =
        test::open_text(times.header + ",Core 1 (C)\n" + times.first + ",96.1\n" + times.second + ",96.2\n");
    CHECK(log.survey().row_count == 2);
    CHECK(log.survey().last_s == 60);
    for (const LogColumn& found : log.understanding().columns)
      if (found.kind.value == ColumnKind::time) CHECK(found.unit.value == times.unit);
  }
}

TEST_CASE("the option for the unit of elapsed times reads a log without a header") {
  LogOptions options;
  options.elapsed_unit = ColumnUnit::seconds;
  options.temperature_unit = ColumnUnit::degC;
  const Understanding u = understand_text("0,20.5\n10,21.5\n20,22.5\n", options);
  CHECK(u.header_line == 0);
  CHECK(u.first_data_line == 1);
  CHECK(column(u, 1).name == "column 1");
  CHECK(column(u, 1).kind.how == How::assumed);
  CHECK(column(u, 1).unit == Choice<ColumnUnit>{ColumnUnit::seconds, How::given, "--elapsed-unit"});
  CHECK(column(u, 2).unit == Choice<ColumnUnit>{ColumnUnit::degC, How::given, "--unit"});
}

TEST_CASE("two columns of one name are told apart by their number") {
  const Understanding u = understand(test::sample_file("broken/probe-column-twice.csv"), {});
  CHECK(column(u, 2).name == "Core");
  CHECK(column(u, 3).name == "Core (column 3)");
}

TEST_CASE("a second column of time is no probe, whatever unit is given") {
  LogOptions options;
  options.temperature_unit = ColumnUnit::degC;
  const Understanding u =
      understand_text("Time,Elapsed,Core 1\n2026-03-08 14:00,0,96.1\n2026-03-08 14:01,60,96.2\n", options);
  CHECK(column(u, 2).kind.value == ColumnKind::ignored);
  CHECK(column(u, 3).kind.value == ColumnKind::temperature);
}

TEST_CASE("a pressure takes unit and basis from the options where the header has none") {
  LogOptions options;
  options.pressure_column = "Vessel";
  options.pressure_unit = ColumnUnit::kPa;
  options.pressure_basis = PressureBasis::absolute;
  const ProbeLog log = test::open_text(
      "Time,Core 1 (C),Vessel\n2026-03-08 14:00,96.1,101.3\n2026-03-08 14:01,96.1,-5\n", options);
  CHECK(column(log.understanding(), 3).kind.how == How::given);
  const test::AllRows all = test::all_rows(log);
  CHECK(test::within(all.rows.value[1][0], 101300, 1e-9));
  CHECK(test::tally_of(all.tally, "impossible").count == 1);
}

TEST_CASE("a column cannot be two things at once") {
  LogOptions twice;
  twice.time_column = "Time";
  twice.date_column = "Time";
  CHECK(has(message_of(plain, twice), "run.csv:1:1: Time: is named both for the date and for the clock"));
  LogOptions probe;
  probe.probe_columns = {"Time"};
  CHECK(has(message_of(plain, probe), "run.csv:1:1: Time: holds the times, but is named for readings too"));
}

TEST_CASE("a unit is understood in every way that headers write it") {
  for (const std::string header :
       {"T1/\u00B0C", "T1_C", "T1_degC", "T1_deg_C", "T1_Celsius", "T1 Celsius", "T1 [\u00B0C]",
        "T1 in \u00B0C", "T1\u00A0[\u00B0C]", "T1\u00A0\u00B0C", "T1 (\u00A0\u00B0C\u00A0)"}) {
    CAPTURE(header);
    const ProbeLog log =
        test::open_text("Time," + header + "\n2026-03-08 14:00,96.1\n2026-03-08 14:01,96.2\n");
    const LogColumn& column = log.understanding().columns[1];
    CHECK(column.name == "T1");
    CHECK(column.unit.value == ColumnUnit::degC);
    CHECK(column.kind.value == ColumnKind::temperature);
  }
  const ProbeLog alone = test::open_text("Time,Celsius\n2026-03-08 14:00,96.1\n2026-03-08 14:01,96.2\n");
  CHECK(alone.understanding().columns[1].name == "Celsius");
  CHECK(alone.understanding().columns[1].unit.value == ColumnUnit::degC);
  const ProbeLog kelvin =
      test::open_text("Time,A_K,B_K\n2026-03-08 14:00,369.1,369\n2026-03-08 14:01,369.2,369\n");
  CHECK(kelvin.understanding().columns[2].unit.value == ColumnUnit::kelvin);
}

TEST_CASE("the letter of a bag behind a mark is no unit") {
  for (const std::string header :
       {"bag_A,bag_B,bag_C", "bag_a,bag_b,bag_c", "bag A/B,bag B/C,bag C", "x_C,y_F,z_K"}) {
    CAPTURE(header);
    LogOptions fahrenheit;
    fahrenheit.temperature_unit = ColumnUnit::degF;
    const ProbeLog log = test::open_text(
        "Time," + header + "\n2026-03-08 14:00,196.1,196,196\n2026-03-08 14:01,196.2,196,196\n", fahrenheit);
    for (std::size_t i = 1; i < 4; ++i)
      CHECK(log.understanding().columns[i].unit.value == ColumnUnit::degF);
  }
}

} // namespace coldbag
