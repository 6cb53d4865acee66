// What is printed on a part changes how its terminals are called, and no verdict.
#include <catch2/catch.hpp>

#include <sstream>
#include <utility>

#include "checker/rules/rule_example.hpp"
#include "tests/checker/checking.hpp"

namespace printed_names_test {

using namespace loomward;
using namespace loomward::testing;

namespace {

using Prints = std::vector<std::pair<std::string, std::string>>;

// Every terminal of the part gets its print, in the block of the part and wherever else it is named.

std::string printed(std::string text, const std::string& kind, const std::string& part,
                    const std::vector<std::string>& halves, const Prints& prints) {
    std::string marks;
    for (const auto& [role, print] : prints) marks += " marks " + role + " " + print + ",";
    const std::size_t statement = text.find(kind + " " + part);
    REQUIRE(statement != std::string::npos);
    text.insert(text.find('{', statement) + 1, marks);
    for (const std::string& half : halves)
        for (const auto& [role, print] : prints) {
            const std::string old = half + "." + role;
            for (std::size_t at = text.find(old); at != std::string::npos; at = text.find(old, at + 1)) {
                const char before = text[at - 1], after = text[at + old.size()];
                if ((before != ' ' && before != '>') || (after != ' ' && after != '\n' && after != ','))
                    continue;
                text.replace(at, old.size(), half + "." + print);
            }
        }
    return text;
}

// What is found, without the names of terminals.
std::vector<std::string> verdict(const std::string& text) {
    const Results results = check_text(text);
    std::vector<std::string> list;
    for (const Finding& finding : results.findings) {
        std::ostringstream line;
        line << finding.rule << ' ' << static_cast<int>(finding.severity) << " part " << finding.part.value
             << " wire " << finding.wire.value << " mode " << finding.mode.value << " steps "
             << finding.witness.size();
        for (const Figure& figure : finding.figures) line << ' ' << figure.name << '=' << figure.value;
        list.push_back(line.str());
    }
    std::sort(list.begin(), list.end());
    return list;
}

// A slip for tongs and a winch: one of every kind whose terminals have names, and enough wrong with it that a
// terminal that is not found again would show.
const std::string slip = R"(loom 1
harness "Slipway winch" { ambient 0..40 degC, insulation pvc 90 degC }
pack B1 { voltage 30..42 V, resistance 40 mohm, capacity 20 Ah, discharge 60 A, charge 10 A }
bms Q1 { side low, ports separate, discharge 40 A, charge 10 A, trips 30 A after 1 s, resistance 1 mohm }
fuse F1 { 40 A, 80 V dc, breaks 2.5 kA at 80 V dc, curve iso8820-5 }
selector S1 { terminals com one two, position off, position left com one, position both com one two
  80 V dc, carries 10 A, breaks 10 A at 60 V dc }
contactor K1 { carries 60 A, makes 40 A, breaks 60 A at 60 V dc, coil 36 V 200 mA, coil-works 24..45 V, suppression none }
relay K2 { contacts change-over, carries 2 A, makes 10 A, breaks 10 A at 60 V dc, coil 36 V 20 mA, coil-works 24..45 V, suppression diode }
connector J1 { mate P1, half socket, contacts 3, carries 30 A, 90 V, takes 1..16 mm2, rated-at 30 degC, limit 105 degC
  contact 1 5 A 0.5..4 mm2, contact 3 2 A 0.5..1 mm2 }
terminal-block X1 { 90 V, ways 4, carries 3 A, takes 0.5..6 mm2, bridge 1 2, bridge 3 4 }
controller U1 { input 24..45 V, capacitance 2 mF, supply-limit 30 A, phase-peak 80 A, regen none, phases 2, precharges main 47 ohm
  pin main supply 200 mA, pin pull low-side 100 mA, pin level signal }
motor M1 { leads 2, carries 90 A }
converter D1 { input 24..45 V, output 12 V 2 A, efficiency 88 %, negative isolated, reverse blocked }
diode V1 { 1 A, 100 V, drop 0.7 V }
capacitor C1 { 1 mF, 16 V }
device A1 { pin v supply 60 mA, pin gnd return, pin out signal }
charger G1 { output 46 V 8 A, reverse blocked }
load H1 { 36 V, 200 W }
load H2 { 12 V, 40 W }
load H3 { 36 V, 30 W }
load H4 { 36 V, 150 W }
shunt R9 { 60 A, drop 50 mV }
resistor R1 { 100 ohm, 1 W }

route B1.+ (W1 6 mm2, 0.1 m, red) F1 (W2 6 mm2, 0.3 m, red) S1.com
route S1.one (W3 6 mm2, 0.5 m, red) K1.in
route K1.out (W4 6 mm2, 0.5 m, red) J1.1
route P1.1 (W5 6 mm2, 0.5 m, red) U1.+
route B1.- (W6 6 mm2, 0.1 m, black) Q1.B-
route Q1.P- (W7 6 mm2, 0.3 m, black) R9.in
route R9.out (W8 6 mm2, 0.3 m, black) J1.2
route P1.2 (W9 6 mm2, 0.3 m, black) U1.-
route G1.+ (W10 1 mm2, 1 m, red) K1.in
route G1.- (W11 1 mm2, 1 m, black) Q1.C-
route S1.two (W12 1.5 mm2, 1 m, red) X1.1
route X1.2 (W13 1.5 mm2, 1 m, red) H1.+
route H1.- (W14 1.5 mm2, 1 m, black) X1.3
route X1.4 (W15 1.5 mm2, 1 m, black) R9.out
route S1.two (W16 1 mm2, 1 m, red) K2.com
route K2.no (W17 1 mm2, 1 m, red) H4.+
route K2.nc (W18 1 mm2, 1 m, red) H3.+
route H4.- (W19 1 mm2, 1 m, black) R9.out
route H3.- (W20 1 mm2, 1 m, black) R9.out
route S1.one (W21 1 mm2, 1 m, red) K1.A1
route K1.A2 (W22 1 mm2, 1 m, black) U1.pull
route S1.one (W23 1 mm2, 1 m, red) K2.A1
route K2.A2 (W24 1 mm2, 1 m, black) R9.out
route S1.one (W25 1 mm2, 1 m, red) U1.main
route U1.level (W26 0.5 mm2, 1 m, white) A1.out
route S1.two (W27 1 mm2, 1 m, red) D1.in+
route D1.in- (W28 1 mm2, 1 m, black) R9.out
route D1.out+ (W29 1 mm2, 1 m, yellow) V1.A
route V1.K (W30 1 mm2, 1 m, yellow) H2.+
route H2.- (W31 1 mm2, 1 m, black) D1.out-
route S1.two (W32 1 mm2, 1 m, red) A1.v
route A1.gnd (W33 1 mm2, 1 m, black) R9.out
route S1.two (W34 1 mm2, 1 m, red) C1.+
route C1.- (W35 1 mm2, 1 m, black) R9.out
route S1.two (W36 1 mm2, 1 m, red) R1.in
route R1.out (W37 1 mm2, 1 m, black) J1.3
route P1.3 (W38 1 mm2, 1 m, black) U1.-
route U1.M+ (W39 10 mm2, 0.5 m, red) M1.M+
route U1.M- (W40 10 mm2, 0.5 m, black) M1.M-

mode moored { others at rest }
mode haul { others at rest, S1 at both, K1 closed, U1.pull on, K2 energised, U1 draws 30 A, U1 phases 60 A }
)";

struct Case {
    const char* kind;
    const char* part;
    std::vector<std::string> halves;
    Prints prints;
};

const std::vector<Case> cases = {
    {"pack", "B1", {"B1"}, {{"+", "P"}, {"-", "N"}}},
    {"bms", "Q1", {"Q1"}, {{"B-", "BAT"}, {"P-", "OUT"}, {"C-", "CHG"}}},
    {"fuse", "F1", {"F1"}, {{"in", "L"}, {"out", "M"}}},
    {"selector", "S1", {"S1"}, {{"com", "30"}, {"one", "87"}, {"two", "88"}}},
    {"contactor", "K1", {"K1"}, {{"in", "T1"}, {"out", "T2"}, {"A1", "86"}, {"A2", "85"}}},
    {"relay", "K2", {"K2"}, {{"com", "30"}, {"no", "87"}, {"nc", "87a"}, {"A1", "86"}, {"A2", "85"}}},
    {"connector", "J1", {"J1", "P1"}, {{"1", "A"}, {"2", "B"}, {"3", "C"}}},
    {"connector", "J1", {"J1", "P1"}, {{"1", "a"}, {"3", "b"}}},
    {"terminal-block", "X1", {"X1"}, {{"1", "30"}, {"2", "31"}, {"3", "32"}, {"4", "33"}}},
    {"controller",
     "U1",
     {"U1"},
     {{"+", "PLUS"}, {"-", "MINUS"}, {"main", "7"}, {"pull", "8"}, {"level", "9"}, {"M+", "a"}, {"M-", "b"}}},
    {"motor", "M1", {"M1"}, {{"M+", "x"}, {"M-", "y"}}},
    {"converter", "D1", {"D1"}, {{"in+", "1"}, {"in-", "2"}, {"out+", "3"}, {"out-", "4"}}},
    {"diode", "V1", {"V1"}, {{"A", "1"}, {"K", "2"}}},
    {"capacitor", "C1", {"C1"}, {{"+", "1"}, {"-", "2"}}},
    {"charger", "G1", {"G1"}, {{"+", "1"}, {"-", "2"}}},
    {"load", "H4", {"H4"}, {{"+", "1"}, {"-", "2"}}},
    {"shunt", "R9", {"R9"}, {{"in", "1"}, {"out", "2"}}},
    {"resistor", "R1", {"R1"}, {{"in", "1"}, {"out", "2"}}},
};

}  // namespace

TEST_CASE("a harness says the same of every kind of part with printed names as without") {
    const std::vector<std::string> plain = verdict(slip);
    REQUIRE(plain.size() > 10);
    std::string all = slip;
    for (const Case& each : cases) {
        CAPTURE(each.part);
        const std::string text = printed(slip, each.kind, each.part, each.halves, each.prints);
        CHECK(verdict(text) == plain);
    }
}

TEST_CASE("positions, bridges, contacts and pins may be told by their prints as well") {
    const std::vector<std::string> plain = verdict(slip);
    const std::string marked = printed(slip, "selector", "S1", {"S1"}, cases[3].prints);
    CHECK(verdict(replaced(replaced(marked, "position left com one", "position left 30 87"),
                           "position both com one two", "position both 30 87 88")) == plain);
    const std::string block = printed(slip, "terminal-block", "X1", {"X1"}, cases[8].prints);
    CHECK(verdict(replaced(replaced(block, "bridge 1 2", "bridge 30 31"), "bridge 3 4", "bridge 32 33")) ==
          plain);
    const std::string plug = printed(slip, "connector", "J1", {"J1", "P1"}, cases[6].prints);
    CHECK(verdict(replaced(replaced(plug, "contact 1 5 A", "contact A 5 A"), "contact 3 2 A",
                           "contact C 2 A")) == plain);
    const std::string drive = printed(slip, "controller", "U1", {"U1"}, cases[9].prints);
    CHECK(verdict(replaced(drive, "precharges main", "precharges 7")) == plain);
}

TEST_CASE("prints that exchange two names are meant as printed, in routes and attributes alike") {
    // Way 1 is called 3 and way 3 is called 1: the bridge still joins what the feed and the load land on.
    const Prints exchanged = {{"1", "t"}, {"3", "u"}};
    const std::string block = printed(slip, "terminal-block", "X1", {"X1"}, exchanged);
    std::string text = block;
    for (const auto& [from, to] :
         {std::pair("marks 1 t,", "marks 1 3,"), std::pair("marks 3 u,", "marks 3 1,"),
          std::pair("X1.t", "X1.3"), std::pair("X1.u", "X1.1"), std::pair("bridge 1 2", "bridge 3 2"),
          std::pair("bridge 3 4", "bridge 1 4")})
        text = replaced(text, from, to);
    CHECK(verdict(text) == verdict(slip));
}

TEST_CASE("a type that is printed on names its terminals once for all parts fitted from it") {
    std::string two =
        replaced(slip, "terminal-block X1 {", "part strip is terminal-block { marks 1 2, marks 2 1,");
    two =
        replaced(two, "bridge 3 4 }", "bridge 3 4 }\nterminal-block X1 is strip\nterminal-block X2 is strip");
    two = replaced(replaced(two, "X1.1\n", "X1.2\n"), "route X1.2 (W13", "route X1.1 (W13");
    std::string twin = replaced(slip, "bridge 3 4 }",
                                "bridge 3 4 }\nterminal-block X2 { 90 V, ways 4, carries 3 "
                                "A, takes 0.5..6 mm2, bridge 1 2, bridge 3 4 }");
    CHECK(verdict(two) == verdict(twin));
}

}  // namespace printed_names_test
