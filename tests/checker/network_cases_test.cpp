// Networks small enough to solve on paper.
#include <catch2/catch.hpp>
#include <cmath>

#include "checker/solver/network.hpp"
#include "tests/checker/network_builder.hpp"

namespace network_cases_test {

using namespace loomward;
using namespace loomward::test;
using Catch::WithinAbs;
using Catch::WithinRel;

TEST_CASE("a divider splits the pack's voltage as its resistances") {
    const NetworkSolution solution = solve({3, {emf(0, 1, 48, 0.5), resistor(1, 2, 1.5), resistor(2, 0, 2)}});
    REQUIRE(solution.status == SolveStatus::solved);
    CHECK_THAT(solution.node_V[0], WithinAbs(0, 0));
    CHECK_THAT(solution.node_V[1], WithinRel(42.0, 1e-12));
    CHECK_THAT(solution.node_V[2], WithinRel(24.0, 1e-12));
    CHECK_THAT(solution.branch_A[0], WithinRel(12.0, 1e-12));
    CHECK_THAT(solution.branch_A[1], WithinRel(12.0, 1e-12));
}

TEST_CASE("two packs in parallel share a load by their voltages and resistances") {
    // V (1/0.1 + 1/0.2 + 1/2) = 50/0.1 + 49/0.2
    const NetworkSolution solution = solve({2, {emf(0, 1, 50, 0.1), emf(0, 1, 49, 0.2), resistor(1, 0, 2)}});
    REQUIRE(solution.status == SolveStatus::solved);
    const double voltage_V = 745.0 / 15.5;
    CHECK_THAT(solution.node_V[1], WithinRel(voltage_V, 1e-12));
    CHECK_THAT(solution.branch_A[0], WithinRel((50 - voltage_V) / 0.1, 1e-11));
    CHECK_THAT(solution.branch_A[1], WithinRel((49 - voltage_V) / 0.2, 1e-11));
}

TEST_CASE("a constant-power load settles at the higher of its two voltages") {
    // u (48 - u) / 0.5 = 500: u = 24 + sqrt(576 - 250)
    const NetworkSolution solution = solve({2, {emf(0, 1, 48, 0.5), power_load(1, 0, 500, 10)}});
    REQUIRE(solution.status == SolveStatus::solved);
    const double voltage_V = 24 + std::sqrt(326.0);
    CHECK_THAT(solution.node_V[1], WithinRel(voltage_V, 1e-11));
    CHECK_THAT(solution.branch_A[1], WithinRel(500 / voltage_V, 1e-11));
}

TEST_CASE("a load beyond what the pack can give collapses and is named") {
    // 48 V behind 0.5 ohm gives at most 1152 W; below its knee the load is 10 V * 10 V / 1200 W = 1/12 ohm
    const NetworkSolution solution = solve({2, {emf(0, 1, 48, 0.5), power_load(1, 0, 1200, 10)}});
    REQUIRE(solution.status == SolveStatus::collapsed);
    CHECK(solution.collapsed == std::vector<std::uint32_t>{1});
    CHECK_THAT(solution.node_V[1], WithinRel(48.0 / (0.5 + 1.0 / 12) / 12, 1e-11));
}

TEST_CASE("a load a hair under the largest power is fed and a hair above it collapses") {
    for (const double share : {1e-3, 1e-6, 1e-9}) {
        CAPTURE(share);
        CHECK(solve({2, {emf(0, 1, 48, 0.5), power_load(1, 0, 1152 * (1 - share), 10)}}).status ==
              SolveStatus::solved);
        CHECK(solve({2, {emf(0, 1, 48, 0.5), power_load(1, 0, 1152 * (1 + share), 10)}}).status ==
              SolveStatus::collapsed);
    }
}

TEST_CASE("a charger gives its voltage up to its current and no more") {
    // 2 ohm would take 14.6 / 2.1 A
    const NetworkSolution held = solve({2, {limited_source(0, 1, 14.6, 0.1, 10), resistor(1, 0, 2)}});
    REQUIRE(held.status == SolveStatus::solved);
    CHECK_THAT(held.branch_A[0], WithinRel(14.6 / 2.1, 1e-12));
    const NetworkSolution limited = solve({2, {limited_source(0, 1, 14.6, 0.1, 10), resistor(1, 0, 1)}});
    REQUIRE(limited.status == SolveStatus::solved);
    CHECK_THAT(limited.branch_A[0], WithinRel(10.0, 1e-12));
    CHECK_THAT(limited.node_V[1], WithinRel(10.0, 1e-12));
}

TEST_CASE("a charger gives nothing to a pack that stands higher") {
    const NetworkSolution solution =
        solve({2, {emf(0, 1, 54, 0.1), limited_source(0, 1, 50, 0.1, 10), resistor(1, 0, 5.3)}});
    REQUIRE(solution.status == SolveStatus::solved);
    CHECK(solution.branch_A[1] == 0);
    CHECK_THAT(solution.branch_A[0], WithinRel(10.0, 1e-12));
}

TEST_CASE("a diode passes one way and drops its voltage") {
    const NetworkSolution passing =
        solve({3, {emf(0, 1, 12, 0.1), diode(1, 2, 0.7, 0.1), resistor(2, 0, 11.1)}});
    REQUIRE(passing.status == SolveStatus::solved);
    CHECK_THAT(passing.branch_A[1], WithinRel(1.0, 1e-12));
    const NetworkSolution blocking =
        solve({3, {emf(0, 1, 12, 0.1), diode(2, 1, 0.7, 0.1), resistor(2, 0, 11.1)}});
    REQUIRE(blocking.status == SolveStatus::solved);
    CHECK(blocking.branch_A[1] == 0);
    CHECK_THAT(blocking.node_V[2], WithinAbs(0, 1e-12));
}

TEST_CASE("a converter draws its output power over its efficiency") {
    // output 12 V / 2 ohm behind 0 ... : 12 V behind 1 mohm into 2 ohm; input behind 0.1 ohm at 48 V
    const NetworkSolution solution = solve({4,
                                            {emf(0, 1, 48, 0.1), converter_input(1, 0, 2, 0.9, 3, 20),
                                             limited_source(2, 3, 12, 0.001, 30), resistor(3, 2, 2)}});
    REQUIRE(solution.status == SolveStatus::solved);
    const double output_A = 12 / 2.001;
    const double input_W = 2 * output_A * output_A / 0.9 + 3;
    const double input_V = 24 + std::sqrt(576 - 0.1 * input_W);
    CHECK_THAT(solution.node_V[1], WithinRel(input_V, 1e-10));
    CHECK_THAT(solution.branch_A[1], WithinRel(input_W / input_V, 1e-10));
    CHECK_THAT(solution.branch_A[2], WithinRel(output_A, 1e-10));
}

TEST_CASE("a converter without a feed gives nothing, not even to the converter behind it") {
    const NetworkSolution solution = solve(
        {6,
         {resistor(0, 1, 1), converter_input(1, 0, 2, 0.9, 0, 20), limited_source(2, 3, 24, 0.01, 30),
          converter_input(3, 2, 4, 0.9, 0, 20), limited_source(4, 5, 12, 0.01, 30), resistor(5, 4, 2)}});
    REQUIRE(solution.status == SolveStatus::solved);
    for (const double current_A : solution.branch_A) CHECK(current_A == 0);
    for (const double voltage_V : solution.node_V) CHECK(voltage_V == 0);
}

TEST_CASE("a converter cannot keep itself alive") {
    const NetworkSolution solution = solve(
        {2, {converter_input(1, 0, 1, 1, 0, 5), limited_source(0, 1, 24, 0.01, 30), resistor(1, 0, 10)}});
    REQUIRE(solution.status == SolveStatus::solved);
    CHECK(solution.branch_A[2] == 0);
}

TEST_CASE("an island without a source stays at nothing beside one that has one") {
    const NetworkSolution solution =
        solve({4, {resistor(0, 1, 1), power_load(0, 1, 100, 10), emf(2, 3, 24, 0.1), resistor(3, 2, 1.1)}});
    REQUIRE(solution.status == SolveStatus::solved);
    CHECK(solution.node_V[0] == 0);
    CHECK(solution.node_V[1] == 0);
    CHECK(solution.branch_A[1] == 0);
    CHECK_THAT(solution.branch_A[2], WithinRel(20.0, 1e-12));
}

TEST_CASE("a load with one leg open is not fed and not called collapsed") {
    const NetworkSolution solution = solve({3, {emf(0, 1, 24, 0.1), power_load(1, 2, 100, 10)}});
    REQUIRE(solution.status == SolveStatus::solved);
    CHECK(solution.branch_A[1] == 0);
    CHECK_THAT(solution.node_V[2], WithinRel(24.0, 1e-12));
}

TEST_CASE("a pack whose poles are one point drives its short-circuit current round itself") {
    const NetworkSolution solution = solve({1, {emf(0, 0, 48, 0.01)}});
    REQUIRE(solution.status == SolveStatus::solved);
    CHECK_THAT(solution.branch_A[0], WithinRel(4800.0, 1e-12));
}

TEST_CASE("a joint of a tenth of a microhm does not drown a divider of a hundred megohms") {
    Network network{8, {emf(0, 1, 50, 0.05), resistor(1, 2, 1e8)}};
    for (std::uint32_t node = 2; node < 7; ++node) network.branches.push_back(resistor(node, node + 1, 1e-7));
    network.branches.push_back(resistor(7, 0, 1e8));
    const NetworkSolution solution = solve(network);
    REQUIRE(solution.status == SolveStatus::solved);
    CHECK_THAT(solution.node_V[5], WithinRel(25.0, 1e-9));
    for (std::size_t branch = 1; branch < network.branches.size(); ++branch) {
        CHECK_THAT(solution.branch_A[branch], WithinRel(2.5e-7, 1e-9));
    }
}

TEST_CASE("two equal power loads in series do not balance: one keeps the voltage, one collapses") {
    const NetworkSolution solution =
        solve({3, {emf(0, 1, 48, 0.1), power_load(1, 2, 100, 5), power_load(2, 0, 100, 5)}});
    REQUIRE(solution.status == SolveStatus::collapsed);
    CHECK(solution.collapsed.size() == 1);
}

TEST_CASE("a lone load can be fed up to the pack's greatest power") {
    const double power_W = GENERATE(10.0, 500.0, 1152.0, 5000.0);
    const double fraction = feedable_fraction({2, {emf(0, 1, 48, 0.5), power_load(1, 0, power_W, 10)}});
    CHECK_THAT(fraction, WithinRel(48 * 48 / (4 * 0.5 * power_W), 1e-3));
}

TEST_CASE("loads in parallel at one point are fed like one of their sum") {
    const double fraction = feedable_fraction({2,
                                               {emf(0, 1, 48, 0.5), power_load(1, 0, 100, 10),
                                                power_load(1, 0, 300, 5), power_load(1, 0, 176, 12)}});
    CHECK_THAT(fraction, WithinRel(2.0, 1e-3));
}

TEST_CASE("a current load is fed until its voltage reaches its knee") {
    // 48 - 0.5 * 4 * x = 20
    const double fraction = feedable_fraction({2, {emf(0, 1, 48, 0.5), current_load(1, 0, 4, 20)}});
    CHECK_THAT(fraction, WithinRel(14.0, 1e-3));
}

TEST_CASE("nothing to feed can be fed without end") {
    CHECK(std::isinf(feedable_fraction({2, {emf(0, 1, 48, 0.5), resistor(1, 0, 1)}})));
}

TEST_CASE("a load for which not a thousandth is there gets nothing") {
    CHECK(feedable_fraction({2, {emf(0, 1, 48, 0.5), power_load(1, 0, 2e6, 10)}}) == 0);
}

}  // namespace network_cases_test
