#include "checker/budget/own_consumption.hpp"

#include <algorithm>

#include "checker/budget/missing_values.hpp"
#include "checker/circuit/by_name.hpp"
#include "checker/circuit/disjoint_sets.hpp"
#include "checker/parts/elements.hpp"

namespace loomward {

using namespace literals;

namespace {

// Of a battery management that opens a contactor: the end of the contact on the side of the cells, whether
// that is open or closed.
NodeId battery_side(const Circuit& circuit, PartId bms) {
    const PartId driven = circuit.harness->part(bms).drives;
    if (!driven) return {};
    const Edge& contact = circuit.edge(circuit.edges_of_part[driven.index()].front());
    const NodeId out = circuit.node(contact.to_terminal);
    for (const EdgeId id : circuit.edges_of_part[bms.index()])
        if (circuit.edge(id).role == EdgeRole::trip) return circuit.edge(id).from == out ? out : contact.from;
    return {};
}

void share_out(const Facts& facts, std::vector<WatchedPack>& packs, std::size_t first, PartId bms) {
    double sum_Ah = 0;
    bool all = true;
    std::vector<double> each_Ah;
    for (std::size_t i = first; i < packs.size(); ++i) {
        const auto capacity_Ah = pack_capacity(facts, packs[i].pack);
        each_Ah.push_back(capacity_Ah ? (capacity_Ah->lo + capacity_Ah->hi) / 2 : 0);
        sum_Ah += each_Ah.back();
        all = all && capacity_Ah;
    }
    if (each_Ah.size() < 2) return;
    facts.assume("share of packs side by side in what a bms draws",
                 all ? "in proportion to their capacity" : "the same of each",
                 "they stay at one voltage, no source", facts.harness().part(bms).name);
    const auto count = static_cast<double>(each_Ah.size());
    for (std::size_t i = first; i < packs.size(); ++i)
        packs[i].share = all ? each_Ah[i - first] / sum_Ah : 1 / count;
}

}  // namespace

std::vector<WatchedPack> packs_behind(const Circuit& circuit, const Facts& facts, const Mode& state,
                                      PartId bms) {
    const Harness& harness = *circuit.harness;
    DisjointSets pieces(circuit.node_count());
    for (const Edge& edge : circuit.edges)
        if (is_conductor(edge.role) && edge.role != EdgeRole::trip && is_closed(circuit, state, edge))
            pieces.join(edge.from.index(), edge.to.index());
    const TerminalId minus = harness.terminal_of(bms, TerminalRole::battery_minus);
    const TerminalId start = minus ? minus : harness.terminal_of(bms, TerminalRole::battery_plus);
    const NodeId battery = start ? circuit.node(start) : battery_side(circuit, bms);
    if (!battery) return {};
    const bool low = minus || facts.word(bms, "side"_attr) == "low";
    const auto pole = [&](PartId pack, bool near) {
        const TerminalRole role = near == low ? TerminalRole::minus : TerminalRole::plus;
        return pieces.find(circuit.node(harness.terminal_of(pack, role)).index());
    };
    std::vector<WatchedPack> found;
    std::vector<bool> seen(harness.parts.size());
    std::vector<std::size_t> here{pieces.find(battery.index())};
    const std::vector<PartId> parts = parts_by_name(harness);
    for (std::size_t layer = 0; !here.empty(); ++layer) {
        const std::size_t first = found.size();
        for (const PartId part : parts) {
            if (harness.part(part).kind != Kind::pack || seen[part.index()]) continue;
            if (std::find(here.begin(), here.end(), pole(part, true)) != here.end())
                found.push_back({part, 1, layer});
        }
        here.clear();
        for (std::size_t i = first; i < found.size(); ++i) {
            seen[found[i].pack.index()] = true;
            here.push_back(pole(found[i].pack, false));
        }
        share_out(facts, found, first, bms);
    }
    return found;
}

}  // namespace loomward
