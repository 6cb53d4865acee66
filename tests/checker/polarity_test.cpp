// Loads that are fed the wrong way round, and motors that are meant to be.
#include <catch2/catch.hpp>

#include "tests/checker/checking.hpp"

namespace polarity_test {

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
const std::string straight = "E1";
Results reversing(const std::string& stall, const std::string& modes,
                  const std::string& plus_leg = straight) {
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
        "route K1.com (W8 2.5 mm2, 1 m) " +
        plus_leg +
        " (W9 2.5 mm2, 1 m) K2.com\n"
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

TEST_CASE("a load that contacts turn round is a motor, whether it says its stall current or not") {
    const Results results = reversing("", in + out);
    REQUIRE(reversed(results));
    CHECK(reversed(results)->severity == Severity::note);
    CHECK(found(results, Severity::error).empty());
    CHECK(reversed(reversing("", in))->severity == Severity::error);
    // Electronics hold their power, and do not like it.
    const Results electronic = reversing(", acts-as power", in + out);
    REQUIRE(reversed(electronic));
    CHECK(reversed(electronic)->severity == Severity::error);
    CHECK_THAT(reversed(electronic)->help,
               Catch::EndsWith("; a motor that is meant to run both ways says its stall current"));
}

TEST_CASE("a switch at the end of its way hides no motor that contacts turn round") {
    const std::string with_end = "S3 (W16 2.5 mm2, 0.2 m) E1";
    const std::string end =
        "switch S3 { 80 V dc, carries 5 A, breaks 5 A at 60 V dc, rest closed }\n"
        "diode D1 { 10 A, 100 V, drop 0.7 V }\nroute S3.out (direct) D1 (direct) S3.in\n";
    const Results results = reversing("", end + in + out, with_end);
    REQUIRE(reversed(results));
    CHECK(reversed(results)->severity == Severity::note);
    CHECK(reversed(reversing("", end + in, with_end))->severity == Severity::error);
}

TEST_CASE("a diode in line with a load between change-over contacts leads nothing up from the minus") {
    const std::string diode = "diode D1 { 10 A, 100 V, drop 0.7 V }\n";
    const std::string in_line = "D1.A\nroute D1.K (W16 2.5 mm2, 0.2 m) E1";
    const Results guarded = reversing("", diode + out, in_line);
    CHECK(found(guarded, Severity::error).empty());
    CHECK(finding_of(guarded, "no-freewheel") == nullptr);  // in line, and across nothing
    // A lead behind it that the fuse lets burn is told as that.
    const Results burning = reversing("", diode + out, "D1.A\nroute D1.K (W16 0.25 mm2, 0.2 m) E1");
    CHECK(found(burning, Severity::error) == std::vector<std::string>{"oversized-fuse W16"});
}

TEST_CASE("a load that is turned round draws what it draws the other way") {
    // 3 A each way; as a current it would else draw nothing where it is turned.
    const auto back_A = [](const std::string& acts) {
        const Results results = reversing(acts, in + out);
        double most_A = 0;
        for (const OperatingPoint& point : results.points)
            for (std::size_t i = 0; i < results.circuit.edges.size(); ++i)
                if (results.circuit.edges[i].role == EdgeRole::load && point.usable())
                    most_A = std::max(most_A, -point.edge_A[i]);
        return most_A;
    };
    CHECK(back_A(", acts-as current") == Approx(3).epsilon(1e-3));
    CHECK(back_A(", acts-as power") == Approx(0).margin(1e-3));
}

namespace {

// Four contacts around E1; and a second supply, crossed or not, that another switch puts on.
Results bridge(const std::string& modes) {
    const std::string contact =
        " { carries 20 A, breaks 10 A at 60 V dc, coil 24 V 100 mA, coil-works 15..32 V\n"
        "  suppression diode }\n";
    std::string text =
        "loom 1\nharness \"bridge\" { ambient 10..30 degC, insulation pvc 90 degC }\n"
        "pack B1 { voltage 21..28 V, resistance 10 mohm, capacity 40 Ah, discharge 50 A, charge 10 A }\n"
        "fuse F1 { 10 A, 80 V dc, breaks 5 kA at 80 V dc, curve iso8820-3 }\n"
        "switch S1 { 80 V dc, carries 5 A, breaks 2 A at 60 V dc }\n"
        "switch S2 { 80 V dc, carries 5 A, breaks 2 A at 60 V dc }\n"
        "load E1 { 24 V, 3 A }\nstud X1\nstud X2\nstud X3\nstud X4\nstud X5\nstud X6\n";
    for (const std::string name : {"K1", "K2", "K3", "K4"}) text += "contactor " + name + contact;
    text +=
        "route B1.+ (W1 2.5 mm2, 0.1 m) F1 (W2 2.5 mm2, 0.2 m) X1\nroute X2 (W3 2.5 mm2, 0.2 m) B1.-\n"
        "route X1 (W4 2.5 mm2, 0.1 m) K1 (W5 2.5 mm2, 0.1 m) X3\n"
        "route X3 (W6 2.5 mm2, 0.1 m) K2 (W7 2.5 mm2, 0.1 m) X2\n"
        "route X1 (W8 2.5 mm2, 0.1 m) K3 (W9 2.5 mm2, 0.1 m) X4\n"
        "route X4 (W10 2.5 mm2, 0.1 m) K4 (W11 2.5 mm2, 0.1 m) X2\n"
        "route X3 (W12 2.5 mm2, 0.1 m) E1 (W13 2.5 mm2, 0.1 m) X4\n"
        "route X1 (W14 1 mm2, 0.1 m) S1 (W15 1 mm2, 0.1 m) X5\n"
        "route X1 (W16 1 mm2, 0.1 m) S2 (W17 1 mm2, 0.1 m) X6\n"
        "route X5 (W18 1 mm2, 0.1 m) K1.A1\nroute K1.A2 (W19 1 mm2, 0.1 m) X2\n"
        "route X5 (W20 1 mm2, 0.1 m) K4.A1\nroute K4.A2 (W21 1 mm2, 0.1 m) X2\n"
        "route X6 (W22 1 mm2, 0.1 m) K2.A1\nroute K2.A2 (W23 1 mm2, 0.1 m) X2\n"
        "route X6 (W24 1 mm2, 0.1 m) K3.A1\nroute K3.A2 (W25 1 mm2, 0.1 m) X2\n";
    return check_text(text + modes);
}

// A load that one switch puts on its pack and another on a second one, whose leads are crossed.
Results crossed(const std::string& plus, const std::string& minus) {
    return check_text(
        "loom 1\nharness \"second supply\" { ambient 10..30 degC, insulation pvc 90 degC }\n"
        "pack B1 { voltage 21..28 V, resistance 10 mohm, capacity 40 Ah, discharge 50 A, charge 10 A }\n"
        "pack B2 { voltage 21..28 V, resistance 10 mohm, capacity 40 Ah, discharge 50 A, charge 10 A }\n"
        "fuse F1 { 10 A, 80 V dc, breaks 5 kA at 80 V dc, curve iso8820-3 }\n"
        "fuse F2 { 10 A, 80 V dc, breaks 5 kA at 80 V dc, curve iso8820-3 }\n"
        "part pole is selector { terminals 1 2 com, position off, position one 1 com, position two 2 com\n"
        "  80 V dc, carries 20 A, breaks 10 A at 60 V dc }\nselector S1 is pole\nselector S2 is pole\n"
        "load E1 { 24 V, 3 A }\n"
        "route B1.+ (W1 2.5 mm2, 0.1 m) F1 (W2 2.5 mm2, 0.2 m) S1.1\nroute B1.- (W3 2.5 mm2, 0.2 m) S2.1\n"
        "route " +
        plus + " (W4 2.5 mm2, 0.1 m) F2 (W5 2.5 mm2, 0.2 m) S1.2\nroute " + minus +
        " (W6 2.5 mm2, 0.2 m) S2.2\n"
        "route S1.com (W7 2.5 mm2, 0.1 m) E1 (W8 2.5 mm2, 0.1 m) S2.com\n"
        "mode off { others at rest }\nmode one { S1 S2 at one, others at rest }\n"
        "mode two { S1 S2 at two, others at rest }\n");
}

}  // namespace

TEST_CASE("four contacts around a load turn it round as two change-overs do") {
    const Results results = bridge(
        "mode off { others at rest }\n"
        "mode in { S1 K1 K4 closed, others at rest }\n"
        "mode out { S2 K2 K3 closed, others at rest }\n");
    REQUIRE(reversed(results));
    CHECK(reversed(results)->severity == Severity::note);
}

TEST_CASE("a second supply with its leads crossed turns nothing round on purpose") {
    const Results results = crossed("B2.-", "B2.+");
    REQUIRE(reversed(results));
    CHECK(reversed(results)->severity == Severity::error);
    CHECK(reversed(crossed("B2.+", "B2.-")) == nullptr);
}

}  // namespace polarity_test
