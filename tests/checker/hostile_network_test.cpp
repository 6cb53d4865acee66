// Networks nobody would build: whatever comes, the answer is one of three, and numbers are numbers.
#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>

#include "checker/solver/network.hpp"
#include "tests/checker/random_network.hpp"

namespace hostile_network_test {

using namespace loomward;
using namespace loomward::test;

namespace {

double sometimes_nothing(Dice& dice, double low, double high) {
    return dice.chance(0.1) ? 0 : dice.of_order(low, high);
}

// Anything between anything: self-loops, dead islands, loads in series, backward diodes, sources on sources.
Network hostile_network(std::uint64_t seed) {
    Dice dice(seed);
    Network network;
    network.node_count = 1 + dice.below(25);
    const std::uint32_t count = dice.below(60);
    std::vector<std::size_t> outputs;
    for (std::uint32_t index = 0; index < count; ++index) {
        const std::uint32_t from = dice.below(network.node_count), to = dice.below(network.node_count);
        const double resistance_ohm = dice.of_order(1e-7, 1e8);
        switch (dice.below(7)) {
            case 0:
                network.branches.push_back(resistor(from, to, resistance_ohm));
                break;
            case 1:
                network.branches.push_back(emf(from, to, dice.between(-1000, 1000), resistance_ohm));
                break;
            case 2:
                network.branches.push_back(
                    current_load(from, to, sometimes_nothing(dice, 1e-6, 1e5), dice.of_order(1e-3, 1e3)));
                break;
            case 3:
                network.branches.push_back(
                    power_load(from, to, sometimes_nothing(dice, 1e-6, 1e7), dice.of_order(1e-3, 1e3)));
                break;
            case 4:
                outputs.push_back(network.branches.size());
                network.branches.push_back(limited_source(from, to, dice.of_order(1e-1, 1e3), resistance_ohm,
                                                          sometimes_nothing(dice, 1e-3, 1e4)));
                break;
            case 5:
                network.branches.push_back(diode(from, to, dice.between(0, 1), resistance_ohm));
                break;
            default:
                if (outputs.empty()) break;
                network.branches.push_back(converter_input(from, to, outputs.back(), dice.between(0.5, 1),
                                                           sometimes_nothing(dice, 1e-3, 10),
                                                           dice.of_order(1e-2, 1e2)));
                outputs.pop_back();
        }
    }
    return network;
}

bool all_finite(const std::vector<double>& numbers) {
    return std::all_of(numbers.begin(), numbers.end(), [](double number) { return std::isfinite(number); });
}

}  // namespace

TEST_CASE("hostile networks are solved, called collapsed, or refused without numbers") {
    int answered = 0, refused = 0;
    for (std::uint64_t seed = 0; seed < 1500; ++seed) {
        const Network network = hostile_network(seed);
        CAPTURE(seed, network.node_count, network.branches.size());
        const NetworkSolution solution = solve(network);
        if (solution.status == SolveStatus::not_converged) {
            CHECK(solution.node_V.empty());
            CHECK(solution.branch_A.empty());
            CHECK(solution.collapsed.empty());
            ++refused;
            continue;
        }
        REQUIRE(solution.node_V.size() == network.node_count);
        REQUIRE(solution.branch_A.size() == network.branches.size());
        CHECK(all_finite(solution.node_V));
        CHECK(all_finite(solution.branch_A));
        CHECK((solution.status == SolveStatus::collapsed) == !solution.collapsed.empty());
        ++answered;
    }
    CAPTURE(answered, refused);
    CHECK(answered + refused == 1500);
    CHECK(answered >= 1425);  // nineteen in twenty
    WARN(refused << " of 1500 refused");
}

TEST_CASE("a network of nothing is solved") {
    const Network network{GENERATE(0U, 1U, 5U), {}};
    const NetworkSolution solution = solve(network);
    CHECK(solution.status == SolveStatus::solved);
    CHECK(solution.node_V == std::vector<double>(network.node_count, 0));
    CHECK(solution.branch_A.empty());
}

TEST_CASE("loads of nothing draw nothing and never collapse") {
    const NetworkSolution solution =
        solve({2, {emf(0, 1, 12, 0.1), power_load(1, 0, 0, 50), current_load(1, 0, 0, 50)}});
    REQUIRE(solution.status == SolveStatus::solved);
    CHECK(solution.branch_A == std::vector<double>{0, 0, 0});
}

TEST_CASE("a load of a gigawatt collapses and leaves the pack in a short circuit") {
    const NetworkSolution solution = solve({2, {emf(0, 1, 48, 0.01), power_load(1, 0, 1e9, 10)}});
    REQUIRE(solution.status == SolveStatus::collapsed);
    CHECK_THAT(solution.branch_A[0], Catch::WithinRel(4800.0, 1e-3));
}

}  // namespace hostile_network_test
