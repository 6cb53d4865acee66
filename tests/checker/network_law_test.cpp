// Laws that hold in every network, on random ones; and linear networks against a dense solve.
#include <Eigen/Dense>
#include <algorithm>
#include <boost/multiprecision/cpp_bin_float.hpp>
#include <boost/multiprecision/eigen.hpp>
#include <catch2/catch.hpp>
#include <cmath>
#include <string>

#include <fmt/format.h>

#include "checker/solver/network.hpp"
#include "tests/checker/random_network.hpp"

namespace network_law_test {

using FiftyDigits = boost::multiprecision::cpp_bin_float_50;
using namespace loomward;
using namespace loomward::test;
using Catch::WithinAbs;
using Catch::WithinRel;

namespace {

double drop_V(const NetworkSolution& solution, const Branch& branch) {
    return solution.node_V[branch.from] - solution.node_V[branch.to];
}

// What a branch's law says of its current at the voltages found, loads above their knees.
double lawful_A(const Network& network, const NetworkSolution& solution, const Branch& branch) {
    const double across_V = drop_V(solution, branch);
    switch (branch.type) {
        case Branch::Type::resistor:
            return across_V / branch.resistance_ohm;
        case Branch::Type::emf:
            return (branch.voltage_V + across_V) / branch.resistance_ohm;
        case Branch::Type::limited_source:
            return std::clamp((branch.voltage_V + across_V) / branch.resistance_ohm, 0.0, branch.current_A);
        case Branch::Type::diode:
            return std::max(0.0, (across_V - branch.voltage_V) / branch.resistance_ohm);
        case Branch::Type::current_load:
            return branch.current_A;
        case Branch::Type::power_load:
            return branch.power_W / across_V;
        case Branch::Type::converter_input: {
            const std::size_t partner = branch.partner.index();
            const double output_W = -drop_V(solution, network.branches[partner]) * solution.branch_A[partner];
            return (output_W / branch.efficiency + branch.power_W) / across_V;
        }
    }
    return NAN;
}

// Node voltages by a dense solve of every node's current law, the references' own equations replaced by "0
// V". Scalar: what to calculate in.
template <class Scalar>
std::vector<double> dense_voltages(const RandomNetwork& made) {
    const auto size = static_cast<Eigen::Index>(made.network.node_count);
    Eigen::Matrix<Scalar, Eigen::Dynamic, Eigen::Dynamic> matrix;
    Eigen::Matrix<Scalar, Eigen::Dynamic, 1> right;
    matrix.setZero(size, size);
    right.setZero(size);
    for (const Branch& branch : made.network.branches) {
        const Scalar conductance = Scalar(1) / Scalar(branch.resistance_ohm);
        matrix(branch.from, branch.from) += conductance;
        matrix(branch.to, branch.to) += conductance;
        matrix(branch.from, branch.to) -= conductance;
        matrix(branch.to, branch.from) -= conductance;
        right(branch.from) -= conductance * Scalar(branch.voltage_V);
        right(branch.to) += conductance * Scalar(branch.voltage_V);
    }
    for (const std::uint32_t reference : made.island_references) {
        matrix.row(reference).setZero();
        matrix(reference, reference) = 1;
        right(reference) = 0;
    }
    const Eigen::Matrix<Scalar, Eigen::Dynamic, 1> solution = matrix.fullPivLu().solve(right);
    std::vector<double> voltages;
    for (Eigen::Index node = 0; node < size; ++node) voltages.push_back(static_cast<double>(solution(node)));
    return voltages;
}

// Any resistances at all, packs anywhere.
RandomNetwork random_tangle(std::uint64_t seed, std::uint32_t nodes, std::uint32_t elements, double least_ohm,
                            double most_ohm) {
    Dice dice(seed);
    RandomNetwork made;
    made.network.node_count = nodes;
    made.island_references.push_back(0);
    made.network.branches.push_back(emf(0, 1, 48, dice.of_order(1e-3, 1e-1)));
    for (std::uint32_t node = 2; node < nodes; ++node) {
        made.network.branches.push_back(resistor(dice.below(node), node, dice.of_order(least_ohm, most_ohm)));
    }
    while (made.network.branches.size() < elements) {
        const std::uint32_t from = dice.below(nodes), to = dice.below(nodes);
        if (dice.chance(0.05)) {
            made.network.branches.push_back(emf(from, to, dice.between(-60, 60), dice.of_order(1e-3, 10)));
        } else {
            made.network.branches.push_back(resistor(from, to, dice.of_order(least_ohm, most_ohm)));
        }
    }
    return made;
}

// Largest relative deviation. What is a billionth of the largest voltage is nothing.
double worst_deviation(const NetworkSolution& ours, const std::vector<double>& reference_V) {
    double largest_V = 0, worst = 0;
    for (const double voltage_V : reference_V) largest_V = std::max(largest_V, std::abs(voltage_V));
    for (std::size_t node = 0; node < reference_V.size(); ++node) {
        const double off_V = std::abs(ours.node_V[node] - reference_V[node]);
        worst = std::max(worst, off_V / std::max(std::abs(reference_V[node]), 1e-9 * largest_V));
    }
    return worst;
}

}  // namespace

TEST_CASE("300 random linear networks agree with a dense solve") {
    double worst = 0;
    std::size_t compared = 0;
    for (std::uint64_t seed = 0; seed < 300; ++seed) {
        const std::uint32_t elements = random_size(seed);
        const std::uint32_t nodes = std::min(60U, 3 + elements * 6 / 10);
        const RandomNetwork made = random_tangle(seed, nodes, elements, 1e-4, 1e3);
        CAPTURE(seed, nodes, elements);
        const NetworkSolution ours = solve(made.network);
        REQUIRE(ours.status == SolveStatus::solved);
        const double deviation = worst_deviation(ours, dense_voltages<long double>(made));
        CHECK(deviation <= 1e-9);
        worst = std::max(worst, deviation);
        ++compared;
    }
    CHECK(compared == 300);
    WARN(fmt::format("{} networks, worst relative deviation {:.2g}", compared, worst));
}

TEST_CASE("joints of a tenth of a microhm and leaks of a hundred megohms keep their digits in one network") {
    double worst = 0;
    for (std::uint64_t seed = 0; seed < 100; ++seed) {
        const RandomNetwork made = random_tangle(seed, 25, 40, 1e-7, 1e8);
        CAPTURE(seed);
        const NetworkSolution ours = solve(made.network);
        REQUIRE(ours.status == SolveStatus::solved);
        const double deviation = worst_deviation(ours, dense_voltages<FiftyDigits>(made));
        CHECK(deviation <= 1e-9);
        worst = std::max(worst, deviation);
    }
    WARN(fmt::format("worst relative deviation {:.2g}", worst));
}

TEST_CASE("as much current leaves every node as enters it, whatever is connected") {
    for (std::uint64_t seed = 2000; seed < 2060; ++seed) {
        const RandomNetwork made = random_network(seed, random_size(seed), Ingredients::every_law);
        CAPTURE(seed);
        const NetworkSolution solution = solve(made.network);
        REQUIRE(solution.status == SolveStatus::solved);
        std::vector<double> sum_A(made.network.node_count, 0), through_A(made.network.node_count, 0);
        for (std::size_t index = 0; index < made.network.branches.size(); ++index) {
            const Branch& branch = made.network.branches[index];
            sum_A[branch.from] -= solution.branch_A[index];
            sum_A[branch.to] += solution.branch_A[index];
            through_A[branch.from] += std::abs(solution.branch_A[index]);
            through_A[branch.to] += std::abs(solution.branch_A[index]);
        }
        double worst = 0, worst_A = 0;
        for (std::uint32_t node = 0; node < made.network.node_count; ++node) {
            worst_A = std::max(worst_A, std::abs(sum_A[node]));
            worst = std::max(worst, std::abs(sum_A[node]) / (through_A[node] + 1e-6));
        }
        CHECK(worst <= 1e-9);
        CHECK_THAT(worst_A, WithinAbs(solution.worst_residual_A, 1e-13));
    }
}

TEST_CASE("every branch obeys its law at the voltages found") {
    for (std::uint64_t seed = 2100; seed < 2160; ++seed) {
        const RandomNetwork made = random_network(seed, random_size(seed), Ingredients::every_law);
        CAPTURE(seed);
        const NetworkSolution solution = solve(made.network);
        REQUIRE(solution.status == SolveStatus::solved);
        std::size_t off = 0;
        for (std::size_t index = 0; index < made.network.branches.size(); ++index) {
            const Branch& branch = made.network.branches[index];
            const double current_A = solution.branch_A[index];
            double tolerance_A = 1e-9 * std::abs(current_A) + 1e-12;
            if (branch.resistance_ohm > 0) {
                // The last digits of two voltages of up to 100 V, over the resistance.
                tolerance_A += 4e-16 * 100 / branch.resistance_ohm;
            }
            if (!(std::abs(current_A - lawful_A(made.network, solution, branch)) <= tolerance_A)) ++off;
        }
        CHECK(off == 0);
    }
}

TEST_CASE("what the sources give is what resistances and loads take") {
    for (std::uint64_t seed = 2200; seed < 2260; ++seed) {
        const RandomNetwork made = random_network(seed, random_size(seed), Ingredients::loads);
        CAPTURE(seed);
        const NetworkSolution solution = solve(made.network);
        REQUIRE(solution.status == SolveStatus::solved);
        double given_W = 0, taken_W = 0;
        for (std::size_t index = 0; index < made.network.branches.size(); ++index) {
            const Branch& branch = made.network.branches[index];
            const double current_A = solution.branch_A[index];
            given_W += branch.voltage_V * current_A;
            taken_W += branch.resistance_ohm * current_A * current_A + branch.power_W;
            if (branch.type == Branch::Type::current_load)
                taken_W += branch.current_A * drop_V(solution, branch);
        }
        CHECK(given_W > 1);
        CHECK_THAT(taken_W, WithinRel(given_W, 1e-10));
    }
}

TEST_CASE("in a linear network the packs' effects add up") {
    for (std::uint64_t seed = 0; seed < 40; ++seed) {
        const RandomNetwork both = random_tangle(seed, 200, 350, 1e-4, 1e2);
        RandomNetwork odd = both, even = both;
        for (std::size_t index = 0; index < both.network.branches.size(); ++index) {
            (index % 2 == 0 ? odd : even).network.branches[index].voltage_V = 0;
        }
        CAPTURE(seed);
        const NetworkSolution sum = solve(both.network), one = solve(odd.network),
                              other = solve(even.network);
        REQUIRE(sum.status == SolveStatus::solved);
        double worst_V = 0;
        for (std::uint32_t node = 0; node < both.network.node_count; ++node) {
            worst_V = std::max(worst_V, std::abs(one.node_V[node] + other.node_V[node] - sum.node_V[node]));
        }
        CHECK(worst_V <= 1e-11);
    }
}

TEST_CASE("a hundred thousand nodes are solved and pass their residual") {
    Dice dice(7);
    const std::uint32_t nodes = 100'000;
    Network network{nodes, {emf(0, 1, 51.8, 0.02)}};
    for (std::uint32_t node = 2; node < nodes; ++node) {
        const std::uint32_t back =
            dice.chance(0.9) ? 1 + dice.below(std::min(node - 1, 20U)) : 1 + dice.below(node - 1);
        network.branches.push_back(resistor(node - back, node, dice.of_order(1e-4, 1e-2)));
    }
    for (std::uint32_t loop = 0; loop < 2'000; ++loop) {
        const std::uint32_t from = dice.below(nodes - 30);
        network.branches.push_back(resistor(from, from + 1 + dice.below(29), dice.of_order(1e-4, 1e-2)));
    }
    while (network.branches.size() < 119'000) {
        network.branches.push_back(resistor(1 + dice.below(nodes - 1), 0, dice.of_order(1e3, 1e5)));
    }
    const int power_loads = GENERATE(0, 1'000);
    for (int load = 0; load < power_loads; ++load)
        network.branches.push_back(power_load(1 + dice.below(nodes - 1), 0, dice.of_order(1e-3, 1e-1), 20));
    const NetworkSolution solution = solve(network);
    REQUIRE(solution.status == SolveStatus::solved);
    CHECK(solution.branch_A[0] > 100);
    CHECK(solution.worst_residual_A <= 1e-9 * solution.branch_A[0]);
}

TEST_CASE("a chain of a hundred thousand resistors is solved without deep recursion") {
    const std::uint32_t nodes = 100'002;
    Network network{nodes, {emf(0, 1, 100, 1)}};
    for (std::uint32_t node = 1; node + 1 < nodes; ++node)
        network.branches.push_back(resistor(node, node + 1, 1e-2));
    SECTION("closed by a resistor") {
        network.branches.push_back(resistor(nodes - 1, 0, 999));
        const NetworkSolution solution = solve(network);
        REQUIRE(solution.status == SolveStatus::solved);
        CHECK_THAT(solution.branch_A.front(), WithinRel(0.05, 1e-12));
        CHECK_THAT(solution.node_V.back(), WithinRel(49.95, 1e-12));
    }
    SECTION("closed by a constant-power load") {
        // (100 - 1001 I) I = 1
        network.branches.push_back(power_load(nodes - 1, 0, 1, 10));
        const NetworkSolution solution = solve(network);
        REQUIRE(solution.status == SolveStatus::solved);
        CHECK_THAT(solution.branch_A.front(), WithinRel((100 - std::sqrt(10000.0 - 4 * 1001)) / 2002, 1e-10));
    }
}

}  // namespace network_law_test
