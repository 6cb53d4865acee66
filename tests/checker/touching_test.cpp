// What can touch what: true pairs are there, pairs metres apart are not, and the order of writing is nothing.
#include <catch2/catch.hpp>

#include <set>

#include "checker/circuit/touching.hpp"
#include "checker/parts/positions.hpp"
#include "tests/checker/checking.hpp"

namespace touching_test {

using namespace loomward;
using namespace loomward::testing;

namespace {

// 12 V skiff: the pack aft with its fuse, a bilge pump six metres forward, a charger on its own lead.
const std::string skiff = R"(loom 1
harness "Skiff" { ambient 0..40 degC, insulation pvc 90 degC }
pack B1 { voltage 11..14.6 V, resistance 8..15 mohm, capacity 60 Ah, discharge 60 A, charge 20 A }
fuse F1 { 40 A, 58 V dc, breaks 3 kA at 58 V dc, curve iso8820-5 }
fuse F2 { 10 A, 32 V dc, breaks 3 kA at 32 V dc, curve iso8820-3 }
fuse F3 { 15 A, 32 V dc, breaks 3 kA at 32 V dc, curve iso8820-3 }
busbar X1 { studs 4, carries 60 A }
busbar X2 { studs 4, carries 60 A }
load E1 "pump" { 12 V, 5 A, acts-as current, works 10..15 V }
load E2 "horn" { 12 V, 3 A, acts-as current, works 10..15 V }
charger G1 { output 14.4 V 10 A, reverse blocked }
splice X5
bundle L1 { wrap taped, length 2 m }
route B1.+ (W1 10 mm2, 0.15 m, red) F1 (W2 10 mm2, 0.4 m, red) X1.1
route B1.- (W3 10 mm2, 0.5 m, black) X2.1
route X1.2 (W4 2.5 mm2, 0.1 m, red) F2 (W5 2.5 mm2, 3 m, red) X5 (W6 2.5 mm2, 3 m, red) E1 (W7 2.5 mm2, 6 m, black, in L1) X2.2
route X5 (W8 1.5 mm2, 0.5 m, red) E2 (W9 1.5 mm2, 3.5 m, black) X2.3
route X1.3 (W10 4 mm2, 0.1 m, red) F3 (W11 4 mm2, 2 m, red, in L1) G1.+
route X2.4 (W12 4 mm2, 2 m, black) G1.-
mode off { others at rest }
)";

struct Relation {
    explicit Relation(const std::string& text)
        : results(check_text(text)), circuit(results.circuit), touching(circuit, Positions(circuit).ways()) {}
    bool touch(std::string_view one, std::string_view other) const {
        const NodeId a = node(one), b = node(other);
        for (const std::uint32_t i : touching.of(a)) {
            const Touch& touch = touching.all()[i];
            if ((touch.a == a && touch.b == b) || (touch.a == b && touch.b == a)) return true;
        }
        return false;
    }
    NodeId node(std::string_view path) const { return circuit.node(*circuit.harness->find_terminal(path)); }
    // Every pair by the least path of each node.
    std::set<std::string> pairs() const {
        std::set<std::string> all;
        for (const Touch& touch : touching.all())
            all.insert(std::string(touching.runs().name(touch.a)) + " " +
                       std::string(touching.runs().name(touch.b)));
        return all;
    }
    Results results;
    const Circuit& circuit;
    Touching touching;
};

}  // namespace

TEST_CASE("terminals of one part touch, and places metres of wire apart do not") {
    const Relation skiff_relation(skiff);
    CHECK(skiff_relation.touch("E1.+", "E1.-"));
    CHECK(skiff_relation.touch("B1.+", "B1.-"));
    CHECK(skiff_relation.touch("G1.+", "G1.-"));
    // The bar and the minus bar, half a metre of wire each from the pack.
    CHECK(skiff_relation.touch("X1.1", "X2.1"));
    CHECK_FALSE(skiff_relation.touch("B1.+", "E1.-"));
    CHECK_FALSE(skiff_relation.touch("B1.+", "G1.-"));
    CHECK_FALSE(skiff_relation.touch("F1.in", "E1.-"));
    CHECK_FALSE(skiff_relation.touch("F2.out", "E1.-"));
    CHECK_FALSE(skiff_relation.touch("X5", "B1.-"));
    CHECK_FALSE(skiff_relation.touch("E1.+", "X2.1"));
    // Three metres out, beside the middle of a return: the wire that lies there, told by its far end.
    bool along = false;
    for (const Touch& touch : skiff_relation.touching.all())
        along = along || (touch.a == skiff_relation.node("X5") && touch.other_wire.valid());
    CHECK(along);
}

TEST_CASE(
    "two bars at the far end of a pair of feeders touch, and a bar of loads far from the plus bar does not") {
    // Forward: a bar behind the main fuse, and the bar to which its only load comes back.
    const std::string forward =
        replaced(skiff, "busbar X2 {",
                 "busbar X3 { studs 3, carries 60 A }\nbusbar X4 { studs 3, carries 60 A }\nbusbar X2 {");
    const std::string bars =
        replaced(replaced(forward,
                          "route X1.2 (W4 2.5 mm2, 0.1 m, red) F2 (W5 2.5 mm2, 3 m, red) X5 (W6 2.5 mm2, 3 "
                          "m, red) E1 (W7 2.5 mm2, 6 m, black, in L1) X2.2",
                          "route X1.2 (W13 10 mm2, 4 m, red) X3.1\n"
                          "route X3.2 (W4 2.5 mm2, 0.1 m, red) F2 (W5 2.5 mm2, 1 m, red) X5 (W6 2.5 mm2, 1 "
                          "m, red) E1 (W7 2.5 mm2, 2 m, black) X4.1\n"
                          "route X4.2 (W14 2.5 mm2, 4 m, black, in L1) X2.2"),
                 "route X5 (W8 1.5 mm2, 0.5 m, red) E2 (W9 1.5 mm2, 3.5 m, black) X2.3", "");
    const Relation with_bars(
        replaced(bars, "load E2 \"horn\" { 12 V, 3 A, acts-as current, works 10..15 V }\n", ""));
    CHECK(with_bars.touch("X3.1", "X4.1"));
    CHECK(finding_of(with_bars.results, "slow-clearing", "W14") != nullptr);
    // What the main fuse gives for long comes home by it, whatever the fuse of the load there.
    CHECK(finding_of(with_bars.results, "oversized-fuse", "W14") != nullptr);
    // The fuses aft, the bar forward: what lies before a fuse is nowhere near the bar.
    const Relation fuses_aft(replaced(replaced(bars, "(W13 10 mm2, 4 m, red)", "(W13 10 mm2, 0.1 m, red)"),
                                      "(W5 2.5 mm2, 1 m, red)", "(W5 2.5 mm2, 5 m, red)"));
    CHECK_FALSE(fuses_aft.touch("X3.1", "X4.1"));
    CHECK(finding_of(fuses_aft.results, "slow-clearing", "W14") == nullptr);
    CHECK(finding_of(fuses_aft.results, "oversized-fuse", "W14") == nullptr);
}

TEST_CASE("a block on the way home of the only load is no bar beside the main bar") {
    const std::string one = R"(loom 1
harness "Skiff" { ambient 0..30 degC, insulation pvc 90 degC }
pack B1 { voltage 11..14.6 V, resistance 8..15 mohm, capacity 60 Ah, discharge 60 A, charge 20 A }
fuse F1 { 40 A, 58 V dc, breaks 3 kA at 58 V dc, curve iso8820-5 }
fuse F2 { 10 A, 32 V dc, breaks 3 kA at 32 V dc, curve iso8820-3 }
busbar X1 { studs 4, carries 60 A }
busbar X2 { studs 4, carries 60 A }
terminal-block X3 { 60 V, ways 2, carries 30 A, takes 1..16 mm2, bridge 1 2 }
load E1 "pump" { 12 V, 5 A, acts-as current, works 9..15 V }
route B1.+ (W1 10 mm2, 0.15 m, red) F1 (W2 10 mm2, 0.2 m, red) X1.1
route B1.- (W3 10 mm2, 0.3 m, black) X2.1
route X1.2 (W4 2.5 mm2, 0.1 m, red) F2 (W5 2.5 mm2, 0.3 m, red) E1 (W6 2.5 mm2, 0.3 m, black) X3.1
route X3.2 (W7 2.5 mm2, 0.3 m, black) X2.2
mode on { others at rest }
)";
    CHECK(finding_of(check_text(one), "oversized-fuse") == nullptr);
    // The main lead itself as thin is told.
    const Results thin = check_text(replaced(one, "W3 10 mm2", "W3 2.5 mm2"));
    CHECK(finding_of(thin, "oversized-fuse", "W3") != nullptr);
}

TEST_CASE("a far bar to whose cable the main bar lies near is not the bar beside it") {
    const std::string lift = R"(loom 1
harness "Stage" { ambient 0..30 degC, insulation xlpe 90 degC }
pack B1 { voltage 21..29 V, resistance 16..25 mohm, capacity 90 Ah, discharge 90 A, charge 30 A }
fuse F1 { 80 A, 80 V dc, breaks 6 kA at 80 V dc, curve iso8820-5 }
fuse F2 { 10 A, 80 V dc, breaks 6 kA at 80 V dc, curve iso8820-3 }
fuse F3 { 10 A, 80 V dc, breaks 6 kA at 80 V dc, curve iso8820-3 }
busbar X1 { studs 4, carries 120 A }
busbar X2 { studs 4, carries 120 A }
busbar X5 { studs 3, carries 60 A }
load E2 { 24 V, 7 A, acts-as current, works 14..32 V }
load E3 { 24 V, 7 A, acts-as current, works 14..32 V }
route B1.+ (W1 25 mm2, 0.2 m, red) F1 (W2 25 mm2, 0.8 m, red) X1.1
route B1.- (W4 25 mm2, 0.5 m, black) X2.1
route X1.2 (direct) F2 (W5 2.5 mm2, 3 m, red) E2 (W6 2.5 mm2, 0.2 m, black) X5.1
route X1.3 (direct) F3 (W7 2.5 mm2, 3 m, red) E3 (W8 2.5 mm2, 0.2 m, black) X5.2
route X5.3 (W9 6 mm2, 3 m, black) X2.2
mode on { others at rest }
)";
    CHECK(finding_of(check_text(lift), "oversized-fuse") == nullptr);
    // Held to what the fuses of its own loads give.
    CHECK(finding_of(check_text(replaced(lift, "W9 6 mm2", "W9 0.5 mm2")), "oversized-fuse", "W9") != nullptr);
}

TEST_CASE("two wires of one bundle touch, whichever is written first, and apart from it they do not") {
    const Relation together(skiff);
    CHECK(together.touch("G1.+", "E1.-"));
    const Relation apart(replaced(skiff, "2 m, red, in L1", "2 m, red"));
    CHECK_FALSE(apart.touch("G1.+", "E1.-"));
}

TEST_CASE("anything can touch a bonded frame, and nothing one that is joined to nothing") {
    const std::string framed =
        replaced(skiff, "mode off",
                 "frame X9 { serves bond }\nroute X2.1 (W20 6 mm2, 0.4 m, green-yellow) X9\nmode off");
    const Relation bonded(framed);
    for (const char* place : {"B1.+", "F1.out", "X5", "E1.+", "G1.+"}) CHECK(bonded.touch(place, "X9"));
    const Relation lonely(replaced(skiff, "mode off", "frame X9 { serves bond }\nmode off"));
    CHECK_FALSE(lonely.touch("F1.out", "X9"));
}

TEST_CASE("bare posts at one location touch, and parts without bare posts do not") {
    std::string boxed = replaced(skiff, "charge 20 A }", "charge 20 A, at box }");
    boxed = replaced(boxed, "pack B1", "location box { ambient 0..40 degC }\npack B1");
    boxed =
        replaced(boxed, "busbar X2 { studs 4, carries 60 A }", "busbar X2 { studs 4, carries 60 A, at box }");
    CHECK(Relation(boxed).touch("B1.+", "X2.1"));
    CHECK_FALSE(Relation(skiff).touch("B1.+", "X2.1"));
}

TEST_CASE("the order of statements changes no pair") {
    const std::set<std::string> before = Relation(skiff).pairs();
    std::vector<std::string> lines;
    std::size_t start = skiff.find("pack B1");
    const std::string head = skiff.substr(0, start);
    for (std::size_t end; (end = skiff.find('\n', start)) != std::string::npos; start = end + 1)
        lines.push_back(skiff.substr(start, end - start));
    std::reverse(lines.begin(), lines.end());
    std::string turned = head;
    for (const std::string& line : lines) turned += line + "\n";
    CHECK(Relation(turned).pairs() == before);
    CHECK(before.size() >= 16);
}

}  // namespace touching_test
