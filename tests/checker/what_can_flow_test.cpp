// What can flow for long: planted harnesses, each with a hazard that must be told and a mended twin that must
// be quiet.
#include <fmt/format.h>

#include <algorithm>
#include <catch2/catch.hpp>

#include "checker/currents/loading.hpp"
#include "tests/checker/checking.hpp"

namespace what_can_flow_test {

using namespace loomward;
using namespace loomward::testing;

namespace {

using Names = std::vector<std::string>;

// Everything that a harness is told as error by these rules, by subject, sorted.
Names told(const Results& results, const Names& rules, Severity severity = Severity::error) {
    Names subjects;
    for (const Finding& finding : results.findings)
        if (finding.severity == severity &&
            std::find(rules.begin(), rules.end(), finding.rule) != rules.end())
            subjects.push_back(finding.subject);
    std::sort(subjects.begin(), subjects.end());
    return subjects;
}
const Names flow_rules{"oversized-fuse", "unprotected-wire", "bypassed-fuse", "bridged-contact"};

const Finding& the(const Results& results, const std::string& rule, const std::string& subject) {
    for (const Finding& finding : results.findings)
        if (finding.rule == rule && finding.subject == subject) return finding;
    throw std::logic_error("no " + rule + " on " + subject);
}

// The devices that a wire's zone names, and their sum.
std::string guards(const Results& results, const std::string& wire) {
    for (const ProtectionZone& zone : results.zones)
        for (const WireId id : zone.wires) {
            if (results.harness->wire(id).name != wire) continue;
            std::string text;
            for (const ZoneGuard& guard : zone.devices)
                text += (text.empty() ? "" : "+") + std::string(guard.limit ? "limit " : "") +
                        std::string(results.harness->part(guard.part).name);
            return fmt::format("{} {:.4g}", text, zone.current_A);
        }
    throw std::logic_error("no zone of " + wire);
}

double ampacity_A(const Results& results, const std::string& wire) {
    const Facts facts(*results.harness);
    const auto id = results.harness->find_wire(wire);
    return standing_ampacity(facts, *id, results.wires[id->index()]).current_A;
}

// A boat's house bank: a main fuse, two bars, and what is hung between them.
std::string boat(const std::string& more, const std::string& minus = "35 mm2",
                 const char* main_fuse = "100 A") {
    return "loom 1\nharness \"ferry punt\" { ambient 5..30 degC, insulation pvc 90 degC }\n"
           "pack B1 { voltage 21..29 V, resistance 12 mohm, capacity 80 Ah, discharge 150 A, charge 40 A }\n"
           "part strip is fuse { 58 V dc, breaks 6 kA at 58 V dc, curve iso8820-5 }\n"
           "part blade is fuse { 58 V dc, breaks 4 kA at 58 V dc, curve iso8820-3 }\n"
           "fuse F1 is strip { " +
           std::string(main_fuse) +
           " }\nstud X1\n"
           "stud X2\n"
           "route B1.+ (W1 35 mm2, 0.15 m) F1 (W2 35 mm2, 0.5 m) X1\nroute B1.- (W3 " +
           minus + ", 0.6 m) X2\n" + more + "mode rest { others at rest }\n";
}
// A branch of its own fuse, with its return to a place.
std::string branch(int number, const std::string& fuse, const std::string& size, const std::string& home) {
    return fmt::format(
        "fuse F{0} is {1}\nload E{0} {{ 24 V, 20 W }}\nroute X1 (direct) F{0} (W{0}a {2}, 1 m) E{0} "
        "(W{0}b {2}, 1 m) {3}\n",
        number, fuse, size, home);
}

}  // namespace

TEST_CASE("a common return carries the sum of its branches, not the largest of them") {
    const auto with = [](const std::string& common) {
        return check_text(boat("stud X3\n" + branch(2, "strip { 40 A }", "10 mm2", "X3") +
                               branch(3, "blade { 25 A }", "6 mm2", "X3") + "route X3 (W9 " + common +
                               ", 1 m) X2\n"));
    };
    // 1.35 x 40 A + 1.35 x 25 A = 87.75 A
    const Results thin = with("6 mm2"), thick = with("25 mm2");
    CHECK(told(thin, flow_rules) == Names{"W9"});
    CHECK(guards(thin, "W9") == "F2+F3 87.75");
    CHECK(told(thick, flow_rules).empty());
    CHECK(told(thick, flow_rules, Severity::note).empty());
}

TEST_CASE("a common return carries no more than the device before its branches lets through") {
    const Results results =
        check_text(boat("stud X3\n" + branch(2, "strip { 60 A }", "16 mm2", "X3") +
                        branch(3, "strip { 60 A }", "16 mm2", "X3") + "route X3 (W9 35 mm2, 1 m) X2\n"));
    CHECK(guards(results, "W9") == "F1 135");
    CHECK(guards(results, "W2b") == "F2 81");
}

TEST_CASE("the minus of a pack is guarded by its main fuse, not by the fuse of a lamp") {
    const std::string lamp = branch(2, "blade { 5 A }", "1.5 mm2", "X2");
    const Results thin = check_text(boat(lamp, "2.5 mm2"));
    CHECK(told(thin, {"oversized-fuse"}) == Names{"W3"});
    CHECK(guards(thin, "W3") == "F1 135");
    CHECK(told(check_text(boat(lamp)), flow_rules).empty());
}

TEST_CASE("a bleed resistor beside a load guards nothing") {
    const auto with = [](const std::string& home, const std::string& bleed) {
        return check_text(boat("load E2 { 24 V, 900 W }\nroute X1 (W8 35 mm2, 1 m) E2 (W9 " + home +
                               ", 1 m) X2\n" + bleed));
    };
    const std::string bleed = "resistor R2 { 1 kohm, 5 W }\nroute E2.+ (direct) R2 (direct) E2.-\n";
    for (const std::string& beside : {std::string(), bleed}) {
        CHECK(told(with("6 mm2", beside), flow_rules) == Names{"W9"});
        CHECK(told(with("35 mm2", beside), flow_rules).empty());
        CHECK(guards(with("6 mm2", beside), "W9") == "F1 135");
    }
}

TEST_CASE("a lead behind a resistor is held by its limit, and no device is named as guard") {
    const Results results =
        check_text(boat("resistor R2 { 1 kohm, 5 W }\nload E2 { 24 V, 10 mA, acts-as current }\n"
                        "route X1 (direct) R2 (W8 0.5 mm2, 1 m) E2 (W9 0.5 mm2, 1 m) X2\n"));
    CHECK(guards(results, "W8") == "limit R2 0.029");
    CHECK(guards(results, "W9") == "limit R2 0.029");
    CHECK(results.guards[results.harness->find_wire("W9")->index()].devices.empty());
}

TEST_CASE("the minus of one of two packs side by side carries what its own fuse lets through") {
    const auto with = [](const std::string& minus) {
        return check_text(
            "loom 1\nharness \"pump raft\" { ambient 5..30 degC, insulation pvc 90 degC }\n"
            "part bank is pack { voltage 40..54 V, resistance 20 mohm, capacity 40 Ah, discharge 90 A, "
            "charge 40 "
            "A }\npart strip is fuse { 80 V dc, breaks 8 kA at 80 V dc, curve iso8820-5 }\n"
            "pack B1 is bank\npack B2 is bank\nfuse F1 is strip { 60 A }\nfuse F2 is strip { 60 A }\n"
            "stud X1\nstud X2\n"
            "route B1.+ (W1 16 mm2, 0.15 m) F1 (W2 16 mm2, 0.5 m) X1\n"
            "route B2.+ (W3 16 mm2, 0.15 m) F2 (W4 16 mm2, 0.5 m) X1\n"
            "route B1.- (W5 " +
            minus +
            ", 0.5 m) X2\nroute B2.- (W6 16 mm2, 0.5 m) X2\nload E1 { 48 V, 1 kW }\n"
            "route X1 (W7 50 mm2, 1 m) E1 (W8 50 mm2, 1 m) X2\nmode rest { others at rest }\n");
    };
    CHECK(told(with("16 mm2"), flow_rules).empty());
    CHECK(guards(with("16 mm2"), "W5") == "F1 81");
    CHECK(guards(with("16 mm2"), "W8") == "F1+F2 162");
    CHECK(told(with("4 mm2"), flow_rules) == Names{"W5"});
}

TEST_CASE(
    "a link in a string of packs needs a device of its own, though one in the string ends the current") {
    const auto with = [](const std::string& link) {
        return check_text(
            "loom 1\nharness \"reed cutter\" { ambient 5..30 degC, insulation pvc 90 degC }\n"
            "part bank is pack { voltage 40..54 V, resistance 20 mohm, capacity 40 Ah, discharge 90 A, "
            "charge 40 "
            "A }\npart bolt is fuse { 150 V dc, breaks 8 kA at 150 V dc, curve iso8820-5 }\n"
            "pack B1 is bank\npack B2 is bank\nfuse F1 is bolt { 60 A }\n" +
            link +
            "route B2.+ (W1 16 mm2, 0.15 m) F1 (W2 16 mm2, 0.5 m) E1.+\nroute B1.- (W5 16 mm2, 0.5 m) E1.-\n"
            "load E1 { 96 V, 1 kW }\nmode rest { others at rest }\n");
    };
    CHECK(told(with("route B1.+ (W4 16 mm2, 1.5 m) B2.-\n"), flow_rules) == Names{"W4"});
    const Results mended =
        with("fuse F2 is bolt { 60 A }\nroute B1.+ (W4 16 mm2, 0.15 m) F2 (W6 16 mm2, 1.4 m) B2.-\n");
    CHECK(told(mended, flow_rules).empty());
    CHECK(guards(mended, "W6") == "F2 81");
    CHECK(guards(mended, "W5") == "F2 81");
}

TEST_CASE("a fuse in the minus guards the plus where the frame is bonded behind it, not before it") {
    const auto with = [](const std::string& bond) {
        return check_text(
            "loom 1\nharness \"hoist\" { ambient 5..30 degC, insulation pvc 90 degC }\n"
            "pack B1 { voltage 21..29 V, resistance 12 mohm, capacity 80 Ah, discharge 90 A, charge 40 A "
            "}\nfuse F1 { 60 A, 58 V dc, breaks 6 kA at 58 V dc, curve iso8820-5 }\n"
            "frame X9 { serves bond }\nstud X2\nload E1 { 24 V, 500 W }\n"
            "route B1.+ (W1 16 mm2, 1 m) E1 (W2 16 mm2, 1 m) X2 (W3 16 mm2, 0.5 m) F1.out>in (W4 16 mm2, "
            "0.15 m) B1.-\nroute " +
            bond + " (W5 16 mm2, 0.15 m) X9\nmode rest { others at rest }\n");
    };
    CHECK(told(with("B1.-"), flow_rules) == Names{"W1"});
    CHECK(told(with("X2"), flow_rules).empty());
    CHECK(guards(with("X2"), "W1") == "F1 81");
}

TEST_CASE("the rated current of a device belongs at or below what its wire may carry") {
    const auto with = [](double rated_A) {
        return check_text(
            boat(fmt::format("fuse F2 {{ {:.3f} A, 58 V dc, breaks 6 kA at 58 V dc, curve iso8820-5 }}\n"
                             "load E2 {{ 24 V, 20 W }}\nroute X1 (direct) F2 (W8 6 mm2, 1 m) E2 (W9 16 "
                             "mm2, 1 m) X2\n",
                             rated_A)));
    };
    const double may_A = ampacity_A(with(10), "W8");
    CHECK(told(with(may_A * 0.999), {"oversized-fuse"}, Severity::note).empty());
    CHECK(told(with(may_A * 1.001), {"oversized-fuse"}, Severity::note) == Names{"W8"});
    CHECK(told(with(may_A * 1.001), {"oversized-fuse"}).empty());
    CHECK(told(with(may_A * 1.45 / 1.35 * 0.999), {"oversized-fuse"}).empty());
    CHECK(told(with(may_A * 1.45 / 1.35 * 1.001), {"oversized-fuse"}) == Names{"W8"});
}

TEST_CASE("what limits hold belongs at or below what a wire may carry as well: a limit holds for ever") {
    const auto with = [](double limit_A) {
        return check_text(boat(fmt::format(
            "converter D2 {{ input 18..31 V, output 12 V {:.4f} A, negative isolated, efficiency 90 %, "
            "capacitance 10 uF, reverse blocked }}\n"
            "fuse F2 is strip {{ 60 A }}\nload E2 {{ 12 V, 20 W }}\nload E3 {{ 12 V, 20 W }}\n"
            "fuse F4 is blade {{ 5 A }}\nfuse F5 is blade {{ 5 A }}\nstud X3\nstud X4\n"
            "route X1 (direct) F2 (W4 16 mm2, 1 m) D2.in+\nroute D2.in- (W5 16 mm2, 1 m) X2\n"
            "route D2.out+ (W6 16 mm2, 1 m) X3\n"
            "route X3 (direct) F4 (W7 2.5 mm2, 1 m) E2 (W8 2.5 mm2, 1 m) X4\n"
            "route X3 (direct) F5 (W9 2.5 mm2, 1 m) E3 (W10 2.5 mm2, 1 m) X4\n"
            "route X3 (W12 16 mm2, 0.5 m) X5\nstud X5\n"
            "load E4 {{ 12 V, 20 W }}\nroute X5 (W13 16 mm2, 1 m) E4 (W14 16 mm2, 1 m) X4\n"
            "route X4 (W11 6 mm2, 1 m) D2.out-\n",
            limit_A)));
    };
    const double may_A = ampacity_A(with(10), "W11");
    CHECK(told(with(may_A * 0.999), {"oversized-fuse"}, Severity::note).empty());
    CHECK(told(with(may_A * 1.001), {"oversized-fuse"}, Severity::note) == Names{"W11"});
    CHECK(the(with(may_A * 1.2), "oversized-fuse", "W11").message ==
          "wire W11 is held by limits above what it may carry");
    CHECK(told(with(may_A * 1.449), {"oversized-fuse"}).empty());
    CHECK(told(with(may_A * 1.451), {"oversized-fuse"}) == Names{"W11"});
}

TEST_CASE("a fuse known by its own points lets through what they say") {
    // The 60 s point tells less than the one of an hour; a spread of times is taken at its own current.
    const auto with = [](double an_hour_A, const std::string& time) {
        return check_text(
            boat(fmt::format("fuse F2 {{ 10 A, 58 V dc, breaks 6 kA, point {:.4f} A {}, point 300 A 1 s }}\n"
                             "load E2 {{ 24 V, 20 W }}\nroute X1 (direct) F2 (W8 6 mm2, 1 m) E2 (W9 6 "
                             "mm2, 1 m) X2\n",
                             an_hour_A, time)));
    };
    const double most_A = 1.45 * ampacity_A(with(20, "3600 s"), "W8");
    CHECK(told(with(most_A / 1.1 * 0.999, "3600 s"), {"oversized-fuse"}).empty());
    CHECK(told(with(most_A / 1.1 * 1.001, "3600 s"), {"oversized-fuse"}) == Names{"W8"});
    CHECK(told(with(most_A * 0.999, "600..3600 s"), {"oversized-fuse"}).empty());
    CHECK(told(with(most_A * 1.001, "600..3600 s"), {"oversized-fuse"}) == Names{"W8"});
}

TEST_CASE("a short tap to a fuse in a block is guarded as one to a loose fuse, and by all that hangs on it") {
    const auto loose = [](const std::string& tap) {
        return check_text(boat("fuse F2 is blade { 15 A }\nload E2 { 24 V, 20 W }\nroute X1 (W8 " + tap +
                               ", 0.1 m) F2 (W9 2.5 mm2, 1 m) E2 (W10 2.5 mm2, 1 m) X2\n"));
    };
    const auto block = [](const std::string& tap) {
        return check_text(
            boat("fuse-block X4 { ways 2, feed common, carries 60 A, way-carries 30 A, 80 V }\n"
                 "fuse F2 is blade { 15 A, holder X4.1 }\nload E2 { 24 V, 20 W }\n"
                 "fuse F3 is blade { 15 A, holder X4.2 }\nload E3 { 24 V, 20 W }\n"
                 "route X1 (W8 " +
                 tap +
                 ", 0.1 m) X4.in\n"
                 "route F2.out (W9 2.5 mm2, 1 m) E2 (W10 2.5 mm2, 1 m) X2\n"
                 "route F3.out (W11 2.5 mm2, 1 m) E3 (W12 2.5 mm2, 1 m) X2\n"));
    };
    CHECK(told(loose("2.5 mm2"), flow_rules).empty());
    CHECK(told(loose("0.5 mm2"), flow_rules) == Names{"W8"});
    CHECK(told(block("6 mm2"), flow_rules).empty());
    // 2 x 1.35 x 15 A through 1 mm2
    CHECK(told(block("1 mm2"), flow_rules) == Names{"W8"});
}

TEST_CASE("a bank of capacitors that no device parts from a thin wire burns it") {
    const auto with = [](const std::string& lead, const std::string& farad, const std::string& more = "") {
        return check_text(
            boat(more +
                 "fuse F2 is blade { 10 A }\nresistor R2 { 10 ohm, 100 W, pulse 9 kJ }\n"
                 "capacitor C1 { " +
                 farad +
                 ", 32 V }\nload E2 { 24 V, 20 W }\n"
                 "route X1 (direct) F2 (W8 2.5 mm2, 0.3 m) R2 (W9 16 mm2, 0.3 m) C1 (W10 16 mm2, 0.3 m) X2\n"
                 "route C1.+ " +
                 lead + " E2 (W12 16 mm2, 0.5 m) X2\n"));
    };
    CHECK(told(with("(W11 0.75 mm2, 2 m)", "8 F"), {"unprotected-wire"}) == Names{"W11"});
    CHECK(told(with("(W11 16 mm2, 2 m)", "8 F"), {"unprotected-wire"}).empty());
    // 10 mF at 29 V hold 4 J
    CHECK(told(with("(W11 0.75 mm2, 2 m)", "10 mF"), {"unprotected-wire"}).empty());
    CHECK(told(with("(direct) F9 (W11 0.75 mm2, 2 m)", "8 F", "fuse F9 is blade { 5 A }\n"),
               {"unprotected-wire"})
              .empty());
}

TEST_CASE("two return pins of one device are one point") {
    const auto with = [](const std::string& pin) {
        return check_text(
            boat("contactor K1 { carries 60 A, makes 60 A, breaks 60 A at 58 V dc, coil 24 V 200 mA, "
                 "coil-works 18..30 V, suppression varistor }\nload E2 { 24 V, 700 W }\n"
                 "fuse F2 is strip { 50 A }\nroute X1 (direct) F2 (W8 16 mm2, 1 m) E2 (W9 16 mm2, 1 m) "
                 "K1.out>in (W10 16 mm2, 0.3 m) X2\nfuse F3 is blade { 3 A }\n"
                 "device A1 { pin v supply 50 mA, pin gnd return, pin lo return }\n"
                 "route X1 (direct) F3 (W11 1 mm2, 1 m) A1.v\nroute A1.gnd (W12 1 mm2, 1 m) X2\n"
                 "route F3.out (W13 1 mm2, 1 m) K1.A1\nroute K1.A2 (W14 1 mm2, 1 m) X2\n" +
                 pin));
    };
    CHECK(told(with("route A1.lo (W15 1 mm2, 1 m) E2.-\n"), {"bridged-contact"}) == Names{"K1"});
    CHECK(told(with("route A1.lo (W15 1 mm2, 1 m) X2\n"), {"bridged-contact"}).empty());
}

TEST_CASE("a way round a contact that has a fuse of its own is told with what the fuse lets through") {
    const Results results = check_text(boat(
        "switch S1 { 32 V dc, carries 60 A, makes 60 A, breaks 60 A at 32 V dc }\nload E2 { 24 V, 300 W }\n"
        "fuse F2 is strip { 40 A }\nfuse F3 is blade { 2 A }\n"
        "route X1 (direct) F2 (W8 10 mm2, 1 m) S1 (W9 10 mm2, 1 m) E2 (W10 10 mm2, 1 m) X2\n"
        "route S1.in (W11 1 mm2, 0.1 m) F3 (W12 1 mm2, 0.1 m) S1.out\n"));
    const Finding& finding = the(results, "bridged-contact", "S1");
    CHECK(finding.beside == "opening it interrupts nothing up to 2.7 A");
}

TEST_CASE("two switches side by side on a signal pin carry nothing, whatever lies beyond the common minus") {
    const Results results =
        check_text(boat("controller U1 { phase-peak 60 A, input 18..32 V, capacitance 500 uF, regen none, "
                        "supply-limit 20 A, pin "
                        "stop signal, pin gnd return, spare U V W }\nroute X1 (W8 35 mm2, 1 m) U1.+\nroute "
                        "U1.- (W9 35 mm2, 1 m) X2\n"
                        "switch S2 { 24 V dc, carries 0.5 A, breaks 0.1 A at 24 V dc }\n"
                        "switch S3 { 24 V dc, carries 0.5 A, breaks 0.1 A at 24 V dc }\n"
                        "route U1.stop (W10 0.35 mm2, 1 m) S2 (W11 0.35 mm2, 1 m) U1.gnd\n"
                        "route S2.in (W12 0.35 mm2, 0.4 m) S3 (W13 0.35 mm2, 0.4 m) S2.out\n"));
    CHECK(told(results, flow_rules).empty());
}

TEST_CASE("the return of a charger is guarded by the fuse before it, never by the charger") {
    const auto with = [](const std::string& size) {
        return check_text(
            boat("charger G1 { output 29 V 8 A, reverse blocked }\nfuse F2 is blade { 15 A }\n"
                 "route X1 (direct) F2 (W8 2.5 mm2, 2 m) G1.+\nroute X2 (W9 " +
                 size + ", 2 m) G1.-\n"));
    };
    CHECK(guards(with("2.5 mm2"), "W9") == "F2 20.25");
    CHECK(told(with("2.5 mm2"), flow_rules).empty());
    CHECK(told(with("0.5 mm2"), flow_rules) == Names{"W9"});
}

TEST_CASE("a lead that is thin for its fuse stays an error when nobody knows what a drive gives back") {
    for (const std::string regen : {"none", "5 A", "unknown"}) {
        INFO(regen);
        const Results results = check_text(
            boat("controller U1 { phase-peak 60 A, input 18..32 V, capacitance 500 uF, regen " + regen +
                 ", supply-limit 20 A, spare U V W }\nroute X1 (W8 35 mm2, 1 m) U1.+\nroute U1.- (W9 35 mm2, "
                 "1 m) X2\n"
                 "load E2 { 24 V, 20 W }\nroute U1.+ (W10 0.75 mm2, 1 m) E2 (W11 0.75 mm2, 1 m) U1.-\n"));
        CHECK(told(results, {"oversized-fuse"}) == Names{"W10"});
    }
}

TEST_CASE("what a drive gives back does not add to its own return") {
    const Results results =
        check_text(boat("controller U1 { phase-peak 60 A, input 18..32 V, capacitance 500 uF, regen 30 A, "
                        "supply-limit 20 A, spare U V "
                        "W }\nroute X1 (W8 35 mm2, 1 m) U1.+\nroute U1.- (W9 35 mm2, 1 m) X2\n"));
    CHECK(guards(results, "W9") == "F1 135");
    CHECK(guards(results, "W3") == "F1 135");
}

TEST_CASE("many motors that relays reverse are no short, and a thin leg of one of them is still found") {
    const auto with = [](int motors, const std::string& leg) {
        std::string text;
        for (int i = 1; i <= motors; ++i) {
            text += fmt::format(
                "fuse F1{0} is blade {{ 20 A }}\nroute X1 (direct) F1{0}.in\nload M{0} {{ 24 V, 5 A, acts-as "
                "current }}\nfuse F2{0} is blade {{ 3 A }}\nroute X1 (direct) F2{0}.in\n",
                i);
            for (const char side : {'a', 'b'})
                text += fmt::format(
                    "relay K{0}{1} {{ contacts change-over, carries 30 A, makes 30 A, breaks 20 A at 32 V "
                    "dc, coil 24 V 60 "
                    "mA, coil-works 18..30 V, suppression diode }}\nswitch S{0}{1} {{ 32 V dc, carries 6 A, "
                    "breaks 2 A at "
                    "32 V dc }}\nroute F2{0}.out (W{0}{1}s 1 mm2, 0.3 m) S{0}{1} (W{0}{1}c 1 mm2, 0.3 m) "
                    "K{0}{1}.A1\n"
                    "route K{0}{1}.A2 (W{0}{1}m 1 mm2, 0.3 m) X2\nroute K{0}{1}.nc (W{0}{1}h 4 mm2, 0.3 m) "
                    "X2\n"
                    "route F1{0}.out (W{0}{1}f 4 mm2, 0.3 m) K{0}{1}.no\n",
                    i, side);
            text += fmt::format("route K{0}a.com (W{0}ml {1}, 0.5 m) M{0} (W{0}mr 4 mm2, 0.5 m) K{0}b.com\n",
                                i, i == motors ? leg : "4 mm2");
        }
        return check_text(boat(text));
    };
    for (const int motors : {1, 3, 4, 9}) {
        INFO(motors);
        CHECK(told(with(motors, "4 mm2"), flow_rules).empty());
        CHECK(told(with(motors, "0.5 mm2"), flow_rules) == Names{fmt::format("W{}ml", motors)});
    }
}

TEST_CASE("the return of a lamp on the post of a pack is its own lead, whatever a charger has there") {
    const auto post = [](const std::string& lamp_return) {
        return check_text(
            "loom 1\nharness \"reed cutter\" { ambient 5..30 degC, insulation pvc 90 degC }\n"
            "pack B1 { voltage 42..58 V, resistance 30 mohm, capacity 60 Ah, discharge 90 A, charge 30 A }\n"
            "fuse F1 { 30 A, 80 V dc, breaks 6 kA at 80 V dc, curve iso8820-5 }\n"
            "fuse F2 { 3 A, 80 V dc, breaks 6 kA at 80 V dc, curve iso8820-3, clears 60 A2s }\n"
            "switch S2 { 60 V dc, carries 6 A, breaks 3 A at 60 V dc }\n"
            "charger G1 { output 58 V 15 A, reverse blocked }\nload E1 { 48 V, 20 W }\n"
            "route B1.+ (W1 10 mm2, 0.15 m) F1 (W2 10 mm2, 1 m) G1 (W3 10 mm2, 1 m) B1.-\n"
            "route B1.+ (W4 1.5 mm2, 0.15 m) F2 (W5 1.5 mm2, 1 m) S2 (W6 1.5 mm2, 1 m) E1 (W7 " +
            lamp_return + ", 1 m) B1.-\nmode rest { others at rest }\n");
    };
    const Results thin = post("1 mm2");
    CHECK(told(thin, flow_rules).empty());
    CHECK(guards(thin, "W7") == "F2 4.05");
}

TEST_CASE("two returns side by side are guarded by the fuse of their load, in how many pieces they lie") {
    const auto mixer = [](const std::string& size, const std::string& middle) {
        return check_text(
            boat("stud X4\nstud X5\nconnector J1 { mate P1, half socket, contacts 1 2, carries 60 A, "
                 "100 V, takes 2.5..16 mm2, rated-at 30 degC, limit 105 degC }\n"
                 "fuse F2 is strip { 40 A }\nload E2 { 24 V, 20 W }\n"
                 "route X1 (direct) F2 (W4 16 mm2, 1 m) E2 (W5 16 mm2, 1 m) X4\n"
                 "route X4 (W6 " +
                 size + ", 0.6 m) " + middle + "X5\n" +
                 "route X4 (W8 16 mm2, 0.6 m) J1.2 (W9 16 mm2, 0.6 m) X5\n"
                 "route X5 (W10 16 mm2, 0.6 m) X2\n"));
    };
    const Results pieces = mixer("16 mm2", "J1.1 (W7 16 mm2, 0.6 m) ");
    CHECK(told(pieces, flow_rules).empty());
    CHECK(guards(pieces, "W6") == "F2 54");
    CHECK(told(mixer("16 mm2", ""), flow_rules).empty());
    // Either may be loose: each has to carry all of it.
    CHECK(told(mixer("2.5 mm2", "J1.1 (W7 16 mm2, 0.6 m) "), {"oversized-fuse"}) == Names{"W6"});
}

TEST_CASE("a diode across a coil feeds nothing: a block is judged by the fuse before it") {
    const auto block = [](const std::string& carries) {
        return check_text(boat("terminal-block X6 { 60 V, ways 3, carries " + carries +
                               ", takes 0.5..4 mm2, bridge 1 2 3 }\n"
                               "fuse F2 is blade { 10 A, clears 500 A2s }\n"
                               "load E2 { 24 V, 20 W }\nload E3 { 24 V, 20 W }\n"
                               "diode V1 { 12 A, 100 V, drop 0.8 V }\n"
                               "route X1 (direct) F2 (W4 2.5 mm2, 1 m) X6.1\n"
                               "route X6.2 (W5 2.5 mm2, 1 m) E2 (W6 2.5 mm2, 1 m) X2\n"
                               "route X6.3 (W7 2.5 mm2, 1 m) E3 (W8 2.5 mm2, 1 m) X2\n"
                               "route E2.- (direct) V1 (direct) E2.+\n"));
    };
    CHECK(told(block("10.01 A"), {"rated-below-guard"}, Severity::warning).empty());
    CHECK(told(block("9.99 A"), {"rated-below-guard"}, Severity::warning) == Names{"X6"});
}

TEST_CASE(
    "a bar's lead to the pack carries what its main fuse lets through, whatever else begins at the pack") {
    const std::string bars =
        "busbar X3 { studs 6, carries 150 A }\nbusbar X4 { studs 6, carries 150 A }\n"
        "fuse F2 is blade { 5 A }\nload E1 { 24 V, 40 W, acts-as power, works 18..31 V }\n"
        "route X1 (W20 35 mm2, 0.3 m) X3.1\nroute X3.2 (W21 1.5 mm2, 0.1 m) F2 (W22 1.5 mm2, 1 m) E1 (W23 "
        "1.5 "
        "mm2, 1 m) X4.1\nroute X4.2 (W24 2.5 mm2, 0.3 m) X2\n";
    const std::string beside =
        "fuse F8 is blade { 5 A }\nload E8 { 24 V, 20 W, acts-as power, works 18..31 V }\n"
        "route B1.+ (W30 1.5 mm2, 0.1 m) F8 (W31 1.5 mm2, 1 m) E8 (W32 1.5 mm2, 1 m) B1.-\n";
    for (const std::string& more : {std::string(), beside}) {
        CHECK(told(check_text(boat(bars + more, "2.5 mm2")), {"oversized-fuse"}) == Names{"W3"});
        // A bar beside the bar: its own lead home carries that as well.
        CHECK(told(check_text(boat(bars + more)), {"oversized-fuse"}) == Names{"W24"});
        const std::string thick = replaced(bars, "W24 2.5 mm2", "W24 35 mm2");
        CHECK(told(check_text(boat(thick + more)), {"oversized-fuse"}).empty());
    }
    // A lamp board's own minus is as thin as the fuse before its plus allows.
    const std::string fused =
        replaced(bars, "route X1 (W20 35 mm2, 0.3 m) X3.1",
                 "fuse F7 is blade { 20 A }\nroute X1 (direct) F7 (W20 35 mm2, 0.3 m) X3.1");
    CHECK(told(check_text(boat(fused)), {"oversized-fuse"}).empty());
    // Loads of the same fuse that come home elsewhere.
    const std::string board =
        replaced(bars, "route X4.2 (W24 2.5 mm2, 0.3 m) X2", "route X4.2 (W24 2.5 mm2, 0.3 m) B1.-");
    const std::string drive =
        "fuse F9 is blade { 30 A }\nload E9 { 24 V, 20 A, acts-as current, works 18..31 V }\n"
        "route X1 (W40 10 mm2, 0.1 m) F9 (W41 10 mm2, 1 m) E9 (W42 10 mm2, 1 m) X2\n";
    CHECK(told(check_text(boat(board + drive)), {"oversized-fuse"}) == Names{"W24"});
    CHECK(told(check_text(boat(replaced(fused, "route X4.2 (W24 2.5 mm2, 0.3 m) X2",
                                        "route X4.2 (W24 2.5 mm2, 0.3 m) B1.-") +
                               drive)),
               {"oversized-fuse"})
              .empty());
    CHECK(told(check_text(boat(board)), {"oversized-fuse"}) == Names{"W24"});
}

}  // namespace what_can_flow_test
