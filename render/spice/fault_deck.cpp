#include "render/spice/fault_deck.hpp"

#include <fmt/format.h>

#include <set>

#include "checker/circuit/disjoint_sets.hpp"

namespace loomward {
namespace {

constexpr double tie_ohm = 1e7;  // from what nothing joins to the place, so that it has a voltage at all

class FaultDeckWriter {
  public:
    FaultDeckWriter(const FaultNetwork& network, const FaultAccount& account)
        : circuit_(network.circuit()), network_(network), account_(account) {}

    SpiceDeck write(const std::string& title) {
        add("* " + printable_line(title));
        add("* " + printable_line(fault_text(*circuit_.harness, account_.place)) +
            ": the first moment, no device open yet");
        DisjointSets joined(circuit_.node_count());
        std::set<std::uint32_t> nodes{account_.place.a.value, account_.place.b.value};
        for (std::size_t i = 0; i < circuit_.edges.size(); ++i) {
            const Edge& edge = circuit_.edges[i];
            if (!is_in_it(EdgeId(i))) continue;
            nodes.insert({edge.from.value, edge.to.value});
            if (!is_limited(EdgeId(i))) joined.join(edge.from.index(), edge.to.index());
        }
        for (const std::uint32_t node : nodes)
            add(fmt::format("* {} = {}", spice_node(node), printable_line(spice_terminals(circuit_, node))));
        for (std::size_t i = 0; i < circuit_.edges.size(); ++i)
            if (network_.branch(EdgeId(i)).conducts) branch(EdgeId(i));
        add(fmt::format("Vfault {} {} dc 0", spice_node(account_.place.a.value),
                        spice_node(account_.place.b.value)));
        add(fmt::format("Vtie {} 0 dc 0", spice_node(account_.place.b.value)));
        joined.join(account_.place.a.index(), account_.place.b.index());
        std::set<std::size_t> tied{joined.find(account_.place.b.index())};
        for (const std::uint32_t node : nodes)
            if (tied.insert(joined.find(node)).second)
                add(fmt::format("Rtie{} {} 0 {:.17g}", node, spice_node(node), tie_ohm));
        add(fmt::format("* expected through Vfault, either way: {:.17g} A", account_.story.prospective_A));
        add(".options reltol=1e-8 abstol=1e-7 vntol=1e-9 gmin=1e-18 itl1=500 itl2=500");
        add(".op");
        add(".end");
        deck_.nodes.assign(nodes.begin(), nodes.end());
        return std::move(deck_);
    }

  private:
    void add(std::string line) { deck_.lines.push_back(std::move(line)); }

    bool is_in_it(EdgeId id) const {
        const FaultBranch& b = network_.branch(id);
        return b.conducts && (!b.one_way || first_A(id) > FaultCourse::nothing);
    }
    bool is_limited(EdgeId id) const {
        return network_.branch(id).one_way && first_A(id) >= network_.branch(id).limit_A * (1 - 1e-9);
    }
    double first_A(EdgeId id) const {
        for (const FaultStress& stress : account_.story.stress)
            if (stress.edge == id) return stress.first_A;
        return 0;
    }

    void branch(EdgeId id) {
        const Edge& edge = circuit_.edge(id);
        const FaultBranch& b = network_.branch(id);
        const std::uint32_t i = id.value;
        const std::string from = spice_node(edge.from.value), to = spice_node(edge.to.value),
                          what = spice_name(circuit_, edge);
        // The piece of its law on which the solution lies, as in the deck of a mode.
        if (b.one_way) {
            if (!is_in_it(id)) return add(fmt::format("* {} gives nothing", what));
            if (is_limited(id))
                return add(
                    fmt::format("I{} {} {} dc {:.17g} $ {} at its limit", i, from, to, b.limit_A, what));
            add(fmt::format("V{0} e{0} {1} dc {2:.17g} $ {3}", i, from, b.voltage_V, what));
            return add(fmt::format("R{0} e{0} {1} {2:.17g}", i, to, b.resistance_ohm));
        }
        if (b.voltage_V == 0)
            return add(fmt::format("R{} {} {} {:.17g} $ {}", i, from, to, b.resistance_ohm, what));
        add(fmt::format("V{0} e{0} {1} dc {2:.17g} $ {3}", i, from, b.voltage_V, what));
        add(fmt::format("R{0} e{0} {1} {2:.17g}", i, to, b.resistance_ohm));
    }

    const Circuit& circuit_;
    const FaultNetwork& network_;
    const FaultAccount& account_;
    SpiceDeck deck_;
};

}  // namespace

SpiceDeck fault_deck(const FaultNetwork& network, const FaultAccount& account, const std::string& title) {
    return FaultDeckWriter(network, account).write(title);
}

}  // namespace loomward
