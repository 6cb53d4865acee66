// Candidates that land a lead beyond something: behind the contact that it goes past, at the input of the
// charger that it goes past.
#include <algorithm>
#include <set>

#include "checker/mend/candidates.hpp"

namespace loomward::mending {
namespace {

constexpr std::size_t most_landings = 12;

// The end of a wire at another place.
Plan landed_at(const AtHand& in, WireId wire, bool beginning, TerminalId at, double points = 2) {
    Change change;
    change.key = {Verb::land, std::string(in.harness.wire(wire).name), {}, {}, beginning};
    change.other = std::string(in.harness.terminal(at).path);
    change.points = points;
    return plan_of(change);
}

bool is_bar(Kind kind) {
    return kind == Kind::busbar || kind == Kind::stud || kind == Kind::terminal_block || kind == Kind::splice;
}

bool is_consumer(Kind kind) {
    return kind == Kind::load || kind == Kind::controller || kind == Kind::converter ||
           kind == Kind::inverter;
}

// Where a lead lands that is to hang on that terminal: on it where it is free, else on a bar that it leads
// to.
TerminalId place_at(const AtHand& in, TerminalId terminal) {
    if (!lands(in, terminal)) return terminal;
    TerminalId bar;
    for (const TerminalId each : same_rail(in, terminal))
        if (is_bar(in.harness.part(in.harness.terminal(each).part).kind) && (!bar || !lands(in, each))) {
            bar = each;
            if (!lands(in, each)) break;
        }
    return bar ? bar : terminal;
}

// The leads from the rail of one terminal, each at its place behind the contact.
void offer_behind(const AtHand& in, PartId contact, TerminalId before, TerminalId behind,
                  std::vector<Plan>& plans) {
    if (!lands(in, before)) return;
    const std::vector<TerminalId> rail = same_rail(in, before);
    const auto on_rail = [&](TerminalId at) { return std::find(rail.begin(), rail.end(), at) != rail.end(); };
    const TerminalId to = place_at(in, behind);
    const auto of_contact = [&](TerminalId at) { return in.harness.terminal(at).part == contact; };
    for (std::size_t i = 0; i < in.harness.wires.size() && plans.size() < most_landings; ++i) {
        const Wire& wire = in.harness.wires[i];
        for (const bool beginning : {true, false}) {
            const TerminalId here = beginning ? wire.from : wire.to, far = beginning ? wire.to : wire.from;
            if (!on_rail(here) || of_contact(here) || of_contact(far)) continue;
            // What leads to a consumer first: that is what contacts are there for.
            const bool consumer = is_consumer(in.harness.part(in.harness.terminal(far).part).kind);
            plans.push_back(landed_at(in, WireId(i), beginning, to, consumer ? 2 : 2.4));
        }
    }
}

EdgeId panel_input_of(const AtHand& in, PartId charger) {
    for (const EdgeId id : in.results.circuit.edges_of_part[charger.index()])
        if (in.results.circuit.edge(id).role == EdgeRole::panel_input) return id;
    return {};
}

// The wire from a pole, at its far end.
std::optional<std::pair<WireId, bool>> far_end_at(const AtHand& in, TerminalId pole) {
    for (std::size_t i = 0; i < in.harness.wires.size(); ++i) {
        if (in.harness.wires[i].from == pole) return std::pair(WireId(i), false);
        if (in.harness.wires[i].to == pole) return std::pair(WireId(i), true);
    }
    return std::nullopt;
}

}  // namespace

// What goes past a contact goes on behind it: the lead that it is there for, whichever that is.
std::vector<Plan> by_landing_behind(const AtHand& in) {
    if (!in.finding.part) return {};
    std::vector<Plan> plans;
    for (const EdgeId id : in.results.circuit.edges_of_part[in.finding.part.index()]) {
        const Edge& edge = in.results.circuit.edge(id);
        if (edge.role != EdgeRole::switching || !edge.from_terminal || !edge.to_terminal) continue;
        offer_behind(in, in.finding.part, edge.from_terminal, edge.to_terminal, plans);
        offer_behind(in, in.finding.part, edge.to_terminal, edge.from_terminal, plans);
    }
    return plans;
}

std::vector<Plan> by_panel_input(const AtHand& in) {
    if (!in.finding.part) return {};
    std::vector<Plan> plans;
    for (const EdgeId id : in.results.circuit.edges_of_part[in.finding.part.index()]) {
        const Edge& panel = in.results.circuit.edge(id);
        if (panel.role != EdgeRole::panel) continue;
        const auto minus = far_end_at(in, panel.from_terminal), plus = far_end_at(in, panel.to_terminal);
        if (!minus || !plus) continue;
        for (std::size_t i = 0; i < in.harness.parts.size(); ++i) {
            const EdgeId input = panel_input_of(in, PartId(i));
            if (!input) continue;
            const Edge& edge = in.results.circuit.edge(input);
            if (lands(in, edge.from_terminal) || lands(in, edge.to_terminal)) continue;
            Plan both = merged(landed_at(in, plus->first, plus->second, edge.from_terminal),
                               landed_at(in, minus->first, minus->second, edge.to_terminal));
            for (auto& [key, change] : both) change.of_pattern = true;
            plans.push_back(std::move(both));
        }
    }
    return plans;
}

}  // namespace loomward::mending
