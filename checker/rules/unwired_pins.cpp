// Pins that something counts on and that no wire reaches.
#include <algorithm>
#include <string>
#include <vector>

#include "checker/circuit/ways.hpp"
#include "checker/rules/rule_support.hpp"

namespace loomward::rules::unwired_pins {
namespace {

constexpr RuleInfo infos[] = {
    {"unwired-pin",
     "a driver pin that a mode switches on, or that is to open the contactor a battery management drives, "
     "and a "
     "return pin of an output in use, on which nothing lands",
     "a wire or joint on the pin", "common practice, no source",
     "an error where a battery management cannot open its contactor, else a warning, as where it has no "
     "driver "
     "pin at all and the coil is wired; a return pin that is "
     "said to "
     "be spare counts as left out on purpose",
     "controller U1 { input 30..60 V, capacitance 3 mF, supply-limit 40 A, phase-peak 70 A, regen none\n"
     "  pin 5v output 5 V 100 mA, pin gnd return }\n"
     "device A9 { pin in supply 20 mA, pin gnd return }\n"
     "route U1.5v (W30 0.5 mm2, 0.5 m, red) A9.in\nroute A9.gnd (W31 0.5 mm2, 0.5 m, black) Q1.P-",
     "controller U1 { input 30..60 V, capacitance 3 mF, supply-limit 40 A, phase-peak 70 A, regen none }"},
};

class UnwiredPins {
  public:
    UnwiredPins(const RuleInput& input, Report& report)
        : input_(input), report_(report), landed_(input.harness.terminals.size(), false) {
        const Harness& harness = input.harness;
        for (const Wire& wire : harness.wires) land(wire.from, wire.to);
        for (const Joint& joint : harness.joints) land(joint.a, joint.b);
        for (const Tie& tie : harness.ties) land(tie.a, tie.b);
    }

    void look_at_drivers() {
        const std::vector<TerminalId>& drivers = input_.harness.driver_pins;
        for (std::size_t i = 0; i < drivers.size(); ++i) {
            if (landed(drivers[i]) || opens_a_contactor(drivers[i])) continue;
            for (const Mode& mode : input_.harness.modes)
                if (mode.pin_states[i].posture == Posture::on) {
                    tell_driver(drivers[i], mode);
                    break;
                }
        }
    }
    // A battery management with driver pins of its own, and nothing on any of them.
    void look_at_managements() {
        for (std::size_t i = 0; i < input_.harness.parts.size(); ++i) {
            const PartId id(i);
            const Part& part = input_.harness.parts[i];
            if (!part.drives) continue;
            const std::span<const DevicePin> pins = input_.harness.pins_of(id);
            const auto drives = [](const DevicePin& pin) { return is_driver(pin.purpose); };
            const auto first = std::find_if(pins.begin(), pins.end(), drives);
            if (std::any_of(pins.begin(), pins.end(),
                            [&](const DevicePin& pin) { return drives(pin) && landed(pin.terminal); }))
                continue;
            if (first != pins.end())
                tell_management(id, part.drives, first->terminal);
            else if (coil_is_wired(part.drives))
                tell_no_way(id, part.drives);
        }
    }
    void look_at_returns() {
        for (std::size_t i = 0; i < input_.harness.parts.size(); ++i) {
            const PartId id(i);
            const std::span<const DevicePin> pins = input_.harness.pins_of(id);
            const DevicePin *output = nullptr, *back = nullptr;
            bool returned = false;
            for (const DevicePin& pin : pins) {
                if (pin.purpose == PinPurpose::output && landed(pin.terminal) && !output) output = &pin;
                if (pin.purpose != PinPurpose::back) continue;
                if (!back) back = &pin;
                returned = returned || landed(pin.terminal) || is_spare(id, pin.terminal);
            }
            if (!output || !back || returned) continue;
            if (const PartId fed = fed_by(output->terminal))
                tell_return(id, output->terminal, back->terminal, fed);
        }
    }

  private:
    void land(TerminalId a, TerminalId b) { landed_[a.index()] = landed_[b.index()] = true; }
    bool landed(TerminalId pin) const { return landed_[pin.index()]; }
    bool is_spare(PartId part, TerminalId pin) const {
        const auto spares = input_.harness.joined(input_.harness.part(part).spares);
        return std::find(spares.begin(), spares.end(), pin) != spares.end();
    }
    // Something of another part that conductors lead to from it, that draws and whose current has to return.
    PartId fed_by(TerminalId output) const {
        const Circuit& circuit = input_.circuit;
        DisjointSets rails = pieces(circuit, [&](EdgeId id) { return is_conductor(circuit.edge(id).role); });
        const NodeId rail = circuit.node(output);
        const PartId own = input_.harness.terminal(output).part;
        const auto found = std::find_if(circuit.edges.begin(), circuit.edges.end(), [&](const Edge& edge) {
            return (uses_power(edge.role) || edge.role == EdgeRole::supply_pin) && edge.part != own &&
                   (rails.same(edge.from.index(), rail.index()) || rails.same(edge.to.index(), rail.index()));
        });
        return found == circuit.edges.end() ? PartId() : found->part;
    }
    bool opens_a_contactor(TerminalId pin) const {
        return input_.harness.part(input_.harness.terminal(pin).part).drives.valid();
    }
    bool coil_is_wired(PartId contactor) const {
        const auto& edges = input_.circuit.edges_of_part[contactor.index()];
        return std::any_of(edges.begin(), edges.end(), [&](EdgeId id) {
            const Edge& edge = input_.circuit.edge(id);
            return edge.role == EdgeRole::coil && landed(edge.from_terminal) && landed(edge.to_terminal);
        });
    }
    std::string path(TerminalId terminal) const {
        return std::string(input_.harness.terminal(terminal).path);
    }

    void tell_driver(TerminalId pin, const Mode& mode) {
        const PartId part = input_.harness.terminal(pin).part;
        Finding finding = finding_about(input_, "unwired-pin", Severity::warning, part);
        finding.message =
            "mode " + std::string(mode.name) + " switches " + path(pin) + " on, and nothing lands on it";
        finding.beside = "what it is to switch hangs on something else, or on nothing";
        finding.working = {"no wire and no joint on " + path(pin)};
        finding.source = "common practice, no source";
        finding.help =
            "the coil or brake that it switches on " + path(pin) + ", or a mode that does not count on it";
        report_.add(std::move(finding));
    }
    void tell_management(PartId part, PartId contactor, TerminalId pin) {
        Finding finding = finding_about(input_, "unwired-pin", Severity::error, part);
        const std::string name = named(input_.harness, part), driven = named(input_.harness, contactor);
        finding.message = name + " is to open " + driven + ", and nothing lands on " + path(pin);
        finding.beside = "a full, empty or hot cell does not open it";
        finding.working = {"no wire and no joint on any of its driver pins"};
        finding.source = "common practice, no source";
        finding.related.push_back({input_.harness.part(contactor).where, driven + " is here"});
        finding.help = "the coil of " + driven + " by way of " + path(pin);
        report_.add(std::move(finding));
    }
    // It says that it opens the contactor, and the file has the coil fed without it.
    void tell_no_way(PartId part, PartId contactor) {
        Finding finding = finding_about(input_, "unwired-pin", Severity::warning, part);
        const std::string name = named(input_.harness, part), driven = named(input_.harness, contactor);
        finding.message = name + " is to open " + driven + ", and has no pin that its coil hangs on";
        finding.beside = "as it is written, the coil is fed past it";
        finding.working = {"its trips are counted on all the same"};
        finding.source = "common practice, no source";
        finding.related.push_back({input_.harness.part(contactor).where, driven + " is here"});
        finding.help = "its driver pin, and the coil of " + driven + " wired by way of that";
        report_.add(std::move(finding));
    }
    void tell_return(PartId part, TerminalId output, TerminalId back, PartId fed) {
        Finding finding = finding_about(input_, "unwired-pin", Severity::warning, part);
        finding.message = "what " + named(input_.harness, fed) + " takes from " + path(output) +
                          " returns by another way than " + path(back);
        finding.beside = "nothing lands on " + path(back);
        finding.working = {"on a return that others use, their current shifts every signal against " +
                           path(back)};
        finding.source = "common practice, no source";
        finding.help = "a wire of its own from " + named(input_.harness, fed) + " to " + path(back);
        finding.related.push_back({input_.harness.part(fed).where, named(input_.harness, fed) + " is here"});
        report_.add(std::move(finding));
    }

    const RuleInput& input_;
    Report& report_;
    std::vector<bool> landed_;  // by TerminalId
};

void run(const RuleInput& input, Report& report) {
    UnwiredPins pins(input, report);
    pins.look_at_drivers();
    pins.look_at_managements();
    pins.look_at_returns();
}

}  // namespace

extern const RuleFamily family;
const RuleFamily family{infos, run};

}  // namespace loomward::rules::unwired_pins
