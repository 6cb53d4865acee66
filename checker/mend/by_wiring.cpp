// Candidates that change what is joined to what, what is put into a wire, and what modes say.
#include <algorithm>
#include <cmath>
#include <set>

#include "checker/circuit/part_edges.hpp"
#include "checker/circuit/roles.hpp"
#include "checker/mend/candidates.hpp"
#include "checker/mend/ladders.hpp"
#include "checker/parts/elements.hpp"
#include "checker/tables/ampacity.hpp"
#include "checker/tables/conductors.hpp"
#include "checker/tables/overload.hpp"

namespace loomward::mending {
namespace {

using namespace literals;

std::string path_of(const AtHand& in, TerminalId terminal) {
    return std::string(in.harness.terminal(terminal).path);
}

std::string name_of(const AtHand& in, WireId wire) {
    return std::string(in.harness.wire(wire).name);
}

std::vector<TerminalId> terminals_of(const AtHand& in, PartId part) {
    std::vector<TerminalId> all;
    for (std::uint32_t i = 0; i < in.harness.part(part).terminals.count; ++i)
        all.emplace_back(in.harness.part(part).terminals.first + i);
    return all;
}

// The edge by which a part uses current; invalid: it uses none.
EdgeId use_of(const AtHand& in, PartId part) {
    if (part)
        for (const EdgeId edge : in.results.circuit.edges_of_part[part.index()])
            if (uses(in.results.circuit.edge(edge).role)) return edge;
    return {};
}

// Whether a contact of the finding's part is closed already: then nothing precharges what it closes onto.
bool closed_in(const AtHand& in, const Mode& mode) {
    if (!in.finding.part) return false;
    const auto& edges = in.results.circuit.edges_of_part[in.finding.part.index()];
    return std::any_of(edges.begin(), edges.end(), [&](EdgeId id) {
        const Edge& edge = in.results.circuit.edge(id);
        return edge.role == EdgeRole::switching && is_closed(in.results.circuit, mode, edge);
    });
}

}  // namespace

bool lands(const AtHand& in, TerminalId terminal) {
    const auto touches = [&](const auto& of, auto a, auto b) {
        return std::any_of(of.begin(), of.end(),
                           [&](const auto& each) { return each.*a == terminal || each.*b == terminal; });
    };
    return touches(in.harness.wires, &Wire::from, &Wire::to) ||
           touches(in.harness.joints, &Joint::a, &Joint::b);
}

std::string fuse_statement(const AtHand& in, const std::string& name, double rated_A,
                           const std::string& holder) {
    const std::string rated = to_text(rated_A, Dimension::current, 4);
    const std::string sits = holder.empty() ? "" : ", holder " + holder;
    const double stands_V = most_V(in.results);
    for (const Part& part : in.harness.parts) {
        const Value voltage = in.harness.value(part.attributes, "(operational-voltage)"_attr);
        if (part.kind != Kind::fuse || part.type.empty() || !voltage.present() || voltage.lo < stands_V)
            continue;
        const bool told =
            std::any_of(in.results.findings.begin(), in.results.findings.end(), [&](const Finding& finding) {
                return finding.rule == "fuse-breaking-capacity" &&
                       in.harness.part(finding.part).type == part.type;
            });
        constexpr double largest_small_A = 30;  // of cylindrical fuses; common practice, no source
        if (told || rated_A > largest_small_A) continue;
        return "fuse " + name + " is " + std::string(part.type) + " { " + rated + sits + " }";
    }
    const double volts = step_up(contact_voltages_V(), stands_V).value_or(400);
    const std::string at = to_text(volts, Dimension::voltage, 4) + " dc";
    return "fuse " + name + " { " + rated + ", " + at + ", breaks 10 kA at " + at + ", curve ul248-14" +
           sits + " }";
}

std::vector<Plan> by_taking_out(const AtHand& in) {
    // What has a contact in it is there for something: not taken out without a word of the owner.
    for (const Step& step : in.finding.witness)
        if (const auto part = in.harness.find_part(step.name))
            if (const Kind kind = in.harness.part(*part).kind;
                kind == Kind::switch_ || kind == Kind::relay || kind == Kind::contactor)
                return {};
    std::vector<Plan> plans;
    for (const WireId wire : wires_named(in)) {
        Change change;
        change.key = {Verb::take_out, name_of(in, wire)};
        change.points = 1.5;
        plans.push_back(plan_of(change));
    }
    return plans;
}

std::vector<Plan> by_exchanging(const AtHand& in) {
    const EdgeId use = use_of(in, in.finding.part);
    if (!use) return {};
    const Edge& edge = in.results.circuit.edge(use);
    Change change;
    change.key = {Verb::exchange, path_of(in, edge.from_terminal)};
    change.other = path_of(in, edge.to_terminal);
    change.points = 1;
    return {plan_of(change)};
}

// Where the others of its kind return, the place with most of them first; a terminal of that place where
// nothing lands, else any.
std::vector<Plan> by_joining(const AtHand& in) {
    const EdgeId use = use_of(in, in.finding.part);
    if (!use) return {};
    const Circuit& circuit = in.results.circuit;
    const Edge& edge = circuit.edge(use);
    const bool plus_free = !lands(in, edge.from_terminal);
    const TerminalId free = plus_free ? edge.from_terminal : edge.to_terminal;
    if (lands(in, free)) return {};
    std::map<std::string, std::pair<int, PartId>> homes;
    double area_mm2 = 0;
    for (const Wire& wire : in.harness.wires)
        for (const auto& [near, far] : {std::pair(wire.from, wire.to), std::pair(wire.to, wire.from)}) {
            const PartId part = in.harness.terminal(near).part;
            const PartId home = in.harness.terminal(far).part;
            if (part == in.finding.part) area_mm2 = std::max(area_mm2, wire.area.hi);
            const EdgeId other = use_of(in, part);
            const Kind kind = in.harness.part(home).kind;
            if (!other || part == in.finding.part || in.harness.part(part).kind != Kind::load ||
                (kind != Kind::busbar && kind != Kind::terminal_block && kind != Kind::stud))
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
    std::vector<Plan> plans;
    for (const auto& [count, home] : order) {
        const std::vector<TerminalId> all = terminals_of(in, home);
        const auto unused =
            std::find_if(all.begin(), all.end(), [&](TerminalId each) { return !lands(in, each); });
        const TerminalId at = unused == all.end() ? all.back() : *unused;
        Change change;
        change.key = {Verb::join, path_of(in, free)};
        change.other = path_of(in, at);
        change.text = "route " + change.key.where + " (W-" +
                      std::string(in.harness.part(in.finding.part).name) + " " +
                      size_text(area_mm2 > 0 ? area_mm2 : 1) + ", about 1 m, black) " + change.other;
        change.points = 3 + 0.1 * static_cast<double>(plans.size());
        plans.push_back(plan_of(change));
    }
    return plans;
}

// Whether something that a hand opens lies between a terminal and all that feeds it.
bool is_switched(const AtHand& in, TerminalId at) {
    const Circuit& circuit = in.results.circuit;
    std::vector<NodeId> open = {circuit.node(at)};
    std::set<NodeId> seen = {open.front()};
    while (!open.empty()) {
        const NodeId node = open.back();
        open.pop_back();
        for (const Incidence& next : circuit.at(node)) {
            const Edge& edge = circuit.edge(next.edge);
            if (row(edge.role).source) return false;
            if (!is_conductor(edge.role) || edge.role == EdgeRole::switching) continue;
            if (seen.insert(next.other).second) open.push_back(next.other);
        }
    }
    return true;
}

// The wire at its plus, begun at another place that stands at a voltage the load takes.
std::vector<Plan> by_other_rail(const AtHand& in) {
    const EdgeId use = use_of(in, in.finding.part);
    if (!use) return {};
    const Circuit& circuit = in.results.circuit;
    const Edge& edge = circuit.edge(use);
    const Value works = in.harness.value(in.harness.part(in.finding.part).attributes, "works"_attr);
    const Value made_for =
        in.harness.value(in.harness.part(in.finding.part).attributes, "(rated-voltage)"_attr);
    const double low_V = works.present() ? works.lo : 0.8 * made_for.lo;
    const double high_V = works.present() ? works.hi : 1.35 * made_for.hi;
    const auto fits = [&](TerminalId terminal) {
        double least = 1e9, most = 0;
        for (const OperatingPoint& point : in.results.points) {
            if (!point.usable()) continue;
            const double now_V = point.node_V[circuit.node(terminal).index()] - point.node_V[edge.to.index()];
            if (now_V < 0.5) continue;  // off
            least = std::min(least, now_V);
            most = std::max(most, now_V);
        }
        return most > 0 && least >= low_V && most <= high_V;
    };
    std::vector<std::pair<int, Plan>> found;
    for (std::size_t i = 0; i < in.harness.wires.size(); ++i) {
        const Wire& wire = in.harness.wires[i];
        if (wire.to != edge.from_terminal && wire.from != edge.from_terminal) continue;
        // What was switched stays switched.
        const bool switched = is_switched(in, edge.from_terminal);
        for (std::size_t t = 0; t < in.harness.terminals.size(); ++t) {
            const TerminalId at(t);
            const Kind kind = in.harness.part(in.harness.terminal(at).part).kind;
            const bool block = kind == Kind::terminal_block || kind == Kind::busbar;
            const bool behind_fuse = kind == Kind::fuse && in.harness.terminal(at).role == TerminalRole::out;
            if ((!block && !behind_fuse) || (block && lands(in, at) && kind == Kind::busbar) || !fits(at))
                continue;
            if (switched && !is_switched(in, at)) continue;
            Change change;
            change.key = {Verb::land, std::string(wire.name), {}, {}, wire.to == edge.from_terminal};
            change.other = path_of(in, at);
            change.points = 3 + (block ? 0 : 0.5);
            found.emplace_back(block ? 0 : 1, plan_of(change));
        }
    }
    std::stable_sort(found.begin(), found.end(), [](const auto& a, const auto& b) {
        return std::pair(a.first, signature_of(a.second)) < std::pair(b.first, signature_of(b.second));
    });
    std::vector<Plan> plans;
    constexpr std::size_t most = 8;
    for (auto& [order, plan] : found)
        if (plans.size() < most) plans.push_back(std::move(plan));
    return plans;
}

// What stands open in the loop of a coil that is said to pull: driver pins, then contacts worked by hand.
std::vector<Plan> by_mode_lines(const AtHand& in) {
    if (!in.finding.mode || !in.finding.part) return {};
    const Circuit& circuit = in.results.circuit;
    const std::string mode(in.harness.modes[in.finding.mode.index()].name);
    std::set<NodeId> seen;
    std::vector<NodeId> open;
    for (const EdgeId id : circuit.edges_of_part[in.finding.part.index()])
        if (circuit.edge(id).role == EdgeRole::coil) open = {circuit.edge(id).from, circuit.edge(id).to};
    std::vector<Plan> plans;
    const auto offer = [&](const std::string& line, double points) {
        Change change;
        change.key = {Verb::mode_line, mode, {}, {}, false};
        change.text = line;
        change.points = points;
        plans.push_back(plan_of(change));
    };
    while (!open.empty()) {
        const NodeId node = open.back();
        open.pop_back();
        if (!seen.insert(node).second) continue;
        for (const Incidence& next : circuit.at(node)) {
            const Edge& edge = circuit.edge(next.edge);
            if (is_driver(edge.role))
                offer(path_of(in, driver_pin(edge)) + " on", 1);
            else if (edge.role == EdgeRole::wire || edge.role == EdgeRole::joint ||
                     edge.role == EdgeRole::contact)
                open.push_back(next.other);
        }
    }
    return plans;
}

// A mode that precharges is there: the one is said to follow it.
std::vector<Plan> by_precharging(const AtHand& in) {
    if (!in.finding.mode) return {};
    const Mode& mode = in.harness.modes[in.finding.mode.index()];
    std::vector<Plan> plans;
    for (std::size_t i = 0; i < in.harness.modes.size(); ++i) {
        const Mode& before = in.harness.modes[i];
        if (ModeId(i) == in.finding.mode || before.own || closed_in(in, before)) continue;
        for (const char* lasts : {"2 s", "5 s"}) {
            if (ModeId(i) == mode.after && mode.after_s >= (lasts[0] == '2' ? 2 : 5)) continue;
            Change change;
            change.key = {Verb::mode_line, std::string(mode.name), {}, {}, true};
            change.text = "after " + std::string(before.name) + " " + lasts;
            change.points = ModeId(i) == mode.after ? 1 : 1.2;
            plans.push_back(plan_of(change));
        }
    }
    return plans;
}

std::vector<Plan> by_fuse_put_in(const AtHand& in) {
    const WireId id = in.finding.wire;
    if (!id || in.harness.wire(id).cable) return {};
    const Wire& wire = in.harness.wire(id);
    const double flows_A = most_A(in.results, id), may_A = in.results.wires[id.index()].limit_A;
    // No mode uses it: the largest that the wire allows, and the use is a question.
    constexpr double conventional = 1.35;
    const double largest_A = may_A * most_i2_over_iz / conventional;
    const auto rated = flows_A > 0.01 ? step_up(fuse_ratings_A(), std::max(1.0, flows_A / 0.8))
                                      : step_down(fuse_ratings_A(), std::min(largest_A, may_A));
    if (!rated || *rated > largest_A) return {};
    std::vector<Plan> plans;
    for (const bool beginning : {true, false}) {
        Change change;
        change.key = {Verb::put_in, std::string(wire.name), {}, {}, beginning};
        change.other = "F-" + std::string(wire.name) + (beginning ? "" : "-end");
        change.text = fuse_statement(in, change.other, *rated, "");
        change.value = *rated;
        change.points = 7;
        plans.push_back(plan_of(change));
    }
    return plans;
}

std::vector<Plan> by_switch_put_in(const AtHand& in) {
    const double volts = step_up(contact_voltages_V(), most_V(in.results)).value_or(400);
    const std::string at = to_text(volts, Dimension::voltage, 4) + " dc";
    std::vector<Plan> plans;
    for (const WireId id : wires_named(in)) {
        if (in.harness.wire(id).cable) continue;
        const std::string name(in.harness.wire(id).name);
        const auto rated = step_up(contact_ratings_A(), std::max(5.0, 1.2 * most_A(in.results, id)));
        if (!rated) continue;
        const std::string amps = to_text(*rated, Dimension::current, 4);
        Change change;
        change.key = {Verb::put_in, name, {}, {}, true};
        change.other = "S-" + name;
        change.text = "switch " + change.other + " { " + at + ", carries " + amps + ", makes " + amps +
                      ", breaks " + amps + " at " + at + ", rest closed }";
        change.value = *rated;
        change.points = 6 + *rated / 50;
        plans.push_back(plan_of(change));
    }
    return plans;
}

}  // namespace loomward::mending
