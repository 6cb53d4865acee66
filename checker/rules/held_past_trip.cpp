#include "checker/rules/held_past_trip.hpp"

#include <algorithm>
#include <map>
#include <optional>
#include <string>

#include "checker/circuit/latching.hpp"
#include "checker/circuit/part_edges.hpp"
#include "checker/circuit/ways.hpp"
#include "checker/currents/what_if.hpp"
#include "checker/parts/elements.hpp"
#include "checker/rules/rule_support.hpp"

namespace loomward::rules {
namespace {

using namespace literals;

constexpr double may_hold = 0.1;  // of the rated voltage: IEC 60947-4-1 8.2.1.2 (memory)

// What a driver pin leads to without passing a pole of a source: the rails lead everywhere.
class Led {
  public:
    explicit Led(const Circuit& circuit)
        : circuit_(circuit),
          fixed_(pieces(circuit,
                        [&](EdgeId id) {
                            const EdgeRole role = circuit.edge(id).role;
                            return is_conductor(role) && !opened_by_hand(role);
                        })),
          by_hand_(pieces(circuit, [&](EdgeId id) {
              const Edge& edge = circuit.edge(id);
              return is_conductor(edge.role) &&
                     !(edge.role == EdgeRole::switching && coil_of(circuit, edge.part));
          })) {
        for (const Edge& edge : circuit.edges)
            if (is_source(edge.role))
                for (const NodeId end : {edge.from, edge.to}) {
                    poles_.insert(fixed_.find(end.index()));
                    poles_by_hand_.insert(by_hand_.find(end.index()));
                }
    }
    // Contactors and relays whose coils it leads to, and those that their contacts feed.
    std::set<PartId> coils_from(NodeId pin) {
        std::set<PartId> found;
        std::vector<NodeId> starts{pin};
        while (!starts.empty()) {
            const Reached reached = loomward::reached(circuit_, starts, [&](EdgeId id, NodeId at) {
                const Edge& edge = circuit_.edge(id);
                // Past the contact of another contactor lies what its own pack feeds.
                const auto is_fed = [&](NodeId node) {
                    return poles_by_hand_.contains(by_hand_.find(node.index()));
                };
                const bool passes = edge.role == EdgeRole::switching
                                        ? !found.contains(edge.part) &&
                                              !(coil_of(circuit_, edge.part) && is_fed(other_end(edge, at)))
                                        : conducts(edge.role) || edge.role == EdgeRole::resistor;
                return passes && !poles_.contains(fixed_.find(other_end(edge, at).index()));
            });
            starts.clear();
            for (const Edge& edge : circuit_.edges)
                if (edge.role == EdgeRole::coil && (reached[edge.from] || reached[edge.to]) &&
                    found.insert(edge.part).second)
                    add_contacts(edge.part, starts);
        }
        return found;
    }

  private:
    // Not from the end that alone is fed with the contact open: that leads to everything else.
    void add_contacts(PartId part, std::vector<NodeId>& starts) {
        DisjointSets others = pieces(circuit_, [&](EdgeId id) {
            const Edge& edge = circuit_.edge(id);
            return is_conductor(edge.role) && edge.part != part;
        });
        std::set<std::size_t> fed;
        for (const Edge& edge : circuit_.edges)
            if (is_source(edge.role) && edge.role != EdgeRole::regeneration &&
                edge.role != EdgeRole::capacitor)
                for (const NodeId end : {edge.from, edge.to}) fed.insert(others.find(end.index()));
        for (const EdgeId id : circuit_.edges_of_part[part.index()]) {
            const Edge& edge = circuit_.edge(id);
            if (edge.role != EdgeRole::switching) continue;
            const auto is_fed = [&](NodeId end) { return fed.contains(others.find(end.index())); };
            const bool both = is_fed(edge.from) == is_fed(edge.to);
            for (const NodeId end : {edge.from, edge.to})
                if ((both || !is_fed(end)) && !poles_.contains(fixed_.find(end.index())))
                    starts.push_back(end);
        }
    }

    const Circuit& circuit_;
    DisjointSets fixed_, by_hand_;  // without what a hand opens; without what a coil opens
    std::set<std::size_t> poles_, poles_by_hand_;
};

class HeldPastTrip {
  public:
    HeldPastTrip(const RuleInput& input, Report& report)
        : input_(input), circuit_(input.circuit), report_(report), what_if_(input.circuit, input.facts) {}

    // In the first mode, by name, in which it stays in for sure; else in which it may.
    bool judge(const DrivenCoil& each) {
        const EdgeId coil = coil_of(circuit_, each.contactor);
        const auto rated = input_.facts.quantity(each.contactor, "coil"_attr, 0);
        if (!coil || !rated) return false;
        const auto works = input_.facts.quantity(each.contactor, "coil-works"_attr);
        const double pulls_V = works ? works->lo : 0.85 * rated->lo, may_V = may_hold * rated->lo;
        std::vector<ModeId> modes;
        for (std::size_t i = 0; i < input_.harness.modes.size(); ++i)
            if (is_pulled(input_.harness.modes[i], each.contactor) && !contradicts(input_, ModeId(i)))
                modes.emplace_back(i);
        std::sort(modes.begin(), modes.end(),
                  [&](ModeId a, ModeId b) { return mode(a).name < mode(b).name; });
        std::optional<OperatingPoint> held;
        double held_V = 0;
        for (const ModeId id : modes) {
            OperatingPoint point = tripped(each, coil, id);
            const double still_V = point.node_V.empty() ? 0 : across_V(point, coil);
            if (still_V < may_V || still_V <= held_V * 1.0001) continue;
            held_V = still_V;
            held = std::move(point);
        }
        if (!held) return false;
        tell(each, coil, *held, held_V, held_V >= pulls_V ? pulls_V : may_V, held_V >= pulls_V);
        return true;
    }

  private:
    const Mode& mode(ModeId id) const { return input_.harness.modes[id.index()]; }
    double across_V(const OperatingPoint& point, EdgeId id) const {
        const Edge& edge = circuit_.edge(id);
        return std::abs(point.node_V[edge.from.index()] - point.node_V[edge.to.index()]);
    }

    // A mode with every driver of the part off, and what that lets go open; the contactor itself still in.
    OperatingPoint tripped(const DrivenCoil& each, EdgeId coil, ModeId id) const {
        Mode now = mode(id);
        for (const EdgeId driver : each.drivers) open_contact(circuit_, now, driver);
        for (std::size_t pass = 0; pass <= circuit_.harness->parts.size(); ++pass) {
            if (!can_be_driven(circuit_, now, coil)) return {};
            OperatingPoint point = what_if_.solve(now, id);
            if (point.node_V.empty()) return {};
            bool let_go = false;
            for (std::size_t i = 0; i < circuit_.edges.size(); ++i) {
                const Edge& edge = circuit_.edges[i];
                if (edge.role != EdgeRole::coil || edge.part == each.contactor ||
                    !is_pulled(now, edge.part) || is_latching(input_.harness, edge.part))
                    continue;
                const auto rated = input_.facts.quantity(edge.part, "coil"_attr, 0);
                if (!rated || across_V(point, EdgeId(i)) >= may_hold * rated->lo) continue;
                set_pulled(circuit_, now, edge.part, false);
                let_go = true;
            }
            if (!let_go) return point;
        }
        return {};
    }

    void tell(const DrivenCoil& each, EdgeId coil, const OperatingPoint& point, double still_V,
              double limit_V, bool surely) {
        const bool trips = input_.harness.part(each.driver).kind == Kind::bms;
        const std::string driver = named(input_.harness, each.driver),
                          contactor = named(input_.harness, each.contactor);
        Finding finding = finding_about(input_, "held-coil",
                                        !trips   ? Severity::note
                                        : surely ? Severity::error
                                                 : Severity::warning,
                                        each.contactor);
        std::string pins;
        for (const EdgeId id : each.drivers) {
            const Edge& edge = circuit_.edge(id);
            pins += (pins.empty() ? "" : ", ") + std::string(input_.harness.terminal(driver_pin(edge)).path);
        }
        finding.message = contactor + (surely ? " stays in when " : " may stay in when ") + driver +
                          (trips ? " trips: something else holds its coil"
                                 : " lets go of its coil: something else holds it");
        finding.beside = volts(still_V) + " still across its coil with " + pins + " off";
        finding.working = {volts(still_V) + " >= " + volts(limit_V) +
                               (surely ? " (from which on it pulls in)"
                                       : " = 10 % of its rated voltage (down to which it may hold)"),
                           "all else as in mode " + std::string(mode(point.mode).name) +
                               ", relays that this lets go open, packs full"};
        finding.figures = {{"voltage", still_V, Dimension::voltage}};
        finding.source = "IEC 60947-4-1 8.2.1.2 (memory)";
        witnessed(input_, finding, point, coil);
        finding.related.push_back({input_.harness.part(each.driver).where, driver + " is here"});
        finding.help = "every way of its coil through " + pins +
                       ": what holds it by hand in line with that, not past it";
        report_.add(std::move(finding));
    }

    const RuleInput& input_;
    const Circuit& circuit_;
    Report& report_;
    WhatIf what_if_;
};

// A management that says it drives a contactor and has pins to drive with, of which none leads to the coil.
bool is_led_elsewhere(const RuleInput& input, const DrivenCoil& each) {
    const auto any = [&](PartId part, auto&& is) {
        const auto& edges = input.circuit.edges_of_part[part.index()];
        return std::any_of(edges.begin(), edges.end(), [&](EdgeId id) { return is(input.circuit.edge(id)); });
    };
    const auto wired = [&](NodeId node) {
        const auto& there = input.circuit.at(node);
        return std::any_of(there.begin(), there.end(), [&](const Incidence& next) {
            return is_conductor(input.circuit.edge(next.edge).role);
        });
    };
    return any(each.driver, [](const Edge& edge) { return is_driver(edge.role); }) &&
           any(each.contactor, [&](const Edge& edge) {
               return edge.role == EdgeRole::coil && wired(edge.from) && wired(edge.to);
           });
}

void tell_elsewhere(const RuleInput& input, const DrivenCoil& each, Report& report) {
    const std::string driver = named(input.harness, each.driver),
                      contactor = named(input.harness, each.contactor);
    Finding finding = finding_about(input, "held-coil", Severity::error, each.contactor);
    finding.message = contactor + " stays in when " + driver + " trips: its coil does not hang on it";
    finding.beside =
        "none of the pins of " + std::string(input.harness.part(each.driver).name) + " leads to its coil";
    finding.working = {std::string(input.harness.part(each.driver).name) + " says that it drives it"};
    finding.source = "circuit theory";
    finding.related.push_back({input.harness.part(each.driver).where, driver + " is here"});
    finding.help = "the coil by way of the pin that lets it go";
    report.add(std::move(finding));
}

}  // namespace

std::vector<DrivenCoil> driven_coils(const RuleInput& input) {
    std::map<std::pair<PartId, PartId>, std::vector<EdgeId>> found;
    for (std::size_t i = 0; i < input.harness.parts.size(); ++i)
        if (const PartId contactor = input.harness.parts[i].drives) found[{PartId(i), contactor}];
    std::optional<Led> led;
    for (std::size_t i = 0; i < input.circuit.edges.size(); ++i) {
        const Edge& edge = input.circuit.edges[i];
        if (!is_driver(edge.role)) continue;
        if (!led) led.emplace(input.circuit);
        for (const PartId each : led->coils_from(driver_node(edge)))
            if (input.harness.part(each).kind == Kind::contactor) found[{edge.part, each}].emplace_back(i);
    }
    std::vector<DrivenCoil> list;
    for (auto& [pair, drivers] : found) list.push_back({pair.first, pair.second, std::move(drivers)});
    return list;
}

void judge_held_past_trip(const RuleInput& input, const std::set<PartId>& told, Report& report) {
    std::optional<HeldPastTrip> judge;
    std::set<PartId> said = told;
    std::vector<DrivenCoil> list = driven_coils(input);
    // What trips before what only lets go: one finding for a contactor.
    std::stable_partition(list.begin(), list.end(), [&](const DrivenCoil& each) {
        return input.harness.part(each.driver).kind == Kind::bms;
    });
    for (const DrivenCoil& each : list) {
        if (each.drivers.empty() && !said.contains(each.contactor) && is_led_elsewhere(input, each)) {
            tell_elsewhere(input, each, report);
            said.insert(each.contactor);
        }
        if (each.drivers.empty() || said.contains(each.contactor) ||
            is_latching(input.harness, each.contactor))
            continue;
        if (!judge) judge.emplace(input, report);
        if (judge->judge(each)) said.insert(each.contactor);
    }
}

}  // namespace loomward::rules
