// Where the leads between controllers and motors land: each at a lead of one motor and of one controller, and
// at nothing else.
#include <algorithm>
#include <map>
#include <set>

#include "checker/circuit/disjoint_sets.hpp"
#include "checker/parts/elements.hpp"
#include "checker/rules/rule_support.hpp"

namespace loomward::rules::motor_leads {
namespace {

using namespace literals;

constexpr RuleInfo infos[] = {
    {"misplaced-motor-lead",
     "a motor lead that lands on a pole of a supply, where the bridge of the controller shorts that supply "
     "through the windings; a lead of one controller at a lead of another one, which drive into each other, "
     "or at another lead of its own; a controller whose leads are shared out among motors that others drive",
     "no motor lead on one point with a pole of a source or with a lead of another controller; all leads of "
     "a "
     "controller at motors of its own, or all of them at one motor",
     "circuit theory: a bridge joins each of its leads to plus and minus in turn",
     "what contacts of switches and contactors join does not count; a motor that no controller drives is "
     "told by undriven-motor",
     "route U1.W (W22 10 mm2, 0.5 m, blue) P1.2", "route U1.W (W22 10 mm2, 0.5 m, blue) M1.W"},
    {"undriven-motor",
     "a motor that leads, contacts, diodes or resistors join to a supply and to no controller: a motor of "
     "the "
     "language is the end of phase leads and draws nothing by itself, so that nothing on its way is judged",
     "each motor that a supply reaches has a controller, or is written as a load",
     "the language: what runs on the supply is a load", "a motor that nothing reaches is left alone",
     "motor M2 { leads 2, carries 20 A }\n"
     "route X1 (W30 2.5 mm2, 1 m, red) M2.M+\nroute M2.M- (W31 2.5 mm2, 1 m, black) Q1.P-\nsplice X1",
     "splice X1"},
};

struct Lead {
    TerminalId terminal;
    PartId part;
};

class MotorLeads {
  public:
    MotorLeads(const RuleInput& input, Report& report)
        : input_(input), report_(report), points_(input.circuit.node_count()) {
        for (const Edge& edge : input.circuit.edges)
            if (is_conductor(edge.role) && edge.role != EdgeRole::switching)
                points_.join(edge.from.index(), edge.to.index());
        for (const Edge& edge : input.circuit.edges)
            if ((is_source(edge.role) && edge.role != EdgeRole::regeneration) ||
                edge.role == EdgeRole::controller)
                for (const auto& [node, terminal] :
                     {std::pair(edge.from, edge.from_terminal), std::pair(edge.to, edge.to_terminal)})
                    poles_.emplace(points_.find(node.index()), terminal);
        for (std::size_t i = 0; i < input.harness.parts.size(); ++i) {
            const Part& part = input.harness.parts[i];
            for (std::size_t k = 0; k < part.terminals.count; ++k) {
                const TerminalId terminal(part.terminals.first + k);
                if (!is_motor_lead(input.harness.terminal(terminal).role)) continue;
                auto& leads = part.kind == Kind::motor ? of_motors_ : of_controllers_;
                leads[point(terminal)].push_back({terminal, PartId(i)});
            }
        }
    }

    void look() {
        for (const auto& [where, leads] : of_controllers_) {
            const auto other = std::find_if(leads.begin(), leads.end(), [&](const Lead& each) {
                return each.part != leads.front().part;
            });
            if (const auto pole = poles_.find(where); pole != poles_.end())
                tell_pole(leads.front(), pole->second);
            else if (other != leads.end())
                tell_joined(leads.front(), *other);
            else if (leads.size() > 1)
                tell_bridged(leads.front(), leads[1]);
        }
        const auto driven = driven_by();
        for (const auto& [motor, controllers] : driven) {
            if (controllers.empty()) {
                look_at_supply(motor);
                continue;
            }
            look_at_poles(motor);
            if (controllers.size() > 1) look_at_shares(motor, controllers, driven);
        }
    }

  private:
    std::size_t point(TerminalId terminal) { return points_.find(input_.circuit.node(terminal).index()); }
    std::string path(TerminalId terminal) const {
        return std::string(input_.harness.terminal(terminal).path);
    }
    std::string_view name(PartId part) const { return input_.harness.part(part).name; }

    // By motor: the controllers that a lead of it lands at.
    std::map<PartId, std::set<PartId>> driven_by() const {
        std::map<PartId, std::set<PartId>> driven;
        for (const auto& [where, motors] : of_motors_)
            for (const Lead& motor : motors) {
                auto& controllers = driven[motor.part];
                const auto there = of_controllers_.find(where);
                if (there == of_controllers_.end()) continue;
                for (const Lead& each : there->second) controllers.insert(each.part);
            }
        return driven;
    }
    void look_at_poles(PartId motor) {
        for (const auto& [where, motors] : of_motors_) {
            const auto pole = poles_.find(where);
            if (pole == poles_.end() || of_controllers_.contains(where)) continue;
            for (const Lead& each : motors)
                if (each.part == motor) tell_pole(each, pole->second);
        }
    }
    // Over contacts as well, and what lies in line with a small motor.
    void look_at_supply(PartId motor) {
        DisjointSets reached(input_.circuit.node_count());
        for (const Edge& edge : input_.circuit.edges)
            if (is_conductor(edge.role) || edge.role == EdgeRole::resistor || edge.role == EdgeRole::diode ||
                is_driver(edge.role))
                reached.join(edge.from.index(), edge.to.index());
        std::set<std::size_t> here;
        const Slice terminals = input_.harness.part(motor).terminals;
        for (std::uint32_t i = 0; i < terminals.count; ++i)
            here.insert(
                reached.find(input_.circuit.node(TerminalId(std::size_t{terminals.first + i})).index()));
        for (const auto& [where, leads] : of_controllers_)
            for (const Lead& lead : leads)
                if (here.contains(reached.find(input_.circuit.node(lead.terminal).index()))) return;
        for (const auto& [where, pole] : poles_)
            if (here.contains(reached.find(input_.circuit.node(pole).index())))
                return tell_undriven(motor, pole);
    }
    // One controller with all of its leads here drives this motor; one that has leads elsewhere too does not.
    void look_at_shares(PartId motor, const std::set<PartId>& controllers,
                        const std::map<PartId, std::set<PartId>>& driven) {
        for (const PartId controller : controllers)
            for (const auto& [other, its] : driven) {
                if (other == motor || !its.contains(controller) || its.size() < 2) continue;
                tell_shared(motor, controller, other);
                return;
            }
    }

    Finding begin(PartId part) {
        return finding_about(input_, "misplaced-motor-lead", Severity::error, part);
    }
    void tell_pole(const Lead& lead, TerminalId pole) {
        if (!said_.insert(lead.part).second) return;
        Finding finding = begin(lead.part);
        finding.subject = path(lead.terminal);
        finding.message = "motor lead " + path(lead.terminal) + " lands on a pole of the supply";
        finding.beside = "conductors lead from there to " + path(pole);
        finding.working = {
            "its bridge joins each lead to plus and to minus in turn: with the other pole the "
            "supply is shorted, through the windings at the most"};
        finding.source = "circuit theory";
        finding.help =
            "land it at a lead of its " +
            std::string(input_.harness.part(lead.part).kind == Kind::motor ? "controller" : "motor");
        report_.add(std::move(finding));
    }
    void tell_undriven(PartId motor, TerminalId pole) {
        Finding finding = finding_about(input_, "undriven-motor", Severity::error, motor);
        finding.message = named(input_.harness, motor) + " hangs on the supply, and nothing drives it";
        finding.beside = "leads from " + path(pole) + ", none from a controller";
        finding.working = {
            "a motor is the end of phase leads and draws nothing by itself: no current, fuse or wire on its "
            "way is judged"};
        finding.source = "the language: what runs on the supply is a load";
        finding.help = "a load in its place with what it draws and its stall current, say load " +
                       std::string(name(motor)) +
                       " { 12 V, 5 A, acts-as current, stall 20 A }, or the leads "
                       "of a controller at it";
        report_.add(std::move(finding));
    }
    void tell_joined(const Lead& lead, const Lead& other) {
        if (!said_.insert(lead.part).second) return;
        Finding finding = begin(lead.part);
        finding.subject = path(lead.terminal);
        finding.message = "motor lead " + path(lead.terminal) + " is joined with a lead of " +
                          named(input_.harness, other.part);
        finding.beside = "conductors lead from there to " + path(other.terminal);
        finding.working = {
            "one bridge joins it to plus while the other one joins it to minus: both short "
            "their supply"};
        finding.source = "circuit theory";
        finding.related.push_back(
            {input_.harness.part(other.part).where, named(input_.harness, other.part) + " is here"});
        finding.help = "a motor, or a winding, of its own for each controller";
        report_.add(std::move(finding));
    }
    void tell_bridged(const Lead& lead, const Lead& other) {
        if (!said_.insert(lead.part).second) return;
        Finding finding = begin(lead.part);
        finding.subject = path(other.terminal);
        finding.message =
            "motor leads " + path(lead.terminal) + " and " + path(other.terminal) + " are joined";
        finding.beside = "conductors lead from one to the other";
        finding.working = {
            "the bridge joins one of them to plus while the other one is at minus: it shorts its supply "
            "through "
            "itself"};
        finding.source = "circuit theory";
        finding.help = "each of them at a lead of its own of the motor";
        report_.add(std::move(finding));
    }
    void tell_shared(PartId motor, PartId controller, PartId other) {
        if (!said_.insert(controller).second) return;
        Finding finding = begin(motor);
        finding.message = named(input_.harness, motor) + " has leads of more than one controller";
        finding.beside = std::string(name(controller)) + " has leads at " + std::string(name(other)) + " too";
        finding.working = {
            "currents of a motor add up to nothing over its own leads: with two controllers "
            "none of them sees what it drives"};
        finding.source = "Kirchhoff's laws";
        finding.related.push_back(
            {input_.harness.part(controller).where, named(input_.harness, controller) + " is here"});
        finding.related.push_back(
            {input_.harness.part(other).where, named(input_.harness, other) + " is here"});
        finding.help = "all leads of a controller at one motor: two of them are exchanged";
        report_.add(std::move(finding));
    }

    const RuleInput& input_;
    Report& report_;
    DisjointSets points_;
    std::map<std::size_t, TerminalId> poles_;                              // by point: one of them
    std::map<std::size_t, std::vector<Lead>> of_controllers_, of_motors_;  // by point
    std::set<PartId> said_;
};

void run(const RuleInput& input, Report& report) {
    MotorLeads(input, report).look();
}

}  // namespace

extern const RuleFamily family;
const RuleFamily family{infos, run};

}  // namespace loomward::rules::motor_leads
