// What stays live though the contact that makes it dead is open: a resistor across the contact, and an output
// that something else feeds.
#include <algorithm>
#include <cmath>
#include <limits>
#include <map>
#include <set>

#include "checker/circuit/ways.hpp"
#include "checker/currents/what_if.hpp"
#include "checker/parts/elements.hpp"
#include "checker/rules/let_through.hpp"
#include "checker/rules/rule_support.hpp"

namespace loomward::rules {
namespace {

using namespace literals;

constexpr double felt_A = 0.002;      // direct current, IEC 60479-1 threshold of perception (memory)
constexpr double body_diode_V = 0.5;  // no current goes back through an output below that (no source)

constexpr RuleInfo infos[] = {
    {"live-when-off",
     "a controller, converter or capacitor that stays live behind an open contact, because a resistor "
     "(precharge, "
     "lamp) lies across that contact with no switch in line; an isolator that something bridges so",
     "no way round the contact through a resistor or load alone; U behind it with it open, all else as in "
     "the mode",
     "circuit theory; IEC 60479-1: 2 mA (memory)",
     "a warning where the way can pass 2 mA or more and more than half of the voltage stays, else a note; "
     "what "
     "another source keeps live is told by back-feed",
     "route F1.out (direct) F7 (W24 1 mm2, 0.5 m, red) R7 (direct) K1.out",
     "route F1.out (direct) F7 (W24 1 mm2, 0.5 m, red) S7 (W23 1 mm2, 0.4 m, red) R7 (direct) K1.out"},
    {"back-fed-output",
     "an output of a device that is off, or without a supply, and that something else feeds: the current "
     "goes "
     "into it backwards",
     "U_output <= U_supply + 0.5 V in every mode in which the output is off", "common practice, no source",
     "the drop of the diode that lies across an output is taken as 0.5 V; outputs of converters are another "
     "rule",
     "controller U1 { input 30..60 V, capacitance 3 mF, supply-limit 40 A, phase-peak 70 A, regen none\n"
     "  pin lamp high-side 1 A }\nroute F2.out (W60 1 mm2, 0.3 m, red) U1.lamp",
     "controller U1 { input 30..60 V, capacitance 3 mF, supply-limit 40 A, phase-peak 70 A, regen none }"},
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
            if (is_standing_source(edge.role))
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
    DisjointSets sets_;
    std::vector<bool> plus_, minus_;
};

class Bypasses {
  public:
    Bypasses(const RuleInput& input, Report& report)
        : input_(input), circuit_(input.circuit), report_(report), fixed_(circuit_.node_count()) {
        for (const Edge& edge : circuit_.edges)
            if (is_conductor(edge.role) && !is_switch(edge)) fixed_.join(edge.from.index(), edge.to.index());
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

    void look() {
        if (between_.empty()) return;
        std::set<PartId> told;
        for (std::size_t i = 0; i < circuit_.edges.size(); ++i) {
            const Edge& edge = circuit_.edges[i];
            if (!is_switch(edge)) continue;
            const std::vector<EdgeId> way = bypass(edge);
            if (way.empty() || told.contains(edge.part)) continue;
            if (judge(EdgeId(i), way) || judge_isolator(EdgeId(i), way)) told.insert(edge.part);
        }
    }

  private:
    // What opens in use: a plug in line with a resistor stays where it is.
    static bool is_switch(const Edge& edge) {
        return opened_by_hand(edge.role) && edge.role != EdgeRole::contact;
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
        const auto fed = [&](PartId open) {
            DisjointSets joined = without(open);
            std::set<std::size_t> plus, minus;
            for (const Edge& edge : circuit_.edges)
                if (edge.role == EdgeRole::emf)
                    plus.insert(joined.find(edge.to.index())), minus.insert(joined.find(edge.from.index()));
            std::set<PartId> parts;
            for (const Edge& edge : circuit_.edges)
                if (uses_power(edge.role) && plus.contains(joined.find(edge.from.index())) &&
                    minus.contains(joined.find(edge.to.index())))
                    parts.insert(edge.part);
            return parts;
        };
        return fed(PartId()).size() - fed(part).size();
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
        finding.beside = volts(now_V) + " through " + names + ", which no switch cuts off";
        finding.working = {volts(now_V) + " at " + consumer + " with " + named(input_.harness, edge.part) +
                           " open, all else as in mode " +
                           std::string(input_.harness.modes[still.mode.index()].name) + ", at rest"};
        if (ohm > 0)
            finding.working.push_back(amps(can_A) + " = " + volts(now_V) + " / " +
                                      to_text(ohm, Dimension::resistance) + " can flow through " + names);
        finding.figures = {{"voltage", now_V, Dimension::voltage}};
        finding.source = "circuit theory; IEC 60479-1 (memory)";
        witnessed(input_, finding, still, fed);
        finding.related.push_back(
            {input_.harness.part(circuit_.edge(way.front()).part).where, names + " lies across it"});
        finding.help = "a switch or relay in line with it, that opens when " +
                       std::string(input_.harness.part(edge.part).name) + " is closed or everything is off";
        report_.add(std::move(finding));
    }

    const RuleInput& input_;
    const Circuit& circuit_;
    Report& report_;
    DisjointSets fixed_;  // what hangs together without anything that opens in use
    std::set<std::size_t> poles_;
    std::map<std::pair<std::size_t, std::size_t>, std::vector<EdgeId>> between_;
    std::map<std::size_t, std::set<std::size_t>> beside_;
    std::optional<WhatIf> what_if_;
};

// ---- outputs ------------------------------------------------------------------------------------------

// The voltage of an output's own supply and of the output, over the return they share.
struct OutputVolts {
    double supply_V = 0, output_V = 0;
};
OutputVolts volts_at(const RuleInput& input, const Edge& edge, const OperatingPoint& point) {
    const auto at = [&](NodeId node) { return point.node_V[node.index()]; };
    // A high side goes from the supply to the pin; the return is the part's other pole.
    if (edge.role == EdgeRole::high_side) {
        for (const EdgeId id : input.circuit.edges_of_part[edge.part.index()]) {
            const Edge& other = input.circuit.edge(id);
            const bool own = other.role == EdgeRole::controller || other.role == EdgeRole::converter_input ||
                             other.role == EdgeRole::supply_pin;
            if (own && other.from == edge.from)
                return {at(edge.from) - at(other.to), at(edge.to) - at(other.to)};
        }
        return {0, at(edge.to) - at(edge.from)};
    }
    return {0, at(edge.to) - at(edge.from)};
}

// What an output pin gives by itself, V.
double given_V(const RuleInput& input, const Edge& edge) {
    const auto volts_V = pin_voltage(input.harness, pin_of(input.harness, edge));
    return volts_V ? volts_V->hi : 0;
}

void report_back_fed(const RuleInput& input, const Edge& edge, const OutputVolts& at,
                     const OperatingPoint& point, Report& report) {
    const std::string pin(input.harness.terminal(edge.to_terminal).path);
    Finding finding = finding_about(input, "back-fed-output", Severity::warning, edge.part);
    finding.subject = pin;
    finding.message = "output " + pin + " is fed from outside while " + named(input.harness, edge.part) +
                      (at.supply_V < 1 ? " has no supply" : " has less");
    finding.beside = volts(at.output_V) + " at the output; " + volts(at.supply_V) + " behind it";
    finding.working = {volts(at.output_V) + " > " + volts(at.supply_V) + " + " + volts(body_diode_V) +
                       " (the diode that lies across an output)"};
    finding.figures = {{"output", at.output_V, Dimension::voltage},
                       {"supply", at.supply_V, Dimension::voltage}};
    finding.source = "common practice, no source";
    finding.mode = point.mode;
    finding.corner = point.corner;
    EdgeId strongest;
    double most_A = 1e-6;
    for (const Incidence& next : input.circuit.at(edge.to))
        if (const double now_A = std::abs(point.edge_A[next.edge.index()]); now_A > most_A)
            most_A = now_A, strongest = next.edge;
    if (strongest) finding.witness = current_path(input.circuit, point, strongest);
    finding.help = "a diode at the output, or a load of its own for what feeds it";
    report.add(std::move(finding));
}

void judge_outputs(const RuleInput& input, Report& report) {
    for (std::size_t i = 0; i < input.circuit.edges.size(); ++i) {
        const Edge& edge = input.circuit.edges[i];
        const bool pin = edge.role == EdgeRole::output_pin;
        if (!pin && edge.role != EdgeRole::high_side) continue;
        const OperatingPoint* worst = nullptr;
        OutputVolts worst_at;
        for (const OperatingPoint& point : input.points) {
            if (!point.usable()) continue;
            if (!pin && is_closed(input.circuit, input.harness.modes[point.mode.index()], edge)) continue;
            OutputVolts at = volts_at(input, edge, point);
            if (pin) at.supply_V = given_V(input, edge);
            if (at.output_V <= at.supply_V + body_diode_V) continue;
            if (!can_be_fed(input.circuit, input.harness.modes[point.mode.index()], edge.to, EdgeId(i)))
                continue;
            const double over_V = at.output_V - at.supply_V, known_V = worst_at.output_V - worst_at.supply_V;
            if (!worst || over_V > known_V * (1 + 1e-9)) worst = &point, worst_at = at;
        }
        if (worst) report_back_fed(input, edge, worst_at, *worst, report);
    }
}

void run(const RuleInput& input, Report& report) {
    Bypasses(input, report).look();
    judge_outputs(input, report);
}

}  // namespace

extern const RuleFamily live_when_off;
const RuleFamily live_when_off{infos, run};

}  // namespace loomward::rules
