// What parts, terminals and types mean once they are resolved: text beside the printed model.
#include <catch2/catch.hpp>

#include "tests/parser/resolve_support.hpp"

namespace resolve_parts_test {

using namespace loomward;

namespace {

std::string with_head(std::string_view statements) {
    return "loom 1\nharness \"Rig\" { ambient 5..35 degC }\n" + std::string(statements);
}

// The terminals alone, a blank between.
std::string terminals_of(std::string_view statement) {
    const ReadResult result = read_test(with_head(statement));
    if (!result.harness) return mistakes_of(result);
    std::string text;
    for (const Terminal& terminal : result.harness->terminals)
        text += (text.empty() ? "" : " ") + std::string(terminal.path) +
                (terminal.table_name == terminal.name ? "" : "=" + std::string(terminal.table_name));
    return text;
}

}  // namespace

TEST_CASE("every kind of part has the terminals of its table, in order") {
    struct Row {
        std::string_view statement, terminals;
    };
    constexpr Row rows[] = {
        {"pack B1 { cells 10s4p, cell-voltage 3..4 V, cell-resistance 9 mohm, cell-capacity 3 Ah, discharge "
         "9 A,"
         " charge 3 A, taps 3 7 }",
         "B1.+ B1.- B1.t3 B1.t7"},
        {"bms Q1 { side low, ports common, discharge 9 A, charge 3 A, trips 20 A after 1 s, resistance 1 "
         "mohm }",
         "Q1.B- Q1.P-"},
        {"bms Q1 { side high, ports separate, discharge 9 A, charge 3 A, trips 20 A after 1 s, resistance 1 "
         "mohm }",
         "Q1.B+ Q1.P+ Q1.C+"},
        {"bms Q1 { side high, drives K1, discharge 9 A, charge 3 A, trips 20 A after 1 s, pin coil low-side "
         "1 "
         "A }\ncontactor K1 { carries 90 A, breaks 90 A at 60 V dc, coil 24 V 200 mA }",
         "Q1.coil K1.in K1.out K1.A1 K1.A2"},
        {"fuse F1 { 5 A, 32 V dc, breaks 1 kA, curve iso8820-3 }", "F1.in F1.out"},
        {"breaker F1 { 5 A, 32 V dc, breaks 1 kA, curve unknown }", "F1.in F1.out"},
        {"protector F1 { 5 A, 32 V dc, trips 8 A after 1 s, breaks none }", "F1.in F1.out"},
        {"fuse-block X1 { ways 4, feed common, carries 40 A, way-carries 15 A }", "X1.in"},
        {"fuse-block X1 { ways 4, feed separate, carries 40 A, way-carries 15 A }", ""},
        {"contactor K1 { carries 90 A, breaks 90 A at 60 V dc, coil 24 V 200 mA }",
         "K1.in K1.out K1.A1 K1.A2"},
        {"relay K1 { contacts nc, carries 9 A, breaks none, coil 24 V 20 mA }", "K1.in K1.out K1.A1 K1.A2"},
        {"relay K1 { contacts change-over, carries 9 A, breaks none, coil 24 V 20 mA }",
         "K1.com K1.no K1.nc K1.A1 K1.A2"},
        {"relay K1 { contacts no change-over, carries 9 A, breaks none, coil 24 V 20 mA }",
         "K1.1.in K1.1.out K1.2.com K1.2.no K1.2.nc K1.A1 K1.A2"},
        {"relay K1 { contacts change-over, marks com 30, marks no 87, carries 9 A, breaks none, coil 24 V 20 "
         "mA }",
         "K1.30=com K1.87=no K1.nc K1.A1 K1.A2"},
        {"switch S1 { 24 V dc, carries 9 A, breaks none }", "S1.in S1.out"},
        {"switch S1 { 24 V dc, poles 2, carries 9 A, breaks none }", "S1.1.in S1.1.out S1.2.in S1.2.out"},
        {"selector S1 { terminals com 1 2, position off, position one 1 com, carries 9 A, breaks none }",
         "S1.com S1.1 S1.2"},
        {"connector J1 { mate P1, half pin, contacts 2, carries 9 A, 60 V, takes 1..2 mm2, rated-at 20 degC,"
         " limit 90 degC }",
         "J1.1 J1.2 P1.1 P1.2"},
        {"connector J1 { mate P1, half pin, contacts + - s, carries 9 A, 60 V, takes 1..2 mm2, rated-at 20 "
         "degC,"
         " limit 90 degC }",
         "J1.+ J1.- J1.s P1.+ P1.- P1.s"},
        {"terminal-block X1 { 60 V, ways 3, carries 9 A, takes 1..2 mm2, bridge 1 2 }", "X1.1 X1.2 X1.3"},
        {"busbar X1 { studs 2, carries 90 A }", "X1.1 X1.2"},
        {"splice X1", "X1"},
        {"stud X1 { torque 6 Nm }", "X1"},
        {"frame X1 { serves bond }", "X1"},
        {"shunt R1 { 100 A, drop 50 mV }", "R1.in R1.out"},
        {"resistor R1 { 47 ohm, 5 W }", "R1.in R1.out"},
        {"capacitor C1 { 1 mF, 60 V }", "C1.+ C1.-"},
        {"diode V1 { 9 A, 60 V, drop 0.5 V }", "V1.A V1.K"},
        {"controller U1 { input 20..30 V, capacitance 1 mF, supply-limit 9 A, regen none, pin key supply 5 "
         "mA }",
         "U1.+ U1.- U1.U U1.V U1.W U1.key"},
        {"controller U1 { input 20..30 V, capacitance 1 mF, supply-limit 9 A, regen none, phases 2 }",
         "U1.+ U1.- U1.M+ U1.M-"},
        {"motor M1 { leads 3, carries 9 A }", "M1.U M1.V M1.W"},
        {"motor M1 { leads 2, carries 9 A }", "M1.M+ M1.M-"},
        {"converter D1 { input 20..30 V, output 12 V 9 A, efficiency 90 %, negative common, pin en supply 1 "
         "mA }",
         "D1.in+ D1.in- D1.out+ D1.out- D1.en"},
        {"charger G1 { output 14.2 V 50 A, reverse blocked, panel-input 15..100 V }",
         "G1.+ G1.- G1.in+ G1.in-"},
        {"panel V1 { open-circuit-voltage 24 V, short-circuit-current 9 A }", "V1.+ V1.-"},
        {"charger G1 { output 29 V 9 A }", "G1.+ G1.-"},
        {"load H1 { 24 V, 9 W }", "H1.+ H1.-"},
        {"device A1 { pin 5v supply 8 mA, pin gnd return }", "A1.5v A1.gnd"},
    };
    for (const Row& row : rows) {
        CAPTURE(row.statement);
        CHECK(terminals_of(row.statement) == row.terminals);
    }
}

TEST_CASE("a connector keeps its own half's terminals before its mate's") {
    const ReadResult result = read_test(with_head(
        "connector J1 { mate P1, half pin, contacts 2, carries 9 A, 60 V, takes 1..2 mm2, rated-at 20 degC,"
        " limit 90 degC }"));
    REQUIRE(result.harness);
    CHECK_FALSE(result.harness->terminals[1].mate_half);
    CHECK(result.harness->terminals[2].mate_half);
    CHECK(result.harness->parts[0].mate == "P1");
    CHECK(result.harness->find_part("P1") == PartId(0));
}

TEST_CASE("a fitted part keeps what its type says, and its own word replaces the type's whole") {
    CHECK(model_of(
              with_head(
                  "part base is relay { contacts no, coil 24 V 20 mA, carries 9 A, breaks none, note \"a\","
                  " note \"b\" }\n"
                  "part big \"big one\" is base { carries 20 A, note \"c\" }\n"
                  "relay K1 is big\n"
                  "relay K2 \"wash pump\" is big { breaks 9 A at 24 V dc }\n"),
              "part") ==
          "part relay K1 \"big one\" is big {contacts no, coil 24 V 20 mA, breaks none, carries 20 A, note "
          "\"c\"} K1.in "
          "K1.out K1.A1 K1.A2\n"
          "part relay K2 \"wash pump\" is big {contacts no, coil 24 V 20 mA, carries 20 A, note \"c\", "
          "breaks 9 A 24 V dc} "
          "K2.in K2.out K2.A1 K2.A2\n");
}

TEST_CASE("a fuse that sits in a block with a common feed has its in on the bar") {
    CHECK(model_of(with_head("fuse-block X1 { ways 2, feed common, carries 40 A, way-carries 15 A }\n"
                             "fuse F1 { 5 A, 32 V dc, breaks 1 kA, curve iso8820-3, holder X1.2 }\n"
                             "fuse-block X2 { ways 2, feed separate, carries 40 A, way-carries 15 A }\n"
                             "fuse F2 { 5 A, 32 V dc, breaks 1 kA, curve iso8820-3, holder X2.2 }\n"),
                   "tie") == "tie F1.in X1.in\n");
}

TEST_CASE("a location may be declared after the part that is in it") {
    CHECK(model_of(with_head("stud X1 { at shed }\nlocation shed { ambient 0..40 degC }\n"), "part") ==
          "part stud X1 at shed {at shed} X1\n");
}

TEST_CASE("policies come together, the later ones replacing the earlier") {
    const ReadResult result =
        read_test(with_head("policy { voltage-drop 3 %, unprotected-length 180 mm }\n"
                            "policy { voltage-drop 5 % }\n"));
    REQUIRE(result.harness);
    CHECK(result.harness->value(result.harness->policy, "voltage-drop"_attr).lo == Approx(5));
    CHECK(result.harness->value(result.harness->policy, "unprotected-length"_attr).lo == Approx(0.18));
    CHECK(result.harness->title == "Rig");
}

TEST_CASE("terminals, parts and wires are found by the path a user types") {
    const ReadResult result =
        read_test(with_head("stud X1\nload H1 { 24 V, 9 W }\nroute X1 (W1 1 mm2, 1 m) H1.+\n"));
    REQUIRE(result.harness);
    const Harness& harness = *result.harness;
    CHECK(harness.find_part("H1") == PartId(1));
    CHECK_FALSE(harness.find_part("H2"));
    CHECK(harness.find_wire("W1") == WireId(0));
    CHECK_FALSE(harness.find_wire("W2"));
    CHECK(harness.find_terminal("H1.-") == TerminalId(2));
    CHECK(harness.find_terminal("X1") == TerminalId(0));
    CHECK_FALSE(harness.find_terminal("H1"));
    CHECK(harness.terminal_of(PartId(1), TerminalRole::minus) == TerminalId(2));
    CHECK_FALSE(harness.terminal_of(PartId(1), TerminalRole::in).valid());
}

TEST_CASE("a word that came to begin statements later may still name a type or a part") {
    struct Row {
        std::string_view statements, terminals;
    };
    constexpr Row rows[] = {
        {"part panel is breaker { 32 V dc, breaks 1 kA at 32 V dc, curve unknown }\nbreaker Q1 is panel { 5 "
         "A }",
         "Q1.in Q1.out"},
        {"part inverter is load { 12 V }\nload E1 is inverter { 90 W }", "E1.+ E1.-"},
        {"part stretch is inverter { 2 kW }\ninverter E1 is stretch", "E1.+ E1.-"},
        {"part panel is panel { open-circuit-voltage 20 V }\npanel V1 is panel", "V1.+ V1.-"},
        {"fuse protector { 5 A }", "protector.in protector.out"},
        {"load panel { 12 V, 5 W }", "panel.+ panel.-"},
    };
    for (const Row& row : rows) {
        CAPTURE(row.statements);
        CHECK(terminals_of(row.statements) == row.terminals);
    }
}

}  // namespace resolve_parts_test
