#include "checker/faults/fault_names.hpp"

#include <algorithm>

namespace loomward {

namespace {

// The terminals that a name stands for: both ends of a wire, those of a part, or itself.
struct Named {
    WireId wire;
    PartId part;
    std::vector<TerminalId> terminals;
};

Named look_up(const Harness& harness, const Runs& runs, const Circuit& circuit, std::string_view name) {
    Named found;
    if (const auto wire = harness.find_wire(name)) {
        found.wire = *wire;
        found.terminals = {harness.wire(*wire).from, harness.wire(*wire).to};
        const auto far_m = [&](TerminalId end) { return runs.distance_m(circuit.node(end)); };
        if (far_m(found.terminals[0]) < far_m(found.terminals[1]))
            std::swap(found.terminals[0], found.terminals[1]);
    } else if (const auto terminal = harness.find_terminal(name)) {
        found.terminals = {*terminal};
    } else if (const auto part = harness.find_part(name)) {
        found.part = *part;
        const Slice& own = harness.part(*part).terminals;
        for (std::uint32_t i = 0; i < own.count; ++i) found.terminals.emplace_back(own.first + i);
    }
    return found;
}

bool is_named(const Harness& harness, std::string_view name) {
    return harness.find_wire(name) || harness.find_terminal(name) || harness.find_part(name);
}

FaultPlace between(const Circuit& circuit, TerminalId at, TerminalId against) {
    FaultPlace place;
    place.kind = FaultPlace::Kind::named;
    place.at = at;
    place.against = against;
    place.a = circuit.node(at);
    place.b = circuit.node(against);
    return place;
}

// Asked for a wire, terminals of a part touch at the end of that wire.
void at_end_of(const Circuit& circuit, const Named& wire, FaultPlace& place) {
    const auto ends_here = [&](TerminalId end) { return circuit.node(end) == place.b; };
    if (std::any_of(wire.terminals.begin(), wire.terminals.end(), ends_here)) {
        std::swap(place.a, place.b);
        std::swap(place.at, place.against);
    }
    place.kind = FaultPlace::Kind::to_return;
    place.wire = wire.wire;
}

// What touches a wire, part or terminal: its own pairs first, then by what kind of place it is.
std::vector<FaultPlace> touched_by(const Circuit& circuit, const Touching& touching, const Named& named) {
    std::vector<std::pair<int, std::uint32_t>> order;
    for (std::size_t end = 0; end < named.terminals.size(); ++end)
        for (const std::uint32_t i : touching.of(circuit.node(named.terminals[end]))) {
            const Touch& touch = touching.all()[i];
            const bool own = (named.wire && (touch.wire == named.wire || touch.other_wire == named.wire)) ||
                             (named.part && touch.part == named.part);
            const int far_end_first = named.wire && end > 0 ? 1 : 0;
            order.emplace_back((touch.same_supply ? 100 : 0) + (own ? 0 : 20) + 10 * far_end_first +
                                   static_cast<int>(touch.place),
                               i);
        }
    std::sort(order.begin(), order.end());
    std::vector<FaultPlace> places;
    for (const auto& [rank, i] : order) {
        FaultPlace place = fault_place(circuit, touching.all()[i]);
        if (named.wire && touching.all()[i].place == Touch::Place::part) at_end_of(circuit, named, place);
        places.push_back(place);
    }
    return places;
}

}  // namespace

std::vector<FaultPlace> named_places(const Circuit& circuit, const Touching& touching, std::string_view name,
                                     std::string_view against, std::string& trouble) {
    const Harness& harness = *circuit.harness;
    for (const std::string_view each : {name, against})
        if (!each.empty() && !is_named(harness, each)) {
            trouble = "there is no wire, part or terminal '" + std::string(each) + "'";
            return {};
        }
    const Named one = look_up(harness, touching.runs(), circuit, name);
    std::vector<FaultPlace> places;
    if (against.empty()) {
        places = touched_by(circuit, touching, one);
        // Alone in its place: told all the same, and nothing flows.
        if (places.empty() && !one.terminals.empty())
            places.push_back(between(circuit, one.terminals.front(), one.terminals.back()));
    } else {
        const Named other = look_up(harness, touching.runs(), circuit, against);
        for (const TerminalId at : one.terminals)
            for (const TerminalId there : other.terminals) places.push_back(between(circuit, at, there));
    }
    if (places.empty()) trouble = std::string(name) + " has no terminal that could touch anything";
    return places;
}

FaultPlace worst_place(const FaultStudy& study, const std::vector<FaultPlace>& places,
                       std::span<const PartId> bridged) {
    const FaultPlace* worst = &places.front();
    int most = 0;
    for (const FaultPlace& place : places)
        for (const Corner corner : {Corner::fault_max, Corner::fault_min}) {
            const auto account = study.account(place, corner, bridged);
            const int here = !account ? 0 : ends_well(account->story) ? 1 : 2;
            if (here > most) most = here, worst = &place;
        }
    return *worst;
}

}  // namespace loomward
