// Random networks against a general circuit simulator's library.
#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>
#include <string>

#include <fmt/format.h>

#include "checker/solver/network.hpp"
#include "tests/checker/random_network.hpp"
#include "tests/checker/reference_simulator.hpp"

namespace network_reference_test {

using namespace loomward;
using namespace loomward::test;

namespace {

// Nodes by number; island references are the simulator's ground.
class Deck {
  public:
    Deck(const RandomNetwork& made, const std::vector<double>& start_V) : made_(made) {
        lines_.push_back("random network");
        for (std::size_t index = 0; index < made.network.branches.size(); ++index) add(index);
        // Where the search starts.
        for (std::uint32_t node = 0; node < made.network.node_count; ++node) {
            if (name(node) == "0") continue;
            names_.push_back(name(node));
            nodes_.push_back(node);
            lines_.push_back(fmt::format(".nodeset v({})={:.17g}", name(node), start_V[node]));
        }
        lines_.push_back(
            ".options reltol=1e-10 abstol=1e-14 vntol=1e-12 gmin=1e-18 itl1=200 gminsteps=0 srcsteps=0");
        lines_.push_back(".end");
    }

    const std::vector<std::string>& lines() const { return lines_; }
    const std::vector<std::string>& names() const { return names_; }
    const std::vector<std::uint32_t>& nodes() const { return nodes_; }

  private:
    std::string name(std::uint32_t node) const {
        const auto& references = made_.island_references;
        const bool ground = std::find(references.begin(), references.end(), node) != references.end();
        return ground ? "0" : fmt::format("n{}", node);
    }

    // V(from) - V(to) of a branch as an expression.
    std::string drop(const Branch& branch) const {
        return fmt::format("({}-{})", voltage(branch.from), voltage(branch.to));
    }
    std::string voltage(std::uint32_t node) const {
        return name(node) == "0" ? "0" : "v(" + name(node) + ")";
    }

    static std::string power_over(const std::string& power, const std::string& drop, double knee_V) {
        return fmt::format("({1} >= {2:.17g} ? ({0})/({1}) : ({0})*({1})/{3:.17g})", power, drop, knee_V,
                           knee_V * knee_V);
    }
    // Kept between nothing and the limit.
    std::string limited(const Branch& branch) const {
        return fmt::format("min(max(({:.17g}+{})/{:.17g},0),{:.17g})", branch.voltage_V, drop(branch),
                           branch.resistance_ohm, branch.current_A);
    }

    void current(std::size_t index, const std::string& law) {
        const Branch& branch = made_.network.branches[index];
        lines_.push_back(fmt::format("b{} {} {} i={}", index, name(branch.from), name(branch.to), law));
    }

    void add(std::size_t index) {
        const Branch& branch = made_.network.branches[index];
        const std::string from = name(branch.from), to = name(branch.to);
        switch (branch.type) {
            case Branch::Type::resistor:
                lines_.push_back(fmt::format("r{} {} {} {:.17g}", index, from, to, branch.resistance_ohm));
                break;
            case Branch::Type::emf:
                lines_.push_back(fmt::format("v{} e{} {} dc {:.17g}", index, index, from, branch.voltage_V));
                lines_.push_back(fmt::format("r{} e{} {} {:.17g}", index, index, to, branch.resistance_ohm));
                break;
            case Branch::Type::current_load:
                current(index, fmt::format("({0} >= {1:.17g} ? {2:.17g} : {2:.17g}*{0}/{1:.17g})",
                                           drop(branch), branch.knee_V, branch.current_A));
                break;
            case Branch::Type::power_load:
                current(index,
                        power_over(fmt::format("{:.17g}", branch.power_W), drop(branch), branch.knee_V));
                break;
            case Branch::Type::limited_source:
                current(index, limited(branch));
                break;
            case Branch::Type::diode:
                current(index, fmt::format("max(({}-{:.17g})/{:.17g},0)", drop(branch), branch.voltage_V,
                                           branch.resistance_ohm));
                break;
            case Branch::Type::converter_input: {
                const Branch& output = made_.network.branches[branch.partner.index()];
                const std::string power = fmt::format("-{}*{}/{:.17g}+{:.17g}", drop(output), limited(output),
                                                      branch.efficiency, branch.power_W);
                current(index, power_over(power, drop(branch), branch.knee_V));
                break;
            }
        }
    }

    const RandomNetwork& made_;
    std::vector<std::string> lines_;
    std::vector<std::string> names_;
    std::vector<std::uint32_t> nodes_;
};

struct Comparison {
    std::size_t networks = 0;
    std::size_t voltages = 0;
    double worst = 0;  // largest relative difference of a node's voltage
};

// Fails the test where either side has no solution.
void compare(const RandomNetwork& made, const NetworkSolution& ours, const std::vector<double>& start_V,
             Comparison& comparison) {
    const Deck deck(made, start_V);
    const auto theirs = ReferenceSimulator::instance().operating_point(deck.lines(), deck.names());
    INFO(ReferenceSimulator::instance().complaint());
    REQUIRE(theirs.has_value());
    REQUIRE(theirs->size() + made.island_references.size() == made.network.node_count);
    double worst = 0;
    for (std::size_t index = 0; index < theirs->size(); ++index) {
        const double reference_V = (*theirs)[index];
        const double off_V = std::abs(ours.node_V[deck.nodes()[index]] - reference_V);
        // Returns without load stand at nothing but rounding; the simulator stops at 1e-12 V.
        worst = std::max(worst, off_V / std::max(std::abs(reference_V), 1e-6));
    }
    CHECK(worst <= 1e-6);
    comparison.worst = std::max(comparison.worst, worst);
    comparison.voltages += theirs->size();
    ++comparison.networks;
}

std::string summary(const Comparison& comparison) {
    return fmt::format("{} voltages of {} networks, worst relative deviation {:.2g}", comparison.voltages,
                       comparison.networks, comparison.worst);
}

// To six digits. The simulator's solution depends on where it starts no further than which of several it
// finds.
std::vector<double> rounded(const std::vector<double>& voltages) {
    std::vector<double> result;
    for (const double voltage_V : voltages) result.push_back(std::stod(fmt::format("{:.6g}", voltage_V)));
    return result;
}

}  // namespace

TEST_CASE(
    "300 random networks with constant-power and constant-current loads agree with a general circuit "
    "simulator") {
    Comparison comparison;
    for (std::uint64_t seed = 0; seed < 300; ++seed) {
        const RandomNetwork made = random_network(seed, random_size(seed), Ingredients::loads);
        CAPTURE(seed, made.network.node_count, made.network.branches.size());
        const NetworkSolution ours = solve(made.network);
        REQUIRE(ours.status == SolveStatus::solved);
        compare(made, ours, made.nominal_V, comparison);
    }
    CHECK(comparison.networks == 300);
    CHECK(comparison.voltages > 300 * 100);
    WARN(summary(comparison));
}

TEST_CASE("300 random networks of every law, converters coupled, agree with a general circuit simulator") {
    Comparison comparison;
    for (std::uint64_t seed = 1000; seed < 1300; ++seed) {
        const RandomNetwork made = random_network(seed, random_size(seed), Ingredients::every_law);
        CAPTURE(seed, made.network.node_count, made.network.branches.size());
        const NetworkSolution ours = solve(made.network);
        REQUIRE(ours.status == SolveStatus::solved);
        // The simulator's undamped steps do not find which sources and diodes are at their limits from afar.
        compare(made, ours, rounded(ours.node_V), comparison);
    }
    CHECK(comparison.networks == 300);
    CHECK(comparison.voltages > 300 * 100);
    WARN(summary(comparison));
}

}  // namespace network_reference_test
