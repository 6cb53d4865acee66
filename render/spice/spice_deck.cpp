#include "render/spice/spice_deck.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "checker/solver/network_graph.hpp"

namespace loomward {
namespace {

constexpr double carries_nothing_ohm = 1;  // of what lies in no loop with a source

class DeckWriter {
  public:
    DeckWriter(const Circuit& circuit, const SolvedNetwork& solved)
        : circuit_(circuit),
          network_(solved.network),
          solved_(solved),
          graph_(analyse_graph(solved.network)) {}

    SpiceDeck write(const std::string& title) {
        add("* " + printable_line(title));
        add("* volts against the reference of each island; made for one operating point, not for a course in "
            "time");
        find_nodes();
        for (const std::uint32_t node : deck_.nodes)
            add(fmt::format("* {} = {}", spice_node(node), printable_line(spice_terminals(circuit_, node))));
        for (std::size_t i = 0; i < network_.branches.size(); ++i) branch(static_cast<std::uint32_t>(i));
        for (std::size_t island = 0; island < graph_.reference_of_island.size(); ++island) {
            const std::uint32_t node = graph_.reference_of_island[island];
            if (node != NetworkGraph::none && used_[node])
                add(fmt::format("Vtie{} {} 0 dc {:.17g}", island, spice_node(node),
                                solved_.solution.node_V[node]));
        }
        for (const std::uint32_t node : deck_.nodes)
            add(fmt::format("* expected v({})={:.17g}", spice_node(node), solved_.solution.node_V[node]));
        // Coarser the simulator would stop too early, finer it would never stop: the last digits of a joint
        // of 0.1 microohm at 50 V are 0.1 microampere. Its conductance to ground would be a load of its own.
        add(".options reltol=1e-8 abstol=1e-7 vntol=1e-9 gmin=1e-18 itl1=500 "
            "itl2=500");
        add(".op");
        add(".end");
        return std::move(deck_);
    }

  private:
    void add(std::string line) { deck_.lines.push_back(std::move(line)); }

    void find_nodes() {
        used_.assign(network_.node_count, false);
        for (std::size_t i = 0; i < network_.branches.size(); ++i)
            if (graph_.roles[i] != BranchRole::dead)
                used_[network_.branches[i].from] = used_[network_.branches[i].to] = true;
        for (std::uint32_t node = 0; node < network_.node_count; ++node)
            if (used_[node]) deck_.nodes.push_back(node);
    }

    std::string what(std::uint32_t branch) const {
        return spice_name(circuit_, circuit_.edge(solved_.edge_of_branch[branch]));
    }

    double volts(const Branch& b) const {
        return solved_.solution.node_V[b.from] - solved_.solution.node_V[b.to];
    }
    // A current through the branch from `from` to `to`, constant or by a formula.
    void current(std::uint32_t i, const std::string& amps) {
        const Branch& b = network_.branches[i];
        add(fmt::format("B{} {} {} i = {} $ {}", i, spice_node(b.from), spice_node(b.to), amps, what(i)));
    }
    void resistor(std::uint32_t i, double ohm, std::string_view because = {}) {
        const Branch& b = network_.branches[i];
        add(fmt::format("R{} {} {} {:.17g} $ {}{}", i, spice_node(b.from), spice_node(b.to), ohm, what(i),
                        because));
    }
    // A voltage with its resistance, the plus at `to`: V{i} carries its current from `from` to `to`.
    void source(std::uint32_t i, double volts_V, double ohm) {
        const Branch& b = network_.branches[i];
        add(fmt::format("V{0} e{0} {1} dc {2:.17g} $ {3}", i, spice_node(b.from), volts_V, what(i)));
        add(fmt::format("R{0} e{0} {1} {2:.17g}", i, spice_node(b.to), ohm));
    }

    void branch(std::uint32_t i) {
        const Branch& b = network_.branches[i];
        if (graph_.roles[i] == BranchRole::dead) return;
        if (graph_.roles[i] == BranchRole::idle && b.type != Branch::Type::resistor &&
            b.type != Branch::Type::emf)
            return resistor(i, carries_nothing_ohm, ": in no loop, carries nothing");
        const std::string v = fmt::format("v({},{})", spice_node(b.from), spice_node(b.to));
        const double now_V = b.both_ways ? std::abs(volts(b)) : volts(b);
        switch (b.type) {
            case Branch::Type::resistor:
                return resistor(i, b.resistance_ohm);
            case Branch::Type::emf:
                return source(i, b.voltage_V, b.resistance_ohm);
            case Branch::Type::current_load:
                if (now_V >= b.knee_V)
                    return current(i, fmt::format("{:.17g}", volts(b) < 0 ? -b.current_A : b.current_A));
                return below_knee(i, b.current_A);
            case Branch::Type::power_load:
                if (now_V >= b.knee_V)
                    return current(i, volts(b) < 0
                                          ? fmt::format("-{:.17g}/max(-{}, {:.17g})", b.power_W, v, b.knee_V)
                                          : fmt::format("{:.17g}/max({}, {:.17g})", b.power_W, v, b.knee_V));
                return below_knee(i, b.power_W / b.knee_V);
            case Branch::Type::diode:
                if (volts(b) > b.voltage_V) return source(i, -b.voltage_V, b.resistance_ohm);
                return current(i, fmt::format("({0} > {1:.17g}) ? ({0} - {1:.17g})/{2:.17g} : 0", v,
                                              b.voltage_V, b.resistance_ohm));
            case Branch::Type::limited_source:
                if (gives_nothing(i))
                    return current(
                        i, fmt::format("max(0, ({:.17g} + {})/{:.17g})", b.voltage_V, v, b.resistance_ohm));
                if (!limits(i)) return source(i, b.voltage_V, b.resistance_ohm);
                return current(i, fmt::format("{:.17g}", b.current_A));
            case Branch::Type::converter_input:
                return converter(i, b, now_V);
        }
    }

    // A load below its knee draws in proportion; the wrong way round nothing.
    void below_knee(std::uint32_t i, double at_knee_A) {
        const Branch& b = network_.branches[i];
        if (!b.both_ways && volts(b) < -dead_share_ * b.knee_V)
            return current(i, fmt::format("max(0, v({},{})*{:.17g})", spice_node(b.from), spice_node(b.to),
                                          at_knee_A / b.knee_V));
        resistor(i, b.knee_V / at_knee_A, ": below its knee");
    }
    static constexpr double dead_share_ = 1e-6;  // of its knee: no voltage, up to the last digits
    bool gives_nothing(std::uint32_t i) const { return solved_.solution.branch_A[i] <= 0; }
    bool limits(std::uint32_t i) const {
        return solved_.solution.branch_A[i] >= network_.branches[i].current_A * (1 - 1e-12);
    }

    void converter(std::uint32_t i, const Branch& b, double now_V) {
        std::string watts = fmt::format("{:.17g}", b.power_W);
        if (b.partner && graph_.roles[b.partner.index()] == BranchRole::active) {
            const Branch& output = network_.branches[b.partner.index()];
            const std::string out_V = fmt::format("v({},{})", spice_node(output.to), spice_node(output.from));
            const std::uint32_t partner = b.partner.value;
            if (!gives_nothing(partner))
                watts = fmt::format("({} + {}*{}/{:.17g})", watts,
                                    limits(partner) ? fmt::format("{:.17g}", output.current_A)
                                                    : fmt::format("(-i(V{}))", b.partner.index()),
                                    out_V, b.efficiency);
        }
        const std::string v = fmt::format("v({},{})", spice_node(b.from), spice_node(b.to));
        if (now_V >= b.knee_V) return current(i, fmt::format("{}/max({}, {:.17g})", watts, v, b.knee_V));
        current(i, fmt::format("max(0, {}*{}/{:.17g})", watts, v, b.knee_V * b.knee_V));
    }

    const Circuit& circuit_;
    const Network& network_;
    const SolvedNetwork& solved_;
    NetworkGraph graph_;
    std::vector<bool> used_;
    SpiceDeck deck_;
};

}  // namespace

std::string printable_line(std::string_view text) {
    std::string out;
    for (const char c : text) out += static_cast<unsigned char>(c) < 0x20 ? ' ' : c;
    return out;
}

std::string spice_terminals(const Circuit& circuit, std::uint32_t node) {
    std::string text;
    for (std::size_t i = 0; i < circuit.node_of_terminal.size() && text.size() < 200; ++i)
        if (circuit.node_of_terminal[i].value == node)
            text += (text.empty() ? "" : " ") + std::string(circuit.harness->terminals[i].path);
    return text;
}

std::string spice_name(const Circuit& circuit, const Edge& edge) {
    return printable_line(edge.wire   ? circuit.harness->wire(edge.wire).name
                          : edge.part ? circuit.harness->part(edge.part).name
                                      : std::string_view("joint"));
}

std::string spice_node(std::uint32_t node) {
    return fmt::format("n{}", node);
}

SpiceDeck spice_deck(const Circuit& circuit, const SolvedNetwork& solved, const std::string& title) {
    if (solved.network.branches.empty() || solved.solution.node_V.empty()) return {};
    return DeckWriter(circuit, solved).write(title);
}

std::string spice_text(const SpiceDeck& deck) {
    std::string text;
    for (const std::string& line : deck.lines) text += line + "\n";
    return text;
}

}  // namespace loomward
