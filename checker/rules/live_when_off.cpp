// What stays live though the contact that makes it dead is open: a resistor across the contact, with no
// contact in line or one that rests closed.
#include <algorithm>
#include <cmath>
#include <limits>
#include <map>
#include <set>

#include "checker/circuit/latching.hpp"
#include "checker/circuit/on_poles.hpp"
#include "checker/circuit/ways.hpp"
#include "checker/currents/what_if.hpp"
#include "checker/parts/elements.hpp"
#include "checker/rules/let_through.hpp"
#include "checker/rules/rule_support.hpp"

namespace loomward::rules::live_when_off {
namespace {

using namespace literals;

constexpr double felt_A = 0.002;  // direct current, IEC 60479-1 threshold of perception (memory)

constexpr RuleInfo infos[] = {
    {"live-when-off",
     "a controller, converter or capacitor that stays live behind an open contact, because a resistor "
     "(precharge, "
     "lamp) lies across that contact with no switch in line, or with a relay in line whose contact rests "
     "closed; an isolator that something bridges so",
     "no way round the contact through a resistor or load alone; U behind it with it open, all else as in "
     "the mode",
     "circuit theory; IEC 60479-1: 2 mA (memory)",
     "a warning where the way can pass 2 mA or more and more than half of the voltage stays, else a note; "
     "what "
     "another source keeps live is told by back-feed",
     "route F1.out (direct) F7 (W24 1 mm2, 0.5 m, red) R7 (direct) K1.out",
     "route F1.out (direct) F7 (W24 1 mm2, 0.5 m, red) S7 (W23 1 mm2, 0.4 m, red) R7 (direct) K1.out"},
};

bool stays_awake(EdgeRole role) {
    return (uses_power(role) && role != EdgeRole::load) || role == EdgeRole::capacitor;
}

// What hangs together over conductors in a mode in which a contact has been opened.
class OpenPieces {
  public:
    OpenPieces(const Circuit& circuit, const Mode& mode)
        : sets_(circuit.node_count()), plus_(circuit.node_count()), minus_(circuit.node_count()) {
        for (const Edge& edge : circuit.edges)
            if (is_conductor(edge.role) && is_closed(circuit, mode, edge))
                sets_.join(edge.from.index(), edge.to.index());
        for (const Edge& edge : circuit.edges)
            if (is_standing_source(edge.role) && !gives_nothing(mode, edge))
                plus_[sets_.find(edge.to.index())] = minus_[sets_.find(edge.from.index())] = true;
    }
    // Whether one of its ends hangs on an end of the contact.
    bool beside(const Edge& fed, const Edge& contact) {
        for (const NodeId end : {fed.from, fed.to})
            if (sets_.same(end.index(), contact.from.index()) || sets_.same(end.index(), contact.to.index()))
                return true;
        return false;
    }
    // Not cut off at all: conductors lead to both of its poles.
    bool on_both(const Edge& fed) {
        return plus_[sets_.find(fed.from.index())] && minus_[sets_.find(fed.to.index())];
    }

  private:
    // A charger, or an inverter that could charge, and does not there.
    static bool gives_nothing(const Mode& mode, const Edge& edge) {
        return edge.role == EdgeRole::charger && !delivers(mode, edge.part);
    }

    DisjointSets sets_;
    std::vector<bool> plus_, minus_;
};

class Bypasses {
  public:
    // `rested`: contacts of relays that are closed at rest lead round others too.
    Bypasses(const RuleInput& input, Report& report, bool rested)
        : input_(input),
          circuit_(input.circuit),
          report_(report),
          rested_(rested),
          fixed_(circuit_.node_count()) {
        for (const Edge& edge : circuit_.edges)
            if (leads_round(edge)) fixed_.join(edge.from.index(), edge.to.index());
        for (const Edge& edge : circuit_.edges)
            if (is_source(edge.role))
                poles_.insert({fixed_.find(edge.from.index()), fixed_.find(edge.to.index())});
        for (std::size_t i = 0; i < circuit_.edges.size(); ++i) {
            const Edge& edge = circuit_.edges[i];
            if (edge.role != EdgeRole::resistor && edge.role != EdgeRole::load) continue;
            const std::size_t a = fixed_.find(edge.from.index()), b = fixed_.find(edge.to.index());
            if (a == b) continue;
            between_[std::minmax(a, b)].push_back(EdgeId(i));
            if (edge.role == EdgeRole::resistor) beside_[a].insert(b), beside_[b].insert(a);
        }
    }

    // Leaves out what is told, and adds to it.
    void look(std::set<PartId>& told) {
        if (between_.empty()) return;
        for (std::size_t i = 0; i < circuit_.edges.size(); ++i) {
            const Edge& edge = circuit_.edges[i];
            if (!is_switch(edge)) continue;
            const std::vector<EdgeId> way = bypass(edge);
            if (way.empty() || told.contains(edge.part)) continue;
            relays_ = resting_on(edge, way);
            if (rested_ &&
                (relays_.empty() || std::find(relays_.begin(), relays_.end(), edge.part) != relays_.end()))
                continue;
            if (judge(EdgeId(i), way) || (!rested_ && judge_isolator(EdgeId(i), way))) told.insert(edge.part);
        }
    }

  private:
    // What opens in use: a plug in line with a resistor stays where it is.
    static bool is_switch(const Edge& edge) {
        return opened_by_hand(edge.role) && edge.role != EdgeRole::contact;
    }
    bool rests_closed(const Edge& edge) const {
        return rested_ && edge.role == EdgeRole::switching && edge.throw_ == 1 &&
               input_.harness.part(edge.part).kind == Kind::relay && !is_latching(input_.harness, edge.part);
    }
    bool leads_round(const Edge& edge) const {
        return is_conductor(edge.role) && (!is_switch(edge) || rests_closed(edge));
    }
    // The relays whose rest contacts lie in line with that way round the contact.
    std::vector<PartId> resting_on(const Edge& contact, const std::vector<EdgeId>& way) const {
        std::vector<PartId> relays;
        for (const EdgeId id : shortest_way(circuit_, contact.from, contact.to, [&](EdgeId each, NodeId) {
                 return leads_round(circuit_.edge(each)) ||
                        std::find(way.begin(), way.end(), each) != way.end();
             }))
            if (rests_closed(circuit_.edge(id))) relays.push_back(circuit_.edge(id).part);
        return relays;
    }
    // One load or resistor straight across, or several resistors in line.
    std::vector<EdgeId> bypass(const Edge& contact) {
        const std::size_t a = fixed_.find(contact.from.index()), b = fixed_.find(contact.to.index());
        if (a == b) return {};
        if (const auto direct = between_.find(std::minmax(a, b)); direct != between_.end())
            return direct->second;
        std::map<std::size_t, std::size_t> back{{a, a}};
        std::vector<std::size_t> queue{a};
        for (std::size_t head = 0; head < queue.size() && !back.contains(b); ++head) {
            if (head > 0 && poles_.contains(queue[head])) continue;  // down to the other pole and up again
            if (const auto next = beside_.find(queue[head]); next != beside_.end())
                for (const std::size_t piece : next->second)
                    if (back.try_emplace(piece, queue[head]).second) queue.push_back(piece);
        }
        if (!back.contains(b)) return {};
        std::vector<EdgeId> way;
        for (std::size_t at = b; at != a; at = back[at]) {
            const auto& list = between_[std::minmax(at, back[at])];
            for (const EdgeId id : list)
                if (circuit_.edge(id).role == EdgeRole::resistor) {
                    way.push_back(id);
                    break;
                }
        }
        return way;
    }

    // Where nothing of what it parts stays awake the bar behind it is live all the same: whoever has opened
    // an isolator counts on what lies behind it. A switch of one lamp may glow.
    bool judge_isolator(EdgeId contact, const std::vector<EdgeId>& way) {
        const Edge& edge = circuit_.edge(contact);
        const double stands_V = Potentials(input_).across_when_open_V(contact);
        const double can_A = through_A(way, stands_V);
        if (stands_V < 1 || can_A < felt_A || parted_by(edge.part) == 0 || !has_switch_behind(edge))
            return false;
        const std::string names = names_of(way);
        Finding finding = finding_about(input_, "live-when-off", Severity::warning, edge.part);
        finding.message =
            "what lies behind " + named(input_.harness, edge.part) + " stays live when it is open";
        finding.beside = volts(stands_V) + " through " + names + ", which no switch cuts off";
        finding.working = {names + " can pass " + amps(can_A) + ", more than the 2 mA that one feels"};
        finding.figures = {{"voltage", stands_V, Dimension::voltage}, {"current", can_A, Dimension::current}};
        finding.source = "circuit theory; IEC 60479-1 (memory)";
        finding.related.push_back(
            {input_.harness.part(circuit_.edge(way.front()).part).where, names + " lies across it"});
        finding.help = "what lies across it to the minus behind it, or a switch in line with it";
        report_.add(std::move(finding));
        return true;
    }
    // What hangs together with everything closed but one part; invalid: all of it.
    DisjointSets without(PartId part) const {
        return pieces(circuit_, [&](EdgeId id) {
            const Edge& edge = circuit_.edge(id);
            return is_conductor(edge.role) && !(part && edge.part == part);
        });
    }
    // How many parts that use power lie on both poles of a source with everything closed, and no longer with
    // this part open.
    std::size_t parted_by(PartId part) const {
        DisjointSets all = without(PartId()), rest = without(part);
        return on_both_poles(circuit_, all).size() - on_both_poles(circuit_, rest).size();
    }
    // Another switch hangs on the side that no source is left on: it does not only switch what it leads to.
    bool has_switch_behind(const Edge& contact) const {
        DisjointSets joined = without(contact.part);
        std::set<std::size_t> fed, behind;
        for (const Edge& edge : circuit_.edges)
            if (edge.role == EdgeRole::emf)
                for (const NodeId end : {edge.from, edge.to}) fed.insert(joined.find(end.index()));
        for (const NodeId end : {contact.from, contact.to})
            if (const std::size_t side = joined.find(end.index()); !fed.contains(side)) behind.insert(side);
        return std::any_of(circuit_.edges.begin(), circuit_.edges.end(), [&](const Edge& other) {
            return is_switch(other) && other.part != contact.part &&
                   behind.contains(joined.find(other.from.index()));
        });
    }
    std::string names_of(const std::vector<EdgeId>& way) const {
        std::string names;
        for (const EdgeId id : way)
            names += (names.empty() ? "" : ", ") + named(input_.harness, circuit_.edge(id).part);
        return names;
    }
    // At the full voltage across it: by its resistance, or by what a load is printed to draw.
    double through_A(const std::vector<EdgeId>& way, double across_V) const {
        double ohm = 0, least_A = std::numeric_limits<double>::infinity();
        for (const EdgeId id : way) {
            const Edge& edge = circuit_.edge(id);
            if (edge.role == EdgeRole::load) {
                least_A = std::min(least_A, rated_draw_A(input_, edge));
            } else if (const auto stated = input_.facts.quantity(edge.part, "(resistance)"_attr)) {
                ohm += stated->lo;
            }
        }
        if (ohm > 0) least_A = std::min(least_A, across_V / ohm);
        return std::isfinite(least_A) ? least_A : felt_A;
    }

    // In the mode in which most stays live behind it.
    bool judge(EdgeId contact, const std::vector<EdgeId>& way) {
        const Edge& edge = circuit_.edge(contact);
        OperatingPoint worst;
        EdgeId worst_fed;
        double worst_V = 0, worst_share = 0;
        std::set<ModeId> seen;
        for (const OperatingPoint& point : input_.points) {
            const Mode& mode = input_.harness.modes[point.mode.index()];
            if (!point.usable() || point.corner != Corner::run_full || !is_closed(circuit_, mode, edge) ||
                !seen.insert(point.mode).second)
                continue;
            Mode open = mode;
            open_contact(circuit_, open, contact);
            for (const PartId relay : relays_) set_pulled(circuit_, open, relay, false);
            for (State& state : open.states)
                if (state.profile >= 0 &&
                    open.profiles[static_cast<std::size_t>(state.profile)].flow != Flow::delivers)
                    state.profile = -1;
            if (!what_if_) what_if_.emplace(circuit_, input_.facts);
            OperatingPoint still = what_if_->solve(open, point.mode);
            if (still.node_V.empty()) continue;
            OpenPieces pieces(circuit_, open);
            for (std::size_t i = 0; i < circuit_.edges.size(); ++i) {
                const Edge& fed = circuit_.edges[i];
                if (!stays_awake(fed.role) || !pieces.beside(fed, edge) || pieces.on_both(fed)) continue;
                const auto across_V = [&](const OperatingPoint& at) {
                    return std::abs(at.node_V[fed.from.index()] - at.node_V[fed.to.index()]);
                };
                const double now_V = across_V(still), before_V = across_V(point);
                if (now_V <= std::max(worst_V, 1.0)) continue;
                worst_V = now_V;
                worst_share = before_V > 0 ? now_V / before_V : 1;
                worst_fed = EdgeId(i);
                worst = still;
            }
        }
        if (!worst_fed) return false;
        tell(contact, way, worst, worst_fed, worst_V, worst_share);
        return true;
    }
    void tell(EdgeId contact, const std::vector<EdgeId>& way, const OperatingPoint& still, EdgeId fed,
              double now_V, double share) {
        const Edge& edge = circuit_.edge(contact);
        double ohm = 0;
        const std::string names = names_of(way);
        for (const EdgeId id : way) {
            if (const auto stated = input_.facts.quantity(circuit_.edge(id).part, "(resistance)"_attr))
                ohm += stated->lo;
        }
        const double can_A = ohm > 0 ? now_V / ohm : felt_A;
        const bool matters = can_A >= felt_A && share > 0.5;
        Finding finding =
            finding_about(input_, "live-when-off", matters ? Severity::warning : Severity::note, edge.part);
        const std::string consumer = named(input_.harness, circuit_.edge(fed).part);
        finding.message = consumer + " stays live when " + named(input_.harness, edge.part) + " opens";
        std::string at_rest;
        for (const PartId relay : relays_)
            at_rest += (at_rest.empty() ? "" : " and ") + named(input_.harness, relay);
        finding.beside =
            volts(now_V) + " through " + names +
            (at_rest.empty() ? ", which no switch cuts off" : " and " + at_rest + ", which rests closed");
        finding.working = {volts(now_V) + " at " + consumer + " with " + named(input_.harness, edge.part) +
                           " open, " + (at_rest.empty() ? "" : at_rest + " unfed, ") +
                           "all else as in mode " +
                           std::string(input_.harness.modes[still.mode.index()].name) + ", at rest"};
        for (const PartId relay : relays_)
            finding.related.push_back(
                {input_.harness.part(relay).where, named(input_.harness, relay) + " is here"});
        if (ohm > 0)
            finding.working.push_back(amps(can_A) + " = " + volts(now_V) + " / " +
                                      to_text(ohm, Dimension::resistance) + " can flow through " + names);
        finding.figures = {{"voltage", now_V, Dimension::voltage}};
        finding.source = "circuit theory; IEC 60479-1 (memory)";
        witnessed(input_, finding, still, fed);
        finding.related.push_back(
            {input_.harness.part(circuit_.edge(way.front()).part).where, names + " lies across it"});
        finding.help = at_rest.empty()
                           ? "a switch or relay in line with it, that opens when " +
                                 std::string(input_.harness.part(edge.part).name) +
                                 " is closed or everything is off"
                           : "a contact in line with it that rests open, in place of that of " + at_rest;
        report_.add(std::move(finding));
    }

    const RuleInput& input_;
    const Circuit& circuit_;
    Report& report_;
    const bool rested_;
    std::vector<PartId> relays_;  // on the way round the contact that is looked at
    DisjointSets fixed_;          // what hangs together without anything that opens in use
    std::set<std::size_t> poles_;
    std::map<std::pair<std::size_t, std::size_t>, std::vector<EdgeId>> between_;
    std::map<std::size_t, std::set<std::size_t>> beside_;
    std::optional<WhatIf> what_if_;
};

void run(const RuleInput& input, Report& report) {
    std::set<PartId> told;
    Bypasses(input, report, false).look(told);
    Bypasses(input, report, true).look(told);
}

}  // namespace

extern const RuleFamily family;
const RuleFamily family{infos, run};

}  // namespace loomward::rules::live_when_off
