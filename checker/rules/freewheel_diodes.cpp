// Diodes that take the current of a coil, valve, brake or motor on when it is switched off.
//
// At the moment of opening all of the current that flowed goes on through the diode, and dies away there. A
// diode stands a single such pulse far above its rated current; how far, its line does not say, and a contact
// that chatters repeats it. So its rated current is the bound.
#include <algorithm>
#include <cmath>
#include <map>
#include <optional>
#include <vector>

#include "checker/circuit/catching_diodes.hpp"
#include "checker/circuit/part_edges.hpp"
#include "checker/circuit/ways.hpp"
#include "checker/parts/driven.hpp"
#include "checker/parts/elements.hpp"
#include "checker/parts/no_end.hpp"
#include "checker/parts/ratings.hpp"
#include "checker/parts/tasks.hpp"
#include "checker/rules/cures.hpp"
#include "checker/rules/rule_support.hpp"

namespace loomward::rules::freewheel_diodes {
namespace {

using namespace literals;

constexpr RuleInfo infos[] = {
    {"freewheel-diode",
     "a diode across a coil or load that is rated for less than the current that goes on through it when "
     "that is switched off",
     "largest steady current of the coils and loads it lies across <= rated current; of diodes side by side, "
     "the sum of their rated currents",
     "law of inductors: the current does not jump; common practice, no source",
     "a surge of that kind may be in its data sheet, and is then a matter of its pulse rating and of how "
     "often it is switched; whether a load has a winding is not known, a diode across it says so; what else "
     "takes a current on, a controller or a capacitor beside it, is left out",
     "splice X1\nswitch S9 { 80 V dc, carries 5 A, breaks 2 A at 60 V dc }\n"
     "load Y9 { 48 V, 1 A, acts-as current, works 30..60 V }\ndiode V9 { 0.2 A, 100 V, drop 0.8 V }\n"
     "route X1 (W30 1 mm2, 0.3 m, red) S9 (W31 1 mm2, 0.3 m, red) Y9 (W32 1 mm2, 1 m, black) Q1.P-\n"
     "route Y9.- (W33 1 mm2, 0.1 m, black) V9 (W34 1 mm2, 0.1 m, red) Y9.+\n"
     "mode valve { others at rest, S1 S9 closed, K1 open }",
     "splice X1"},
    {"no-freewheel",
     "a load with a winding that a driver pin switches and that no diode lies across; a diode that a contact "
     "parts from the load that its lead lands on",
     "a diode across it, K at its plus, be it with a resistor in line", "common practice, no source",
     "a note, as a driver may have one inside; a winding is told by the task of the load (holds), by its "
     "stall "
     "current, or by a diode across another load of its type or on the same part; coils of relays and "
     "contactors are told as coil-suppression",
     "splice X1\n"
     "device A9 { pin in supply 48 V 20 mA, pin gnd return, pin pull low-side 1 A }\n"
     "load Y9 { 48 V, 0.5 A, acts-as current, works 30..60 V, task holds }\n"
     "route X1 (W30 1 mm2, 0.3 m, red) A9.in\nroute A9.gnd (W31 1 mm2, 0.3 m, black) Q1.P-\n"
     "route X1 (W32 1 mm2, 0.3 m, red) Y9 (W33 1 mm2, 1 m, black) A9.pull\n"
     "mode lift { others at rest, S1 closed, K1 open, A9.pull on }",
     "splice X1"},
};

// What goes on through a set of diodes, and the parts that it comes from.
struct Taken {
    double current_A = 0;
    std::vector<EdgeId> from;
    const OperatingPoint* worst = nullptr;
};

// Where one of these lies beside a coil it takes the current on, or the diode lies across a whole supply.
bool takes_on(EdgeRole role) {
    return is_source(role) || row(role).stores || (uses_power(role) && role != EdgeRole::load);
}

class FreewheelDiodes {
  public:
    FreewheelDiodes(const RuleInput& input, Report& report)
        : input_(input), circuit_(input.circuit), report_(report), catching_(input.circuit) {}

    void look() {
        std::vector<EdgeId> windings, drivers;
        for (std::size_t i = 0; i < circuit_.edges.size(); ++i) {
            const EdgeRole role = circuit_.edges[i].role;
            if (role == EdgeRole::coil || role == EdgeRole::load) windings.emplace_back(i);
            if (is_driver(role)) drivers.emplace_back(i);
        }
        if (!catching_.any() && drivers.empty()) return;
        const std::vector<Drive::Ways> ways = driven(circuit_, windings, DriveThrough::anything);
        std::map<std::vector<EdgeId>, std::vector<EdgeId>> across;  // by the diodes
        std::vector<EdgeId> bare, caught;
        for (std::size_t i = 0; i < windings.size(); ++i) {
            const Edge& edge = circuit_.edge(windings[i]);
            if ((ways[i].along && ways[i].against) || on_a_supply(edge)) continue;
            std::vector<EdgeId> diodes = catching_.of(edge, ways[i]);
            (diodes.empty() ? bare : caught).push_back(windings[i]);
            if (!diodes.empty()) across[std::move(diodes)].push_back(windings[i]);
        }
        for (const auto& [diodes, from] : across) judge(diodes, from);
        std::erase_if(bare, [&](EdgeId id) { return circuit_.edge(id).role != EdgeRole::load; });
        for (const EdgeId load : bare) judge_bare(load, drivers, caught);
        look_past_contacts(bare, across);
    }

  private:
    std::string name(EdgeId edge) const {
        return std::string(input_.harness.part(circuit_.edge(edge).part).name);
    }
    bool on_a_supply(const Edge& winding) {
        return std::any_of(circuit_.edges.begin(), circuit_.edges.end(), [&](const Edge& other) {
            return takes_on(other.role) &&
                   ((catching_.same(other.from, winding.from) && catching_.same(other.to, winding.to)) ||
                    (catching_.same(other.from, winding.to) && catching_.same(other.to, winding.from)));
        });
    }

    // All of them at once: one contact may switch them.
    Taken taken_from(const std::vector<EdgeId>& windings) const {
        Taken taken{0, windings, nullptr};
        for (const OperatingPoint& point : input_.points) {
            if (!point.usable()) continue;
            double sum_A = 0;
            for (const EdgeId each : windings) sum_A += std::abs(point.edge_A[each.index()]);
            if (!taken.worst || sum_A > taken.current_A * 1.0001)
                taken.current_A = sum_A, taken.worst = &point;
        }
        return taken;
    }

    void judge(const std::vector<EdgeId>& diodes, const std::vector<EdgeId>& windings) {
        double rated_A = 0;
        std::string names;
        for (const EdgeId diode : diodes) {
            const auto rated =
                current_rating(input_.facts, circuit_.edge(diode),
                               input_.facts.ambient(circuit_.edge(diode).part), Direction::along);
            if (!rated) return;  // missing-data asks for it
            rated_A += rated->may_A;
            names += (names.empty() ? "" : " + ") + name(diode);
        }
        const Taken taken = taken_from(windings);
        if (!taken.worst || !above(taken.current_A, rated_A)) return;
        const PartId part = circuit_.edge(diodes.front()).part;
        Finding finding = finding_about(input_, "freewheel-diode", Severity::warning, part);
        std::string from, sum;
        for (const EdgeId each : windings) {
            const double one_A = std::abs(taken.worst->edge_A[each.index()]);
            if (one_A <= 0) continue;
            from += (from.empty() ? "" : " and ") + named(input_.harness, circuit_.edge(each).part);
            sum += (sum.empty() ? "" : " + ") + amps(one_A) + " (" + name(each) + ")";
            finding.related.push_back({input_.harness.part(circuit_.edge(each).part).where,
                                       named(input_.harness, circuit_.edge(each).part) + " is here"});
        }
        finding.message = named(input_.harness, part) + " is rated for less than " + from +
                          " drives through it when switched off";
        finding.beside = amps(taken.current_A) + "; rated " + amps(rated_A);
        finding.working = {
            amps(taken.current_A) + " > " + amps(rated_A) + " (rated" +
                (diodes.size() > 1 ? ", " + names : "") + ")",
            sum + ": a winding keeps its current when its contact opens",
            "a diode that fails open leaves the contact or the driver to its voltage; one that "
            "fails short is a short across the feed"};
        finding.figures = {{"current", taken.current_A, Dimension::current},
                           {"limit", rated_A, Dimension::current}};
        finding.source = "law of inductors; common practice, no source";
        finding.mode = taken.worst->mode;
        finding.corner = taken.worst->corner;
        finding.help = "one rated " + amps(std::ceil(taken.current_A)) +
                       " or more, or a surge rating in its data sheet that covers it";
        if (diodes.size() == 1)
            finding.cures = {
                at_least(input_.harness, part, "(rated-current)"_attr, taken.current_A, Dimension::current)};
        report_.add(std::move(finding));
    }

    // Diodes that catch nothing where they are, with a lead on a load that a contact parts them from.
    void look_past_contacts(const std::vector<EdgeId>& bare,
                            const std::map<std::vector<EdgeId>, std::vector<EdgeId>>& across) {
        DisjointSets closed =
            pieces(circuit_, [&](EdgeId id) { return is_conductor(circuit_.edge(id).role); });
        const auto same = [&](NodeId a, NodeId b) { return closed.same(a.index(), b.index()); };
        for (std::size_t i = 0; i < circuit_.edges.size(); ++i) {
            const Edge& diode = circuit_.edges[i];
            if (diode.role != EdgeRole::diode || leads_in_a_mode(EdgeId(i)) ||
                std::any_of(across.begin(), across.end(), [&](const auto& each) {
                    return std::count(each.first.begin(), each.first.end(), EdgeId(i)) > 0;
                }))
                continue;
            for (const EdgeId load : bare) {
                const Edge& edge = circuit_.edge(load);
                if (same(diode.from, edge.to) && same(diode.to, edge.from) && !same(diode.from, diode.to) &&
                    (lands_on(diode.from, edge.to) || lands_on(diode.to, edge.from)))
                    tell_parted(EdgeId(i), load);
            }
        }
    }
    // What a mode sends a current through lies in line with something.
    bool leads_in_a_mode(EdgeId diode) const {
        return std::any_of(input_.points.begin(), input_.points.end(), [&](const OperatingPoint& point) {
            return point.usable() && point.edge_A[diode.index()] > idle_A;
        });
    }
    bool lands_on(NodeId a, NodeId b) const {
        const auto ends = circuit_.at(a);
        return a == b || std::any_of(ends.begin(), ends.end(), [&](const Incidence& each) {
                   return each.other == b && is_conductor(circuit_.edge(each.edge).role) &&
                          circuit_.edge(each.edge).role != EdgeRole::switching;
               });
    }
    void tell_parted(EdgeId diode, EdgeId load) {
        const PartId part = circuit_.edge(diode).part, from = circuit_.edge(load).part;
        Finding finding = finding_about(input_, "no-freewheel", Severity::note, part);
        finding.message = named(input_.harness, part) + " lies across the feed of " +
                          named(input_.harness, from) + " and not across it";
        finding.beside = "when the contact between them opens it takes nothing on";
        finding.working = {"its ends lead to those of " + name(load) + " past a contact that opens"};
        finding.source = "law of inductors; common practice, no source";
        finding.related.push_back(
            {input_.harness.part(from).where, named(input_.harness, from) + " is here"});
        finding.help = "its ends on those of " + named(input_.harness, from) + ", behind every contact";
        report_.add(std::move(finding));
    }

    // The driver at one of its ends, past no contact.
    EdgeId driver_of(EdgeId load, const std::vector<EdgeId>& drivers) {
        const Edge& edge = circuit_.edge(load);
        const auto switches = [&](EdgeId id) {
            const Edge& driver = circuit_.edge(id);
            const NodeId pin = driver_node(driver);
            return catching_.same(pin, edge.from) || catching_.same(pin, edge.to);
        };
        const auto found = std::find_if(drivers.begin(), drivers.end(), switches);
        return found == drivers.end() ? EdgeId() : *found;
    }
    // Why a load is taken for one with a winding; empty: nothing says so.
    std::string winding(EdgeId load, EdgeId driver, const std::vector<EdgeId>& drivers,
                        const std::vector<EdgeId>& caught) {
        const Part& part = input_.harness.part(circuit_.edge(load).part);
        if (holds_unfed(input_.harness, part)) return "it holds, and is released by a winding";
        if (input_.harness.find(part.attributes, "stall"_attr)) return "it has a stall current: a motor";
        for (const EdgeId other : caught) {
            const Edge& edge = circuit_.edge(other);
            if (edge.role != EdgeRole::load) continue;
            const EdgeId beside = driver_of(other, drivers);
            const Part& like = input_.harness.part(edge.part);
            if ((beside && circuit_.edge(beside).part == circuit_.edge(driver).part) ||
                (!part.type.empty() && part.type == like.type))
                return "a diode lies across " + named(input_.harness, edge.part) + ", which is switched so";
        }
        return {};
    }
    void judge_bare(EdgeId load, const std::vector<EdgeId>& drivers, const std::vector<EdgeId>& caught) {
        const EdgeId driver = driver_of(load, drivers);
        if (!driver) return;
        const std::string why = winding(load, driver, drivers, caught);
        if (why.empty()) return;
        const Edge& pin = circuit_.edge(driver);
        const std::string path(input_.harness.terminal(driver_pin(pin)).path);
        const PartId part = circuit_.edge(load).part;
        Finding finding = finding_about(input_, "no-freewheel", Severity::note, part);
        finding.message =
            "nothing takes the current of " + named(input_.harness, part) + " on when " + path + " lets go";
        finding.beside = "its winding drives the voltage up until the driver breaks down";
        finding.working = {"no diode across it", why};
        finding.source = "law of inductors; common practice, no source";
        finding.related.push_back(
            {input_.harness.part(pin.part).where, named(input_.harness, pin.part) + " is here"});
        finding.help = "a diode across it, K at its plus; nothing, if the data sheet of " +
                       named(input_.harness, pin.part) + " says that its outputs clamp";
        report_.add(std::move(finding));
    }

    const RuleInput& input_;
    const Circuit& circuit_;
    Report& report_;
    CatchingDiodes catching_;
};

void run(const RuleInput& input, Report& report) {
    FreewheelDiodes(input, report).look();
}

}  // namespace

extern const RuleFamily family;
const RuleFamily family{infos, run};

}  // namespace loomward::rules::freewheel_diodes
