// What hangs on a contact that is closed while its relay rests, and was meant for one that closes: fed when
// everything rests, dead when the relay pulls in.
#include <algorithm>
#include <cmath>
#include <optional>
#include <string>
#include <vector>

#include "checker/circuit/latching.hpp"
#include "checker/circuit/ways.hpp"
#include "checker/currents/what_if.hpp"
#include "checker/parts/elements.hpp"
#include "checker/parts/tasks.hpp"
#include "checker/rules/rule_support.hpp"

namespace loomward::rules::rest_contacts {
namespace {

using namespace literals;

constexpr double flows_A = 1e-3;    // what counts as a current at rest; no source
constexpr double dead_share = 0.1;  // of the current at rest; no source
constexpr double warms_W = 1;       // a resistor that takes more is no lamp's; no source

constexpr RuleInfo infos[] = {
    {"fed-at-rest",
     "what a relay's contact that rests closed feeds from a pack in a mode in which nothing runs, and leaves "
     "dead in the modes that pull the relay in: a resistor that empties the pack, a load that runs parked "
     "alone",
     "current at rest <= 1 mA, or some of it left where the relay pulls in", "solved currents of the modes",
     "a resistor from 1 W on: a warning; a load, dead where something draws, whose relay has no other throw "
     "in "
     "use: a note; in a mode in which no other coil is fed; brakes are told as driven-against-brake; modes "
     "are "
     "those of the file",
     "relay K9 { contacts nc, carries 5 A, makes 10 A, breaks 5 A at 60 V dc\n"
     "  coil 48 V 20 mA, coil-works 30..60 V, suppression diode }\n"
     "resistor R9 { 470 ohm, 10 W }\nroute X1 (W60 1 mm2, 0.3 m, red) K9.A1\n"
     "route K9.A2 (W61 1 mm2, 0.3 m, black) Q1.P-\n"
     "route F2.out (W62 1 mm2, 0.3 m, red) K9 (W63 1 mm2, 0.3 m, red) R9 (W64 1 mm2, 0.3 m, black) Q1.P-\n"
     "mode work { others at rest, S1 closed, K1 closed, K9 energised }\nsplice X1",
     "splice X1"},
};

// A consumer, where it is fed at rest.
struct AtRest {
    EdgeId user;
    const OperatingPoint* rest = nullptr;
    const OperatingPoint* pulled = nullptr;  // where its relay pulls in, and it is dead
    double power_W = 0;
};

class RestContacts {
  public:
    RestContacts(const RuleInput& input, Report& report)
        : input_(input), circuit_(input.circuit), report_(report) {}

    void look() {
        for (std::size_t i = 0; i < circuit_.edges.size(); ++i) {
            const Edge& edge = circuit_.edges[i];
            if (edge.role != EdgeRole::switching || edge.throw_ != 1 ||
                input_.harness.part(edge.part).kind != Kind::relay || is_latching(input_.harness, edge.part))
                continue;
            std::vector<AtRest> resistors, loads;
            for (std::size_t user = 0; user < circuit_.edges.size(); ++user) {
                const EdgeRole role = circuit_.edges[user].role;
                if ((role != EdgeRole::load && role != EdgeRole::resistor) || is_brake(EdgeId(user)))
                    continue;
                if (const auto one = judge(EdgeId(i), EdgeId(user)))
                    (is_resistor(EdgeId(user)) ? resistors : loads).push_back(*one);
            }
            if (!resistors.empty()) tell(edge.part, resistors);
            if (!loads.empty()) tell(edge.part, loads);
        }
    }

  private:
    const Mode& mode(const OperatingPoint& point) const { return input_.harness.modes[point.mode.index()]; }
    // By the name of the mode: how a text is written decides nothing.
    bool earlier(const OperatingPoint& point, const OperatingPoint* known) const {
        return !known || mode(point).name < mode(*known).name;
    }
    double current_A(const OperatingPoint& point, EdgeId edge) const {
        return std::abs(point.edge_A[edge.index()]);
    }
    double power_W(const OperatingPoint& point, EdgeId id) const {
        const Edge& edge = circuit_.edge(id);
        return current_A(point, id) *
               std::abs(point.node_V[edge.from.index()] - point.node_V[edge.to.index()]);
    }
    bool is_resistor(EdgeId user) const { return circuit_.edge(user).role == EdgeRole::resistor; }
    bool is_brake(EdgeId user) const {
        return holds_unfed(input_.harness, input_.harness.part(circuit_.edge(user).part));
    }

    bool any_drives(const OperatingPoint& point) const {
        for (std::size_t i = 0; i < circuit_.edges.size(); ++i)
            if (circuit_.edges[i].role == EdgeRole::load &&
                is_driving_load(input_.facts, circuit_.edges[i].part) &&
                current_A(point, EdgeId(i)) > flows_A)
                return true;
        return false;
    }
    // Nothing draws, returns or delivers.
    bool runs_nothing(const OperatingPoint& point) const {
        const std::vector<State>& states = mode(point).states;
        return !any_drives(point) && std::all_of(states.begin(), states.end(),
                                                 [](const State& state) { return state.profile < 0; });
    }
    bool draws(const OperatingPoint& point, PartId but) const {
        const Mode& now = mode(point);
        for (std::size_t i = 0; i < now.states.size(); ++i) {
            if (now.states[i].profile < 0 || PartId(i) == but) continue;
            if (now.profiles[static_cast<std::size_t>(now.states[i].profile)].flow == Flow::draws)
                return true;
        }
        return any_drives(point);
    }
    bool no_coil_pulled(const Mode& mode) const {
        for (const Edge& edge : circuit_.edges)
            if (edge.role == EdgeRole::coil && is_pulled(mode, edge.part)) return false;
        return true;
    }

    // One of its ends hangs on the side of the contact that no source is on, with the contact open.
    bool behind(const Mode& mode, EdgeId contact, EdgeId user) const {
        const Edge &edge = circuit_.edge(contact), &fed = circuit_.edge(user);
        for (const NodeId end : {edge.from, edge.to}) {
            const NodeId starts[] = {end};
            const Reached side = reached(circuit_, starts, [&](EdgeId id, NodeId) {
                const Edge& each = circuit_.edge(id);
                return is_conductor(each.role) && each.part != edge.part && is_closed(circuit_, mode, each);
            });
            if (!side[fed.from] && !side[fed.to]) continue;
            const bool source =
                std::any_of(circuit_.edges.begin(), circuit_.edges.end(), [&](const Edge& each) {
                    return is_standing_source(each.role) && (side[each.from] || side[each.to]);
                });
            if (!source) return true;
        }
        return false;
    }

    std::optional<AtRest> judge(EdgeId contact, EdgeId user) const {
        const PartId relay = circuit_.edge(contact).part;
        const bool resistor = is_resistor(user);
        AtRest found;
        found.user = user;
        for (const OperatingPoint& point : input_.points) {
            if (!point.usable() || point.corner != Corner::run_full) continue;
            const Mode& now = mode(point);
            if (is_pulled(now, relay)) {
                if (!resistor && !draws(point, circuit_.edge(user).part)) continue;
                if (earlier(point, found.pulled)) found.pulled = &point;
            } else if (earlier(point, found.rest) && runs_nothing(point) && no_coil_pulled(now) &&
                       current_A(point, contact) > flows_A && current_A(point, user) > flows_A &&
                       behind(now, contact, user)) {
                found.rest = &point;
                found.power_W = power_W(point, user);
            }
        }
        if (!found.rest || !found.pulled) return std::nullopt;
        for (const OperatingPoint& point : input_.points)
            if (point.usable() && point.corner == Corner::run_full && is_pulled(mode(point), relay) &&
                current_A(point, user) > dead_share * current_A(*found.rest, user))
                return std::nullopt;
        if (resistor ? found.power_W < warms_W : other_throw_used(contact)) return std::nullopt;
        return found;
    }
    // Change-over: what hangs on the other throw is fed instead, and that is what such a contact is for.
    bool other_throw_used(EdgeId contact) const {
        const Edge& edge = circuit_.edge(contact);
        for (const EdgeId id : circuit_.edges_of_part[edge.part.index()]) {
            const Edge& other = circuit_.edge(id);
            if (id != contact && other.role == EdgeRole::switching && other.way == edge.way &&
                circuit_.at(other.to).size() > 1)
                return true;
        }
        return false;
    }

    void tell(PartId relay, const std::vector<AtRest>& alike) {
        const AtRest& found = alike.front();
        const bool resistor = is_resistor(found.user);
        const Harness& harness = input_.harness;
        const PartId user = circuit_.edge(found.user).part;
        const std::string who = named(harness, user), by = named(harness, relay);
        const double left_A = current_A(*found.pulled, found.user);
        const std::string at_rest(mode(*found.rest).name), pulled(mode(*found.pulled).name);
        Finding finding =
            finding_about(input_, "fed-at-rest", resistor ? Severity::warning : Severity::note, relay);
        finding.message = who + " is fed while " + by + " rests, and dead when it pulls in";
        finding.beside = by + " rests closed";
        finding.working = {
            amps(current_A(*found.rest, found.user)) + " through " + who + " in mode " + at_rest +
                ", where nothing runs, by the contact of " + by + " that is closed at rest",
            amps(left_A > flows_A ? left_A : 0) + " in mode " + pulled + ", where " + by + " pulls in"};
        if (resistor)
            finding.working.push_back(to_text(found.power_W, Dimension::power) +
                                      " for as long as it stands: it empties what feeds it");
        for (std::size_t i = 1; i < alike.size(); ++i) {
            const std::string other = named(harness, circuit_.edge(alike[i].user).part);
            finding.working.push_back("the same of " + other);
            finding.related.push_back(
                {harness.part(circuit_.edge(alike[i].user).part).where, other + " is here"});
        }
        finding.figures = {{"current", current_A(*found.rest, found.user), Dimension::current},
                           {"power", found.power_W, Dimension::power}};
        finding.source = "solved currents of the modes";
        witnessed(input_, finding, *found.rest, found.user);
        finding.related.push_back({harness.part(user).where, who + " is here"});
        finding.help =
            "a contact that closes when " + by + " pulls in (contacts no), if that is what it is for";
        report_.add(std::move(finding));
    }

    const RuleInput& input_;
    const Circuit& circuit_;
    Report& report_;
};

void run(const RuleInput& input, Report& report) {
    RestContacts(input, report).look();
}

}  // namespace

extern const RuleFamily family;
const RuleFamily family{infos, run};

}  // namespace loomward::rules::rest_contacts
