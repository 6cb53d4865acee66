// What cannot be fed is held at what it can get; converters without an input, or with nothing to do, and
// loads the wrong way round do not keep a network from being solved.
#include <catch2/catch.hpp>

#include "checker/solver/network.hpp"
#include "tests/checker/network_builder.hpp"

namespace held_loads_test {

using namespace loomward;
using namespace loomward::test;
using Catch::WithinAbs;
using Catch::WithinRel;

TEST_CASE("a load beyond what its source can give is held at V V / 4 R, and its neighbour is as it was") {
    // 48 V behind 0.2 ohm can give 2880 W; a feeder of its own keeps the neighbour out of it.
    Network network{5,
                    {emf(0, 1, 48, 1e-3), resistor(1, 2, 0.2), power_load(2, 0, 6000, 1), resistor(1, 3, 0.1),
                     current_load(3, 0, 30, 12)}};
    NetworkSolution solution = solve(network);
    REQUIRE(solution.status == SolveStatus::collapsed);
    const std::vector<HeldLoad> held = hold_what_cannot_be_fed(network, solution, 0.02);
    REQUIRE(held.size() == 1);
    CHECK(held[0].branch == 2);
    // All of R = 0.201 ohm, and the 30 A through the pack's millohm beside it.
    const double most_W = (48 - 0.03) * (48 - 0.03) / (4 * 0.201);
    CHECK_THAT(held[0].share, WithinRel(most_W / 6000, 1e-4));
    CHECK(solution.status == SolveStatus::solved);
    CHECK_THAT(solution.branch_A[4], WithinRel(30, 1e-12));
}

TEST_CASE("a load on a converter at its limit gets the limit, and the converter draws what that takes") {
    Network network{4,
                    {emf(0, 1, 48, 1e-2), limited_source(0, 2, 12, 1e-3, 2), current_load(2, 0, 3, 3),
                     converter_input(1, 0, 1, 0.8, 0, 15)}};
    NetworkSolution solution = solve(network);
    REQUIRE(solution.status == SolveStatus::collapsed);
    const std::vector<HeldLoad> held = hold_what_cannot_be_fed(network, solution, 0.02);
    REQUIRE(held.size() == 1);
    CHECK(held[0].branch == 2);
    CHECK_THAT(held[0].share, WithinRel(2.0 / 3, 1e-5));
    CHECK_THAT(solution.node_V[2], WithinRel(12 - 2e-3, 1e-4));
    CHECK_THAT(solution.branch_A[3] * solution.node_V[1], WithinRel(12 * 2 / 0.8, 1e-3));
}

TEST_CASE("a converter that its feeder cannot start is held at the input, and its own load is still judged") {
    // 48 V behind 68 ohm give 8.5 W; 60 W are asked for.
    Network network{4,
                    {emf(0, 1, 48, 1e-3), resistor(1, 2, 68), limited_source(0, 3, 12, 1e-3, 8),
                     converter_input(2, 0, 2, 0.9, 0, 15), power_load(3, 0, 60, 6)}};
    NetworkSolution solution = solve(network);
    REQUIRE(solution.status == SolveStatus::collapsed);
    const std::vector<HeldLoad> held = hold_what_cannot_be_fed(network, solution, 0.02);
    REQUIRE(held.size() == 1);
    CHECK(held[0].branch == 3);
    CHECK_THAT(held[0].share, WithinRel(48 * 48 / (4 * 68.001) / (60 / 0.9), 1e-3));
    CHECK_THAT(solution.branch_A[4], WithinRel(5, 1e-3));
}

TEST_CASE("of two loads on one bus the one that asks for most is held") {
    Network network{
        3, {emf(0, 1, 24, 0.1), resistor(1, 2, 0.1), power_load(2, 0, 2000, 12), power_load(2, 0, 60, 12)}};
    NetworkSolution solution = solve(network);
    REQUIRE(solution.status == SolveStatus::collapsed);
    const std::vector<HeldLoad> held = hold_what_cannot_be_fed(network, solution, 0.02);
    REQUIRE(held.size() == 1);
    CHECK(held[0].branch == 2);
    CHECK_THAT(solution.branch_A[3] * solution.node_V[2], WithinRel(60, 1e-9));
    CHECK(solution.node_V[2] >= 12 * (1 - 1e-9));
}

TEST_CASE("a converter with nothing to do is solved, whether its output is isolated or not") {
    const bool isolated = GENERATE(true, false);
    const std::uint32_t minus = isolated ? 3 : 0;
    // An output that leads to an open switch.
    Network network{5,
                    {emf(0, 1, 54.6, 4e-2), limited_source(minus, 2, 12, 1e-3, 5), resistor(2, 4, 1e-2),
                     converter_input(1, 0, 1, 0.88, 0, 15)}};
    const NetworkSolution solution = solve(network);
    CHECK(solution.status == SolveStatus::solved);
    CHECK_THAT(solution.node_V[4] - solution.node_V[minus], WithinAbs(12, 1e-9));
    CHECK_THAT(solution.branch_A[0], WithinAbs(0, 1e-9));
}

TEST_CASE("a converter that feeds nothing at all draws its own power") {
    Network network{2, {emf(0, 1, 48, 1e-2)}};
    Branch input = power_load(1, 0, 3, 15);
    input.type = Branch::Type::converter_input;
    network.branches.push_back(input);
    const NetworkSolution solution = solve(network);
    REQUIRE(solution.status == SolveStatus::solved);
    CHECK_THAT(solution.branch_A[1] * solution.node_V[1], WithinRel(3, 1e-9));
}

TEST_CASE("a converter whose input has no voltage gives nothing, though a bleed leads to it") {
    // Its own output would otherwise come back through the diode and feed it.
    Network network{4,
                    {emf(0, 1, 84, 4e-2), resistor(1, 2, 1e6), limited_source(0, 3, 12, 1e-3, 10),
                     converter_input(2, 0, 2, 0.85, 0, 18), resistor(3, 0, 7.2), diode(3, 2, 0.5, 1e-3)}};
    const NetworkSolution solution = solve(network);
    REQUIRE(solution.status != SolveStatus::not_converged);
    CHECK_THAT(solution.branch_A[2], WithinAbs(0, 1e-3));
    CHECK(solution.node_V[3] < 1);
}

TEST_CASE("a load the wrong way round draws nothing; a motor draws what it draws the other way") {
    Branch motor = current_load(0, 1, 20, 6);
    motor.both_ways = true;
    const Network network{3,
                          {emf(0, 1, 24, 1e-2), current_load(0, 1, 20, 6), power_load(0, 1, 40, 12), motor,
                           resistor(1, 2, 0.1), power_load(2, 0, 24, 12)}};
    const NetworkSolution solution = solve(network);
    REQUIRE(solution.node_V.size() == 3);
    CHECK_THAT(solution.branch_A[1], WithinAbs(0, 1e-5));
    CHECK_THAT(solution.branch_A[2], WithinAbs(0, 1e-5));
    CHECK_THAT(solution.branch_A[3], WithinRel(-20, 1e-9));
    CHECK_THAT(solution.branch_A[5] * solution.node_V[2], WithinRel(24, 1e-9));
}

TEST_CASE("a power that a motor draws backwards is the same power") {
    Branch motor = power_load(0, 1, 240, 12);
    motor.both_ways = true;
    const Network network{2, {emf(0, 1, 24, 0.1), motor}};
    const NetworkSolution solution = solve(network);
    REQUIRE(solution.status == SolveStatus::solved);
    CHECK_THAT(-solution.branch_A[1] * solution.node_V[1], WithinRel(240, 1e-9));
    CHECK(solution.node_V[1] > 22);
}

}  // namespace held_loads_test
