// How far a value that is written "about" may be off.
#include <catch2/catch.hpp>

#include "parser/estimates.hpp"
#include "parser/typed_lengths.hpp"
#include "tests/parser/resolve_support.hpp"

namespace estimates_test {

using namespace loomward;
using namespace loomward::literals;

namespace {

const std::string text =
    "loom 1\nharness \"Hand winch\" { ambient 5..35 degC }\n"
    "pack B1 { voltage 40..54 V, resistance about 100 mohm, capacity about 20 Ah, discharge about 60 A\n"
    "  charge 10 A }\n"
    "converter D1 { input 30..60 V, output about 12 V 10 A, efficiency about 80 %, negative common\n"
    "  capacitance about 1 mF }\n"
    "load E1 { 12 V, about 50 W }\n"
    "route B1.+ (W1 about 10 mm2, about 2 m) D1.in+\nroute B1.- (W2 4 mm2, 1 m) D1.in-\n"
    "route D1.out+ (W3 1 mm2, 1 m) E1 (W4 1 mm2, 1 m) D1.out-\n"
    "mode pulling { E1 draws about 4 A }\n";

std::string ends(double lo, double hi, Dimension dimension) {
    return to_text(Quantity{lo, hi, dimension}, 4);
}

std::string of_part(const Harness& harness, std::string_view part, Attr name) {
    const Value value = harness.value(harness.part(*harness.find_part(part)).attributes, name);
    return ends(value.lo, value.hi, value.dimension);
}

}  // namespace

TEST_CASE("an estimate is spread by what one may expect of a guess at such a thing") {
    const ReadResult read = read_test(text);
    REQUIRE(mistakes_of(read).empty());
    const Harness& harness = *read.harness;
    CHECK(of_part(harness, "B1", "resistance"_attr) == "75..125 mohm");
    CHECK(of_part(harness, "B1", "capacity"_attr) == "15..25 Ah");
    CHECK(of_part(harness, "B1", "discharge"_attr) == "54..66 A");
    CHECK(of_part(harness, "D1", "output"_attr) == "11.4..12.6 V");
    CHECK(of_part(harness, "D1", "efficiency"_attr) == "76..84 %");
    CHECK(of_part(harness, "D1", "capacitance"_attr) == "0.75..1.25 mF");
    CHECK(of_part(harness, "E1", "(power)"_attr) == "45..55 W");
    const Wire& wire = harness.wire(*harness.find_wire("W1"));
    CHECK(ends(wire.length.lo, wire.length.hi, Dimension::length) == "1.8..2.2 m");
    CHECK(ends(wire.area.lo, wire.area.hi, Dimension::area) == "7.5..12.5 mm2");
    const Quantity level = harness.modes[0].profiles[0].levels[0].amount;
    CHECK(ends(level.lo, level.hi, Dimension::current) == "3.6..4.4 A");
}

TEST_CASE("a spread that the policy states holds for all estimates, were it a guess itself") {
    for (const char* stated : {"20 %", "about 20 %"}) {
        const ReadResult read = read_test(text + "policy { estimate-spread " + stated + " }\n");
        REQUIRE(mistakes_of(read).empty());
        CHECK(of_part(*read.harness, "B1", "resistance"_attr) == "80..120 mohm");
        CHECK(of_part(*read.harness, "B1", "discharge"_attr) == "48..72 A");
        CHECK(of_part(*read.harness, "D1", "efficiency"_attr) == "64..96 %");
        CHECK(estimate_spread(*read.harness, Dimension::length) == Approx(0.2));
    }
}

TEST_CASE("lengths in feet and inches are read to metres and keep what was typed") {
    const ReadResult read = read_test(
        "loom 1\nharness \"Shed\" { ambient 5..35 degC }\n"
        "pack B1 { voltage 10..14 V, resistance 9 mohm, capacity 20 Ah, discharge 60 A, charge 10 A }\n"
        "part tail is wire { 1 mm2, 1 m }\n"
        "load E1 { 12 V, 5 W }\nload E2 { 12 V, 5 W }\nload E3 { 12 V, 5 W }\nload E4 { 12 V, 5 W }\n"
        "cable C1 { cores brown blue, 1 mm2, 8 in }\n"
        "route B1.+ (W1 1 mm2, 6 ft 3 in, red) E1 (W2 1 mm2, about 6ft 3.5in) B1.-\n"
        "route B1.+ (W3 is tail, 8 in) E2 (W4 is tail) B1.-\n"
        "route B1.+ (C1.brown) E3 (C1.blue) B1.-\n"
        "route B1.+ (W5 1 mm2, 2..3 ft, in L1) E4 (W6 1 mm2, 6 ft, in L1) B1.-\n"
        "bundle L1 { wrap taped, length 1 ft 2 in }\n");
    REQUIRE(mistakes_of(read).empty());
    const auto words = [&](std::string_view name) {
        const Wire& wire = read.harness->wire(*read.harness->find_wire(name));
        return with_typed(to_text(wire.length, 4), typed_in_feet(*read.harness, wire));
    };
    CHECK(words("W1") == "1.905 m (6 ft 3 in)");  // 75 in x 25.4 mm
    CHECK(words("W2") == "about 1.726..2.109 m (about 6ft 3.5in)");
    CHECK(words("W3") == "0.2032 m (8 in)");
    CHECK(words("W4") == "1 m");
    CHECK(words("C1.brown") == "0.2032 m (8 in)");
    CHECK(words("W5") == "0.6096..0.9144 m (2..3 ft)");
    CHECK(words("W6") == "1.829 m (6 ft)");
}

TEST_CASE("a length in feet that a fitted assembly gives in metres is in metres") {
    const ReadResult read = read_test(
        "loom 1\nharness \"Shed\" { ambient 5..35 degC }\n"
        "pack B1 { voltage 10..14 V, resistance 9 mohm, capacity 20 Ah, discharge 60 A, charge 10 A }\n"
        "part lamp is assembly {\n  port a\n  port b\n  load E1 { 12 V, 5 W }\n"
        "  route a (W1 1 mm2, 6 ft) E1 (W2 1 mm2, 1 m) b\n}\n"
        "assembly T1 is lamp\nassembly T2 is lamp { W1 { 2 m }, W2 { 3 ft } }\n"
        "route B1.+ (W1 1 mm2, 1 m) T1.a\nroute T1.b (W2 1 mm2, 1 m) B1.-\n"
        "route B1.+ (W3 1 mm2, 1 m) T2.a\nroute T2.b (W4 1 mm2, 1 m) B1.-\n");
    REQUIRE(mistakes_of(read).empty());
    const auto typed = [&](std::string_view name) {
        return std::string(typed_in_feet(*read.harness, read.harness->wire(*read.harness->find_wire(name))));
    };
    CHECK(typed("T1.W1") == "6 ft");
    CHECK(typed("T1.W2").empty());
    CHECK(typed("T2.W1").empty());
    CHECK(typed("T2.W2") == "3 ft");
}

TEST_CASE("feet that go on with what is not less than a foot are a mistake") {
    const auto mistake = [](const std::string& length) {
        return mistakes_of(read_test(
            "loom 1\nharness \"Shed\" { ambient 5..35 degC }\n"
            "pack B1 { voltage 10..14 V, resistance 9 mohm, capacity 20 Ah, discharge 60 A, charge 10 A }\n"
            "load E1 { 12 V, 5 W }\n"
            "route B1.+ (W1 1 mm2, " +
            length + ") E1 (W2 1 mm2, 1 m) B1.-\n"));
    };
    const std::string help =
        " [malformed-number] | feet and inches are whole feet and less than 12 in, as 6 ft 3.5 in\n";
    CHECK(mistake("6 ft 12 in") == "5:28+5 '6 ft' cannot go on with '12 in'" + help);
    CHECK(mistake("6.5 ft 3 in") == "5:30+4 '6.5 ft' cannot go on with '3 in'" + help);
    CHECK(mistake("6 ft 2..3 in") == "5:28+7 '6 ft' cannot go on with '2..3 in'" + help);
    CHECK(mistake("6 ft 11.5 in").empty());
}

}  // namespace estimates_test
