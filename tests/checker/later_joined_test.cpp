// Contacts that close between packs of one voltage, and onto what nobody says they make; sources side by
// side.
#include <catch2/catch.hpp>

#include "checker/find_out.hpp"
#include "tests/checker/checking.hpp"

namespace later_joined_test {

using namespace loomward;
using namespace loomward::testing;
using namespace loomward::literals;

namespace {

// Two banks with a switch each; the second one says what it makes.
Results banks(const std::string& makes, const std::string& both, const std::string& first = "1 kA") {
    return check_text(
        "loom 1\nharness \"reed boat\" { ambient 0..30 degC, insulation xlpe 90 degC }\n"
        "part bank is pack { voltage 23..28.8 V, resistance 10..16 mohm, capacity 80 Ah, discharge 120 A, "
        "charge 25 A }\n"
        "pack B1 is bank\npack B2 is bank\n"
        "part strip is fuse { 100 A, 80 V dc, breaks 6 kA at 80 V dc, curve iso8820-5 }\nfuse F1 is "
        "strip\nfuse F2 is strip\n"
        "switch S1 { 80 V dc, carries 150 A, makes " +
        first +
        ", breaks 150 A at 60 V dc, resistance 0.3 mohm }\n"
        "switch S2 { 80 V dc, carries 150 A, " +
        makes +
        "breaks 150 A at 60 V dc, resistance 0.3 mohm }\n"
        "load E1 { 24 V, 20 A, acts-as current }\nbusbar X1 { studs 3, carries 200 A }\nbusbar X2 { studs 3, "
        "carries 200 A }\n"
        "route B1.+ (W1 35 mm2, 0.1 m) F1 (W2 35 mm2, 0.2 m) S1 (W3 35 mm2, 0.1 m) X1.1\n"
        "route B2.+ (W4 35 mm2, 0.1 m) F2 (W5 35 mm2, 0.2 m) S2 (W6 35 mm2, 0.1 m) X1.2\n"
        "route X1.3 (W7 10 mm2, 0.1 m) E1 (W8 10 mm2, 0.1 m) X2.3\nroute B1.- (W9 35 mm2, 0.1 m) X2.1\nroute "
        "B2.- (W10 35 mm2, 0.1 m) X2.2\n"
        "mode off { others at rest }\nmode one { S1 closed, others at rest }\nmode both { S1 S2 closed, " +
        both + "others at rest }\n");
}

}  // namespace

TEST_CASE("a full bank that is joined later to a used one may weld the contact that joins them") {
    const std::string later = "after one 60 s, ";
    const Results told = banks("makes 100 A, ", later);
    const Finding* finding = finding_of(told, "joined-packs", "B2");
    REQUIRE(finding);
    CHECK(finding->severity == Severity::warning);
    const double flows_A = figure(*finding, "current");
    CHECK(flows_A > 200);
    CHECK(finding->working.back().find("> 100 A (makes)") != std::string::npos);
    const auto with = [&](double makes_A, const std::string& mode) {
        return finding_of(banks("makes " + std::to_string(makes_A) + " A, ", mode), "joined-packs", "B2")
            ->severity;
    };
    CHECK(with(flows_A * 0.999, later) == Severity::warning);
    CHECK(with(flows_A * 1.001, later) == Severity::note);
    // Of two that make less the one that closes.
    CHECK(finding_of(banks("makes 100 A, ", later, "150 A"), "joined-packs", "B2")
              ->working.back()
              .find("> 100 A (makes)") != std::string::npos);
    CHECK(finding_of(banks("makes 150 A, ", later, "100 A"), "joined-packs", "B2")
              ->working.back()
              .find("> 150 A (makes)") != std::string::npos);
    // Both closed from the start: they are equal, as they were yesterday.
    CHECK(with(100, "") == Severity::note);
    CHECK(with(100, "after off 60 s, ") == Severity::note);
}

TEST_CASE(
    "a contact of which nobody says what it makes may weld on empty capacitors: an error, and possible") {
    const auto drive = [](const std::string& makes) {
        return check_text(
            "loom 1\nharness \"ash lift\" { ambient 0..35 degC, insulation pvc 90 degC }\n"
            "pack B1 { voltage 42..54 V, resistance 25 mohm, capacity 30 Ah, discharge 80 A, charge 15 A }\n"
            "fuse F1 { 60 A, 80 V dc, breaks 6 kA at 80 V dc, curve iso8820-5 }\n"
            "switch S1 { 80 V dc, carries 100 A, " +
            makes +
            "breaks 150 A at 80 V dc }\n"
            "controller U1 { input 30..60 V, capacitance 3 mF, phase-peak 80 A, supply-limit 30 A, regen "
            "none }\n"
            "route B1.+ (W1 16 mm2, 0.1 m) F1 (W2 16 mm2, 0.5 m) S1 (W3 16 mm2, 0.5 m) U1.+\nroute U1.- (W4 "
            "16 mm2, 0.5 m) B1.-\n"
            "mode off { others at rest }\nmode on { S1 closed, U1 draws 20 A }\n");
    };
    const Results open = drive("");
    const Finding* finding = finding_of(open, "no-precharge", "S1");
    REQUIRE(finding);
    CHECK(finding->severity == Severity::error);
    CHECK(finding->possible);
    REQUIRE(finding->hangs_on.size() == 1);
    CHECK(finding->hangs_on[0].name == "makes");
    REQUIRE(finding->hangs_on[0].turns);
    const double peak_A = middle_of(*finding->hangs_on[0].turns);
    CHECK_FALSE(finding->hangs_on[0].turns->above);
    const Results below = drive("makes " + std::to_string(peak_A * 0.999) + " A, ");
    REQUIRE(finding_of(below, "no-precharge", "S1"));
    CHECK_FALSE(finding_of(below, "no-precharge", "S1")->possible);
    CHECK_FALSE(finding_of(drive("makes " + std::to_string(peak_A * 1.001) + " A, "), "no-precharge", "S1"));
}

TEST_CASE("an alternator's isolating diode takes nothing from what hangs beside the bank it charges") {
    const auto boat = [](const std::string& lead) {
        return check_text(
            "loom 1\nharness \"peat boat\" { ambient 0..40 degC, insulation pvc 90 degC }\n"
            "pack B1 { voltage 11.8..14.4 V, resistance 4..6 mohm, capacity 200 Ah, discharge 150 A, charge "
            "60 A }\n"
            "fuse F1 { 100 A, 80 V dc, breaks 6 kA at 80 V dc, curve iso8820-5 }\nfuse F2 { 60 A, 80 V dc, "
            "breaks 6 kA at 80 V dc, curve iso8820-5 }\n"
            "fuse F3 { 10 A, 80 V dc, breaks 6 kA at 80 V dc, curve iso8820-3 }\n"
            "switch S1 { 32 V dc, carries 200 A, makes 500 A, breaks 200 A at 32 V dc, resistance 0.2 mohm "
            "}\n"
            "diode D2 { 80 A, 60 V, drop 0.35 V }\ncharger G1 { output 14.4 V 35 A, reverse blocked }\n"
            "load E1 { 12 V, 3 A, acts-as current, works 9..16 V }\nbusbar X1 { studs 3, carries 150 A "
            "}\nbusbar X3 { studs 3, carries 150 A }\n"
            "route B1.+ (W1 35 mm2, 0.1 m) F1 (W2 35 mm2, 0.3 m) S1 (W8 35 mm2, 0.2 m) X1.1\n"
            "route X1.2 (direct) F2 (W3 25 mm2, 1 m) D2.K\nroute D2.A (W4 25 mm2, 0.5 m) G1 (W5 25 mm2, 1.2 "
            "m) X3.1\n"
            "route X1.3 (direct) F3 (W6 4 mm2, 0.6 m) E1 (W9 " +
            lead +
            ") X3.2\nroute X3.3 (W10 35 mm2, 0.3 m) B1.-\n"
            "mode under-way { S1 closed, G1 delivers 35 A }\n");
    };
    CHECK_FALSE(finding_of(boat("4 mm2, 0.8 m"), "voltage-drop"));
    CHECK(finding_of(boat("0.75 mm2, 9 m"), "voltage-drop", "E1"));
}

TEST_CASE("what panel terminals take is asked for where nobody says it") {
    const auto regulator = [](const std::string& takes) {
        return check_text(
            "loom 1\nharness \"hut\" { ambient 0..40 degC, insulation pvc 90 degC }\n"
            "pack B1 { voltage 23..28.8 V, resistance 10..16 mohm, capacity 80 Ah, discharge 120 A, charge "
            "25 A }\n"
            "panel V1 { open-circuit-voltage 38 V, short-circuit-current 24 A, maximum-series-fuse 40 A }\n"
            "charger G1 { output 28.8 V 20 A, reverse blocked, panel-input 30..75 V" +
            takes +
            " }\n"
            "fuse F1 { 30 A, 80 V dc, breaks 6 kA at 80 V dc, curve iso8820-5 }\n"
            "route V1.+ (W1 10 mm2, 2 m) G1.in+\nroute V1.- (W2 10 mm2, 2 m) G1.in-\n"
            "route B1.+ (W3 10 mm2, 0.1 m) F1 (W4 10 mm2, 0.3 m) G1 (W5 10 mm2, 0.4 m) B1.-\n"
            "mode night { others at rest }\n");
    };
    const auto asked = [](const Results& results) {
        const std::vector<ToFindOut> list = what_to_find_out(results);
        return std::any_of(list.begin(), list.end(), [](const ToFindOut& each) {
            return each.first.attribute == "panel-current"_attr && each.of == std::vector<std::string>{"G1"};
        });
    };
    CHECK(asked(regulator("")));
    CHECK(asked(regulator(", panel-current unknown")));
    CHECK_FALSE(asked(regulator(", panel-current 40 A")));
}

}  // namespace later_joined_test
