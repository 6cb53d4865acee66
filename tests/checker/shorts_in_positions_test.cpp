// Shorts are looked for in every position that shorts no pack: links that put packs in line or side by side,
// a contact that no mode closes, and an output that a contact pulls to its minus take nothing out of the
// study.
#include "checker/circuit/touching.hpp"
#include "checker/parts/positions.hpp"
#include "checker/rules/rule_example.hpp"
#include "tests/checker/exchanged.hpp"

namespace shorts_in_positions_test {

using namespace loomward;
using namespace loomward::testing;

namespace {

// Two packs of 24 V that links put in line or side by side, and a lamp circuit whose fuse opens too late for
// a thin wire. `links`: three parts L1 (in line), L2 and L3 (side by side).
std::string two_packs(const std::string& links, const std::string& lamp_wire, const std::string& modes) {
    return "loom 1\n"
           "harness \"Two-speed tractor\" { ambient 10..30 degC, insulation pvc 70 degC }\n"
           "pack B1 { voltage 22..29 V, resistance 16..25 mohm, capacity 100 Ah, discharge 100 A, charge 40 "
           "A }\n"
           "pack B2 { voltage 22..29 V, resistance 16..25 mohm, capacity 100 Ah, discharge 100 A, charge 40 "
           "A }\n"
           "fuse F1 { 60 A, 80 V dc, breaks 6 kA at 80 V dc, curve iso8820-5 }\n"
           "fuse F2 { 60 A, 80 V dc, breaks 6 kA at 80 V dc, curve iso8820-5 }\n" +
           links +
           "switch S9 { 80 V dc, carries 100 A, makes 100 A, breaks 100 A at 80 V dc }\n"
           "load E1 { 24 V, 100 W, acts-as power, works 18..60 V }\n"
           "stud X1\nstud X2\nstud X3\nstud X4\n"
           "route B1.+ (W1 25 mm2, 0.1 m) F1 (W2 25 mm2, 0.3 m) X1\n"
           "route B2.+ (W3 25 mm2, 0.1 m) F2 (W4 25 mm2, 0.3 m) X2\n"
           "route X3 (W7 25 mm2, 0.3 m) B1.-\nroute X4 (W8 25 mm2, 0.3 m) B2.-\n"
           "route X2 (W5 25 mm2, 0.3 m) L1.1 (W6 25 mm2, 0.3 m) X3\n"
           "route X1 (W9 25 mm2, 0.3 m) L2.1 (W10 25 mm2, 0.3 m) X2\n"
           "route X3 (W11 25 mm2, 0.3 m) L3.1 (W12 25 mm2, 0.3 m) X4\n"
           "route X1 (W13 25 mm2, 0.5 m) S9 (W14 25 mm2, 0.5 m) E1 (W15 25 mm2, 0.5 m) X4\n"
           "switch S5 { 80 V dc, carries 30 A, makes 30 A, breaks 30 A at 80 V dc }\n"
           "fuse F5 { 8 A, 80 V dc, breaks 20 kA at 80 V dc, point 10 A 1000 s, point 300 A 5 s, "
           "point 5 kA 1 s }\n"
           "load E5 { 24 V, 20 W, acts-as current, works 18..60 V }\n"
           "route X1 (W50 25 mm2, 0.05 m) F5 (W52 " +
           lamp_wire + ", 2 m) S5 (W51 " + lamp_wire + ", 0.5 m) E5 (W53 35 mm2, 1 m) X4\n" + modes;
}

const std::string ratings = "carries 100 A, 100 V, takes 6..35 mm2, rated-at 30 degC, limit 105 degC }\n";
const std::string plugs = "connector L1 { mate P1, half socket, contacts 1, " + ratings +
                          "connector L2 { mate P2, half socket, contacts 1, " + ratings +
                          "connector L3 { mate P3, half socket, contacts 1, " + ratings;
const std::string by_plugs =
    "mode off { others at rest, L2 L3 unmated }\nmode fast { S9 S5 closed, L2 L3 unmated }\n"
    "mode slow { S9 S5 closed, L1 unmated }\n";

std::string lever(const std::string& name) {
    return "switch " + name + " { 80 V dc, carries 100 A, makes 100 A, breaks 100 A at 80 V dc }\n";
}
std::string by_levers(std::string text) {
    for (const std::string link : {"L1", "L2", "L3"})
        text = with(text, {{" " + link + ".1 ", " " + link + " "}});
    return text;
}
const std::string lever_modes =
    "mode off { others at rest }\nmode fast { others at rest, L1 S9 S5 closed }\n"
    "mode slow { others at rest, L2 L3 S9 S5 closed }\n"
    "accept short-when-closed on L1 because \"they are locked against one another\"\n"
    "accept short-when-closed on L2 because \"they are locked against one another\"\n"
    "accept short-when-closed on L3 because \"they are locked against one another\"\n";

}  // namespace

TEST_CASE("packs that plugs or levers put in line or side by side have shorts like any others") {
    CHECK(severity_in(two_packs(plugs, "1 mm2", by_plugs), "slow-clearing", "W51") == Severity::error);
    CHECK_FALSE(severity_in(two_packs(plugs, "25 mm2", by_plugs), "slow-clearing", ""));
    const std::string levers = lever("L1") + lever("L2") + lever("L3");
    CHECK(severity_in(by_levers(two_packs(levers, "1 mm2", lever_modes)), "slow-clearing", "W51") ==
          Severity::error);
    CHECK_FALSE(severity_in(by_levers(two_packs(levers, "25 mm2", lever_modes)), "slow-clearing", ""));
}

TEST_CASE("a link counts as closed only with those that a mode closes with it") {
    // With all three at once both fuses would feed either: 120 A through a link of 100 A.
    CHECK_FALSE(severity_in(two_packs(plugs, "25 mm2", by_plugs), "rated-below-guard", "L1.1"));
    CHECK_FALSE(severity_in(two_packs(plugs, "25 mm2", by_plugs), "short-when-closed", ""));
}

TEST_CASE("a button across the supply that no mode presses hides no short of another wire") {
    const auto hoist = [](const std::string& button, const std::string& points) {
        return severity_in(with(std::string(example_harness),
                                {{"fuse F2 { 5 A, 80 V dc, breaks 2.5 kA at 80 V dc, curve iso8820-3 }",
                                  "fuse F2 { 5 A, 80 V dc, breaks 2.5 kA at 80 V dc, " + points + " }"},
                                 {"splice X1", button + "splice X1"}}),
                           "slow-clearing", "W9");
    };
    const std::string button =
        "switch S9 \"fuse test\" { 80 V dc, carries 5 A, breaks 2 A at 60 V dc }\n"
        "fuse F9 { 3 A, 80 V dc, breaks 2.5 kA at 80 V dc, curve iso8820-3 }\n"
        "route F1.out (W30 1 mm2, 0.1 m) F9 (W32 1 mm2, 0.2 m) S9 (W31 1 mm2, 0.2 m) Q1.P-\n"
        "accept short-when-closed on S9 because \"it opens a fuse on purpose\"\n";
    const std::string slow = "point 8 A 1000 s, point 300 A 5 s, point 1.5 kA 1 s", quick = "curve iso8820-3";
    CHECK(hoist("", slow) == Severity::error);
    CHECK(hoist(button, slow) == Severity::error);
    CHECK_FALSE(hoist(button, quick));
    // Nor does it make a way out of the minus.
    const Results results =
        check_text(with(std::string(example_harness), {{"splice X1", button + "splice X1"}}));
    const Touching touching(results.circuit, Positions(results.circuit).ways());
    const auto node = [&](std::string_view path) {
        const std::vector<Terminal>& all = results.harness->terminals;
        const auto at =
            std::find_if(all.begin(), all.end(), [&](const Terminal& each) { return each.path == path; });
        REQUIRE(at != all.end());
        return results.circuit.node(TerminalId(static_cast<std::size_t>(at - all.begin())));
    };
    CHECK(touching.runs().forward(node("S9.in")));
    CHECK_FALSE(touching.runs().forward(node("S9.out")));
}

TEST_CASE("an output of milliamperes that a lever pulls to minus takes no wire out of the proof") {
    const auto hoist = [](const std::string& area, const std::string& lever) {
        return severity_in(
            with(std::string(example_harness),
                 {{"(W9 1 mm2, 0.5 m, red)", "(W9 " + area + ", 6 m, red)"},
                  {"splice X1",
                   "device A1 { pin in supply 10 mA, pin sig output 5 V 1 mA, pin gnd return }\n"
                   "route X1 (W30 1 mm2, 0.1 m) A1.in\nroute A1.gnd (W31 1 mm2, 0.1 m) Q1.P-\n" +
                       lever + "splice X1"}}),
            "oversized-fuse", "W9");
    };
    const std::string lever =
        "switch S9 \"brake lever\" { 24 V dc, carries 0.5 A, breaks 50 mA at 24 V dc }\n"
        "route A1.sig (W32 1 mm2, 0.1 m) S9 (W33 1 mm2, 0.1 m) A1.gnd\n"
        "accept short-when-closed on S9 because \"that is what the pin is for\"\n";
    CHECK(hoist("0.2 mm2", "") == Severity::error);
    CHECK(hoist("0.2 mm2", lever) == Severity::error);
    CHECK(hoist("0.2 mm2", "route A1.sig (W32 1 mm2, 0.1 m) A1.gnd\n") == Severity::error);
    CHECK_FALSE(hoist("1 mm2", lever));
}

}  // namespace shorts_in_positions_test
