// A battery management beside the current, which opens a contactor: its limits, its trips and what the
// contactor has to break.
#include <catch2/catch.hpp>

#include <cmath>

#include "checker/budget/budget.hpp"
#include "checker/parts/time_current.hpp"
#include "tests/checker/checking.hpp"

namespace driven_contactor_test {

using namespace loomward;
using namespace loomward::testing;

namespace {

struct Cart {
    std::string management = "side high, drives K1, discharge 70 A, charge 20 A, trips 90 A after 0.2 s";
    std::string contactor = "breaks 8 kA at 80 V dc, opening-time 20 ms";
    std::string draws = "U1 draws 35 A";
    std::string plus =
        "route B1.+ (W1 16 mm2, 0.1 m, red) F1 (W2 16 mm2, 0.2 m, red) K1 (W3 16 mm2, 0.3 m, "
        "red) U1.+\n";
    std::string minus = "route B1.- (W4 16 mm2, 0.5 m, black) U1.-\n";

    Results check() const {
        return check_text(
            "loom 1\nharness \"Reel lifter\" { ambient 0..40 degC, insulation pvc 90 degC }\n"
            "pack B1 { voltage 39..54.6 V, resistance 40 mohm, capacity 18 Ah, discharge 60 A, charge 15 A "
            "}\n"
            "fuse F1 { 60 A, 80 V dc, breaks 2.5 kA at 80 V dc, curve iso8820-5 }\n"
            "bms U2 { " +
            management +
            " }\n"
            "contactor K1 { carries 100 A, makes 60 A, " +
            contactor +
            "\n"
            "  coil 48 V 200 mA, coil-works 30..60 V, suppression diode }\n"
            "switch S1 { 80 V dc, carries 5 A, breaks 2 A at 60 V dc }\n"
            "fuse F2 { 5 A, 80 V dc, breaks 2.5 kA at 80 V dc, curve iso8820-3 }\n"
            "controller U1 { input 30..60 V, capacitance 0 uF, supply-limit 80 A, regen none }\n" +
            plus + minus +
            "route F1.out (W5 1 mm2, 0.1 m, red) F2 (W6 1 mm2, 0.2 m, red) S1 (W7 1 mm2, 0.2 m, red) K1.A1\n"
            "route K1.A2 (W8 1 mm2, 0.3 m, black) B1.-\n"
            "mode parked { others at rest }\nmode drive { others at rest, K1 S1 closed, " +
            draws + " }\n");
    }
};

// Its trip as an edge of the circuit.
const Edge& trip_of(const Results& results) {
    for (const Edge& edge : results.circuit.edges)
        if (edge.role == EdgeRole::trip) return edge;
    FAIL("no trip");
    return results.circuit.edges.front();
}

}  // namespace

TEST_CASE("a bms that drives a contactor carries its current: the limits of the bms hold for it") {
    const Cart cart;
    CHECK(finding_of(cart.check(), "overdrawn-bms") == nullptr);
    Cart heavy = cart;
    heavy.draws = "U1 draws 75 A";
    CHECK(finding_of(heavy.check(), "overdrawn-bms", "U2") != nullptr);
}

TEST_CASE("a mode that reaches a trip for its time is told with the current that trips") {
    const auto draws = [](const std::string& amperes) {
        Cart cart;
        cart.management = "side high, drives K1, discharge 100 A, charge 20 A, trips 90 A after 0.2 s";
        cart.draws = "U1 draws " + amperes;
        return cart.check();
    };
    const Results tripped = draws("90.1 A");
    const Finding* finding = finding_of(tripped, "overdrawn-bms", "U2");
    REQUIRE(finding);
    CHECK(finding->severity == Severity::error);
    CHECK(figure(*finding, "limit") == Approx(90));
    CHECK_FALSE(finding_of(draws("89.9 A"), "overdrawn-bms"));
    CHECK(finding_of(draws("95 A for 0.21 s then 20 A for 9 s repeating"), "overdrawn-bms", "U2"));
    CHECK_FALSE(finding_of(draws("95 A for 0.19 s then 20 A for 9 s repeating"), "overdrawn-bms"));
}

TEST_CASE("which end of the contactor lies on the cells is found on the circuit, whichever way it is wired") {
    Cart turned;
    turned.plus =
        "route B1.+ (W1 16 mm2, 0.1 m, red) F1 (W2 16 mm2, 0.2 m, red) K1.out>in (W3 16 mm2, 0.3 m, "
        "red) U1.+\n";
    // 35 A is more than it may be charged with: taken the wrong way round it would be told.
    CHECK(finding_of(turned.check(), "overdrawn-bms") == nullptr);
    turned.draws = "U1 draws 75 A";
    CHECK(finding_of(turned.check(), "overdrawn-bms", "U2") != nullptr);
    Cart low;
    low.management = replaced(low.management, "side high", "side low");
    low.plus = "route B1.+ (W1 16 mm2, 0.1 m, red) F1 (W2 16 mm2, 0.2 m, red) U1.+\n";
    low.minus = "route B1.- (W4 16 mm2, 0.5 m, black) K1 (W3 16 mm2, 0.5 m, black) U1.-\n";
    CHECK(finding_of(low.check(), "overdrawn-bms") == nullptr);
    low.draws = "U1 draws 75 A";
    const Results results = low.check();
    CHECK(finding_of(results, "overdrawn-bms", "U2") != nullptr);
    // The cells lie at K1.in: the trip begins at the point between, and its discharge is against it.
    const Terminal& far = results.harness->terminal(trip_of(results).to_terminal);
    CHECK(far.path == "K1.out");
    CHECK(trip_of(results).to == results.circuit.node(trip_of(results).to_terminal));
}

TEST_CASE("the contactor has to break the current at which the management opens it") {
    // It trips at 90 A at the least.
    Cart weak;
    weak.contactor = "breaks 80 A at 80 V dc, opening-time 20 ms";
    const Results by_weak = weak.check();
    const Finding* finding = finding_of(by_weak, "breaking-current", "K1");
    REQUIRE(finding);
    CHECK(finding->severity == Severity::error);
    CHECK(figure(*finding, "current") >= 90);
    CHECK(finding_of(Cart().check(), "breaking-current") == nullptr);
}

TEST_CASE("of all trips of the management the largest counts, whichever way its current flows") {
    const auto told = [](const std::string& trips, const std::string& breaks) {
        Cart cart;
        cart.management = "side high, drives K1, discharge 70 A, charge 20 A, " + trips;
        cart.contactor = breaks + ", opening-time 1 s";  // in a short circuit the fuse is there first
        const Results results = cart.check();
        for (const Finding& finding : results.findings)
            if (finding.rule == "breaking-current" && finding.message.ends_with("bms U2 opens it"))
                return finding.beside;
        return std::string();
    };
    const std::string both[] = {"trips 90 A after 0.2 s, trips 120 A after 0.1 s",
                                "trips 120 A after 0.1 s, trips 90 A after 0.2 s",
                                "trips 90 A after 0.2 s, charge-trips 120 A after 0.2 s"};
    for (const std::string& trips : both) {
        CHECK(told(trips, "breaks 119.9 A at 80 V dc") == "120 A; breaks 119.9 A");
        CHECK(told(trips, "breaks 120.1 A at 80 V dc").empty());
        CHECK(told(trips, "breaks none") == "120 A; breaks none");
        CHECK(told(trips, "breaks unknown").empty());  // asked for
    }
}

TEST_CASE("in a short circuit that the management is first to open the contactor breaks all of it") {
    // 54.6 V / 40 mohm: above a kiloampere. A 60 A fuse of this family takes that for some milliseconds; a
    // trip without delay and a contact that opens at once are quicker.
    Cart quick;
    quick.management = replaced(quick.management, "after 0.2 s", "after 0.1 ms");
    quick.contactor = "breaks 200 A at 80 V dc, opening-time 0.1 ms";
    const Results results = quick.check();
    const Finding* finding = finding_of(results, "breaking-current", "K1");
    REQUIRE(finding);
    CHECK(figure(*finding, "current") > 1000);
    CHECK_FALSE(finding->witness.empty());
    // With a second for the contact the fuse is there first, and only the threshold counts.
    Cart slow = quick;
    slow.contactor = "breaks 200 A at 80 V dc, opening-time 1 s";
    CHECK(finding_of(slow.check(), "breaking-current", "K1") == nullptr);
}

TEST_CASE(
    "a trip opens after its own delay and the opening time of its contactor, and not where that latches") {
    const auto bands = [](const Results& results) {
        const Facts facts(*results.harness);
        return band_of(facts, *results.harness->find_part("U2"));
    };
    const Band band = bands(Cart().check());
    CHECK(band.slow_s(100) == Approx(0.22));
    CHECK(std::isinf(band.slow_s(80)));
    Cart latching;
    latching.contactor += ", latching";
    CHECK(std::isinf(bands(latching.check()).slow_s(100)));
    Cart unstated;
    unstated.contactor = "breaks 8 kA at 80 V dc";
    CHECK(bands(unstated.check()).slow_s(100) == Approx(0.25));  // 50 ms, no source
}

TEST_CASE("a charger that reaches the cells on their side of the contactor is past the management") {
    Cart cart;
    const std::string fuse =
        "charger G1 { output 54.6 V 5 A, reverse blocked }\n"
        "fuse F9 { 10 A, 80 V dc, breaks 2.5 kA at 80 V dc, curve iso8820-3 }\n";
    cart.minus += fuse +
                  "route F1.out (W20 2.5 mm2, 0.1 m, red) F9 (W21 2.5 mm2, 0.5 m, red) G1 (W22 2.5 mm2, "
                  "0.5 m, black) B1.-\n";
    const Results past = cart.check();
    const Finding* finding = finding_of(past, "past-bms", "G1");
    REQUIRE(finding);
    CHECK(finding->working.front() == "a way through the pack and back that does not pass K1");
    Cart behind;
    behind.minus += fuse +
                    "route K1.out (W20 2.5 mm2, 0.1 m, red) F9 (W21 2.5 mm2, 0.5 m, red) G1 (W22 2.5 "
                    "mm2, 0.5 m, black) B1.-\n";
    CHECK(finding_of(behind.check(), "past-bms", "G1") == nullptr);
}

TEST_CASE("the standby of a management beside the current drains its pack with the contactor open") {
    Cart cart;
    cart.management += ", standby 10 mA";
    const Results results = cart.check();
    const Budget budget = make_budget(results.circuit, results.points, *results.harness);
    REQUIRE(budget.at_rest.size() == 1);
    REQUIRE(budget.at_rest.front().packs.size() == 1);
    CHECK(std::abs(budget.at_rest.front().packs.front().gives.mean_A - 0.01) < 1e-4);
}

}  // namespace driven_contactor_test
