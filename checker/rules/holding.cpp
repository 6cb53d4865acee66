// Contactors and relays that do not do what the hand on their switch wants: that stay in when it is let go.
//
// What a person opens to release one are the contacts that carry its coil's current and are not on the way of
// what it switches itself: whoever opens those has switched everything off. What it switches are its own
// contacts, and where they feed a coil or a pin, the contacts or the supply of that part, and so on: the stop
// before a hold contact leaves those fed. With all of them open, and the contactor still in, the coil has to
// be as good as dead. A start push that its own contact bridges on purpose is none of them: a mode has it
// open and the contactor in, and another contact, be it that of everything, lets it go.
#include <algorithm>
#include <cmath>
#include <limits>
#include <map>
#include <set>

#include "checker/budget/rest_state.hpp"
#include "checker/circuit/disjoint_sets.hpp"
#include "checker/circuit/latching.hpp"
#include "checker/circuit/part_edges.hpp"
#include "checker/currents/what_if.hpp"
#include "checker/parts/elements.hpp"
#include "checker/rules/held_past_trip.hpp"
#include "checker/rules/rule_support.hpp"

namespace loomward::rules::holding {
namespace {

using namespace literals;

constexpr double may_hold = 0.1;  // of the rated voltage

constexpr RuleInfo infos[] = {
    {"held-coil",
     "a contactor or relay that stays in when its switch opens, because its own contact, a lamp, a resistor "
     "or another feed still holds its coil; and a contactor that the driver of a battery management opens, "
     "and that stays in when that trips, because a key switch or another feed holds its coil past the "
     "driver, or because no pin of it leads there",
     "U_coil < 10 % of the rated voltage with its contacts of control open, and with each alone that rests "
     "closed, and its own contact still closed; "
     "the same with the drivers of the battery management off and all else as in the mode",
     "IEC 60947-4-1 8.2.1.2 (memory): a d.c. coil lets go between 75 % and 10 % of its rated voltage",
     "an error from the voltage on at which it pulls in, else a warning; packs full; what only cuts off all "
     "that it switches (the isolator before it) is not counted as its switch; a start push that the contact "
     "bridges on purpose is none where a mode has it in with the push open and another contact lets it go; "
     "past the driver of another part it is a note; "
     "coils in a state that the wiring contradicts are told by mode-contradicts, and latching contactors by "
     "stays-latched",
     "switch S8 { 80 V dc, carries 6 A, makes 10 A, breaks 2 A at 60 V dc }\n"
     "contactor K2 { carries 20 A, makes 20 A, breaks 20 A at 60 V dc\n"
     "  coil 48 V 200 mA, coil-works 30..60 V, suppression varistor }\n"
     "load H9 { 48 V, 20 W, acts-as power, works 30..60 V }\n"
     "route F1.out (W60 2.5 mm2, 0.3 m, red) K2 (W61 2.5 mm2, 0.3 m, red) H9 (W62 2.5 mm2, 1 m, black) "
     "Q1.P-\n"
     "route F1.out (W63 1 mm2, 0.3 m, red) S8 (W64 1 mm2, 0.3 m, red) K2.A1\n"
     "route K2.A2 (W65 1 mm2, 0.3 m, black) Q1.P-\n"
     "route K2.out (W66 1 mm2, 0.3 m, red) K2.A1\n"
     "mode held { others at rest, S8 closed, K2 closed }\nsplice X1",
     "splice X1"},
};

class Holding {
  public:
    Holding(const RuleInput& input, Report& report)
        : input_(input),
          circuit_(input.circuit),
          report_(report),
          what_if_(input.circuit, input.facts),
          leads_(input.circuit.node_count()) {
        for (std::size_t i = 0; i < circuit_.edges.size(); ++i) {
            const Edge& edge = circuit_.edges[i];
            if (is_conductor(edge.role) && edge.role != EdgeRole::switching)
                leads_.join(edge.from.index(), edge.to.index());
            if (edge.role == EdgeRole::coil || edge.role == EdgeRole::supply_pin) controls_.emplace_back(i);
        }
        for (const Edge& edge : circuit_.edges)
            if (is_source(edge.role))
                poles_.insert({leads_.find(edge.from.index()), leads_.find(edge.to.index())});
    }

    void look() {
        for (std::size_t i = 0; i < circuit_.edges.size(); ++i)
            if (const Edge& edge = circuit_.edges[i];
                edge.role == EdgeRole::coil && !is_latching(input_.harness, edge.part))
                judge_release(EdgeId(i));
    }
    const std::set<PartId>& told() const { return told_; }

  private:
    const Mode& mode(ModeId id) const { return input_.harness.modes[id.index()]; }
    PartId part(EdgeId coil) const { return circuit_.edge(coil).part; }
    double across_V(const OperatingPoint& point, EdgeId id) const {
        const Edge& edge = circuit_.edge(id);
        return std::abs(point.node_V[edge.from.index()] - point.node_V[edge.to.index()]);
    }

    // Modes in which it is in, by the first of their points with a full pack.
    std::vector<const OperatingPoint*> pulled_points(EdgeId coil) const {
        std::vector<const OperatingPoint*> list;
        std::set<ModeId> seen;
        for (const OperatingPoint& point : input_.points)
            if (point.usable() && point.corner == Corner::run_full &&
                is_pulled(mode(point.mode), part(coil)) && seen.insert(point.mode).second)
                list.push_back(&point);
        std::sort(list.begin(), list.end(), [&](const OperatingPoint* a, const OperatingPoint* b) {
            return mode(a->mode).name < mode(b->mode).name;
        });
        return list;
    }

    // Contacts and drivers that carry current of the coil, from its source to it and from it back.
    std::vector<EdgeId> carriers(const OperatingPoint& point, EdgeId coil) const {
        std::vector<EdgeId> found;
        const double coil_A = point.edge_A[coil.index()];
        if (std::abs(coil_A) < 1e-4) return found;
        const Edge& ends = circuit_.edge(coil);
        std::set<NodeId> seen;
        for (const bool upstream : {true, false}) {
            const bool at_from = upstream == (coil_A > 0);
            std::vector<NodeId> queue{at_from ? ends.from : ends.to};
            for (std::size_t head = 0; head < queue.size(); ++head) {
                if (!seen.insert(queue[head]).second) continue;
                for (const Incidence& next : circuit_.at(queue[head])) {
                    const Edge& edge = circuit_.edge(next.edge);
                    const double in_A = (edge.to == queue[head] ? 1 : -1) * point.edge_A[next.edge.index()];
                    if (next.edge == coil || (upstream ? in_A : -in_A) < 0.05 * std::abs(coil_A)) continue;
                    const bool contact = edge.role == EdgeRole::switching && edge.part != ends.part;
                    if (contact || is_driver(edge.role)) found.push_back(next.edge);
                    if (conducts(edge.role) || is_driver(edge.role) || edge.role == EdgeRole::resistor)
                        queue.push_back(next.other);
                }
            }
        }
        return found;
    }

    // Whether what the contactor switches still has its pole of a source with that contact open.
    bool leaves_it_fed(const Mode& now, EdgeId coil, EdgeId contact) {
        Mode opened = now;
        open_contact(circuit_, opened, contact);
        DisjointSets pieces(circuit_.node_count());
        for (const Edge& edge : circuit_.edges)
            if (is_conductor(edge.role) && is_closed(circuit_, opened, edge))
                pieces.join(edge.from.index(), edge.to.index());
        const auto has_pole = [&](NodeId node, bool plus_alone) {
            for (const Edge& source : circuit_.edges)
                if (is_standing_source(source.role) &&
                    (pieces.same(source.to.index(), node.index()) ||
                     (!plus_alone && pieces.same(source.from.index(), node.index()))))
                    return true;
            return false;
        };
        for (const EdgeId id : switched_by(part(coil))) {
            const Edge& edge = circuit_.edge(id);
            const bool own = edge.part == part(coil);
            if (own && !is_closed(circuit_, opened, edge)) continue;
            if (has_pole(edge.from, edge.role != EdgeRole::switching)) return true;
        }
        return false;
    }

    // The contacts of a part; and where they feed the coil of another, its contacts, or a pin of one that has
    // a supply of its own, that supply; and so on.
    const std::vector<EdgeId>& switched_by(PartId first) {
        const auto known = switched_.find(first);
        if (known != switched_.end()) return known->second;
        std::vector<EdgeId> found;
        std::set<PartId> seen{first};
        std::vector<PartId> queue{first};
        for (std::size_t head = 0; head < queue.size(); ++head) {
            std::set<std::size_t> ends;
            for (const EdgeId id : circuit_.edges_of_part[queue[head].index()]) {
                const Edge& edge = circuit_.edge(id);
                if (edge.role == EdgeRole::switching) {
                    found.push_back(id);
                    ends.insert({leads_.find(edge.from.index()), leads_.find(edge.to.index())});
                }
                if (uses_power(edge.role) && head > 0) found.push_back(id);
            }
            // What hangs on a pole itself it does not switch.
            for (const std::size_t pole : poles_) ends.erase(pole);
            for (const EdgeId id : controls_) {
                const Edge& edge = circuit_.edge(id);
                const bool there = ends.contains(leads_.find(edge.from.index())) ||
                                   ends.contains(leads_.find(edge.to.index()));
                if (there && seen.insert(edge.part).second) queue.push_back(edge.part);
            }
        }
        return switched_[first] = found;
    }

    void judge_release(EdgeId coil) {
        for (const OperatingPoint* point : pulled_points(coil))
            if (judge_controls(coil, *point)) return;
        // A mode that follows and has it open opens whatever its lines say.
        for (std::size_t i = 0; i < input_.harness.modes.size(); ++i) {
            const Mode& next = input_.harness.modes[i];
            if (!next.after || is_pulled(next, part(coil)) || !is_pulled(mode(next.after), part(coil)))
                continue;
            Mode still = next;
            set_pulled(circuit_, still, part(coil), true);
            if (judge_held(coil, still, ModeId(i),
                           "in mode " + std::string(next.name) + ", which has it open"))
                return;
        }
    }

    bool judge_controls(EdgeId coil, const OperatingPoint& point) {
        if (opens_only(coil)) return false;
        const Mode& now = mode(point.mode);
        Mode released = now;
        std::set<std::string> names;
        std::vector<EdgeId> opened;
        for (const EdgeId contact : carriers(point, coil)) {
            if (!leaves_it_fed(now, coil, contact)) continue;
            open_contact(circuit_, released, contact);
            opened.push_back(contact);
            const Edge& edge = circuit_.edge(contact);
            names.insert(is_driver(edge.role) ? std::string(input_.harness.terminal(driver_pin(edge)).path)
                                              : std::string(input_.harness.part(edge.part).name));
        }
        if (names.empty()) return false;
        std::string list;
        for (const std::string& name : names) list += (list.empty() ? "" : " and ") + name;
        if (!held_on_purpose(coil, opened) &&
            judge_held(coil, released, point.mode, "when " + list + (names.size() > 1 ? " open" : " opens")))
            return true;
        return names.size() > 1 && judge_stops(coil, point, opened);
    }

    // All its contacts rest closed: what stays in keeps them open, and starts or holds nothing.
    bool opens_only(EdgeId coil) const {
        const Mode rest = rest_state(input_.harness);
        const auto& edges = circuit_.edges_of_part[part(coil).index()];
        return std::none_of(edges.begin(), edges.end(), [&](EdgeId id) {
            return circuit_.edge(id).role == EdgeRole::switching &&
                   !is_closed(circuit_, rest, circuit_.edge(id));
        });
    }
    // Contacts that rest closed are there to be opened, each alone. What leads round one over another contact
    // is there for that.
    bool judge_stops(EdgeId coil, const OperatingPoint& point, const std::vector<EdgeId>& carrying) {
        const Mode rest = rest_state(input_.harness);
        return std::any_of(carrying.begin(), carrying.end(), [&](EdgeId stop) {
            const Edge& edge = circuit_.edge(stop);
            if (edge.role != EdgeRole::switching || coil_of(circuit_, edge.part) ||
                !is_closed(circuit_, rest, edge) || held_on_purpose(coil, {stop}))
                return false;
            Mode struck = mode(point.mode);
            open_contact(circuit_, struck, stop);
            const OperatingPoint after = what_if_.solve(struck, point.mode);
            if (after.node_V.empty()) return false;
            const std::vector<EdgeId> now = carriers(after, coil);
            const bool another = std::any_of(now.begin(), now.end(), [&](EdgeId id) {
                return std::abs(after.edge_A[id.index()]) > 1.05 * std::abs(point.edge_A[id.index()]);
            });
            return !another &&
                   judge_held(coil, struck, point.mode,
                              "when " + std::string(input_.harness.part(edge.part).name) + " opens");
        });
    }

    // Whether a mode says that it stays in with these contacts open, and some other contact lets it go then.
    bool held_on_purpose(EdgeId coil, const std::vector<EdgeId>& opened) const {
        for (const OperatingPoint* point : pulled_points(coil)) {
            const Mode& held = mode(point->mode);
            if (std::any_of(opened.begin(), opened.end(), [&](EdgeId contact) {
                    return is_closed(circuit_, held, circuit_.edge(contact));
                }))
                continue;
            for (const EdgeId contact : carriers(*point, coil)) {
                Mode let_go = held;
                open_contact(circuit_, let_go, contact);
                const auto still_V = still_across_V(coil, let_go, point->mode);
                const auto rated = input_.facts.quantity(part(coil), "coil"_attr, 0);
                if (rated && still_V < may_hold * rated->lo) return true;
            }
        }
        return false;
    }

    // With its own contact as the mode has it; 0 where nothing can drive it.
    double still_across_V(EdgeId coil, const Mode& changed, ModeId id) const {
        if (!can_be_driven(circuit_, changed, coil)) return 0;
        const OperatingPoint point = what_if_.solve(changed, id);
        return point.node_V.empty() ? std::numeric_limits<double>::infinity() : across_V(point, coil);
    }

    bool judge_held(EdgeId coil, const Mode& released, ModeId id, const std::string& when) {
        const auto rated = input_.facts.quantity(part(coil), "coil"_attr, 0);
        if (!rated || !can_be_driven(circuit_, released, coil)) return false;
        const OperatingPoint point = what_if_.solve(released, id);
        if (point.node_V.empty()) return false;
        const double still_V = across_V(point, coil);
        const auto works = input_.facts.quantity(part(coil), "coil-works"_attr);
        const double pulls_V = works ? works->lo : 0.85 * rated->lo, may_V = may_hold * rated->lo;
        if (still_V < may_V) return false;
        const bool surely = still_V >= pulls_V;
        Finding finding =
            finding_about(input_, "held-coil", surely ? Severity::error : Severity::warning, part(coil));
        finding.message =
            named(input_.harness, part(coil)) + (surely ? " stays in " : " may stay in ") + when;
        finding.beside = volts(still_V) + " still across its coil";
        finding.working = {
            volts(still_V) + " >= " +
                (surely ? volts(pulls_V) + " (from which on it pulls in)"
                        : volts(may_V) + " = 10 % x " + volts(rated->lo) + " (down to which it may hold)"),
            "with its own contact still closed, packs full"};
        finding.figures = {{"voltage", still_V, Dimension::voltage}};
        finding.source = "IEC 60947-4-1 8.2.1.2 (memory)";
        witnessed(input_, finding, point, coil);
        finding.help =
            "feed the coil through the contact that releases it alone; what else lies on it needs a "
            "contact or a diode of its own";
        report_.add(std::move(finding));
        told_.insert(part(coil));
        return true;
    }

    const RuleInput& input_;
    const Circuit& circuit_;
    Report& report_;
    WhatIf what_if_;
    DisjointSets leads_;            // conductors that nobody opens
    std::set<std::size_t> poles_;   // the pieces of them that a source stands on
    std::vector<EdgeId> controls_;  // coils and supply pins
    std::map<PartId, std::vector<EdgeId>> switched_;
    std::set<PartId> told_;
};

void run(const RuleInput& input, Report& report) {
    const auto& edges = input.circuit.edges;
    if (std::none_of(edges.begin(), edges.end(),
                     [](const Edge& each) { return each.role == EdgeRole::coil; }))
        return;
    Holding holding(input, report);
    holding.look();
    judge_held_past_trip(input, holding.told(), report);
}

}  // namespace

extern const RuleFamily family;
const RuleFamily family{infos, run};

}  // namespace loomward::rules::holding
