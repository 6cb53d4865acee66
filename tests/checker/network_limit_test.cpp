// How much can be fed: against sweeps over trees of loads that know nothing of matrices.
#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>
#include <vector>

#include "checker/solver/network.hpp"
#include "tests/checker/random_network.hpp"

namespace network_limit_test {

using namespace loomward;
using namespace loomward::test;
using Catch::WithinRel;

namespace {

// One pack, a tree of wires, constant-power loads from its nodes to the pack's minus.
struct Tree {
    double voltage_V = 48;
    std::vector<std::uint32_t> parent;   // by node from 0; the first hangs on the pack
    std::vector<double> resistance_ohm;  // to the parent
    std::vector<double> power_W;
    std::vector<double> knee_V;
};

Tree random_tree(std::uint64_t seed) {
    Dice dice(seed);
    Tree tree;
    const std::uint32_t size = 2 + dice.below(60);
    for (std::uint32_t node = 0; node < size; ++node) {
        tree.parent.push_back(node == 0 ? 0 : dice.below(node));
        tree.resistance_ohm.push_back(dice.of_order(1e-3, 3e-1));
        tree.power_W.push_back(dice.chance(0.6) || node == size - 1 ? dice.of_order(1, 100) : 0);
        tree.knee_V.push_back(dice.between(2, 15));
    }
    return tree;
}

Network network_of(const Tree& tree, double factor) {
    Network network;
    const auto size = static_cast<std::uint32_t>(tree.parent.size());
    network.node_count = size + 1;
    for (std::uint32_t node = 0; node < size; ++node) {
        network.branches.push_back(node == 0 ? emf(size, 0, tree.voltage_V, tree.resistance_ohm[0])
                                             : resistor(tree.parent[node], node, tree.resistance_ohm[node]));
        network.branches.push_back(power_load(node, size, tree.power_W[node] * factor, tree.knee_V[node]));
    }
    return network;
}

// Currents from voltages from the leaves in, voltages from currents from the pack out, from above, until
// nothing moves any more or a load falls below its knee.
bool sweeps_can_feed(const Tree& tree, double factor) {
    const std::size_t size = tree.parent.size();
    std::vector<double> node_V(size, tree.voltage_V);
    for (int sweep = 0; sweep < 100'000; ++sweep) {
        std::vector<double> current_A(size);
        for (std::size_t node = 0; node < size; ++node) {
            if (tree.power_W[node] > 0 && node_V[node] < tree.knee_V[node]) return false;
            current_A[node] = factor * tree.power_W[node] / node_V[node];
        }
        for (std::size_t node = size - 1; node > 0; --node) current_A[tree.parent[node]] += current_A[node];
        double moved_V = 0;
        for (std::size_t node = 0; node < size; ++node) {
            const double above_V = node == 0 ? tree.voltage_V : node_V[tree.parent[node]];
            const double new_V = above_V - tree.resistance_ohm[node] * current_A[node];
            moved_V = std::max(moved_V, std::abs(new_V - node_V[node]));
            node_V[node] = new_V;
        }
        if (moved_V < 1e-12) return true;
    }
    FAIL("the sweeps did not end");
    return false;
}

}  // namespace

TEST_CASE("trees of loads are fed as far as sweeps over the tree can feed them, and no farther") {
    for (std::uint64_t seed = 0; seed < 100; ++seed) {
        const Tree tree = random_tree(seed);
        CAPTURE(seed, tree.parent.size());
        const double fraction = feedable_fraction(network_of(tree, 1));
        REQUIRE(std::isfinite(fraction));
        REQUIRE(fraction > 0);
        CHECK(sweeps_can_feed(tree, fraction * 0.999));
        CHECK_FALSE(sweeps_can_feed(tree, fraction * 1.0015));
        CHECK(solve(network_of(tree, fraction * 0.998)).status == SolveStatus::solved);
        CHECK(solve(network_of(tree, fraction * 1.002)).status == SolveStatus::collapsed);
    }
}

TEST_CASE("a charger beside the pack feeds loads the pack alone cannot") {
    // 1152 W from the pack alone; the charger adds 20 A while its voltage allows.
    const Network alone{2, {emf(0, 1, 48, 0.5), power_load(1, 0, 1400, 10)}};
    CHECK(solve(alone).status == SolveStatus::collapsed);
    Network both = alone;
    both.branches.push_back(limited_source(0, 1, 50, 0.01, 20));
    const NetworkSolution solution = solve(both);
    REQUIRE(solution.status == SolveStatus::solved);
    // u (20 + (48 - u) / 0.5) = 1400
    CHECK_THAT(solution.node_V[1], WithinRel(29 + std::sqrt(841.0 - 700), 1e-10));
    CHECK_THAT(feedable_fraction(both), WithinRel(29.0 * 29 / 700, 1e-3));
}

TEST_CASE("a converter's output load counts against what its pack can feed") {
    // 24 V behind 0.1 ohm gives 1440 W at most, through 90 % that is 1296 W at the output
    const Network network{4,
                          {emf(0, 1, 24, 0.1), converter_input(1, 0, 2, 0.9, 0, 8),
                           limited_source(2, 3, 12, 1e-6, 1000), power_load(3, 2, 100, 6)}};
    REQUIRE(solve(network).status == SolveStatus::solved);
    CHECK_THAT(feedable_fraction(network), WithinRel(12.96, 1.1e-3));
}

}  // namespace network_limit_test
