#include "checker/circuit/driven_contacts.hpp"

#include <utility>

#include "checker/circuit/disjoint_sets.hpp"

namespace loomward {

using namespace literals;

namespace {

// By the pole that hangs on it with the contact open and every other one closed; where that does not tell, by
// the habit of walking from the source to the load and back.
bool battery_lies_at_in(const Harness& harness, const Circuit& circuit, PartId bms, const Edge& contact) {
    const bool low = harness.value(harness.part(bms).attributes, "side"_attr).text == "low";
    DisjointSets pieces(circuit.first_terminal.size());
    for (const Edge& each : circuit.edges)
        if (is_conductor(each.role) && each.part != contact.part)
            pieces.join(each.from.index(), each.to.index());
    bool in = false, out = false;
    for (const Edge& each : circuit.edges) {
        if (each.role != EdgeRole::emf) continue;
        const NodeId pole = low ? each.from : each.to;
        in = in || pieces.same(pole.index(), contact.from.index());
        out = out || pieces.same(pole.index(), contact.to.index());
    }
    return in == out ? !low : in;
}

}  // namespace

void lay_trips_at_contacts(const Harness& harness, const std::vector<PartId>& parts, Circuit& circuit) {
    for (const PartId id : parts) {
        const PartId driven = harness.part(id).drives;
        if (!driven) continue;
        Edge& contact = circuit.edges[circuit.edges_of_part[driven.index()].front().index()];
        const bool at_in = battery_lies_at_in(harness, circuit, id, contact);
        const NodeId between(circuit.first_terminal.size()), far = contact.to;
        circuit.first_terminal.push_back(contact.to_terminal);
        contact.to = between;
        Edge trip{EdgeRole::trip, far, between, contact.to_terminal, contact.to_terminal, id, {}, 0, 0};
        if (at_in) std::swap(trip.from, trip.to);
        circuit.edges_of_part[id.index()].push_back(EdgeId(circuit.edges.size()));
        circuit.edges.push_back(trip);
    }
}

}  // namespace loomward
