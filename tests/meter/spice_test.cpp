// Every mode of every example as a deck, solved by a general circuit simulator.
#include <algorithm>
#include <cmath>

#include "checker/fault_look.hpp"
#include "render/spice/fault_deck.hpp"
#include "tests/checker/reference_simulator.hpp"
#include "tests/meter/simulated.hpp"

namespace spice_test {

namespace {

using namespace loomward;
using namespace loomward::testing;

struct Compared {
    std::size_t decks = 0, nodes = 0;
    double worst_V = 0;
    std::string worst_at;
    std::vector<std::string> refused;
};

void compare(const Circuit& circuit, const Facts& facts, Corner corner, ModeId mode, Compared& made) {
    const Mode& which = circuit.harness->modes[mode.index()];
    for (const Interval& interval : intervals_of(which)) {
        const SolvedNetwork solved = solved_network(circuit, facts, corner, mode, interval);
        const SpiceDeck deck = spice_deck(circuit, solved, "test");
        if (deck.lines.empty()) continue;
        std::vector<std::string> names;
        for (const std::uint32_t node : deck.nodes) names.push_back(spice_node(node));
        const auto volts = loomward::test::ReferenceSimulator::instance().operating_point(deck.lines, names);
        const std::string name = std::string(which.name) + " " + std::string(corner_name(corner));
        if (!volts) {
            made.refused.push_back(name + ": " + loomward::test::ReferenceSimulator::instance().complaint());
            continue;
        }
        ++made.decks;
        for (std::size_t i = 0; i < names.size(); ++i) {
            const double off_V = std::abs((*volts)[i] - solved.solution.node_V[deck.nodes[i]]);
            ++made.nodes;
            if (off_V > made.worst_V) made.worst_V = off_V, made.worst_at = name + " " + names[i];
        }
    }
}

}  // namespace

TEST_CASE("a general simulator solves the deck of every mode of every example to the same voltages") {
    Compared all;
    for (const char* example : {"market-cart", "yard-crane-96v", "greenhouse-line", "ice-sweeper",
                                "bench-rig-12v", "launch-24v", "vineyard-carrier"}) {
        INFO(example);
        const Results& results = checked_example(example);
        const Facts facts(*results.circuit.harness);
        Compared one;
        for (std::size_t m = 0; m < results.circuit.harness->modes.size(); ++m)
            for (const Corner corner : {Corner::run_hot, Corner::run_full})
                compare(results.circuit, facts, corner, ModeId(m), one);
        CHECK(one.refused == std::vector<std::string>{});
        INFO(one.worst_at);
        CHECK(one.worst_V < 1e-6);
        std::printf("%-18s %3zu decks, %5zu node voltages, worst difference %.2g V\n", example, one.decks,
                    one.nodes, one.worst_V);
        all.decks += one.decks;
    }
    CHECK(all.decks > 60);
}

TEST_CASE("the network that is kept is the one the operating points come from") {
    const Results& results = checked_example("market-cart");
    const Facts facts(*results.circuit.harness);
    std::size_t compared = 0;
    for (const OperatingPoint& point : results.points) {
        const SolvedNetwork solved = solved_network(results.circuit, facts, point.corner, point.mode,
                                                    {point.from_s, point.duration_s});
        REQUIRE(solved.solution.node_V.size() == point.node_V.size());
        for (std::size_t i = 0; i < point.node_V.size(); ++i)
            if (std::abs(solved.solution.node_V[i] - point.node_V[i]) < 1e-9)
                ++compared;
            else
                FAIL("node " << i);
    }
    CHECK(compared > 100);
}

TEST_CASE("a general simulator finds the prospective currents of the short circuits of every example") {
    std::size_t decks = 0;
    double worst = 0;
    for (const char* example : {"market-cart", "yard-crane-96v", "bench-rig-12v", "launch-24v"}) {
        INFO(example);
        const Results& results = checked_example(example);
        const FaultLook look(results);
        const FaultStudy& faults = look.study();
        const std::size_t step = std::max<std::size_t>(1, faults.survey().outcomes.size() / 12);
        for (std::size_t i = 0; i < faults.survey().outcomes.size(); i += step) {
            const FaultOutcome& told = faults.survey().outcomes[i];
            const FaultPlace& place = faults.survey().places[told.place];
            const FaultAccount account = faults.account(place, told.corner, told.position);
            const FaultNetwork& network = faults.network(told.position, told.corner);
            const SpiceDeck deck = fault_deck(network, account, "test");
            auto& simulator = loomward::test::ReferenceSimulator::instance();
            const auto current = simulator.operating_point(deck.lines, {"vfault#branch"});
            INFO(fault_text(*results.harness, place));
            INFO(simulator.complaint());
            REQUIRE(current);
            const double off = std::abs(std::abs(current->front()) / account.story.prospective_A - 1);
            CHECK(off < 1e-6);
            worst = std::max(worst, off);
            ++decks;
        }
    }
    CHECK(decks > 40);
    std::printf("%zu short circuits, worst relative difference %.2g\n", decks, worst);
}

}  // namespace spice_test
