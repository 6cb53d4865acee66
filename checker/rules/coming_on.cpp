#include "checker/rules/coming_on.hpp"

#include <algorithm>

#include "checker/budget/rest_state.hpp"
#include "checker/parts/elements.hpp"

namespace loomward {

ComingOn::ComingOn(const Circuit& circuit, const Parts& out)
    : circuit_(circuit), leads_(circuit.node_count()), leaving_(circuit.node_count()) {
    const Mode rest = rest_state(*circuit.harness);
    for (const Edge& edge : circuit.edges) {
        rests_closed_.push_back(is_closed(circuit, rest, edge));
        const bool apart = edge.role == EdgeRole::contact && out.contains(edge.part);
        if (is_conductor(edge.role) && edge.role != EdgeRole::switching && !apart)
            leads_.join(edge.from.index(), edge.to.index());
        if (edge.role == EdgeRole::coil) with_coil_.insert(edge.part);
    }
    all_ = with_coil_;
    std::set<std::pair<std::size_t, std::size_t>> poles;
    for (std::size_t i = 0; i < circuit.edges.size(); ++i) {
        const Edge& edge = circuit.edges[i];
        const bool waits = gives_to_others(edge.role);
        if (waits) all_.insert(edge.part);
        const std::size_t from = leads_.find(edge.from.index()), to = leads_.find(edge.to.index());
        if (from == to || (edge.role == EdgeRole::contact && out.contains(edge.part))) continue;
        leaving_[from].emplace_back(i);
        leaving_[to].emplace_back(i);
        // A controller gives back only what something else has fed it.
        const bool source =
            (is_source(edge.role) && edge.role != EdgeRole::regeneration) || edge.role == EdgeRole::panel;
        const bool off = edge.role == EdgeRole::charger && out.contains(edge.part);
        if (source && !off && (waits || poles.insert({to, from}).second))
            sources_.push_back({to, from, {to}, {from}, edge.part, waits});
    }
    find_strings();
    for (std::size_t i = 0; i < circuit.harness->parts.size(); ++i) {
        const TerminalId pin = circuit.harness->parts[i].precharges;
        if (!pin) continue;
        for (const EdgeId id : circuit.edges_of_part[i])
            if (circuit.edge(id).role == EdgeRole::controller)
                own_precharge_.emplace_back(leads_.find(circuit.node(pin).index()),
                                            leads_.find(circuit.edge(id).from.index()));
    }
}

// Packs in series: what comes down to the minus of the string has passed the loads and goes up no more.
void ComingOn::find_strings() {
    const auto in_line = [&](Source& source, bool down) {
        std::vector<std::size_t>& ends = down ? source.below : source.above;
        Nodes seen(circuit_.node_count(), false);
        std::vector<std::size_t> queue = ends;
        seen[queue.front()] = true;
        for (std::size_t head = 0; head < queue.size(); ++head)
            for (const EdgeId id : leaving_[queue[head]]) {
                const Edge& edge = circuit_.edge(id);
                const std::size_t from = leads_.find(edge.from.index()), to = leads_.find(edge.to.index());
                const std::size_t other = from == queue[head] ? to : from;
                const bool emf = edge.role == EdgeRole::emf && other == (down ? from : to);
                if (seen[other] || !(emf || edge.role == EdgeRole::switching)) continue;
                seen[other] = true;
                queue.push_back(other);
                if (emf && other != (down ? source.plus : source.minus)) ends.push_back(other);
            }
    };
    for (Source& source : sources_) in_line(source, true), in_line(source, false);
}

bool ComingOn::gives_to_others(EdgeRole role) {
    return role == EdgeRole::converter_output || role == EdgeRole::output_pin || is_driver(role);
}

bool ComingOn::is_wired(NodeId node, EdgeId but) const {
    const auto around = circuit_.at(node);
    return std::any_of(around.begin(), around.end(), [&](const Incidence& next) { return next.edge != but; });
}

ComingOn::Parts ComingOn::follow(Parts on, PartId but) const {
    for (bool more = true; more;) {
        more = false;
        for (const PartId each : fed(on, but)) more = on.insert(each).second || more;
    }
    return on;
}

std::vector<ComingOn::Reach> ComingOn::reach_of(const Parts& on, const Barred& barred) const {
    std::vector<Reach> reach;
    for (const Source& source : sources_)
        if (!source.waits || (on.contains(source.part) && source.part != barred.part))
            reach.push_back({&source, reached(source.plus, source.below, true, on, barred),
                             reached(source.minus, source.above, false, on, barred)});
    return reach;
}

ComingOn::Parts ComingOn::fed(const Parts& on, PartId but) const {
    const std::vector<Reach> reach = reach_of(on, {but, {}});
    const std::vector<Reach> past_coils = reach_of(on, {but, {}, true});
    Parts found;
    for (const PartId part : all_) {
        if (!is_fed(part, reach)) continue;
        // A coil is no way to its own other end; the others are.
        if (with_coil_.contains(part) && !is_fed(part, past_coils) &&
            !is_fed(part, reach_of(on, {but, part})))
            continue;
        found.insert(part);
    }
    return found;
}

bool ComingOn::across(const Edge& edge, const std::vector<Reach>& reach, bool either_way) const {
    const std::size_t from = leads_.find(edge.from.index()), to = leads_.find(edge.to.index());
    return std::any_of(reach.begin(), reach.end(), [&](const Reach& each) {
        if (edge.role == EdgeRole::coil && each.source->part == edge.part) return false;
        return (each.plus[from] && each.minus[to]) || (either_way && each.plus[to] && each.minus[from]);
    });
}

// A converter wants its input, and one of its supply pins where any is wired; other electronics one of those
// pins, and their main supply where none is.
bool ComingOn::is_fed(PartId part, const std::vector<Reach>& reach) const {
    bool main = true, pins = true, has_pins = false, converter = false;
    for (const EdgeId id : circuit_.edges_of_part[part.index()]) {
        const Edge& edge = circuit_.edge(id);
        if (edge.role == EdgeRole::coil && across(edge, reach, true)) return true;
        converter = converter || edge.role == EdgeRole::converter_output;
        if (edge.role == EdgeRole::controller || edge.role == EdgeRole::converter_input) {
            main = across(edge, reach, false);
        } else if (edge.role == EdgeRole::supply_pin && is_wired(edge.from, id)) {
            pins = (has_pins && pins) || across(edge, reach, false);
            has_pins = true;
        }
    }
    if (with_coil_.contains(part)) return false;
    return converter ? main && pins : has_pins ? pins : main;
}

// Pieces that a current from the pole `start` gets to, or (not `forward`) comes from, past the other
// pole and what lies in line beyond it.
ComingOn::Nodes ComingOn::reached(std::size_t start, const std::vector<std::size_t>& ends, bool forward,
                                  const Parts& on, const Barred& but) const {
    Nodes seen(circuit_.node_count(), false);
    std::vector<std::size_t> queue{start};
    for (const std::size_t end : ends) seen[end] = true;
    seen[start] = true;
    const auto visit = [&](std::size_t piece) {
        if (seen[piece]) return;
        seen[piece] = true;
        queue.push_back(piece);
    };
    for (std::size_t head = 0; head < queue.size(); ++head) {
        const std::size_t here = queue[head];
        for (const EdgeId id : leaving_[here]) {
            const Edge& edge = circuit_.edge(id);
            const std::size_t from = leads_.find(edge.from.index());
            const bool leaves = from == here;
            const bool resting =
                edge.role == EdgeRole::switching && rests_closed_[id.index()];  // until its coil is fed
            if (resting || passes(edge, leaves == forward, on, but))
                visit(leaves ? leads_.find(edge.to.index()) : from);
        }
        for (const auto& [pin, plus] : own_precharge_)
            if ((forward ? pin : plus) == here) visit(forward ? plus : pin);
    }
    for (const std::size_t end : ends) seen[end] = end == start;
    return seen;
}

bool ComingOn::passes(const Edge& edge, bool along, const Parts& on, const Barred& barred) const {
    const auto is_on = [&](PartId part) { return on.contains(part) && part != barred.part; };
    if (edge.role == EdgeRole::switching) return !with_coil_.contains(edge.part) || is_on(edge.part);
    if (edge.role == EdgeRole::coil) return !barred.coils && edge.part != barred.coil;
    if (edge.role == EdgeRole::resistor || edge.role == EdgeRole::emf) return true;
    if (is_driver(edge.role)) {
        // A converter's own drivers may work while it gives nothing.
        const Kind kind = circuit_.harness->part(edge.part).kind;
        return along && (kind == Kind::converter || is_on(edge.part));
    }
    return along && (one_way(edge.role) || uses(edge.role));
}

}  // namespace loomward
