#include "run/report_words.h"

namespace coldbag {

// The compiler asks for a line where a value is added; nothing ends the list.

std::string_view word(Verdict verdict) {
  switch (verdict) {
  case Verdict::pass:
    return "pass";
  case Verdict::fail:
    return "fail";
  case Verdict::unproven:
    return "unproven";
  }
  return {};
}

std::string_view word(SoFar so_far) {
  switch (so_far) {
  case SoFar::not_yet:
    return "not_yet";
  case SoFar::enough:
    return "enough";
  }
  return {};
}

std::string_view word(Status status) {
  switch (status) {
  case Status::met:
    return "met";
  case Status::missed:
    return "missed";
  case Status::unproven:
    return "unproven";
  }
  return {};
}

std::string_view word(Sense sense) {
  switch (sense) {
  case Sense::at_least:
    return "at_least";
  case Sense::at_most:
    return "at_most";
  case Sense::below:
    return "below";
  }
  return {};
}

std::string_view word(UnitSystem units) {
  switch (units) {
  case UnitSystem::metric:
    return "metric";
  case UnitSystem::us:
    return "us";
  }
  return {};
}

std::string_view word(How how) {
  switch (how) {
  case How::given:
    return "given";
  case How::found:
    return "found";
  case How::assumed:
    return "assumed";
  }
  return {};
}

std::string_view word(TextEncoding encoding) {
  switch (encoding) {
  case TextEncoding::utf8:
    return "utf-8";
  case TextEncoding::utf16_le:
    return "utf-16le";
  case TextEncoding::utf16_be:
    return "utf-16be";
  case TextEncoding::windows_1252:
    return "windows-1252";
  }
  return {};
}

std::string_view word(ColumnKind kind) {
  switch (kind) {
  case ColumnKind::time:
    return "time";
  case ColumnKind::date:
    return "date";
  case ColumnKind::clock:
    return "clock";
  case ColumnKind::temperature:
    return "temperature";
  case ColumnKind::pressure:
    return "pressure";
  case ColumnKind::unit:
    return "unit";
  case ColumnKind::ignored:
    return "ignored";
  }
  return {};
}

std::string_view word(ColumnUnit unit) {
  switch (unit) {
  case ColumnUnit::none:
    return "none";
  case ColumnUnit::degC:
    return "degC";
  case ColumnUnit::degF:
    return "degF";
  case ColumnUnit::kelvin:
    return "K";
  case ColumnUnit::Pa:
    return "Pa";
  case ColumnUnit::hPa:
    return "hPa";
  case ColumnUnit::kPa:
    return "kPa";
  case ColumnUnit::MPa:
    return "MPa";
  case ColumnUnit::mbar:
    return "mbar";
  case ColumnUnit::bar:
    return "bar";
  case ColumnUnit::psi:
    return "psi";
  case ColumnUnit::seconds:
    return "s";
  case ColumnUnit::minutes:
    return "min";
  case ColumnUnit::hours:
    return "h";
  case ColumnUnit::days:
    return "d";
  case ColumnUnit::milliseconds:
    return "ms";
  }
  return {};
}

std::string_view word(PressureBasis basis) {
  switch (basis) {
  case PressureBasis::none:
    return "none";
  case PressureBasis::gauge:
    return "gauge";
  case PressureBasis::absolute:
    return "absolute";
  case PressureBasis::unstated:
    return "unstated";
  }
  return {};
}

std::string_view word(TimeRule::Form form) {
  switch (form) {
  case TimeRule::Form::iso:
    return "iso";
  case TimeRule::Form::written:
    return "written";
  case TimeRule::Form::epoch:
    return "epoch";
  case TimeRule::Form::serial_1900:
    return "serial_1900";
  case TimeRule::Form::serial_1904:
    return "serial_1904";
  case TimeRule::Form::clock:
    return "clock";
  case TimeRule::Form::elapsed:
    return "elapsed";
  }
  return {};
}

std::string_view word(DateOrder order) {
  switch (order) {
  case DateOrder::day_first:
    return "day_first";
  case DateOrder::month_first:
    return "month_first";
  case DateOrder::year_first:
    return "year_first";
  }
  return {};
}

std::string_view word(Basis basis) {
  return basis_text(basis);
}

std::string_view word(ProbeRole role) {
  return role_text(role);
}

std::string_view word(FaultEffect effect) {
  return effect_text(effect);
}

} // namespace coldbag
