// Several that have lost the return they share: current comes home through the others alone.
#include "tests/checker/exchanged.hpp"

namespace lost_return_test {

using namespace loomward;
using namespace loomward::testing;

namespace {

// Three lamps of a trailer; the stud on which two of them end has no lead to the vehicle.
const std::string trailer =
    "loom 1\nharness \"hay trailer\" { ambient 0..40 degC, insulation pvc 90 degC }\n"
    "part blade is fuse { 32 V dc, breaks 4 kA at 32 V dc, curve iso8820-3 }\n"
    "pack B1 { voltage 10.5..14.4 V, resistance 5..9 mohm, capacity 110 Ah, discharge 100 A, charge 30 A }\n"
    "fuse F1 is blade { 5 A }\nfuse F2 is blade { 5 A }\n"
    "switch S1 { 24 V dc, carries 20 A, makes 40 A, breaks 16 A at 24 V dc }\n"
    "switch S2 { 24 V dc, carries 20 A, makes 40 A, breaks 16 A at 24 V dc }\n"
    "stud X3 { carries 20 A }\n"
    "load E1 \"tail\" { 12 V, 10 W, acts-as power, works 9..16 V }\n"
    "load E2 \"stop\" { 12 V, 21 W, acts-as power, works 9..16 V }\n"
    "load E3 \"plate\" { 12 V, 5 W, acts-as power, works 9..16 V }\n"
    "route B1.+ (W1 1.5 mm2, 0.1 m) F1 (W2 1.5 mm2, 1 m) S1 (W3 1.5 mm2, 1 m) E1 (W4 1.5 mm2, 0.3 m) X3\n"
    "route B1.+ (W5 1.5 mm2, 0.1 m) F2 (W6 1.5 mm2, 1 m) S2 (W7 1.5 mm2, 1 m) E2 (W8 1.5 mm2, 0.3 m) X3\n"
    "route S1.out (W9 1.5 mm2, 1 m) E3 (W10 1.5 mm2, 0.3 m) B1.-\n"
    "mode off { others at rest }\nmode towing { S1 closed, others at rest }\nmode braking { S1 S2 closed }\n";

}  // namespace

TEST_CASE("lamps whose common return is missing have none, though another lamp leads home") {
    for (const std::string_view lamp : {"E1", "E2"}) {
        const Told found = told(trailer, "floating", lamp);
        REQUIRE(found);
        CHECK(found.finding->severity == Severity::error);
        CHECK(found.finding->help == "a lead from " + std::string(lamp) + ".- to the minus of its supply");
    }
    CHECK_FALSE(told(trailer, "floating", "E3"));
    const std::string mended = with(trailer, {{"mode off", "route X3 (W11 1.5 mm2, 1 m) B1.-\nmode off"}});
    CHECK_FALSE(told(mended, "floating"));
}

TEST_CASE("what others drive backwards for want of a return is not told to exchange its wires") {
    const std::string brake_alone =
        with(trailer, {{"mode off", "mode slowing { S2 closed, S1 open }\nmode off"}});
    const Told found = told(brake_alone, "reversed", "E1");
    REQUIRE(found);
    CHECK(found.finding->message == "load E1 is fed backwards through other loads");
    CHECK(found.finding->help == "a lead from E1.- to the minus of its supply");
}

TEST_CASE("two lamps in series share their voltage, and float nowhere") {
    const std::string series =
        "loom 1\nharness \"tractor\" { ambient 0..40 degC, insulation pvc 90 degC }\n"
        "pack B1 { voltage 10.5..14.4 V, resistance 5..9 mohm, capacity 110 Ah, discharge 100 A, charge 30 A "
        "}\n"
        "fuse F1 { 5 A, 32 V dc, breaks 4 kA at 32 V dc, curve iso8820-3 }\n"
        "switch S1 { 24 V dc, carries 20 A, makes 40 A, breaks 16 A at 24 V dc }\nsplice X1\n"
        "load E1 { 6 V, 10 W, acts-as resistor }\nload E2 { 6 V, 10 W, acts-as resistor }\n"
        "route B1.+ (W1 1.5 mm2, 0.1 m) F1 (W2 1.5 mm2, 1 m) S1 (W3 1.5 mm2, 1 m) E1 (W4 1.5 mm2, 1 m) X1\n"
        "route X1 (W5 1.5 mm2, 1 m) E2 (W6 1.5 mm2, 1 m) B1.-\n"
        "mode off { others at rest }\nmode on { S1 closed }\n";
    CHECK_FALSE(told(series, "floating"));
    // One of them hardly gets any.
    CHECK(told(with(series, {{"load E2 { 6 V, 10 W", "load E2 { 6 V, 0.5 W"}}), "floating", "E1"));
}

}  // namespace lost_return_test
