// A motor between two change-over contacts, or in a bridge of four, hangs on the plus by some of its contacts
// and on the minus by others. No position closes both, and what else is in the harness is judged as without
// it: short circuits, guards, directions.
#include <fmt/format.h>
#include <catch2/catch.hpp>

#include "checker/circuit/touching.hpp"
#include "checker/parts/positions.hpp"
#include "tests/checker/checking.hpp"

namespace reversing_test {

using namespace loomward;
using namespace loomward::testing;

namespace {

enum class Reversing { none, relays, poles, bridge };

// Behind F9, between the bars of a feed mill.
std::string reversing(Reversing kind) {
    const std::string coil =
        ", carries 40 A, makes 200 A, breaks 200 A at 60 V dc, coil 24 V 150 mA, coil-works 16..32 V, "
        "suppression diode }\n";
    const std::string motor =
        "fuse F9 { 15 A, 125 V dc, breaks 10 kA at 125 V dc, curve ul248-14, clears 900 A2s }\n"
        "load M9 { 24 V, 4 A, acts-as current, works 16..32 V }\n";
    switch (kind) {
        case Reversing::none:
            return "";
        case Reversing::relays:
            return motor + "relay K8 { contacts change-over" + coil + "relay K9 { contacts change-over" +
                   coil +
                   "route X1.5 (W80 4 mm2, 0.1 m) F9 (W81 4 mm2, 0.4 m) K8.no\n"
                   "route K8.no (W82 4 mm2, 0.2 m) K9.no\n"
                   "route K8.nc (W83 4 mm2, 0.3 m) X2.5\nroute K9.nc (W84 4 mm2, 0.3 m) X2.6\n"
                   "route K8.com (W85 4 mm2, 1 m) M9 (W86 4 mm2, 1 m) K9.com\n";
        case Reversing::poles:
            return motor + "relay K9 { contacts change-over change-over" + coil +
                   "route X1.5 (W80 4 mm2, 0.1 m) F9 (W81 4 mm2, 0.4 m) K9.1.no\n"
                   "route K9.1.no (W82 4 mm2, 0.2 m) K9.2.nc\n"
                   "route K9.1.nc (W83 4 mm2, 0.2 m) K9.2.no\nroute K9.2.no (W84 4 mm2, 0.3 m) X2.5\n"
                   "route K9.1.com (W85 4 mm2, 1 m) M9 (W86 4 mm2, 1 m) K9.2.com\n";
        case Reversing::bridge:
            return motor + "part side is relay { contacts no" + coil +
                   "relay K6 is side\nrelay K7 is side\nrelay K8 is side\nrelay K9 is side\n"
                   "route X1.5 (W80 4 mm2, 0.1 m) F9 (W81 4 mm2, 0.4 m) K6 (W82 4 mm2, 0.5 m) M9 "
                   "(W83 4 mm2, 0.5 m) K7 (W84 4 mm2, 0.3 m) X2.5\n"
                   "route F9.out (W85 4 mm2, 0.3 m) K8 (W86 4 mm2, 0.3 m) K7.in\n"
                   "route K6.out (W87 4 mm2, 0.3 m) K9 (W88 4 mm2, 0.3 m) X2.6\n"
                   "mode out { K6 K7 energised, others at rest }\nmode in { K8 K9 energised, others at rest "
                   "}\n";
    }
    return "";
}

struct Mill {
    std::string bar = "carries 120 A", lamp_wire = "0.5 mm2", lamp_fuse = "30 A, clears 4000 A2s",
                management = "side low";
};

std::string mill(Reversing kind, const Mill& with = {}) {
    return fmt::format(
               "loom 1\nharness \"feed mill\" {{ ambient 0..40 degC, insulation pvc 90 degC }}\n"
               "pack B1 {{ voltage 20..29 V, resistance 20..40 mohm, capacity 60 Ah, discharge 90 A, charge "
               "30 A "
               "}}\n"
               "bms Q1 {{ {}, ports common, discharge 90 A, charge 30 A, trips 200 A after 1 s, resistance 1 "
               "mohm }}\n"
               "fuse F1 {{ 60 A, 80 V dc, breaks 4 kA at 80 V dc, curve iso8820-5 }}\n"
               "part midget is fuse {{ 125 V dc, breaks 10 kA at 125 V dc, curve ul248-14 }}\n"
               "fuse F2 is midget {{ {} }}\nfuse F3 is midget {{ 20 A, clears 1500 A2s }}\n"
               "busbar X1 {{ studs 6, {} }}\nbusbar X2 {{ studs 6, carries 120 A }}\n"
               "load E1 {{ 24 V, 40 W, acts-as power, works 16..32 V }}\n"
               "load E2 {{ 24 V, 60 W, acts-as power, works 16..32 V }}\n"
               "route B1.+ (W1 16 mm2, 0.12 m) F1 (W2 16 mm2, 0.3 m) X1.1\n"
               "route B1.- (W4 16 mm2, 0.12 m) Q1 (W5 16 mm2, 0.5 m) X2.1\n"
               "route X1.2 (direct) F2 (W7 {}, 2 m) E1 (W9 {}, 4 m) X2.2\n"
               "route X1.3 (direct) F3 (W10 4 mm2, 1 m) E2 (W11 4 mm2, 1 m) X2.3\n",
               with.management, with.lamp_fuse, with.bar, with.lamp_wire, with.lamp_wire) +
           reversing(kind) + "mode rest { others at rest }\n";
}

}  // namespace

TEST_CASE("what a motor that is reversed by contacts stands beside is judged as without it") {
    for (const Reversing kind : {Reversing::none, Reversing::relays, Reversing::poles, Reversing::bridge}) {
        INFO("reversing " << static_cast<int>(kind));
        // A lamp lead that burns before its short circuit ends.
        CHECK(finding_of(check_text(mill(kind)), "slow-clearing", "W7"));
        Mill sound;
        sound.lamp_wire = "4 mm2";
        sound.lamp_fuse = "10 A, clears 400 A2s";
        CHECK_FALSE(finding_of(check_text(mill(kind, sound)), "slow-clearing", "W7"));
        // A bar below what stands before it and behind it.
        Mill weak = sound;
        weak.bar = "carries 20 A";
        CHECK(finding_of(check_text(mill(kind, weak)), "rated-below-guard", "X1"));
        CHECK_FALSE(finding_of(check_text(mill(kind, sound)), "rated-below-guard", "X1"));
        // A battery management made for the plus lead in the minus lead.
        Mill crossed = sound;
        crossed.management = "side high";
        CHECK(finding_of(check_text(mill(kind, crossed)), "bms-direction", "Q1"));
        CHECK_FALSE(finding_of(check_text(mill(kind, sound)), "bms-direction", "Q1"));
    }
}

TEST_CASE("a lead of a reversed motor lies on the way out and on the way back and joins neither") {
    const Results results = check_text(mill(Reversing::relays));
    const Circuit& circuit = results.circuit;
    const auto node = [&](std::string_view path) {
        for (std::size_t i = 0; i < results.harness->terminals.size(); ++i)
            if (results.harness->terminals[i].path == path) return circuit.node(TerminalId(i));
        FAIL("no terminal " << path);
        return NodeId();
    };
    const Touching touching(circuit, Positions(circuit).ways());
    const Runs& runs = touching.runs();
    CHECK((runs.forward(node("K8.com")) && runs.back(node("K8.com"))));
    CHECK((runs.forward(node("K8.no")) && !runs.back(node("K8.no"))));
    CHECK((!runs.forward(node("K8.nc")) && runs.back(node("K8.nc"))));
    // Out against back, and a lead of the motor against the minus, but not the two ends of one contact.
    const auto touch = [&](std::string_view a, std::string_view b) {
        for (const Touch& each : touching.all())
            if (std::minmax(each.a, each.b) == std::minmax(node(a), node(b))) return true;
        return false;
    };
    const NodeId fed = node("F9.out");
    CHECK(std::any_of(touching.all().begin(), touching.all().end(), [&](const Touch& each) {
        const NodeId other = each.a == fed ? each.b : each.b == fed ? each.a : NodeId();
        return other && runs.back(other) && !runs.forward(other);
    }));
    CHECK_FALSE(touch("K8.com", "K8.no"));
    CHECK_FALSE(touch("K8.com", "K8.nc"));
}

TEST_CASE("contacts that shut one another out are told as such") {
    const Results results = check_text(mill(Reversing::relays));
    const Circuit& circuit = results.circuit;
    const ContactWays ways = Positions(circuit).ways();
    std::vector<EdgeId> of_K8;
    for (std::size_t i = 0; i < circuit.edges.size(); ++i)
        if (circuit.edges[i].role == EdgeRole::switching &&
            results.harness->part(circuit.edges[i].part).name == "K8")
            of_K8.emplace_back(i);
    REQUIRE(of_K8.size() == 2);
    CHECK_FALSE(ways.together(of_K8[0], of_K8[1]));
    CHECK(ways.together(of_K8[0], of_K8[0]));
    const std::vector<bool> apart = Positions(circuit).apart();
    CHECK(std::count(apart.begin(), apart.end(), true) > 0);
    // Between two lamps nothing is shorted, and all of it may count as closed.
    const Results lamps = check_text(
        mill(Reversing::none) +
        "relay K8 { contacts change-over, carries 40 A, breaks 20 A at 60 V dc, coil 24 V 150 mA }\n"
        "load E8 { 24 V, 10 W, acts-as power }\nload E9 { 24 V, 10 W, acts-as power }\n"
        "route F3.out (W80 4 mm2, 0.1 m) K8.com\nroute K8.no (W81 4 mm2, 1 m) E8 (W82 4 mm2, 1 m) X2.4\n"
        "route K8.nc (W83 4 mm2, 1 m) E9 (W84 4 mm2, 1 m) X2.5\n");
    const std::vector<bool> none = Positions(lamps.circuit).apart();
    CHECK(std::count(none.begin(), none.end(), true) == 0);
}

}  // namespace reversing_test
