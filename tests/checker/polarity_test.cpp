// Loads that are fed the wrong way round, and motors that are meant to be.
#include <catch2/catch.hpp>

#include "tests/checker/checking.hpp"

using namespace loomward;
using namespace loomward::testing;

namespace {

// Two change-over relays: at rest both ends of E1 lie on minus, one energised feeds it one way, the other the
// other.
const Finding* reversed(const Results& results) {
    const Finding* found = nullptr;
    for (const Finding& finding : results.findings)
        if (finding.rule == "reversed") found = &finding;
    return found;
}
Results reversing(const std::string& stall, const std::string& modes) {
    const std::string relay =
        " { contacts change-over, carries 20 A, breaks 10 A at 60 V dc, coil 24 V 100 mA, coil-works 15..32 "
        "V, "
        "suppression diode }\n";
    return check_text(
        "loom 1\nharness \"actuator\" { ambient 10..30 degC, insulation pvc 90 degC }\n"
        "pack B1 { voltage 21..28 V, resistance 10 mohm, capacity 40 Ah, discharge 50 A, charge 10 A }\n"
        "fuse F1 { 10 A, 80 V dc, breaks 5 kA at 80 V dc, curve iso8820-3 }\n"
        "switch S1 { 80 V dc, carries 5 A, breaks 2 A at 60 V dc }\n"
        "switch S2 { 80 V dc, carries 5 A, breaks 2 A at 60 V dc }\n"
        "relay K1" +
        relay + "relay K2" + relay + "load E1 { 24 V, 3 A" + stall +
        " }\nstud X1\nstud X2\n"
        "route B1.+ (W1 2.5 mm2, 0.1 m) F1 (W2 2.5 mm2, 0.2 m) X1\nroute X2 (W3 2.5 mm2, 0.2 m) B1.-\n"
        "route X1 (W4 2.5 mm2, 0.1 m) K1.no\nroute X2 (W5 2.5 mm2, 0.1 m) K1.nc\n"
        "route X1 (W6 2.5 mm2, 0.1 m) K2.no\nroute X2 (W7 2.5 mm2, 0.1 m) K2.nc\n"
        "route K1.com (W8 2.5 mm2, 1 m) E1 (W9 2.5 mm2, 1 m) K2.com\n"
        "route X1 (W10 1 mm2, 0.1 m) S1 (W11 1 mm2, 0.1 m) K1.A1\nroute K1.A2 (W12 1 mm2, 0.1 m) X2\n"
        "route X1 (W13 1 mm2, 0.1 m) S2 (W14 1 mm2, 0.1 m) K2.A1\nroute K2.A2 (W15 1 mm2, 0.1 m) X2\n"
        "mode off { others at rest }\n" +
        modes);
}
const std::string in = "mode in { S2 closed, K2 energised, others at rest }\n";
const std::string out = "mode out { S1 closed, K1 energised, others at rest }\n";

}  // namespace

TEST_CASE("a motor that one mode feeds one way and another the other is a note") {
    const Results results = reversing(", stall 9 A", in + out);
    const Finding* finding = reversed(results);
    REQUIRE(finding);
    CHECK(finding->severity == Severity::note);
    CHECK(finding->message == "load E1 is fed either way round");
}

TEST_CASE("a motor that is only ever fed the wrong way stays an error") {
    const Results results = reversing(", stall 9 A", in);
    REQUIRE(reversed(results));
    CHECK(reversed(results)->severity == Severity::error);
    CHECK(reversed(results)->help == "exchange the wires at its two poles");
    CHECK(reversed(reversing(", stall 9 A", out)) == nullptr);
}

TEST_CASE("what is not known to be a motor stays an error, with the way out for one that is") {
    const Results results = reversing("", in + out);
    REQUIRE(reversed(results));
    CHECK(reversed(results)->severity == Severity::error);
    CHECK_THAT(reversed(results)->help,
               Catch::EndsWith("; a motor that is meant to run both ways says its stall current"));
}
