// Currents of others that go through the minus of a device or converter, or backwards through a converter.
#include <catch2/catch.hpp>

#include "checker/rules/rule_example.hpp"
#include "tests/checker/checking.hpp"

namespace strange_returns_test {

using namespace loomward;
using namespace loomward::testing;

namespace {

// A board with two large outputs, both off, and a pump of so many amperes that returns by its ground.
Results board(const std::string& pump_A, const std::string& outputs = "", const std::string& pins = "") {
    return check_text(
        "loom 1\nharness \"milk cart\" { ambient 0..30 degC, insulation xlpe 90 degC }\n"
        "pack B1 { voltage 22..29 V, resistance 20 mohm, capacity 60 Ah, discharge 60 A, charge 20 A }\n"
        "fuse F1 { 20 A, 80 V dc, breaks 6 kA at 80 V dc, curve iso8820-5 }\n"
        "switch S1 { 80 V dc, carries 40 A, makes 60 A, breaks 40 A at 60 V dc }\n"
        "device A1 { pin in supply 18..32 V 100 mA, pin minus return, pin gnd return, pin a high-side 5 A" +
        pins +
        " }\n"
        "load E1 { 24 V, " +
        pump_A +
        ", acts-as current, works 18..32 V }\n"
        "load E2 { 24 V, 4 A, acts-as current, works 18..32 V }\n"
        "route B1.+ (W1 6 mm2, 0.1 m) F1 (W2 6 mm2, 0.1 m) S1 (W3 4 mm2, 0.2 m) A1.in\n"
        "route A1.minus (W4 4 mm2, 0.2 m) B1.-\n"
        "route S1.out (W5 4 mm2, 0.2 m) E1 (W6 4 mm2, 0.2 m) A1.gnd\n"
        "route A1.a (W7 4 mm2, 0.2 m) E2 (W8 4 mm2, 0.2 m) A1.gnd\n"
        "mode off { others at rest }\nmode on { S1 closed" +
        outputs + ", others at rest }\n");
}

Results converter(const std::string& pump_A) {
    return check_text(
        "loom 1\nharness \"boiler cart\" { ambient 0..30 degC, insulation xlpe 90 degC }\n"
        "pack B1 { voltage 22..29 V, resistance 20 mohm, capacity 60 Ah, discharge 60 A, charge 20 A }\n"
        "fuse F1 { 30 A, 80 V dc, breaks 6 kA at 80 V dc, curve iso8820-5 }\n"
        "switch S1 { 80 V dc, carries 40 A, makes 60 A, breaks 40 A at 60 V dc }\n"
        "converter D1 { input 18..32 V, output 12 V 5 A, efficiency 100 %, negative common, reverse blocked "
        "}\n"
        "load E1 { 24 V, " +
        pump_A +
        ", acts-as current, works 18..32 V }\n"
        "route B1.+ (W1 6 mm2, 0.1 m) F1 (W2 6 mm2, 0.1 m) S1 (W3 6 mm2, 0.2 m) D1.in+\n"
        "route D1.in- (W4 6 mm2, 0.2 m) B1.-\n"
        "route S1.out (W5 6 mm2, 0.2 m) E1 (W6 6 mm2, 0.2 m) D1.out-\n"
        "mode off { others at rest }\nmode on { S1 closed, others at rest }\n");
}

}  // namespace

TEST_CASE("what returns through a device and none of its pins has given is told from one ampere on") {
    const Results strange = board("1.01 A");
    const Finding* finding = finding_of(strange, "overloaded-pin", "A1");
    REQUIRE(finding);
    CHECK(finding->severity == Severity::warning);
    CHECK(finding->message == "pin A1.gnd is a way for what is no part of device A1");
    CHECK(figure(*finding, "current") == Approx(1.01).epsilon(0.01));
    CHECK_FALSE(finding_of(board("0.99 A"), "overloaded-pin"));
}

TEST_CASE("where signals are measured against a return, loads may send it no more than a signal lead") {
    // Policy signal-current, 100 mA.
    const Results shifted = board("0.11 A", "", ", pin level signal");
    const Finding* finding = finding_of(shifted, "overloaded-pin", "A1");
    REQUIRE(finding);
    CHECK(figure(*finding, "limit") == Approx(0.1));
    CHECK_FALSE(finding_of(board("0.09 A", "", ", pin level signal"), "overloaded-pin"));
    CHECK_FALSE(finding_of(board("0.11 A"), "overloaded-pin"));
    // What its own high-side pin gives is none of that.
    CHECK_FALSE(finding_of(board("0.05 A", ", A1.a on", ", pin level signal"), "overloaded-pin"));
}

TEST_CASE("what a high-side pin gives may come home through the device") {
    CHECK_FALSE(finding_of(board("0.9 A", ", A1.a on"), "overloaded-pin"));
    CHECK(finding_of(board("1.1 A", ", A1.a on"), "overloaded-pin"));
}

TEST_CASE("the common minus of a converter is no way for more than it gives and one ampere") {
    const Results strange = converter("6.1 A");
    const Finding* finding = finding_of(strange, "overloaded-pin", "D1");
    REQUIRE(finding);
    CHECK(finding->message == "the minus of converter D1 is a way for what is no part of it");
    CHECK_FALSE(finding_of(converter("5.9 A"), "overloaded-pin"));
}

TEST_CASE("a source at the output of a converter that does not block feeds what its switch cuts off") {
    const auto booster = [](const std::string& reverse, const std::string& lamp) {
        return check_text(
            "loom 1\nharness \"organ cart\" { ambient 0..30 degC, insulation xlpe 90 degC }\n"
            "pack B1 { voltage 42..54 V, resistance 30 mohm, capacity 30 Ah, discharge 60 A, charge 15 A }\n"
            "pack B2 { voltage 11.8..14.4 V, resistance 12 mohm, capacity 20 Ah, discharge 30 A, charge 12 A "
            "}\n"
            "fuse F1 { 10 A, 80 V dc, breaks 10 kA at 80 V dc, curve iso8820-5 }\n"
            "fuse F2 { 10 A, 80 V dc, breaks 10 kA at 80 V dc, curve iso8820-5 }\n"
            "switch S1 { 80 V dc, carries 20 A, makes 100 A, breaks 20 A at 60 V dc }\n"
            "converter D1 { input 36..60 V, output 13 V 10 A, efficiency 90 %, negative common, reverse " +
            reverse +
            " }\n"
            "load E1 { 48 V, " +
            lamp +
            ", acts-as current }\n"
            "route B1.+ (W1 2.5 mm2, 0.1 m) F1 (W2 2.5 mm2, 0.1 m) S1 (W3 2.5 mm2, 0.2 m) D1.in+\n"
            "route D1.in- (W4 4 mm2, 0.2 m) B1.-\nroute S1.out (W5 2.5 mm2, 0.2 m) E1 (W6 2.5 mm2, 0.2 m) "
            "B1.-\n"
            "route B2.+ (W7 4 mm2, 0.1 m) F2 (W8 4 mm2, 0.2 m) D1.out+\nroute D1.out- (W9 4 mm2, 0.2 m) "
            "B2.-\n"
            "mode off { D1 off, others at rest }\n");
    };
    const Results told = booster("passes", "0.11 A");
    const Finding* finding = finding_of(told, "fed-backwards", "D1");
    REQUIRE(finding);
    CHECK(finding->severity == Severity::warning);
    CHECK_FALSE(finding_of(booster("passes", "0.09 A"), "fed-backwards"));
    CHECK_FALSE(finding_of(booster("blocked", "0.11 A"), "fed-backwards"));
}

}  // namespace strange_returns_test
