// The terminals that attributes name are found by the reader, whatever is printed on the part.
#include <catch2/catch.hpp>

#include "tests/parser/resolve_support.hpp"

namespace named_terminals_test {

using namespace loomward;

namespace {

Harness read_rig(const std::string& statements) {
    ReadResult result = read_test("loom 1\nharness \"Rig\" { ambient 5..35 degC }\n" + statements);
    INFO(mistakes_of(result));
    REQUIRE(result.harness);
    return std::move(*result.harness);
}

PartId part_named(const Harness& harness, std::string_view name) {
    const auto part = harness.find_part(name);
    REQUIRE(part);
    return *part;
}

std::string paths(const Harness& harness, std::span<const TerminalId> terminals) {
    std::string text;
    for (const TerminalId terminal : terminals)
        text += (text.empty() ? "" : " ") + std::string(harness.terminal(terminal).path);
    return text;
}

}  // namespace

TEST_CASE("positions join terminals, by our name and by the print") {
    const std::string selector =
        "selector S1 { carries 100 A, breaks none, terminals com 1 2, position off, position both 1 2 com, "
        "position one ";
    for (const std::string& rest : {std::string("1 com }\n"), std::string("left com, marks 1 left }\n")}) {
        const Harness harness = read_rig(selector + rest);
        const auto positions = harness.positions_of(part_named(harness, "S1"));
        REQUIRE(positions.size() == 3);
        CHECK(positions[0].name == "off");
        CHECK(harness.joined(positions[0].joins).empty());
        const auto joins = [&](std::size_t i) { return harness.joined(positions[i].joins); };
        REQUIRE(joins(1).size() == 3);
        REQUIRE(joins(2).size() == 2);
        CHECK(harness.terminal(joins(1)[0]).table_name == "1");
        CHECK(joins(1)[1].index() == joins(1)[0].index() + 1);
        CHECK(joins(2)[0] == joins(1)[0]);
        CHECK(joins(2)[1] == joins(1)[2]);
    }
}

TEST_CASE("a position that is told twice is a mistake") {
    const ReadResult result = read_test(
        "loom 1\nharness \"Rig\" { ambient 5..35 degC }\nselector S1 { carries 9 A, breaks none, terminals "
        "com 1 "
        "2\n position off, position on com 1\n position on com 2 }\n");
    CHECK_FALSE(result.harness);
    CHECK(mistakes_of(result) ==
          "5:11+2 selector S1 has position 'on' twice [twice] | one line names all terminals that it joins; "
          "a deck "
          "of its own is a selector of its own | note 4:25+2 first here\n");
}

TEST_CASE("bridges and spares are terminals; a spare contact is so in both halves") {
    const Harness harness = read_rig(
        "terminal-block X1 { ways 5, carries 20 A, 400 V, takes 0.5..4 mm2, bridge 1 2, bridge 4 5 3, spare "
        "2 }\n"
        "connector J1 { contacts 3, mate P1, carries 8 A, 60 V, rated-at 40 degC, limit 105 degC, takes "
        "0.5..1.5 mm2, half socket, spare 2, contact "
        "3 "
        "2 A 0.25..0.5 mm2 }\n");
    const PartId block = part_named(harness, "X1"), plug = part_named(harness, "J1");
    REQUIRE(harness.bridges_of(block).size() == 2);
    CHECK(paths(harness, harness.joined(harness.bridges_of(block)[0])) == "X1.1 X1.2");
    CHECK(paths(harness, harness.joined(harness.bridges_of(block)[1])) == "X1.4 X1.5 X1.3");
    CHECK(paths(harness, harness.spares_of(block)) == "X1.2");
    CHECK(paths(harness, harness.spares_of(plug)) == "J1.2 P1.2");
    const OwnContact* own = harness.own_contact_at(*harness.find_terminal("J1.3"));
    REQUIRE(own);
    CHECK(harness.current_of(*own).lo == 2);
    CHECK(harness.area_of(*own).hi == 0.5);
    CHECK(harness.own_contact_at(*harness.find_terminal("P1.3")) == own);
    CHECK_FALSE(harness.own_contact_at(*harness.find_terminal("J1.2")));
}

TEST_CASE("pins are what their lines call them, and say what they are there for") {
    const Harness harness = read_rig(
        "controller U1 { input 36..60 V, supply-limit 80 A, phase-peak 200 A, phase-limit 100 % of "
        "phase-peak, regen none, "
        "capacitance 1 mF, precharges main 47 ohm, pin key supply 9..16 V 60 mA, pin main low-side 2 A, "
        "marks key "
        "main, "
        "marks main key }\n");
    const PartId drive = part_named(harness, "U1");
    const auto pins = harness.pins_of(drive);
    REQUIRE(pins.size() == 2);
    CHECK(pins[0].purpose == PinPurpose::supply);
    CHECK(harness.terminal(pins[0].terminal).path == "U1.main");
    CHECK(harness.current_of(pins[0]).lo == Approx(0.06));
    CHECK(harness.voltage_of(pins[0]).hi == 16);
    CHECK_FALSE(harness.voltage_of(pins[1]).present());
    CHECK(pins[1].purpose == PinPurpose::low_side);
    CHECK(harness.pin_at(pins[1].terminal) == &pins[1]);
    CHECK_FALSE(harness.pin_at(harness.terminal_of(drive, TerminalRole::plus)));
    CHECK(harness.terminal(harness.part(drive).precharges).path == "U1.main");
}

TEST_CASE("what is found in an assembly is found in each of its copies") {
    const Harness harness = read_rig(
        "part arm is assembly {\n fuse-block X4 { ways 2, feed common, carries 30 A, way-carries 15 A }\n"
        " fuse F1 { 5 A, 32 V dc, breaks 1 kA at 32 V dc, curve iso8820-3, holder X4.2 }\n"
        " terminal-block X5 { ways 2, carries 20 A, 400 V, takes 0.5..4 mm2, bridge 1 2 }\n"
        " bms Q1 { side high, drives K1, discharge 9 A, charge 3 A, trips 20 A after 1 s }\n"
        " contactor K1 { carries 90 A, breaks 90 A at 60 V dc, coil 24 V 200 mA }\n}\n"
        "assembly T1 is arm\nassembly T2 is arm\n");
    for (const std::string copy : {"T1", "T2"}) {
        CHECK(harness.part(part_named(harness, copy + ".F1")).holder == part_named(harness, copy + ".X4"));
        CHECK(harness.part(part_named(harness, copy + ".Q1")).drives == part_named(harness, copy + ".K1"));
        const auto bridges = harness.bridges_of(part_named(harness, copy + ".X5"));
        REQUIRE(bridges.size() == 1);
        CHECK(paths(harness, harness.joined(bridges[0])) == copy + ".X5.1 " + copy + ".X5.2");
    }
}

TEST_CASE("poles and taps have numbers") {
    const Harness harness = read_rig(
        "pack B1 { cells 14s8p, cell-voltage 3.0..4.2 V, cell-resistance 18 mohm, cell-capacity 5 Ah, "
        "discharge 60 A, charge 20 A, taps 5 }\n"
        "relay K1 { carries 10 A, breaks 10 A at 30 V dc, contacts no change-over, coil 12 V 100 mA }\n");
    const PartId pack = part_named(harness, "B1"), relay = part_named(harness, "K1");
    CHECK(harness.terminal(harness.terminal_of(pack, TerminalRole::tap, 5)).path == "B1.t5");
    CHECK(harness.terminal(harness.terminal_of(relay, TerminalRole::out, 1)).path == "K1.1.out");
    CHECK(harness.terminal(harness.terminal_of(relay, TerminalRole::nc, 2)).path == "K1.2.nc");
    CHECK(harness.terminal(harness.terminal_of(relay, TerminalRole::coil_out)).path == "K1.A2");
    CHECK_FALSE(harness.terminal_of(relay, TerminalRole::out, 2));
}

}  // namespace named_terminals_test
