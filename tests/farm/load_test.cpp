#include "farm/load.h"

#include "errors/user_error.h"
#include "support/approx.h"

#include <doctest/doctest.h>

#include <string>

using namespace coldbag;
using test::within;

TEST_CASE("a load table is read with its quotes, empty cells and remarks") {
  const Load load = read_load_csv("load.csv", "# invented\nbag,count,rack,layer,mass,moisture,lot\r\n"
                                              "brick,90,1,lowest,5 lb,62 %,\"L7, \"\"late\"\"\"\r\n\r\n"
                                              "column,30,,,,0.6,?\n");
  REQUIRE(load.lines.size() == 2);
  CHECK(load.bag_count() == 120);
  CHECK(load.lines[0].bag == "brick");
  CHECK(load.lines[0].count == 90);
  CHECK(load.lines[0].rack == "1");
  CHECK(load.lines[0].layer == "lowest");
  CHECK(within(*load.lines[0].mass_kg, 2.26796185, 1e-9));
  CHECK(within(*load.lines[0].moisture_wb, 0.62, 1e-12));
  CHECK(load.lines[0].lot == "L7, \"late\"");
  CHECK(load.lines[0].place.line == 3);
  CHECK_FALSE(load.lines[1].mass_kg.has_value());
  CHECK(load.lines[1].moisture_wb == 0.6);
  CHECK(load.lines[1].place.line == 5);
}

TEST_CASE("a load table may be parted by semicolons or tabs, and its columns may stand in any order") {
  CHECK(read_load_csv("l", "count;bag\n3;brick\n").lines[0].count == 3);
  CHECK(read_load_csv("l", "count\tbag\n3\tbrick\n").lines[0].bag == "brick");
}

TEST_CASE("all faults of a load table come at once") {
  try {
    (void)read_load_csv("load.csv", "bag,count,mass\nbrick,0,5\n,2,1 kg\n");
    FAIL("not refused");
  } catch (const UserError& error) {
    CHECK(error.complaints().size() == 3);
  }
}

TEST_CASE("a zero byte or an endless line is refused, not cut") {
  CHECK_THROWS_AS((void)read_load_csv("l", std::string_view("bag,count\nbrick,1\0002\n", 20)), UserError);
  CHECK_THROWS_AS((void)read_load_csv("l", "bag,count\n" + std::string(std::size_t{1} << 25, 'x')),
                  UserError);
}

TEST_CASE("a head with an open quote is complained of once, not line by line") {
  try {
    (void)read_load_csv("load.csv", "bag,\"count\nbrick,3\nbrick,4\n");
    FAIL("was taken");
  } catch (const UserError& error) {
    REQUIRE(error.complaints().size() == 1);
    CHECK(error.complaints().front().place.line == 1);
    CHECK(error.complaints().front().place.column == 5);
  }
}

TEST_CASE("a load table with carriage returns may end its lines in quotes") {
  const Load load = read_load_csv("load.csv", "bag,count,lot\r\nbrick,3,\"L, 7\"\r\n");
  REQUIRE(load.lines.size() == 1);
  CHECK(load.lines[0].lot == "L, 7");
}
