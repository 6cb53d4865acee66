// Ratings in hot air: what a contact rated for cooler air is worth, and wires that no published figure
// forbids.
#include <catch2/catch.hpp>

#include <fmt/format.h>

#include <cmath>

#include "checker/heat/endurance.hpp"
#include "tests/checker/checking.hpp"

namespace hot_air_test {

using namespace loomward;
using namespace loomward::testing;

namespace {

// A heater behind a switch or block under a bonnet.
Results bonnet(const std::string& part, const std::string& through, double draws_A, double air_degC) {
    return check_text(fmt::format(
        "loom 1\nharness \"Seed drill\" {{ ambient 0..30 degC, insulation silicone 180 degC }}\n"
        "location bonnet {{ ambient 0..{} degC }}\n"
        "pack B1 {{ voltage 44..50 V, resistance 20 mohm, capacity 100 Ah, discharge 90 A, charge 20 A }}\n"
        "fuse F1 {{ 80 A, 80 V dc, breaks 9 kA at 80 V dc, curve iso8820-5 }}\n{}\n"
        "load E1 {{ 48 V, {} A, acts-as current, works 20..60 V }}\n"
        "route B1.+ (W1 16 mm2, 0.1 m, red) F1 (W2 16 mm2, 0.5 m, red) {} (W3 16 mm2, 0.5 m, red) E1 "
        "(W4 16 mm2, 0.5 m, black) B1.-\nmode on {{ {} }}\n",
        air_degC, part, draws_A, through, through == "K1" ? "K1 closed" : "others at rest"));
}

const char* const a_switch =
    "switch K1 { 80 V dc, carries 40 A, makes 80 A, breaks 40 A at 60 V dc, at bonnet }";
const char* const a_block =
    "terminal-block K1 { 100 V, ways 2, carries 40 A, takes 1..16 mm2, bridge 1 2, at bonnet }";

// Two leads taped together, on which the published figure is more lenient than their heat balance.
Results taped(double draws_A, const std::string& size = "10 mm2") {
    return check_text(fmt::format(
        "loom 1\nharness \"Ice house\" {{ ambient 0..40 degC, insulation pvc 70 degC }}\n"
        "pack B1 {{ voltage 44..50 V, resistance 20 mohm, capacity 400 Ah, discharge 90 A, charge 20 A }}\n"
        "fuse F1 {{ 80 A, 80 V dc, breaks 9 kA at 80 V dc, curve iso8820-5 }}\n"
        "load E1 {{ 48 V, {} A, acts-as current, works 20..60 V }}\nbundle L1 {{ wrap taped, length 1 m }}\n"
        "route B1.+ (W1 35 mm2, 0.1 m, red) F1 (W2 {}, 1 m, red, in L1) E1 (W3 {}, 1 m, black, in L1) "
        "B1.-\nmode on {{ others at rest }}\n",
        draws_A, size, size));
}

}  // namespace

TEST_CASE(
    "a contact or block in hot air is worth what the base curve leaves of its rating, to a thousandth") {
    // 40 A at 75 degC: sqrt((110 - 75)/70).
    const double worth_A = 40 * std::sqrt(35.0 / 70);
    for (const auto& [part, through] : {std::pair(a_switch, "K1"), std::pair(a_block, "K1.1\nroute K1.2")}) {
        INFO(part);
        CHECK_FALSE(finding_of(bonnet(part, through, worth_A * 0.999, 75), "rated-for-cooler-air", "K1"));
        const Results over = bonnet(part, through, worth_A * 1.001, 75);
        const Finding* finding = finding_of(over, "rated-for-cooler-air", "K1");
        REQUIRE(finding);
        CHECK(finding->severity == Severity::warning);
        CHECK(figure(*finding, "limit") == Approx(worth_A));
        // What its fuse asks of a block is more, and is brought together with it.
        REQUIRE(finding->cures.size() == 1);
        CHECK(finding->cures.front().value > 40 * 1.0005);
    }
}

TEST_CASE("a protector in hot air is worth as little more than a contact") {
    const std::string electronic =
        "protector K1 { 40 A, 80 V dc, trips 60 A after 100 ms, resistance 2 mohm, breaks 4 kA at 60 V dc, "
        "reset "
        "hand, at bonnet }";
    const double worth_A = 40 * std::sqrt(35.0 / 70);
    CHECK(finding_of(bonnet(electronic, "K1", worth_A * 1.001, 75), "rated-for-cooler-air", "K1"));
    CHECK_FALSE(finding_of(bonnet(electronic, "K1", worth_A * 0.999, 75), "rated-for-cooler-air"));
}

TEST_CASE("in air of 40 degC a contact is worth its rating, and above it another rule speaks") {
    CHECK_FALSE(finding_of(bonnet(a_switch, "K1", 39.9, 40), "rated-for-cooler-air"));
    const Results over = bonnet(a_switch, "K1", 41, 75);
    CHECK_FALSE(finding_of(over, "rated-for-cooler-air"));
    CHECK(finding_of(over, "overloaded-contact", "K1"));
}

TEST_CASE("a contact whose data sheet speaks of that air is held to that") {
    const auto says = [](int degC) {
        return fmt::format(
            "switch K1 {{ 80 V dc, carries 40 A, makes 80 A, breaks 40 A at 60 V dc, at bonnet, "
            "highest-ambient {} "
            "degC }}",
            degC);
    };
    const Results stands = bonnet(says(85), "K1", 39, 75);
    CHECK_FALSE(finding_of(stands, "rated-for-cooler-air"));
    CHECK_FALSE(finding_of(stands, "overheated-box"));
    const Results not_that = bonnet(says(70), "K1", 10, 75);
    CHECK_FALSE(finding_of(not_that, "rated-for-cooler-air"));
    CHECK(finding_of(not_that, "overheated-box", "K1"));
}

TEST_CASE(
    "a wire that only its heat balance forbids is noted, both leads at once, and above its ampacity told") {
    const Results once = taped(40);
    const Facts facts(*once.circuit.harness);
    double lasting_A = 0, published_A = 0;
    const std::vector<ModeEndurance> modes = endurance(once.circuit, facts, once.points);
    for (const HeldPart& part : modes.back().parts)
        if (part.name == "W2") lasting_A = part.lasting_A, published_A = part.published_A;
    REQUIRE(lasting_A > 0);
    REQUIRE(published_A > lasting_A * 1.05);
    CHECK_FALSE(finding_of(taped(lasting_A * 0.999), "overheated-wire"));
    const Results over = taped(lasting_A * 1.001);
    const Finding* finding = finding_of(over, "overheated-wire", "W2");
    REQUIRE(finding);
    CHECK(finding->severity == Severity::note);
    CHECK(figure(*finding, "temperature") > 70);
    REQUIRE(!finding->related.empty());
    CHECK(finding->related.front().text == "wire W3 as well");
    CHECK_FALSE(finding_of(over, "overloaded-wire"));
    const Results far_over = taped(published_A * 1.01);
    CHECK_FALSE(finding_of(far_over, "overheated-wire"));
    CHECK(finding_of(far_over, "overloaded-wire", "W2"));
}

TEST_CASE("a pack that is charged is held to the charge thresholds of its management, not to the others") {
    const auto charged = [](const char* charge_trips) {
        return check_text(fmt::format(
            "loom 1\nharness \"Dray\" {{ ambient 0..30 degC, insulation xlpe 90 degC }}\n"
            "pack B1 {{ voltage 40..54.6 V, resistance 20 mohm, capacity 100 Ah, discharge 10 A, charge 40 A "
            "}}\n"
            "bms Q1 {{ side high, ports common, discharge 10 A, charge 40 A, trips 15 A after 1 s, "
            "charge-trips {} "
            "after 2 s, resistance 1 mohm }}\n"
            "charger G1 {{ output 54.6 V 30 A, reverse blocked, short-circuit 30 A }}\n"
            "fuse F1 {{ 40 A, 80 V dc, breaks 9 kA at 80 V dc, curve iso8820-5 }}\n"
            "route B1.+ (W1 16 mm2, 0.1 m, red) Q1 (W2 16 mm2, 0.2 m, red) F1 (W3 16 mm2, 0.5 m, red) G1 "
            "(W4 16 mm2, 0.5 m, black) B1.-\nmode charging {{ G1 delivers 30 A }}\n",
            charge_trips));
    };
    const auto trips_s = [](const Results& results) {
        const Facts facts(*results.circuit.harness);
        for (const ModeEndurance& mode : endurance(results.circuit, facts, results.points))
            for (const HeldPart& part : mode.parts)
                if (part.name == "Q1") return part.gives_out_s;
        return 0.0;
    };
    CHECK(std::isinf(trips_s(charged("35 A"))));
    CHECK(trips_s(charged("29 A")) == Approx(2));
}

}  // namespace hot_air_test
