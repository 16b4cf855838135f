#include "report/error_words.h"

#include "quantity/parse.h"

#include <doctest/doctest.h>

#include <ctime>
#include <string>
#include <vector>

using namespace coldbag;

namespace {

ErrorWords spanish() {
  return ErrorWords::read(TableFiles::built_in(), "es");
}

ErrorWords words_of(const std::string& rows) {
  return ErrorWords::read("mine.csv", "english,other\n" + rows);
}

std::vector<Complaint> complaints_of(const std::string& rows) {
  try {
    static_cast<void>(words_of(rows));
  } catch (const UserError& error) {
    return error.complaints();
  }
  return {};
}

std::string repeated(const std::string& text, std::size_t bytes) {
  std::string out;
  while (out.size() < bytes)
    out += text;
  return out;
}

} // namespace

TEST_CASE("a sentence without places is told again whole, and only whole") {
  const ErrorWords words = words_of("is empty,no tiene nada\n");
  CHECK(words.retold("is empty") == "no tiene nada");
  CHECK(words.retold("is empty now") == "is empty now");
  CHECK(words.retold("it is empty") == "it is empty");
  CHECK(words.retold("").empty());
}

TEST_CASE("what stands in the places goes where the other language wants it") {
  const ErrorWords words = words_of("{1} of {2} bags,\"de {2}, {1}\"\n");
  CHECK(words.retold("3 of 40 bags") == "de 40, 3");
  CHECK(words.retold(" of 40 bags") == " of 40 bags"); // a place holds something
  CHECK(words.retold("3 of  bags") == "3 of  bags");
}

TEST_CASE("a place in quotes may hold nothing") {
  const ErrorWords words = words_of("\"\"\"{1}\"\" is no {2}\",\"{2} \"\"{1}\"\"\"\n");
  CHECK(words.retold("\"\" is no date") == "date \"\"");
  CHECK(words.retold("\"\" is no ") == "\"\" is no ");
}

TEST_CASE("a place takes as little as it can") {
  CHECK(words_of("{1} of {2},{2}/{1}\n").retold("a of b of c") == "b of c/a");
}

TEST_CASE("the sentence with most letters of its own wins, wherever it stands") {
  const ErrorWords words =
      words_of("{1} is {2},A {1} {2}\n{1} is no date,B {1}\n\"\"\"{1}\"\" is no date\",C {1}\n");
  CHECK(words.retold("\"x\" is no date") == "C x");
  CHECK(words.retold("x is no date") == "B x");
  CHECK(words.retold("x is no time") == "A x no time");
}

TEST_CASE("only a place that is marked holds words") {
  const ErrorWords words = words_of("\"\"\"{1}\"\" is no {2:words}\",{1} {2}\nmass,masa\n");
  CHECK(words.retold("\"mass\" is no mass") == "mass masa");
}

TEST_CASE("sentences in sentences are told again, and what no row knows stays") {
  const ErrorWords words =
      words_of("--{1}: {2:words},--{1}: {2}\n{1:words}; {2:words},{1}; {2}\nis empty,vacío\n");
  CHECK(words.retold("--log: is empty") == "--log: vacío");
  CHECK(words.retold("is empty; is odd; is empty") == "vacío; is odd; vacío");
}

TEST_CASE("the letters of sentences in places count for the sentence that holds them") {
  const ErrorWords words = words_of("--{1}: {2:words},--{1}: {2}\n{1} is not {2},X {1} {2}\n"
                                    "the vessel is not said,sin recipiente\n");
  CHECK(words.retold("--gap: the vessel is not said") == "--gap: sin recipiente");
  CHECK(words.retold("--gap: the lid is not said") == "--gap: X the lid said");
}

TEST_CASE("braces that hold no place are text") {
  const ErrorWords words = words_of("write { a = {1} },escriba { a = {1} }\n");
  CHECK(words.retold("write { a = 5 }") == "escriba { a = 5 }");
}

TEST_CASE("a table that is not well formed is refused with every fault") {
  CHECK(complaints_of("is empty\n").front().problem == "this row is not a pair of sentences");
  CHECK(complaints_of("is empty,\n").size() == 1);
  CHECK(complaints_of("{1} is,es\n").front().place == Place{"mine.csv", 2, 1, ""});
  CHECK(complaints_of("{1}{2} is,{1}{2}\n").size() == 1); // nothing tells where one ends
  CHECK(complaints_of("{2} is,{2}\n").size() == 1);
  CHECK(complaints_of("{2} is {1},{1}{2}\n").size() == 1);
  CHECK(complaints_of("{1} is,{1}{1}\n").size() == 1);
  CHECK(complaints_of("\"is,es\nis,\n").size() == 2);
  CHECK(complaints_of("{1}{2} is,{1}{2}\r\nis,es\r\n").size() == 1);
}

TEST_CASE("a language without a table leaves everything as it is") {
  const ErrorWords words = ErrorWords::read(TableFiles::built_in(), "en");
  CHECK(words.retold("is empty") == "is empty");
  CHECK(ErrorWords::read(TableFiles::built_in(), "../es").retold("is empty") == "is empty");
}

TEST_CASE("a complaint keeps its place, its trouble and its figures") {
  Complaint complaint;
  complaint.trouble = Trouble::no_input;
  complaint.place = {"sitio.toml", 4, 8, "bags.brick.mass"};
  const Parsed parsed = parse_quantity("5 stone", Dimension::mass);
  complaint.problem = parsed.problem;
  complaint.remedy = parsed.remedy;
  const ErrorWords words = spanish();
  CHECK(complaint_text(complaint, &words) ==
        "sitio.toml:4:8: bags.brick.mass: \"stone\" no es una unidad de masa; "
        "escriba por ejemplo \"5 lb\" (kg, g, t, lb o bien oz)");
  CHECK(complaint_text(complaint, nullptr) == to_text(complaint));
  const UserError told = retold(UserError(complaint), words);
  CHECK(told.trouble() == Trouble::no_input);
  CHECK(told.complaints().front().place == complaint.place);
}

TEST_CASE("where standard input is named, that is a word and no file's name") {
  Complaint complaint;
  complaint.place = {"standard input", 3, 0, ""};
  complaint.problem = "is empty";
  const ErrorWords words = spanish();
  CHECK(complaint_text(complaint, &words) == "entrada estándar:3: está vacío");
}

TEST_CASE("a list of columns is told again with the reason of each") {
  const std::string list = "no column holds temperatures: \"Time\", \"RH\" (the name says \"rh\"), \"Note\" "
                           "(holds no numbers: \"a\")";
  CHECK(spanish().retold(list) == "ninguna columna contiene temperaturas: \"Time\", \"RH\" (el nombre dice "
                                  "\"rh\"), \"Note\" (no tiene números: \"a\")");
}

TEST_CASE("a user's own words are never told again") {
  const ErrorWords words = spanish();
  CHECK(words.retold("there is no probe \"mass\"") == "no hay ninguna sonda \"mass\"");
  CHECK(words.retold("known: mass, straw and bran or rice, is empty") ==
        "se conocen: mass, straw and bran or rice, is empty");
  CHECK(words.retold("columns are key, volume or mass") == "las columnas son key, volume o bien mass");
}

// Each text is a cell of 100 kB that looks like what stands between places, over and over.
TEST_CASE("a hostile text of any kind takes no long time and loses nothing") {
  const ErrorWords words = spanish();
  constexpr std::size_t bytes = 100000;
  for (const std::string& text :
       {std::string(bytes, ' '), repeated(" or ", bytes), repeated("; ", bytes), repeated("\" (x), ", bytes),
        repeated("\" (\" (", bytes), repeated(" is ", bytes), repeated("--a: ", bytes), repeated(": ", bytes),
        repeated(", first ", bytes)}) {
    CAPTURE(text.substr(0, 20));
    for (const std::string& around :
         {"\"" + text + "\" is no date", "no column holds temperatures: \"a\" (" + text + text + ")"}) {
      const std::clock_t before = std::clock();
      const std::string told = words.retold(around);
      const double took_s = static_cast<double>(std::clock() - before) / CLOCKS_PER_SEC;
      CHECK(took_s < 5);
      CHECK(told.size() > text.size() / 2);
    }
  }
}
