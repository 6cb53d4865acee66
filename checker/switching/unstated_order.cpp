#include "checker/switching/unstated_order.hpp"

#include <algorithm>
#include <cmath>

#include "checker/circuit/ways.hpp"
#include "checker/currents/witness.hpp"
#include "checker/parts/elements.hpp"
#include "checker/switching/unstated_time.hpp"

namespace loomward {

using namespace literals;

namespace {

// What charges more slowly is a bleed or a sense lead and precharges nothing.
constexpr double constants = 3;

// `current_A`: through the contact as it closes; what leads round it leads the same way.
bool resistor_lies_round(const Circuit& circuit, const Facts& facts, const Mode& mode, double largest_ohm,
                         EdgeId contact, double current_A) {
    const Edge& edge = circuit.edge(contact);
    const bool forth = current_A >= 0;
    const bool bridged =
        !shortest_way(circuit, forth ? edge.from : edge.to, forth ? edge.to : edge.from,
                      [&](EdgeId id, NodeId at) {
                          const Edge& each = circuit.edge(id);
                          const bool one_way = each.role == EdgeRole::diode || is_driver(each.role);
                          return id != contact && (conducts(each.role) || one_way) &&
                                 (!one_way || at == each.from) && is_closed(circuit, mode, each);
                      })
             .empty();
    if (bridged) return false;
    const auto charges = [&](const Edge& each) {
        const auto ohm = facts.quantity(each.part, "(resistance)"_attr);
        return !ohm || ohm->lo <= largest_ohm;
    };
    const auto round = [&] {
        DisjointSets joined = pieces(circuit, [&](EdgeId id) {
            const Edge& each = circuit.edge(id);
            const bool leads = conducts(each.role) || is_driver(each.role) ||
                               (each.role == EdgeRole::resistor && charges(each));
            return id != contact && leads && is_closed(circuit, mode, each);
        });
        // A controller that precharges itself has its resistor inside, from the pin to its plus.
        for (const Edge& each : circuit.edges)
            if (each.role == EdgeRole::controller)
                if (const TerminalId pin = circuit.harness->part(each.part).precharges)
                    joined.join(circuit.node(pin).index(), each.from.index());
        return joined.same(edge.from.index(), edge.to.index());
    };
    return round();
}

}  // namespace

bool may_be_precharged(const Circuit& circuit, const Facts& facts, const ModeEntry& entry, EdgeId contact) {
    double empty_F = 0;
    for (const CapacitorState& each : entry.capacitors)
        if (std::abs(each.settles_V - each.before_V) > 0.02 * std::abs(each.settles_V))
            empty_F += each.capacitance_F;
    const double largest_ohm = empty_F > 0 ? connected_s / constants / empty_F : HUGE_VAL;
    const Mode& mode = circuit.harness->modes[entry.mode.index()];
    if (!mode.own) return false;
    const CurrentPath path = trace_current(circuit, entry.moment, contact);
    const auto closes = [&](EdgeId id) {
        return std::any_of(entry.closing.begin(), entry.closing.end(),
                           [id](const ClosingContact& each) { return each.edge == id; });
    };
    return resistor_lies_round(circuit, facts, mode, largest_ohm, contact,
                               entry.moment.edge_A[contact.index()]) ||
           std::any_of(path.edges.begin(), path.edges.end(), [&](EdgeId id) {
               return id != contact && closes(id) &&
                      resistor_lies_round(circuit, facts, mode, largest_ohm, id,
                                          entry.moment.edge_A[id.index()]);
           });
}

}  // namespace loomward
