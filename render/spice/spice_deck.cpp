#include "render/spice/spice_deck.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "checker/solver/network_graph.hpp"

namespace loomward {
namespace {

constexpr double tie_ohm = 1e-3;
constexpr double carries_nothing_ohm = 1;  // of what lies in no loop with a source

// A title or comment: one line, printable.
std::string one_line(std::string_view text) {
    std::string out;
    for (const char c : text) out += static_cast<unsigned char>(c) < 0x20 ? ' ' : c;
    return out;
}

class DeckWriter {
  public:
    DeckWriter(const Circuit& circuit, const SolvedNetwork& solved)
        : circuit_(circuit),
          network_(solved.network),
          solved_(solved),
          graph_(analyse_graph(solved.network)) {}

    SpiceDeck write(const std::string& title) {
        add("* " + one_line(title));
        add("* volts against the reference of each island; made for one operating point, not for a course in "
            "time");
        find_nodes();
        for (const std::uint32_t node : deck_.nodes)
            add(fmt::format("* {} = {}", spice_node(node), terminals(node)));
        for (std::size_t i = 0; i < network_.branches.size(); ++i) branch(static_cast<std::uint32_t>(i));
        for (std::size_t island = 0; island < graph_.reference_of_island.size(); ++island) {
            const std::uint32_t node = graph_.reference_of_island[island];
            if (node != NetworkGraph::none && used_[node])
                add(fmt::format("Rtie{} {} 0 {:.17g}", island, spice_node(node), tie_ohm));
        }
        for (const std::uint32_t node : deck_.nodes)
            add(fmt::format(".nodeset v({})={:.17g}", spice_node(node), solved_.solution.node_V[node]));
        // The simulator's usual tolerances are coarser than what is compared; its conductance to ground would
        // be a load of its own.
        add(".options reltol=1e-10 abstol=1e-13 vntol=1e-11 gmin=1e-18 itl1=500 itl2=500");
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

    std::string terminals(std::uint32_t node) const {
        std::string text;
        for (std::size_t i = 0; i < circuit_.node_of_terminal.size() && text.size() < 200; ++i)
            if (circuit_.node_of_terminal[i].value == node)
                text += (text.empty() ? "" : " ") + std::string(circuit_.harness->terminals[i].path);
        return one_line(text);
    }

    std::string what(std::uint32_t branch) const {
        const Edge& edge = circuit_.edge(solved_.edge_of_branch[branch]);
        const Harness& harness = *circuit_.harness;
        return one_line(edge.wire   ? harness.wire(edge.wire).name
                        : edge.part ? harness.part(edge.part).name
                                    : std::string_view("joint"));
    }

    // What it draws at a voltage `v`, with its knee; nothing the wrong way round but for motors.
    static std::string load(const Branch& b, const std::string& v, const std::string& above,
                            double at_knee_A) {
        const std::string below = fmt::format("{:.17g}*{}", at_knee_A / b.knee_V, v);
        if (!b.both_ways)
            return fmt::format("({0} >= {1:.17g}) ? {2} : (({0} > 0) ? {3} : 0)", v, b.knee_V, above, below);
        return fmt::format("(abs({0}) >= {1:.17g}) ? {2} : {3}", v, b.knee_V, above, below);
    }

    void branch(std::uint32_t i) {
        const Branch& b = network_.branches[i];
        if (graph_.roles[i] == BranchRole::dead) return;
        const std::string from = spice_node(b.from), to = spice_node(b.to);
        const std::string v = fmt::format("v({},{})", from, to);
        if (graph_.roles[i] == BranchRole::idle && b.type != Branch::Type::resistor &&
            b.type != Branch::Type::emf)
            return add(fmt::format("R{} {} {} {:.17g} $ {}: in no loop, carries nothing", i, from, to,
                                   carries_nothing_ohm, what(i)));
        switch (b.type) {
            case Branch::Type::resistor:
                return add(fmt::format("R{} {} {} {:.17g} $ {}", i, from, to, b.resistance_ohm, what(i)));
            case Branch::Type::emf:
                add(fmt::format("V{0} e{0} {1} dc {2:.17g} $ {3}", i, from, b.voltage_V, what(i)));
                return add(fmt::format("R{0} e{0} {1} {2:.17g}", i, to, b.resistance_ohm));
            case Branch::Type::current_load:
                return add(fmt::format("B{} {} {} i = {} $ {}", i, from, to,
                                       load(b, v,
                                            b.both_ways ? fmt::format("{:.17g}*sgn({})", b.current_A, v)
                                                        : fmt::format("{:.17g}", b.current_A),
                                            b.current_A),
                                       what(i)));
            case Branch::Type::power_load:
                return add(fmt::format(
                    "B{} {} {} i = {} $ {}", i, from, to,
                    load(b, v, fmt::format("{:.17g}/{}", b.power_W, v), b.power_W / b.knee_V), what(i)));
            case Branch::Type::diode:
                return add(
                    fmt::format("B{0} {1} {2} i = ({3} > {4:.17g}) ? ({3} - {4:.17g})/{5:.17g} : 0 $ {6}", i,
                                from, to, v, b.voltage_V, b.resistance_ohm, what(i)));
            case Branch::Type::limited_source:
                return limited(i, b);
            case Branch::Type::converter_input:
                return converter(i, b);
        }
    }

    // What a source gives at the voltage it has: the same law twice where a converter's input asks for it.
    static std::string given(const Branch& b) {
        const std::string drive = fmt::format("(({:.17g} - v({},{}))/{:.17g})", b.voltage_V, spice_node(b.to),
                                              spice_node(b.from), b.resistance_ohm);
        const std::string at_least = fmt::format("max(0, {})", drive);
        return std::isfinite(b.current_A) ? fmt::format("min({:.17g}, {})", b.current_A, at_least) : at_least;
    }
    void limited(std::uint32_t i, const Branch& b) {
        add(fmt::format("B{} {} {} i = {} $ {}", i, spice_node(b.from), spice_node(b.to), given(b), what(i)));
    }
    void converter(std::uint32_t i, const Branch& b) {
        double own_W = b.power_W;
        std::string watts = fmt::format("{:.17g}", own_W);
        if (b.partner && graph_.roles[b.partner.index()] == BranchRole::active) {
            const Branch& output = network_.branches[b.partner.index()];
            watts = fmt::format("({} + {}*v({},{})/{:.17g})", watts, given(output), spice_node(output.to),
                                spice_node(output.from), b.efficiency);
        }
        const std::string v = fmt::format("v({},{})", spice_node(b.from), spice_node(b.to));
        add(fmt::format(
            "B{0} {1} {2} i = ({3} >= {4:.17g}) ? {5}/{3} : (({3} > 0) ? {5}*{3}/{6:.17g} : 0) $ {7}", i,
            spice_node(b.from), spice_node(b.to), v, b.knee_V, watts, b.knee_V * b.knee_V, what(i)));
    }

    const Circuit& circuit_;
    const Network& network_;
    const SolvedNetwork& solved_;
    NetworkGraph graph_;
    std::vector<bool> used_;
    SpiceDeck deck_;
};

}  // namespace

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
