// What a text may say of heat: the units, and that they are read to the base unit at their places.
#include <catch2/catch.hpp>

#include "parser/language/units.hpp"
#include "tests/parser/resolve_support.hpp"

namespace heat_words_test {

using namespace loomward;
using namespace loomward::literals;

namespace {

const std::string text =
    "loom 1\nharness \"Hand winch\" { ambient 5..35 degC }\n"
    "location tray { ambient 0..40 degC, thermal-resistance 0.8 K/W, size 300 mm x 20 cm x 0.1 m\n"
    "  wall painted, vents 20 cm2 100 mm, highest-ambient 60 degC }\n"
    "converter D1 { input 30..60 V, output 12 V 10 A, efficiency 80 %, negative common, capacitance 1 mF\n"
    "  losses 40 W at 6 A, thermal-resistance 1.5K/W, rise 35 K at 6 A after 1 h, gives-less-from 80 degC\n"
    "  cuts-out-at 100 degC, highest-ambient 55 degC, at tray }\n";

double low(const Harness& harness, Slice of, Attr name, std::size_t place = 0) {
    return harness.value(of, name, place).lo;
}

std::string replaced_once(std::string whole, const std::string& old, const std::string& now) {
    return whole.replace(whole.find(old), old.size(), now);
}

std::string mistakes_in(const std::string& location) {
    return mistakes_of(
        read_test("loom 1\nharness \"Hand winch\" { ambient 5..35 degC }\nlocation tray { ambient "
                  "0..40 degC, " +
                  location + " }\n"));
}

}  // namespace

TEST_CASE("heat is said in K/W, K and cm2") {
    const ReadResult read = read_test(text);
    REQUIRE(mistakes_of(read).empty());
    const Harness& harness = *read.harness;
    const Slice tray = harness.locations[0].attributes;
    CHECK(low(harness, tray, "thermal-resistance"_attr) == 0.8);
    CHECK(low(harness, tray, "size"_attr, 0) == 0.3);
    CHECK(low(harness, tray, "size"_attr, 1) == 0.2);
    CHECK(low(harness, tray, "size"_attr, 2) == 0.1);
    CHECK(low(harness, tray, "vents"_attr, 0) == 20);
    CHECK(low(harness, tray, "vents"_attr, 1) == 0.1);
    const Slice converter = harness.part(*harness.find_part("D1")).attributes;
    CHECK(low(harness, converter, "thermal-resistance"_attr) == 1.5);
    CHECK(low(harness, converter, "losses"_attr, 1) == 6);
    CHECK(low(harness, converter, "rise"_attr, 0) == 35);
    CHECK(low(harness, converter, "rise"_attr, 2) == 3600);
}

TEST_CASE("values of heat print with their units") {
    CHECK(to_text(0.8, Dimension::thermal_resistance) == "0.8 K/W");
    CHECK(to_text(35, Dimension::temperature_rise) == "35 K");
    CHECK(to_text(20, Dimension::opening) == "20 cm2");
    CHECK(find_unit("K/W"));
}

TEST_CASE("mounting, time constant and what a motor loses are read to the base unit at their places") {
    const std::string rest =
        "loom 1\nharness \"Hand winch\" { ambient 5..35 degC }\n"
        "location tray { ambient 0..40 degC, time-constant 12 min }\n"
        "controller U1 { input 30..60 V, capacitance 1 mF, supply-limit 30 A, regen none\n"
        "  mounting stood-off, size 150 mm x 8 cm x 40 mm, wall painted, time-constant 90 s }\n"
        "motor M1 { leads 3, carries 90 A, resistance 90 mohm, efficiency 85 %, losses 60 W at "
        "40 A\n  thermal-resistance 0.4 K/W, rise 60 K at 40 A after 30 min, limit 130 degC }\n";
    const ReadResult read = read_test(rest);
    REQUIRE(mistakes_of(read).empty());
    const Harness& harness = *read.harness;
    CHECK(low(harness, harness.locations[0].attributes, "time-constant"_attr) == 720);
    const Slice controller = harness.part(*harness.find_part("U1")).attributes;
    CHECK(harness.value(controller, "mounting"_attr).text == "stood-off");
    CHECK(low(harness, controller, "size"_attr, 1) == 0.08);
    CHECK(low(harness, controller, "time-constant"_attr) == 90);
    const Slice motor = harness.part(*harness.find_part("M1")).attributes;
    CHECK(low(harness, motor, "resistance"_attr) == 0.09);
    CHECK(low(harness, motor, "losses"_attr, 1) == 40);
    CHECK(low(harness, motor, "rise"_attr, 2) == 1800);
    CHECK(low(harness, motor, "limit"_attr) == 130);
    CHECK_FALSE(mistakes_of(read_test(replaced_once(rest, "mounting stood-off", "mounting hung"))).empty());
    CHECK_FALSE(
        mistakes_of(read_test(replaced_once(rest, "time-constant 90 s", "time-constant 0 s"))).empty());
    CHECK_FALSE(
        mistakes_of(read_test(replaced_once(rest, "time-constant 90 s", "time-constant 90 W"))).empty());
    CHECK(mistakes_of(read_test(replaced_once(rest, "mounting stood-off", "mounting unknown"))).empty());
}

TEST_CASE("what is no amount of heat is a mistake") {
    CHECK(mistakes_in("thermal-resistance unknown").empty());
    CHECK(mistakes_in("size unknown").empty());
    CHECK(mistakes_in("vents unknown").empty());
    // What is left out of several quantities is not known.
    CHECK(mistakes_in("size 300 mm x 200 mm").empty());
    CHECK(mistakes_in("vents 20 cm2").empty());
    CHECK_FALSE(mistakes_in("thermal-resistance 0 K/W").empty());
    CHECK_FALSE(mistakes_in("thermal-resistance 0.8 K").empty());
    CHECK_FALSE(mistakes_in("thermal-resistance 0.8 K/Wh").empty());
    CHECK_FALSE(mistakes_in("size 300 mm x 0 mm x 100 mm").empty());
    CHECK_FALSE(mistakes_in("wall wood").empty());
}

}  // namespace heat_words_test
