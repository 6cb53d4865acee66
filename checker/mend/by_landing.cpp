// Candidates that land wires at other terminals: the two of a part exchanged, a charger's lead at the other
// side of the battery management, a lead that ends nowhere brought home.
#include <algorithm>
#include <map>
#include <string>

#include "checker/circuit/roles.hpp"
#include "checker/mend/candidates.hpp"
#include "checker/tables/ampacity.hpp"

namespace loomward::mending {
namespace {

std::string where_of(const AtHand& in, TerminalId terminal) {
    return std::string(in.harness.terminal(terminal).path);
}

struct WireEnd {
    WireId wire;
    bool beginning = false;
};
std::vector<WireEnd> ends_at(const AtHand& in, TerminalId at) {
    std::vector<WireEnd> found;
    for (std::size_t i = 0; i < in.harness.wires.size(); ++i) {
        if (in.harness.wires[i].from == at) found.push_back({WireId(i), true});
        if (in.harness.wires[i].to == at) found.push_back({WireId(i), false});
    }
    return found;
}

bool has_free(const AtHand& in, PartId part) {
    const auto& terminals = in.harness.part(part).terminals;
    for (std::uint32_t i = 0; i < terminals.count; ++i)
        if (!lands(in, TerminalId(terminals.first + i))) return true;
    return false;
}

Change landed(const AtHand& in, const WireEnd& end, TerminalId at, double points) {
    Change change;
    change.key = {Verb::land, std::string(in.harness.wire(end.wire).name), {}, {}, end.beginning};
    change.other = where_of(in, at);
    change.points = points;
    return change;
}

}  // namespace

std::vector<Plan> by_exchanging(const AtHand& in) {
    if (!in.finding.part) return {};
    std::vector<Plan> plans;
    for (const EdgeId id : in.results.circuit.edges_of_part[in.finding.part.index()]) {
        const Edge& edge = in.results.circuit.edge(id);
        if (!edge.from_terminal || !edge.to_terminal) continue;
        Change change;
        change.key = {Verb::exchange, where_of(in, edge.from_terminal)};
        change.other = where_of(in, edge.to_terminal);
        change.points = 1;
        plans.push_back(plan_of(change));
        // Where a route passes through the part it names neither.
        Plan both;
        for (const auto& [at, to] : {std::pair(edge.from_terminal, edge.to_terminal),
                                     std::pair(edge.to_terminal, edge.from_terminal)})
            for (const WireEnd& end : ends_at(in, at)) {
                const Change other = landed(in, end, to, 0.6);
                both.emplace(other.key, other);
            }
        constexpr std::size_t most = 4;
        if (both.size() >= 2 && both.size() <= most) plans.push_back(both);
        // Of several wires at a pole perhaps one alone landed at the wrong one.
        const std::vector<WireEnd> ones = ends_at(in, edge.from_terminal),
                                   others = ends_at(in, edge.to_terminal);
        if (both.size() == 2 || ones.size() * others.size() > 2 * most) continue;
        for (const WireEnd& one : ones)
            for (const WireEnd& other : others) {
                const Change there = landed(in, one, edge.to_terminal, 0.7),
                             back = landed(in, other, edge.from_terminal, 0.7);
                Plan pair = plan_of(there);
                pair.emplace(back.key, back);
                plans.push_back(std::move(pair));
            }
    }
    return plans;
}

std::vector<Plan> by_other_port(const AtHand& in) {
    if (!in.finding.part) return {};
    std::vector<TerminalId> ports;
    for (std::size_t i = 0; i < in.harness.terminals.size(); ++i)
        if (in.harness.part(in.harness.terminals[i].part).kind == Kind::bms) ports.emplace_back(i);
    std::vector<Plan> plans;
    for (const Step& step : in.finding.witness)
        if (const auto wire = in.harness.find_wire(step.name))
            for (const bool beginning : {true, false}) {
                const TerminalId now = beginning ? in.harness.wire(*wire).from : in.harness.wire(*wire).to,
                                 other = beginning ? in.harness.wire(*wire).to : in.harness.wire(*wire).from;
                const Kind kind = in.harness.part(in.harness.terminal(now).part).kind;
                // The own lead of what goes past the port, rather than one that everything returns by.
                const bool own = in.harness.terminal(other).part == in.finding.part;
                if (kind != Kind::pack && kind != Kind::bms && !own) continue;
                for (const TerminalId port : ports)
                    if (port != now)
                        plans.push_back(plan_of(landed(in, {*wire, beginning}, port, own ? 1.5 : 2)));
            }
    return plans;
}

// Where the others of its kind return, the place with most of them first; a terminal of that place where
// nothing lands, else any.
std::vector<Plan> by_joining(const AtHand& in) {
    const Circuit& circuit = in.results.circuit;
    const auto use_of = [&](PartId part) -> EdgeId {
        if (part)
            for (const EdgeId id : circuit.edges_of_part[part.index()])
                if (uses(circuit.edge(id).role)) return id;
        return {};
    };
    const EdgeId use = use_of(in.finding.part);
    if (!use) return {};
    const Edge& edge = circuit.edge(use);
    const auto leads_nowhere = [&](TerminalId at) {
        const PartId part = in.harness.terminal(at).part;
        std::size_t leads = 0;
        for (std::uint32_t i = 0; i < in.harness.part(part).terminals.count; ++i)
            for (const Incidence& next :
                 circuit.at(circuit.node(TerminalId(in.harness.part(part).terminals.first + i)))) {
                // A fuse in a block is bolted to it.
                const EdgeRole role = circuit.edge(next.edge).role;
                leads += role == EdgeRole::wire || role == EdgeRole::joint;
            }
        return leads == 1;
    };
    // The open pole, or the end of a wire from a pole that leads nowhere.
    std::vector<std::pair<bool, std::optional<WireEnd>>> open;  // plus; the far end of its wire
    for (const bool plus : {true, false}) {
        const TerminalId pole = plus ? edge.from_terminal : edge.to_terminal;
        if (!pole) continue;
        if (!lands(in, pole)) open.emplace_back(plus, std::nullopt);
        for (const WireEnd& end : ends_at(in, pole)) {
            const Wire& wire = in.harness.wire(end.wire);
            if (leads_nowhere(end.beginning ? wire.to : wire.from))
                open.emplace_back(plus, WireEnd{end.wire, !end.beginning});
        }
    }
    if (open.empty()) return {};
    const auto [plus_free, far_end] = open.front();
    const TerminalId free = plus_free ? edge.from_terminal : edge.to_terminal;
    std::map<std::string, std::pair<int, PartId>> homes;
    double area_mm2 = 0;
    for (const Wire& wire : in.harness.wires)
        for (const auto& [near, far] : {std::pair(wire.from, wire.to), std::pair(wire.to, wire.from)}) {
            const PartId part = in.harness.terminal(near).part, home = in.harness.terminal(far).part;
            if (part == in.finding.part) area_mm2 = std::max(area_mm2, wire.area.hi);
            const EdgeId other = use_of(part);
            const Kind kind = in.harness.part(home).kind;
            if (!other || part == in.finding.part ||
                (kind != Kind::busbar && kind != Kind::terminal_block && kind != Kind::stud &&
                 kind != Kind::frame && kind != Kind::splice))
                continue;
            if ((plus_free ? circuit.edge(other).from_terminal : circuit.edge(other).to_terminal) != near)
                continue;
            auto& entry = homes[std::string(in.harness.part(home).name)];
            ++entry.first;
            entry.second = home;
        }
    std::vector<std::pair<int, PartId>> order;
    for (const auto& [name, entry] : homes) order.push_back(entry);
    std::stable_sort(order.begin(), order.end(),
                     [](const auto& a, const auto& b) { return a.first > b.first; });
    // First the free contact beside the one through which its other pole is wired.
    std::vector<std::pair<int, PartId>> plugs;
    for (const Wire& wire : in.harness.wires)
        for (const auto& [near, far] : {std::pair(wire.from, wire.to), std::pair(wire.to, wire.from)}) {
            const PartId plug = in.harness.terminal(far).part;
            if (in.harness.terminal(near).part == in.finding.part &&
                in.harness.part(plug).kind == Kind::connector && has_free(in, plug))
                plugs.emplace_back(0, plug);
        }
    order.insert(order.begin(), plugs.begin(), plugs.end());
    std::vector<Plan> plans;
    for (const auto& [count, home] : order) {
        TerminalId at;
        for (std::uint32_t i = 0; i < in.harness.part(home).terminals.count; ++i) {
            const TerminalId each(in.harness.part(home).terminals.first + i);
            if (!at || lands(in, at)) at = each;
        }
        const double points = 3 + 0.1 * static_cast<double>(plans.size());
        if (far_end) {
            plans.push_back(plan_of(landed(in, *far_end, at, points)));
            continue;
        }
        Change change;
        change.key = {Verb::join, where_of(in, free)};
        change.other = where_of(in, at);
        change.text = "route " + change.key.where + " (W-" +
                      std::string(in.harness.part(in.finding.part).name) + " " +
                      size_text(area_mm2 > 0 ? area_mm2 : 1) + ", about 1 m, black) " + change.other;
        change.points = points;
        plans.push_back(plan_of(change));
    }
    return plans;
}

}  // namespace loomward::mending
