// Candidates that are more than one thing, because no half of them helps: wire and fuse of a way together, a
// lead of its own with its own fuse, the parts that precharge.
#include <algorithm>
#include <cmath>
#include <set>

#include "checker/mend/candidates.hpp"
#include "checker/mend/ladders.hpp"
#include "checker/parts/elements.hpp"
#include "checker/tables/overload.hpp"

namespace loomward::mending {
namespace {

using namespace literals;

constexpr double most_times_thicker = 4;  // for one finding; no source

// The devices that a finding is about: its own, the one that guards its wire, those on the way that it shows.
std::set<PartId> devices_about(const AtHand& in) {
    std::set<std::string_view> named;
    for (const Step& step : in.finding.witness) named.insert(step.name);
    std::set<PartId> devices;
    for (const ProtectionZone& zone : in.results.zones) {
        if (zone.guard != ProtectionZone::Guard::devices || zone.devices.size() != 1 || zone.devices[0].limit)
            continue;
        const PartId device = zone.devices[0].part;
        const bool guards = in.finding.wire && std::find(zone.wires.begin(), zone.wires.end(),
                                                         in.finding.wire) != zone.wires.end();
        const bool shown =
            in.finding.rule == "setting-too-high" && named.contains(in.harness.part(device).name);
        if (guards || shown || device == in.finding.part) devices.insert(device);
    }
    return devices;
}

const ProtectionZone& zone_of(const AtHand& in, PartId device) {
    return *std::find_if(in.results.zones.begin(), in.results.zones.end(), [&](const ProtectionZone& zone) {
        return zone.guard == ProtectionZone::Guard::devices && zone.devices.size() == 1 &&
               zone.devices[0].part == device;
    });
}

// Every wire of the zone as thick as a device of that rating asks; nullopt: one is not sold so thick, or
// would be out of all proportion to what is there.
std::optional<Plan> wires_for(const AtHand& in, const ProtectionZone& zone, double rated_A, double lets_A) {
    double thickest_mm2 = 0;
    for (const WireId id : zone.wires) thickest_mm2 = std::max(thickest_mm2, in.harness.wire(id).area.lo);
    Plan plan;
    for (const WireId id : zone.wires) {
        const Wire& wire = in.harness.wire(id);
        const auto size = size_for(in, id, rated_A, lets_A);
        if (!size || !wire.area.is_known()) return std::nullopt;
        if (*size <= wire.area.lo * 1.001) continue;
        if (*size > std::max(most_times_thicker * wire.area.lo, thickest_mm2)) return std::nullopt;
        const Change change = resized(in, id, *size);
        plan.emplace(change.key, change);
    }
    return plan;
}

// "X3.5": a way of a fuse block in which nothing sits; empty: none.
std::string free_way_of(const AtHand& in, PartId block) {
    std::set<std::string> taken;
    for (const Part& part : in.harness.parts)
        taken.insert(std::string(in.harness.value(part.attributes, "holder"_attr).text));
    const double ways = in.harness.value(in.harness.part(block).attributes, "ways"_attr).lo;
    for (int way = 1; way <= static_cast<int>(ways); ++way) {
        const std::string name = std::string(in.harness.part(block).name) + "." + std::to_string(way);
        if (!taken.contains(name)) return name;
    }
    return {};
}

// What the wire's own fuse is rated: for what flows, or where nothing does as large as it stands.
std::optional<double> own_fuse_A(const AtHand& in, WireId wire) {
    const double flows_A = most_A(in.results, wire);
    const double may_A = in.results.wires[wire.index()].limit_A;
    const auto rated = flows_A > 0.01 ? step_up(fuse_ratings_A(), std::max(1.0, flows_A / for_hours))
                                      : step_down(fuse_ratings_A(), may_A);
    return rated && *rated <= may_A * most_i2_over_iz ? rated : std::nullopt;
}

// Resistances that are sold (E6 of IEC 60063), ohm, and what they take for long, W (common practice, no
// source).
constexpr double resistances_ohm[] = {1,  2.2, 4.7, 10,  15,  22,  33,  47,
                                      68, 100, 150, 220, 330, 470, 680, 1000};
constexpr double powers_W[] = {5, 10, 25, 50, 100, 200, 300};

struct PrechargeParts {
    std::string fuse, end_fuse, push, resistor, mode;
};

std::string precharge_statements(const AtHand& in, const Edge& contact, const PrechargeParts& names,
                                 double ohm, double energy_J) {
    const double stands_V = most_V(in.results);
    const std::string volts =
        to_text(step_up(contact_voltages_V(), stands_V).value_or(400), Dimension::voltage, 4) + " dc";
    const double watts = step_up(powers_W, stands_V * stands_V / ohm).value_or(powers_W[6]);
    constexpr double least_J = 20, spare = 3;
    const double pulse_J = std::max(least_J, std::ceil(spare * energy_J));
    const auto path = [&](TerminalId at) { return std::string(in.harness.terminal(at).path); };
    const auto wire = [&](int number) {
        return " (W" + std::to_string(number) + "-" + names.resistor + " 0.75 mm2, about 0.2 m, red) ";
    };
    return fuse_statement(in, names.fuse, 2, "") + "\n" + fuse_statement(in, names.end_fuse, 2, "") +
           "\nswitch " + names.push + " { " + volts + ", carries 5 A, makes 5 A, breaks 5 A at " + volts +
           " }\nresistor " + names.resistor + " { " + to_text(ohm, Dimension::resistance) + ", " +
           to_text(watts, Dimension::power) + ", pulse " + to_text(pulse_J, Dimension::energy) +
           " }\nroute " + path(contact.from_terminal) + " (direct) " + names.fuse + wire(1) + names.resistor +
           wire(2) + names.push + wire(3) + names.end_fuse + " (direct) " + path(contact.to_terminal);
}

}  // namespace

std::vector<TerminalId> same_rail(const AtHand& in, TerminalId from) {
    const Circuit& circuit = in.results.circuit;
    std::vector<NodeId> nodes = {circuit.node(from)};
    std::set<NodeId> seen = {nodes.front()};
    for (std::size_t i = 0; i < nodes.size(); ++i)
        for (const Incidence& next : circuit.at(nodes[i])) {
            const EdgeRole role = circuit.edge(next.edge).role;
            if ((role == EdgeRole::wire || role == EdgeRole::joint) && seen.insert(next.other).second)
                nodes.push_back(next.other);
        }
    std::vector<TerminalId> found;
    for (const NodeId node : nodes) {
        std::vector<TerminalId> here;
        for (std::size_t t = 0; t < in.harness.terminals.size(); ++t)
            if (circuit.node(TerminalId(t)) == node) here.emplace_back(t);
        std::sort(here.begin(), here.end(), [&](TerminalId a, TerminalId b) {
            return in.harness.terminal(a).path < in.harness.terminal(b).path;
        });
        found.insert(found.end(), here.begin(), here.end());
    }
    return found;
}

std::optional<double> size_for(const AtHand& in, WireId id, double rated_A, double lets_A) {
    const Facts facts(in.harness);
    const Wire& wire = in.harness.wire(id);
    const WireLoading& loading = in.results.wires[id.index()];
    const double asked_A = std::max({loading.current_A, rated_A, lets_A / most_i2_over_iz});
    const auto area =
        quantity_from_text(smallest_size(asked_A / wire.parallel, conductor_limit_degC(facts, id),
                                         wire.aluminium, loading.standing, wire.awg));
    return area ? step_up(sizes_for(wire), area->lo) : std::nullopt;
}

bool sets_device(const Plan& plan) {
    return std::any_of(plan.begin(), plan.end(), [](const auto& entry) {
        return entry.first.verb == Verb::rating && entry.first.what == "(rated-current)"_attr;
    });
}

std::vector<Plan> by_bracket(const AtHand& in) {
    std::vector<Plan> plans;
    for (const PartId device : devices_about(in)) {
        const Value value = in.harness.value(in.harness.part(device).attributes, "(rated-current)"_attr);
        if (!value.present() || value.known == Knowledge::unknown || value.lo <= 0) continue;
        const ProtectionZone& zone = zone_of(in, device);
        const double lets = zone.devices[0].current_A / value.lo;
        double needs_A = most_A(in.results, device) / for_hours;
        for (const Figure& figure : in.finding.figures)
            if (figure.name == "setting") needs_A = std::max(needs_A, figure.value / for_hours);
        constexpr int most = 8;
        double at_least_A = std::max(0.5, needs_A);
        for (int k = 0; k < most; ++k) {
            const auto rated = step_up(fuse_ratings_A(), at_least_A);
            // Beyond what is there only one step is of use.
            if (!rated || (k > 0 && *rated > std::max(value.lo, needs_A * 1.5))) break;
            at_least_A = *rated * 1.001;
            auto plan = wires_for(in, zone, *rated, lets * *rated);
            if (!plan) continue;
            if (std::abs(*rated - value.lo) > 1e-6) {
                Change change;
                change.key = {Verb::rating, std::string(in.harness.part(device).name), "(rated-current)"_attr,
                              Dimension::current};
                change.value = *rated;
                change.from = value.lo;
                change.ladder = fuse_ratings_A();
                change.points = 2;
                plan->emplace(change.key, change);
            }
            plans.push_back(std::move(*plan));
        }
    }
    return plans;
}

std::vector<Plan> by_free_way(const AtHand& in) {
    const WireId id = in.finding.wire;
    if (!id || in.harness.wire(id).cable) return {};
    const Wire& wire = in.harness.wire(id);
    const auto rated = own_fuse_A(in, id);
    if (!rated) return {};
    std::vector<Plan> plans;
    for (const bool beginning : {true, false}) {
        std::set<PartId> seen;
        for (const TerminalId at : same_rail(in, beginning ? wire.from : wire.to)) {
            const PartId part = in.harness.terminal(at).part;
            const Kind kind = in.harness.part(part).kind;
            const bool block = kind == Kind::fuse_block;
            const bool bar = kind == Kind::busbar || kind == Kind::stud || kind == Kind::terminal_block;
            if ((!block && !bar) || !seen.insert(part).second) continue;
            const std::string way = block ? free_way_of(in, part) : "";
            if (block && way.empty()) continue;
            Change change;
            change.key = {Verb::branch, std::string(wire.name), {}, {}, beginning};
            const std::string fuse = "F-" + std::string(wire.name);
            change.other = fuse + ".out";
            change.text = fuse_statement(in, fuse, *rated, way);
            if (bar)
                change.text +=
                    "\nroute " + std::string(in.harness.terminal(at).path) + " (direct) " + fuse + ".in";
            change.value = *rated;
            change.points = block ? 6 : 9;
            plans.push_back(plan_of(change));
            constexpr std::size_t most = 4;
            if (plans.size() == most) return plans;
        }
    }
    return plans;
}

std::vector<Plan> by_precharge_set(const AtHand& in) {
    if (!in.finding.mode || !in.finding.part) return {};
    const Circuit& circuit = in.results.circuit;
    double energy_J = 0;
    for (const Figure& figure : in.finding.figures)
        if (figure.name == "energy") energy_J = figure.value;
    const double stands_V = most_V(in.results);
    if (energy_J <= 0 || stands_V <= 0) return {};
    const double capacitance_F = 2 * energy_J / (stands_V * stands_V);
    const Edge* contact = nullptr;
    for (const EdgeId id : circuit.edges_of_part[in.finding.part.index()])
        if (circuit.edge(id).role == EdgeRole::switching) contact = &circuit.edge(id);
    if (!contact) return {};
    // Five time constants within 2 s.
    constexpr double lasts_s = 2, constants = 5;
    const auto ohm = step_down(resistances_ohm, lasts_s / constants / capacitance_F);
    if (!ohm) return {};
    const std::string about(in.harness.part(in.finding.part).name);
    const PrechargeParts names = {"F-pre-" + about, "F-end-" + about, "S-pre-" + about, "R-pre-" + about,
                                  "precharge-" + about};
    std::vector<std::string_view> before;
    const Mode& entered = in.harness.modes[in.finding.mode.index()];
    if (entered.after) before.push_back(in.harness.modes[entered.after.index()].name);
    std::set<std::string_view> open;
    for (const Mode& mode : in.harness.modes)
        if (!mode.own && !is_closed(circuit, mode, *contact)) open.insert(mode.name);
    before.insert(before.end(), open.begin(), open.end());
    std::vector<Plan> plans;
    constexpr std::size_t most = 4;
    for (std::size_t i = 0; i < std::min(most, before.size()); ++i) {
        Change set;
        set.key = {Verb::build, names.resistor};
        set.text = precharge_statements(in, *contact, names, *ohm, energy_J);
        set.other =
            "mode " + names.mode + " { like " + std::string(before[i]) + ", " + names.push + " closed }";
        set.points = 16 + 0.1 * static_cast<double>(i);
        Change line;
        line.key = {Verb::mode_line, std::string(entered.name), {}, {}, true};
        line.text = "after " + names.mode + " 2 s";
        line.points = 1;
        Plan plan = plan_of(set);
        plan.emplace(line.key, line);
        plans.push_back(std::move(plan));
    }
    return plans;
}

}  // namespace loomward::mending
