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
#include "checker/tables/protection.hpp"

namespace loomward::mending {
namespace {

using namespace literals;

std::string path_of(const AtHand& in, TerminalId terminal) {
    return std::string(in.harness.terminal(terminal).path);
}

std::string name_of(const AtHand& in, WireId wire) {
    return std::string(in.harness.wire(wire).name);
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

std::string_view family_of(double rated_A) {
    constexpr double largest_supplemental_A = 60;
    return rated_A > largest_supplemental_A ? "ul248-15" : "ul248-14";
}

std::string fuse_statement(const AtHand& in, const std::string& name, double rated_A,
                           const std::string& holder, double breaks_A) {
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
        if (told || rated_A > largest_small_A || breaks_A > least_fuse_breaks_A) continue;
        const std::string_view curve = in.harness.value(part.attributes, "curve"_attr).text;
        if (!curve.empty() && gates_of(curve, rated_A).empty()) continue;  // its family has none of these
        return "fuse " + name + " is " + std::string(part.type) + " { " + rated + sits + " }";
    }
    const double volts = step_up(contact_voltages_V(), stands_V).value_or(400);
    const std::string at = to_text(volts, Dimension::voltage, 4) + " dc";
    return "fuse " + name + " { " + rated + ", " + at + ", breaks " + to_text(breaks_A, Dimension::current) +
           " at " + at + ", curve " + std::string(family_of(rated_A)) + sits + " }";
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

bool leads_to_minus(const AtHand& in, WireId wire) {
    const Circuit& circuit = in.results.circuit;
    std::vector<NodeId> open = {circuit.node(in.harness.wire(wire).from)};
    std::set<NodeId> seen = {open.front()};
    bool minus = false;
    while (!open.empty()) {
        const NodeId node = open.back();
        open.pop_back();
        for (const Incidence& next : circuit.at(node)) {
            const Edge& edge = circuit.edge(next.edge);
            if (row(edge.role).source) {
                if (edge.to == node) return false;  // its plus
                minus = true;
            } else if (is_conductor(edge.role) && seen.insert(next.other).second)
                open.push_back(next.other);
        }
    }
    return minus;
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
            // Where others begin already.
            const bool joint = (kind == Kind::stud || kind == Kind::splice || kind == Kind::converter) &&
                               in.harness.terminal(at).role != TerminalRole::in && lands(in, at);
            if ((!block && !behind_fuse && !joint) || (block && lands(in, at) && kind == Kind::busbar) ||
                !fits(at))
                continue;
            if (switched && !is_switched(in, at)) continue;
            Change change;
            change.key = {Verb::land, std::string(wire.name), {}, {}, wire.to == edge.from_terminal};
            change.other = path_of(in, at);
            change.points = 3 + (block ? 0 : behind_fuse ? 0.5 : 1);
            found.emplace_back(block ? 0 : behind_fuse ? 1 : 2, plan_of(change));
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
        // What is put in later stands nearer to the wire: behind a fuse, where one is put in as well.
        static_assert("(rated-current)"_attr < "(operational-voltage)"_attr);
        change.key = {Verb::put_in, name, "(operational-voltage)"_attr, {}, true};
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
