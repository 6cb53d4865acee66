// Loads that run though the driver pin that switches them is off: a diode leads past it.
#include <algorithm>
#include <cmath>
#include <vector>

#include "checker/circuit/part_edges.hpp"
#include "checker/circuit/ways.hpp"
#include "checker/parts/elements.hpp"
#include "checker/rules/rule_support.hpp"

namespace loomward::rules::past_drivers {
namespace {

constexpr RuleInfo infos[] = {
    {"past-driver",
     "a load that draws a current in a mode that has its driver pin off, because a diode at the pin leads to "
     "a "
     "pole of a pack: it is on whenever its other lead is live",
     "I of the load <= 1 mA where its driver is off", "solved currents of the modes",
     "loads on a driver pin over conductors that no contact parts; ways over a contact are meant: another "
     "switch may work it too; coils are told by mode-contradicts and held-coil",
     "controller U1 { input 30..60 V, capacitance 3 mF, supply-limit 40 A, phase-peak 70 A, regen none\n"
     "  pin brake low-side 1 A }\n"
     "load Y9 { 48 V, 20 W, works 30..60 V }\ndiode D9 { 1 A, 100 V, drop 0.7 V }\n"
     "route F2.out (W30 1 mm2, 0.3 m) Y9.+\nroute Y9.- (W31 1 mm2, 0.3 m) U1.brake\n"
     "route Y9.- (direct) D9 (W32 1 mm2, 0.3 m) Q1.P-",
     "controller U1 { input 30..60 V, capacitance 3 mF, supply-limit 40 A, phase-peak 70 A, regen none }"},
};

class PastDrivers {
  public:
    PastDrivers(const RuleInput& input, Report& report)
        : input_(input), circuit_(input.circuit), report_(report) {}

    void look_at(EdgeId id) {
        const Edge& driver = circuit_.edge(id);
        const bool low = driver.role == EdgeRole::low_side;
        const NodeId pin[] = {driver_node(driver)};
        const Reached net = reached(circuit_, pin, [&](EdgeId each, NodeId) { return leads(each); });
        if (holds_pole(net, low)) return;  // on the rail itself: no load is switched by it
        const Reached past = reached(circuit_, net.order, [&](EdgeId each, NodeId at) {
            const Edge& edge = circuit_.edge(each);
            return leads(each) || (edge.role == EdgeRole::diode && (low ? edge.from : edge.to) == at);
        });
        const NodeId pole = pole_in(past, low);
        if (!pole) return;
        for (std::size_t i = 0; i < circuit_.edges.size(); ++i) {
            const Edge& load = circuit_.edges[i];
            if (load.role == EdgeRole::load && net[low ? load.to : load.from] &&
                !net[low ? load.from : load.to])
                judge(id, EdgeId(i), past.way_to(circuit_, pole));
        }
    }

  private:
    bool leads(EdgeId id) const {
        const EdgeRole role = circuit_.edge(id).role;
        return is_conductor(role) && role != EdgeRole::switching && role != EdgeRole::breaker;
    }
    NodeId pole_in(const Reached& reach, bool low) const {
        for (const NodeId node : reach.order)
            for (const Incidence& next : circuit_.at(node)) {
                const Edge& edge = circuit_.edge(next.edge);
                if (edge.role == EdgeRole::emf && (low ? edge.from : edge.to) == node) return node;
            }
        return {};
    }
    bool holds_pole(const Reached& reach, bool low) const { return pole_in(reach, low).valid(); }

    void judge(EdgeId driver, EdgeId load, const std::vector<EdgeId>& way) {
        const OperatingPoint* worst = nullptr;
        double worst_A = 0;
        for (const OperatingPoint& point : input_.points) {
            const Mode& mode = input_.harness.modes[point.mode.index()];
            if (!point.usable() || mode.own || is_closed(circuit_, mode, circuit_.edge(driver))) continue;
            const double now_A = std::abs(point.edge_A[load.index()]);
            if (now_A < 1e-3) continue;
            const bool alike = std::abs(now_A - worst_A) <= 1e-6 * worst_A;
            if (worst &&
                (alike ? mode.name >= input_.harness.modes[worst->mode.index()].name : now_A < worst_A))
                continue;
            worst = &point;
            worst_A = now_A;
        }
        const auto diode = std::find_if(way.begin(), way.end(),
                                        [&](EdgeId id) { return circuit_.edge(id).role == EdgeRole::diode; });
        if (!worst || diode == way.end()) return;
        const PartId part = circuit_.edge(load).part, by = circuit_.edge(*diode).part;
        const std::string pin(input_.harness.terminal(driver_pin(circuit_.edge(driver))).path);
        Finding finding = finding_about(input_, "past-driver", Severity::warning, part);
        finding.message = named(input_.harness, part) + " runs though driver pin " + pin + " is off";
        finding.beside = named(input_.harness, by) + " leads past the pin: it is on whenever it is fed";
        finding.working = {amps(worst_A) + " in mode " +
                           std::string(input_.harness.modes[worst->mode.index()].name) + ", where " + pin +
                           " is off"};
        finding.figures = {{"current", worst_A, Dimension::current}};
        finding.source = "solved currents of the modes";
        witnessed(input_, finding, *worst, load);
        finding.related.push_back({input_.harness.part(by).where, named(input_.harness, by) + " is here"});
        finding.help =
            "the diode across the load, from its minus to its plus, where it catches the coil and "
            "feeds nothing";
        report_.add(std::move(finding));
    }

    const RuleInput& input_;
    const Circuit& circuit_;
    Report& report_;
};

void run(const RuleInput& input, Report& report) {
    PastDrivers past(input, report);
    for (std::size_t i = 0; i < input.circuit.edges.size(); ++i)
        if (is_driver(input.circuit.edges[i].role)) past.look_at(EdgeId(i));
}

}  // namespace

extern const RuleFamily family;
const RuleFamily family{infos, run};

}  // namespace loomward::rules::past_drivers
