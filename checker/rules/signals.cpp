// Signal leads: what could be pushed into a lead that is there to carry next to nothing.
//
// A lead between signal pins carries microamperes, so nobody sizes or fuses it. The claim holds only while no
// source can reach it: the largest current that could flow in it for long (checker/proof) is compared with
// the policy.
#include <map>
#include <optional>

#include "checker/circuit/disjoint_sets.hpp"
#include "checker/rules/rule_support.hpp"

namespace loomward::rules::signals {
namespace {

using namespace literals;

constexpr RuleInfo infos[] = {
    {"signal-current",
     "a lead that ends at a signal pin and into which some source can push more than the policy allows",
     "largest current that can flow for long (minimum cut of the devices on the way) <= signal-current",
     "policy signal-current, no source",
     "every switch counts as closed; a short inside a device is not counted; a note where a fuse of a few "
     "ampere "
     "holds it and the pin stands the voltage, as of a meter across a pack",
     "splice X1\ndevice A1 { pin level signal }\nroute X1 (W30 0.5 mm2, 1 m, white) A1.level", "splice X1"},
    {"signal-voltage",
     "a signal pin that conductors join to the plus of a pack: an error where its voltage is stated and "
     "lower, a "
     "note that asks for it where it is not",
     "U_full of the pack <= voltage of the pin", "rating of the part",
     "every contact counts as closed; what a resistor lies before is held by signal-current",
     "splice X1\ndevice A1 { pin level signal 5 V }\nroute X1 (W30 0.5 mm2, 1 m, white) A1.level",
     "splice X1"},
};

bool is_signal(const Harness& harness, TerminalId id) {
    const DevicePin* pin = harness.pin_at(id);
    return pin && pin->purpose == PinPurpose::signal;
}

// ---- signal-voltage -------------------------------------------------------------------------------------

// The highest plus of a pack that each piece of conductors hangs on, V.
class PackPieces {
  public:
    explicit PackPieces(const RuleInput& input) : circuit_(input.circuit), sets_(circuit_.node_count()) {
        for (const Edge& edge : circuit_.edges)
            if (is_conductor(edge.role)) sets_.join(edge.from.index(), edge.to.index());
        const Potentials potentials(input);
        for (const Edge& edge : circuit_.edges) {
            if (edge.role != EdgeRole::emf || sets_.same(edge.from.index(), edge.to.index())) continue;
            Plus& plus = pluses_[sets_.find(edge.to.index())];
            if (potentials.node_V(edge.to) > plus.voltage_V) plus = {edge.part, potentials.node_V(edge.to)};
        }
    }
    struct Plus {
        PartId pack;
        double voltage_V = 0;
    };
    const Plus* at(TerminalId terminal) {
        const auto found = pluses_.find(sets_.find(circuit_.node(terminal).index()));
        return found == pluses_.end() || !found->second.pack ? nullptr : &found->second;
    }

  private:
    const Circuit& circuit_;
    DisjointSets sets_;
    std::map<std::size_t, Plus> pluses_;
};

void judge_pin(const RuleInput& input, TerminalId pin, const PackPieces::Plus& plus, Report& report) {
    const Terminal& terminal = input.harness.terminal(pin);
    std::optional<double> stands_V;
    const Value& stated = input.harness.voltage_of(*input.harness.pin_at(pin));
    const bool unknown = stated.present() && stated.known == Knowledge::unknown;
    if (stated.present() && !unknown) stands_V = stated.lo;
    if (stands_V && !above(plus.voltage_V, *stands_V)) return;
    Finding finding = finding_about(input, "signal-voltage",
                                    stands_V || unknown ? Severity::error : Severity::note, terminal.part);
    finding.message = "the voltage of " + named(input.harness, plus.pack) + " can reach the signal pin " +
                      std::string(terminal.path);
    finding.beside = volts(plus.voltage_V) + "; " +
                     (stands_V ? "stands " + volts(*stands_V) : "nobody says what it stands");
    finding.working = {stands_V ? volts(plus.voltage_V) + " > " + volts(*stands_V)
                                : "conductors alone lie between the plus of the pack and the pin"};
    finding.figures = {{"voltage", plus.voltage_V, Dimension::voltage}};
    finding.source = "rating of the part";
    finding.related.push_back(
        {input.harness.part(plus.pack).where, named(input.harness, plus.pack) + " is here"});
    finding.help = stands_V ? "a divider or a converter before it, or a pin made for " + volts(plus.voltage_V)
                            : "its voltage: pin " + std::string(terminal.table_name) + " signal " +
                                  volts(plus.voltage_V);
    report.add(std::move(finding));
}

void judge_voltages(const RuleInput& input, Report& report) {
    std::vector<TerminalId> pins;
    for (std::size_t i = 0; i < input.harness.terminals.size(); ++i)
        if (is_signal(input.harness, TerminalId(i))) pins.emplace_back(i);
    if (pins.empty()) return;
    PackPieces pieces(input);
    for (const TerminalId pin : pins)
        if (const PackPieces::Plus* plus = pieces.at(pin)) judge_pin(input, pin, *plus, report);
}

// A lead on which a meter measures: its pin is made for this voltage, and a small fuse, common practice, no
// source, holds what a chafed lead lets through.
constexpr double meter_fuse_A = 5;

class MeterPins {
  public:
    explicit MeterPins(const RuleInput& input) : input_(input) {}
    bool measures(TerminalId terminal, const Bound& bound) {
        if (bound.cut.empty() || bound.current_A > meter_fuse_A) return false;
        const DevicePin* pin = input_.harness.pin_at(terminal);
        if (!pin || pin->purpose != PinPurpose::signal) return false;
        const Value& stated = input_.harness.voltage_of(*pin);
        if (!stated.present() || stated.known == Knowledge::unknown) return false;
        if (!pieces_) pieces_.emplace(input_);
        const PackPieces::Plus* plus = pieces_->at(terminal);
        return plus && !above(plus->voltage_V, stated.lo);
    }

  private:
    const RuleInput& input_;
    std::optional<PackPieces> pieces_;
};

void run(const RuleInput& input, Report& report) {
    judge_voltages(input, report);
    MeterPins meters(input);
    const double allowed_A = input.facts.policy("signal-current"_attr).hi;
    for (std::size_t i = 0; i < input.harness.wires.size(); ++i) {
        const Wire& wire = input.harness.wires[i];
        const Bound& bound = input.proof.wires[i].with_electronics;
        if (input.proof.wires[i].side != Side::forward || bound.current_A <= allowed_A) continue;
        if (!is_signal(input.harness, wire.from) && !is_signal(input.harness, wire.to)) continue;
        const bool meter = meters.measures(wire.from, bound) || meters.measures(wire.to, bound);
        Finding finding =
            finding_about(input, "signal-current", meter ? Severity::note : Severity::warning, WireId(i));
        const bool endless = bound.current_A == unbounded_A;
        finding.message = named(input.harness, WireId(i)) + " is a signal lead that a source can feed";
        finding.beside = (endless ? "without any limit" : "up to " + amps(bound.current_A)) + "; " +
                         amps(allowed_A) + " allowed";
        for (const EdgeId device : bound.cut) {
            const PartId part = input.circuit.edge(device).part;
            finding.working.push_back("held by " + named(input.harness, part));
            finding.related.push_back(
                {input.harness.part(part).where, named(input.harness, part) + " is here"});
        }
        if (endless) finding.working.push_back("no device stands between a source and this lead");
        finding.source = "policy signal-current, no source";
        finding.help =
            bound.current_A > meter_fuse_A
                ? "a resistor or a small fuse where it leaves the source"
                : "a resistor where it leaves the source; if its pin measures there, say up to what "
                  "voltage, and this fuse will do: pin p signal 60 V";
        report.add(std::move(finding));
    }
}

}  // namespace

extern const RuleFamily family;
const RuleFamily family{infos, run};

}  // namespace loomward::rules::signals
