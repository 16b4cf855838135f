#include "clock/written_time.h"

#include "clock/calendar_words.h"

#include <algorithm>
#include <array>
#include <string>

namespace coldbag {

namespace {

constexpr std::int64_t us_of_second = 1'000'000;
constexpr std::int64_t us_of_day = 86'400 * us_of_second;
constexpr std::size_t longest_text = 64;

bool is_digit(char c) {
  return c >= '0' && c <= '9';
}

bool is_letter(char c) {
  return (c >= 'a' && c <= 'z') || static_cast<unsigned char>(c) >= 0x80U;
}

/// Lower case, with every kind of blank made a plain one.
std::string folded(std::string_view text) {
  std::string out;
  for (std::size_t at = 0; at < text.size(); ++at) {
    const std::string_view rest = text.substr(at);
    if (rest.starts_with("\u00A0")) {
      out += ' ';
      at += 1;
    } else if (rest.starts_with("\u202F") || rest.starts_with("\u2009")) {
      out += ' ';
      at += 2;
    } else {
      const char c = text[at];
      out += c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c;
    }
  }
  return out;
}

/// Takes parts from the front.
class Parts {
 public:
  explicit Parts(std::string_view text) : rest_(text) {}

  [[nodiscard]] bool at_end() const { return rest_.empty(); }
  [[nodiscard]] char next() const { return rest_.empty() ? '\0' : rest_[0]; }
  [[nodiscard]] bool digit_next() const { return is_digit(next()); }

  bool take(char wanted) {
    if (next() != wanted || rest_.empty()) return false;
    rest_.remove_prefix(1);
    return true;
  }
  void skip_blanks() {
    while (take(' ')) {
    }
  }
  std::string_view digits() { return while_true(is_digit); }
  std::string_view letters() { return while_true(is_letter); }

 private:
  std::string_view while_true(bool (*test)(char)) {
    std::size_t size = 0;
    while (size < rest_.size() && test(rest_[size]))
      ++size;
    const std::string_view taken = rest_.substr(0, size);
    rest_.remove_prefix(size);
    return taken;
  }
  std::string_view rest_;
};

int number(std::string_view digits) {
  int value = 0;
  for (const char c : digits)
    value = 10 * value + (c - '0');
  return value;
}

/// One part of a date: a number of one, two or four digits, or a month's name.
struct DatePart {
  int value = 0;
  std::size_t digits = 0;
  bool is_name = false;
};

/// "1er" and "1\u00BA" are how the first of a month is written in French and Portuguese.
void skip_ordinal(Parts& parts) {
  Parts ahead = parts;
  const std::string_view word = ahead.letters();
  if (word == "er" || word == "\u00BA") parts = ahead;
}

/// A word that no language here has for a month counts as January where `unknown_month` is to hold it.
std::optional<DatePart> take_date_part(Parts& parts, std::string* unknown_month) {
  if (parts.digit_next()) {
    const std::string_view digits = parts.digits();
    if (digits.size() > 4 || digits.size() == 3) return std::nullopt;
    skip_ordinal(parts);
    return DatePart{number(digits), digits.size(), false};
  }
  const std::string_view word = parts.letters();
  int month = month_named(word);
  if (month == 0 && unknown_month != nullptr && !word.empty()) {
    *unknown_month = word;
    month = 1;
  }
  return month == 0 ? std::nullopt : std::optional(DatePart{month, 0, true});
}

/// What stands between the parts: one of "/-.", or blanks with ",", "." (of a shortened name) or "de".
bool take_between(Parts& parts, char& mark) {
  const char c = parts.next();
  if (c == '/' || c == '-') {
    parts.take(c);
    if (mark != '\0' && mark != c) return false;
    mark = c;
    return true;
  }
  const bool dot = parts.take('.');
  if (dot && parts.next() == '-') parts.take('-');
  const bool comma = parts.take(',');
  const bool blank = parts.next() == ' ';
  parts.skip_blanks();
  Parts ahead = parts;
  if (const std::string_view word = ahead.letters(); word == "de" || word == "del") {
    parts = ahead;
    parts.skip_blanks();
    return blank;
  }
  return dot || comma || blank;
}

bool set_order(WrittenDate& date, const std::array<DatePart, 3>& part) {
  const auto names = std::count_if(part.begin(), part.end(), [](const DatePart& p) { return p.is_name; });
  if (names > 1 || part[2].is_name) return false;
  const bool year_first = part[0].digits == 4;
  if (part[1].digits == 4 || (year_first && part[2].digits == 4)) return false;
  if (!year_first && part[2].digits != 2 && part[2].digits != 4) return false;
  date.two_digit_year = !year_first && part[2].digits == 2;
  if (year_first)
    date.order = DateOrder::year_first;
  else if (names == 1)
    date.order = part[0].is_name ? DateOrder::month_first : DateOrder::day_first;
  return true;
}

/// Whether some order makes a day of it.
bool is_possible(const WrittenDate& date) {
  if (date.order) return midnight_of(date, *date.order).has_value();
  return midnight_of(date, DateOrder::day_first) || midnight_of(date, DateOrder::month_first) ||
         (date.two_digit_year && midnight_of(date, DateOrder::year_first));
}

std::optional<WrittenDate> take_date(Parts& parts, std::string* unknown_month) {
  std::array<DatePart, 3> part;
  char mark = '\0';
  for (std::size_t i = 0; i < part.size(); ++i) {
    if (i > 0 && !take_between(parts, mark)) return std::nullopt;
    const auto taken = take_date_part(parts, unknown_month);
    if (!taken) return std::nullopt;
    part[i] = *taken;
  }
  WrittenDate date{part[0].value, part[1].value, part[2].value, false, std::nullopt};
  if (!set_order(date, part) || !is_possible(date)) return std::nullopt;
  return date;
}

/// "am", "p.m.", "a. m.": 'a' or 'p'; otherwise nothing is taken.
char take_half_of_day(Parts& parts) {
  Parts ahead = parts;
  ahead.skip_blanks();
  const char half = ahead.next();
  if (half != 'a' && half != 'p') return '\0';
  ahead.take(half);
  ahead.take('.');
  ahead.skip_blanks();
  if (!ahead.take('m')) return '\0';
  ahead.take('.');
  if (is_letter(ahead.next())) return '\0';
  parts = ahead;
  return half;
}

std::optional<std::int64_t> take_fraction_us(Parts& parts) {
  const std::string_view digits = parts.digits();
  if (digits.empty() || digits.size() > 9) return std::nullopt;
  std::int64_t ns = 0;
  for (std::size_t i = 0; i < 9; ++i)
    ns = 10 * ns + (i < digits.size() ? digits[i] - '0' : 0);
  return (ns + 500) / 1000;
}

/// Two digits below 60.
std::optional<int> take_sixtieth(Parts& parts) {
  const std::string_view digits = parts.digits();
  if (digits.size() != 2 || number(digits) > 59) return std::nullopt;
  return number(digits);
}

/// What parts hours from minutes: ":", "." or "h"; '\0' where nothing does.
char take_clock_mark(Parts& parts) {
  if (parts.take(':')) return ':';
  if (parts.take('.')) return '.';
  Parts ahead = parts;
  ahead.skip_blanks();
  if (!ahead.take('h')) return '\0';
  ahead.skip_blanks();
  parts = ahead;
  return 'h';
}

/// Whether seconds follow the minutes; what parts them is taken. Behind "18h30" it is ":" or "m", or "m"
/// alone.
bool take_seconds_mark(Parts& parts, char clock_mark) {
  if (clock_mark != 'h') return parts.take(clock_mark);
  if (parts.take(':')) return true;
  Parts ahead = parts;
  const std::string_view word = ahead.letters();
  if (word != "m" && word != "min") return false;
  parts = ahead;
  parts.skip_blanks();
  return parts.digit_next();
}

/// Two digits to 60: that is a leap second, or a clock that rounds up.
std::optional<std::int64_t> take_second_us(Parts& parts) {
  const std::string_view digits = parts.digits();
  if (digits.size() != 2 || number(digits) > 60) return std::nullopt;
  const std::int64_t whole = us_of_second * number(digits);
  Parts ahead = parts;
  if (!ahead.take('.') && !ahead.take(',')) return whole;
  if (!ahead.digit_next()) return whole;
  const auto fraction = take_fraction_us(ahead);
  if (!fraction) return std::nullopt;
  parts = ahead;
  return whole + *fraction;
}

bool take_clock(Parts& parts, WrittenTime& time) {
  const std::string_view hours = parts.digits();
  if (hours.empty() || hours.size() > 2) return false;
  const char mark = take_clock_mark(parts);
  if (mark == '\0') return false;
  const auto minute = take_sixtieth(parts);
  if (!minute) return false;
  std::int64_t us = us_of_second * 60 * *minute;
  if (take_seconds_mark(parts, mark)) {
    const auto second_us = take_second_us(parts);
    if (!second_us) return false;
    us += *second_us;
    if (mark == 'h') parts.take('s');
  }
  int hour = number(hours);
  const char half = take_half_of_day(parts);
  time.twelve_hours = half != '\0';
  if (time.twelve_hours) {
    if (hour < 1 || hour > 12) return false;
    hour = hour % 12 + (half == 'p' ? 12 : 0);
  }
  // 24:00 is the end of its day.
  if (hour > 24 || (hour == 24 && us > 0)) return false;
  time.clock_us = us_of_second * 3600 * hour + us;
  return true;
}

/// "z", "utc", "gmt-5", "+02:00"; true where nothing is written.
bool take_offset(Parts& parts, WrittenTime& time) {
  parts.skip_blanks();
  Parts ahead = parts;
  const std::string_view word = ahead.letters();
  if (word == "z" || word == "utc" || word == "gmt") {
    time.offset_s = 0;
    parts = ahead;
  }
  const char sign = parts.next();
  if (sign != '+' && sign != '-') return true;
  parts.take(sign);
  const std::string_view digits = parts.digits();
  if (digits.empty() || digits.size() == 3 || digits.size() > 4) return false;
  int hours = number(digits.substr(0, std::min<std::size_t>(digits.size(), 2)));
  int minutes = digits.size() == 4 ? number(digits.substr(2)) : 0;
  if (digits.size() < 4 && parts.take(':')) {
    const auto written = take_sixtieth(parts);
    if (!written) return false;
    minutes = *written;
  }
  if (hours > 15 || minutes > 59) return false;
  const int offset_s = hours * 3600 + minutes * 60;
  time.offset_s = sign == '-' ? -offset_s : offset_s;
  return true;
}

void skip_weekday(Parts& parts) {
  Parts ahead = parts;
  if (!names_a_weekday(ahead.letters())) return;
  if (ahead.take('-') && ahead.letters() != "feira") return; // "segunda-feira"
  ahead.take('.');
  ahead.take(',');
  ahead.skip_blanks();
  parts = ahead;
}

/// "mar" is March and Tuesday (martes), so a date is tried first.
std::optional<WrittenDate> take_date_behind_weekday(Parts& parts, std::string* unknown_month) {
  Parts ahead = parts;
  auto date = take_date(ahead, unknown_month);
  if (!date) {
    ahead = parts;
    skip_weekday(ahead);
    date = take_date(ahead, unknown_month);
  }
  if (date) parts = ahead;
  return date;
}

bool starts_with_clock(std::string_view text) {
  std::size_t at = 0;
  while (at < text.size() && is_digit(text[at]))
    ++at;
  if (at == 0 || at == text.size()) return false;
  if (text[at] == ':') return true;
  Parts parts{text.substr(at)};
  parts.skip_blanks();
  if (!parts.take('h')) return false;
  parts.skip_blanks();
  return parts.digit_next();
}

/// "thu mar 26 18:30:00 2026": month, day, clock, year, as ISO C's asctime writes it, also with a zone before
/// the year.
std::optional<WrittenTime> read_year_last(std::string_view plain, std::string* unknown_month) {
  Parts parts{plain};
  skip_weekday(parts);
  const auto month = take_date_part(parts, unknown_month);
  parts.skip_blanks();
  const std::string_view day = parts.digits();
  parts.skip_blanks();
  WrittenTime time;
  if (!month || !month->is_name || day.empty() || day.size() > 2) return std::nullopt;
  if (!take_clock(parts, time) || !take_offset(parts, time)) return std::nullopt;
  parts.skip_blanks();
  const std::string_view year = parts.digits();
  if (year.size() != 4 || !parts.at_end()) return std::nullopt;
  time.date = WrittenDate{month->value, number(day), number(year), false, DateOrder::month_first};
  return is_possible(*time.date) ? std::optional(time) : std::nullopt;
}

std::optional<WrittenTime> from_iso(std::string_view text) {
  const auto iso = parse_iso_time(text);
  if (!iso) return std::nullopt;
  const CalendarTime parts = calendar_time(iso->wall);
  WrittenTime time;
  time.date = WrittenDate{parts.year, parts.month, parts.day, false, DateOrder::year_first};
  if (iso->has_clock) time.clock_us = ((iso->wall.us % us_of_day) + us_of_day) % us_of_day;
  time.offset_s = iso->offset_s;
  return time;
}

std::optional<WrittenTime> read_date_and_clock(std::string_view plain, std::string* unknown_month) {
  Parts parts{plain};
  WrittenTime time;
  if (starts_with_clock(plain)) {
    if (!take_clock(parts, time) || !take_offset(parts, time)) return std::nullopt;
    parts.take(',');
    parts.skip_blanks();
    if (parts.at_end()) return time;
    time.date = take_date_behind_weekday(parts, unknown_month);
    if (!time.date || !parts.at_end()) return std::nullopt;
    return time;
  }
  time.date = take_date_behind_weekday(parts, unknown_month);
  if (!time.date) return std::nullopt;
  parts.take(',');
  if (!parts.take('t')) parts.skip_blanks();
  if (parts.at_end()) return time;
  if (!take_clock(parts, time) || !take_offset(parts, time) || !parts.at_end()) return std::nullopt;
  return time;
}

/// Every form but ISO 8601.
std::optional<WrittenTime> read_any_form(std::string_view text, std::string* unknown_month) {
  if (text.empty() || text.size() > longest_text) return std::nullopt;
  const std::string plain = folded(text);
  if (auto time = read_date_and_clock(plain, unknown_month)) return time;
  return is_letter(plain[0]) ? read_year_last(plain, unknown_month) : std::nullopt;
}

} // namespace

int full_year(int two_digits) {
  return two_digits >= 69 ? 1900 + two_digits : 2000 + two_digits;
}

std::optional<WrittenTime> read_written_time(std::string_view text) {
  if (auto iso = from_iso(text)) return iso;
  return read_any_form(text, nullptr);
}

std::optional<WrittenTime> read_written_clock(std::string_view text) {
  if (text.empty() || text.size() > longest_text) return std::nullopt;
  const std::string plain = folded(text);
  Parts parts{plain};
  WrittenTime time;
  if (!take_clock(parts, time) || !take_offset(parts, time) || !parts.at_end()) return std::nullopt;
  return time;
}

std::string unknown_month_in(std::string_view text) {
  std::string word;
  if (read_written_time(text) || !read_any_form(text, &word)) return "";
  return word;
}

std::optional<WallTime> midnight_of(const WrittenDate& date, DateOrder order) {
  CalendarTime parts;
  switch (date.order.value_or(order)) {
  case DateOrder::year_first:
    parts.year = date.first;
    parts.month = date.second;
    parts.day = date.third;
    break;
  case DateOrder::day_first:
    parts.day = date.first;
    parts.month = date.second;
    parts.year = date.third;
    break;
  case DateOrder::month_first:
    parts.month = date.first;
    parts.day = date.second;
    parts.year = date.third;
    break;
  }
  if (date.two_digit_year) {
    if (parts.year > 99) return std::nullopt;
    parts.year = full_year(parts.year);
  } else if (parts.year < 100) {
    return std::nullopt;
  }
  return wall_time(parts);
}

} // namespace coldbag
