// Contacts with a way round them that nothing opens.
#include <set>
#include <tuple>

#include "checker/circuit/disjoint_sets.hpp"
#include "checker/circuit/feeding_diodes.hpp"
#include "checker/rules/rule_support.hpp"

namespace loomward::rules::bridged_contacts {
namespace {

constexpr RuleInfo infos[] = {
    {"bridged-contact",
     "a switch, contactor or relay with a way round it through wires and fuses: opening it interrupts "
     "nothing",
     "no way from one end of a contact to the other that passes no contact", "common practice, no source",
     "ways through resistors, coils and loads do not count, those through diodes as they lead from a pack, "
     "and not round a selector or one of two throws that both lead on",
     "splice X1\nroute K1.in (W30 16 mm2, 0.2 m, red) K1.out", "splice X1"},
};

bool leads_round(EdgeRole role) {
    return is_conductor(role) && role != EdgeRole::switching;
}

// Of a selector, or one of two throws with something wired at the other: what leads round it over a diode may
// be the business of the other positions. A plain wire round it never is.
bool has_other_ways(const Circuit& circuit, EdgeId contact) {
    const Edge& edge = circuit.edge(contact);
    if (circuit.harness->part(edge.part).kind == Kind::selector) return true;
    for (const EdgeId other : circuit.edges_of_part[edge.part.index()]) {
        const Edge& beside = circuit.edge(other);
        if (other == contact || beside.role != EdgeRole::switching || beside.way != edge.way) continue;
        const NodeId throws = beside.from == edge.from ? beside.to : beside.from;
        if (circuit.at(throws).size() > 1) return true;
    }
    return false;
}

// The wires of the shortest way round, from one end to the other; empty: there is none. `feeding`: by EdgeId,
// the diodes that a pack can feed through.
std::vector<EdgeId> way_round_contact(const Circuit& circuit, const std::vector<bool>& feeding, NodeId from,
                                      NodeId to) {
    std::vector<EdgeId> back(circuit.node_count());
    std::vector<bool> seen(circuit.node_count(), false);
    std::vector<NodeId> queue{from};
    seen[from.index()] = true;
    for (std::size_t head = 0; head < queue.size() && !seen[to.index()]; ++head)
        for (const Incidence& next : circuit.at(queue[head])) {
            const Edge& edge = circuit.edge(next.edge);
            const bool passes =
                leads_round(edge.role) || (feeding[next.edge.index()] && edge.from == queue[head]);
            if (seen[next.other.index()] || !passes) continue;
            seen[next.other.index()] = true;
            back[next.other.index()] = next.edge;
            queue.push_back(next.other);
        }
    std::vector<EdgeId> way;
    for (NodeId here = to; seen[to.index()] && here != from;) {
        way.insert(way.begin(), back[here.index()]);
        const Edge& edge = circuit.edge(way.front());
        here = edge.from == here ? edge.to : edge.from;
    }
    return way;
}

// The device on the way that opens first at a lasting current; invalid where there is none.
EdgeId weakest_device(const RuleInput& input, const std::vector<EdgeId>& way) {
    EdgeId weakest;
    double least_A = unbounded_A;
    for (const EdgeId id : way) {
        const Edge& edge = input.circuit.edge(id);
        if (!is_protective(edge.role)) continue;
        const double most_A = operating_current(input.facts, edge.part).current_A;
        if (most_A < least_A) least_A = most_A, weakest = id;
    }
    return weakest;
}

void run(const RuleInput& input, Report& report) {
    const Circuit& circuit = input.circuit;
    DisjointSets fixed(circuit.node_count());
    for (const Edge& edge : circuit.edges)
        if (leads_round(edge.role)) fixed.join(edge.from.index(), edge.to.index());
    std::vector<bool> feeding(circuit.edges.size(), false);
    DisjointSets over_diodes = fixed;
    for (const EdgeId id : diodes_that_feed(circuit, fixed)) {
        const Edge& diode = circuit.edge(id);
        if (diode.role != EdgeRole::diode) continue;
        feeding[id.index()] = true;
        over_diodes.join(diode.from.index(), diode.to.index());
    }
    std::set<std::tuple<PartId, NodeId, NodeId>> said;  // several positions may join the same two
    for (std::size_t i = 0; i < circuit.edges.size(); ++i) {
        const Edge& edge = circuit.edges[i];
        if (edge.role != EdgeRole::switching || !over_diodes.same(edge.from.index(), edge.to.index()))
            continue;
        if (!fixed.same(edge.from.index(), edge.to.index()) && has_other_ways(circuit, EdgeId(i))) continue;
        if (!said.insert({edge.part, edge.from, edge.to}).second) continue;
        NodeId start = edge.from;
        std::vector<EdgeId> way = way_round_contact(circuit, feeding, edge.from, edge.to);
        if (way.empty()) way = way_round_contact(circuit, feeding, start = edge.to, edge.from);
        if (way.empty() && edge.from != edge.to) continue;
        Finding finding = finding_about(input, "bridged-contact", Severity::error, edge.part);
        finding.message = "current can pass round " + named(input.harness, edge.part);
        finding.beside = "opening it interrupts nothing";
        finding.witness = steps_along(circuit, start, way);
        finding.working = {"a way from " + std::string(input.harness.terminal(edge.from_terminal).path) +
                           " to " + std::string(input.harness.terminal(edge.to_terminal).path) +
                           " passes no contact"};
        // A way with a device of its own carries what that lets through; more than that opens the device.
        const EdgeId guard = weakest_device(input, way);
        if (guard) {
            const PartId device = circuit.edge(guard).part;
            const OperatingCurrent most = operating_current(input.facts, device);
            finding.beside = "opening it interrupts nothing up to " + amps(most.current_A);
            finding.working.push_back("it carries " + amps(most.current_A) + " = " + most.working +
                                      " for long; more opens " + named(input.harness, device));
            finding.related.push_back(
                {input.harness.part(device).where, named(input.harness, device) + " is here"});
        }
        finding.source = "common practice, no source";
        finding.help = "take out the way round it";
        report.add(std::move(finding));
    }
}

}  // namespace

extern const RuleFamily family;
const RuleFamily family{infos, run};

}  // namespace loomward::rules::bridged_contacts
