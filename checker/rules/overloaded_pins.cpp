// Pins of devices that carry more than they are made for: returns, supplies and outputs by what their wires
// carry.
#include <algorithm>
#include <cmath>

#include "checker/parts/elements.hpp"
#include "checker/parts/ratings.hpp"
#include "checker/rules/rule_support.hpp"

namespace loomward::rules::overloaded_pins {
namespace {

using namespace literals;

constexpr RuleInfo infos[] = {
    {"overloaded-pin",
     "a supply or output pin of a device whose wires carry more than the pin is said to take or give; a "
     "return pin, or the common minus of a converter, that is used as a return for others",
     "current of the wires at the pin <= its rating; of a return: <= 1 A more than the pins of the device "
     "give and draw together, and what comes into all of them <= 1 A more than its outputs and high-side "
     "pins give just then, and where it has signal pins <= signal-current straight from loads and coils; of "
     "a "
     "converter's minus: <= 1 A more than it takes and gives",
     "rating of the pin; common practice, no source",
     "driver pins are contacts (overloaded-contact); what a supply pin passes on to high-side pins comes on "
     "top of what it draws and is no overload of it (its lead and fuse carry both); what else flows inside "
     "the device is not known",
     "load H9 { 48 V, 2 A, works 30..60 V }\n"
     "route X1 (W30 1 mm2, 0.3 m, red) H9 (W31 1 mm2, 0.3 m, black) U1.gnd\n"
     "controller U1 { pin gnd return, input",
     "controller U1 { input"},
};

struct Pin {
    TerminalId terminal;
    double may_A = 0;
    bool stated = false;
    bool supply = false;  // may_A is what it draws for itself
};

constexpr double small_contact_A = 1;  // what any pin stands beside what its own device sends over it

// What the other pins of the device send back over its returns, by their own lines; nullopt where one that
// can draw does not say.
std::optional<double> own_return_A(const RuleInput& input, PartId id) {
    double sum_A = 0;
    for (const DevicePin& pin : input.harness.pins_of(id)) {
        if (pin.purpose == PinPurpose::back || pin.purpose == PinPurpose::signal) continue;
        const auto stated = pin_current(input.harness, pin);
        if (!stated) return std::nullopt;
        sum_A += stated->hi;
    }
    return sum_A;
}

std::vector<Pin> pins_of(const RuleInput& input, PartId id) {
    std::vector<Pin> pins;
    const std::optional<double> own_A = own_return_A(input, id);
    for (const DevicePin& pin : input.harness.pins_of(id)) {
        if (pin.purpose == PinPurpose::signal || is_driver(pin.purpose)) continue;
        if (const auto rated = pin_current(input.harness, pin))
            pins.push_back({pin.terminal, rated->lo, true, pin.purpose == PinPurpose::supply});
        else if (pin.purpose == PinPurpose::back && own_A)
            pins.push_back({pin.terminal, *own_A + small_contact_A, false, false});
    }
    return pins;
}

struct Most {
    double current_A = 0;
    const OperatingPoint* point = nullptr;
    EdgeId edge;
};

// What a device passes on from a supply pin to its high-side pins.
double passed_on_A(const RuleInput& input, const OperatingPoint& point, TerminalId supply) {
    double sum_A = 0;
    for (const EdgeId id : input.circuit.edges_of_part[input.harness.terminal(supply).part.index()]) {
        const Edge& edge = input.circuit.edge(id);
        if (edge.role == EdgeRole::high_side && edge.from == input.circuit.node(supply))
            sum_A += std::max(0.0, point.edge_A[id.index()]);
    }
    return sum_A;
}

// The wires and joints that land on a terminal.
std::vector<EdgeId> landing(const RuleInput& input, TerminalId terminal) {
    std::vector<EdgeId> lands;
    for (const Incidence& next : input.circuit.at(input.circuit.node(terminal))) {
        const Edge& edge = input.circuit.edge(next.edge);
        const bool outside = edge.role == EdgeRole::wire || edge.role == EdgeRole::joint;
        if (outside && (edge.from_terminal == terminal || edge.to_terminal == terminal))
            lands.push_back(next.edge);
    }
    return lands;
}

// Into the device goes what the wires bring less what they take away; a pin that nobody rated for it has to
// stand all that they bring.
Most most_at(const RuleInput& input, const Pin& pin) {
    const std::vector<EdgeId> lands = landing(input, pin.terminal);
    Most most;
    for (const OperatingPoint& point : input.points) {
        if (!point.usable()) continue;
        double in_A = 0, out_A = 0;
        EdgeId largest;
        for (const EdgeId id : lands) {
            const double now_A =
                (input.circuit.edge(id).to_terminal == pin.terminal ? 1 : -1) * point.edge_A[id.index()];
            (now_A > 0 ? in_A : out_A) += std::abs(now_A);
            if (!largest || std::abs(point.edge_A[id.index()]) > std::abs(point.edge_A[largest.index()]))
                largest = id;
        }
        double through_A = pin.stated ? std::abs(in_A - out_A) : std::max(in_A, out_A);
        if (pin.supply) through_A = std::max(0.0, through_A - passed_on_A(input, point, pin.terminal));
        if (through_A > most.current_A * 1.0001) most = {through_A, &point, largest};
    }
    return most;
}

void tell(const RuleInput& input, PartId id, const Pin& pin, const Most& most, Report& report) {
    const std::string path(input.harness.terminal(pin.terminal).path);
    Finding finding =
        finding_about(input, "overloaded-pin", pin.stated ? Severity::error : Severity::warning, id);
    if (pin.stated) finding.subject = path;
    finding.message = "pin " + path + " carries more than it is made for";
    finding.beside = amps(most.current_A) +
                     (pin.stated ? "; rated " : " at " + path + "; not rated, may carry ") + amps(pin.may_A);
    finding.working = {amps(most.current_A) + " > " + amps(pin.may_A)};
    if (!pin.stated)
        finding.working.push_back(amps(pin.may_A) + " = " + amps(pin.may_A - small_contact_A) + " + " +
                                  amps(small_contact_A) + " (the pins of " + named(input.harness, id) +
                                  " are rated together for the first)");
    finding.figures = {{"current", most.current_A, Dimension::current},
                       {"limit", pin.may_A, Dimension::current}};
    finding.source = pin.stated ? "rating of the pin" : "common practice, no source";
    witnessed(input, finding, *most.point, most.edge);
    finding.help = pin.stated ? "less at this pin, or one that is rated for it"
                              : "a return of its own for what is no part of this device";
    report.add(std::move(finding));
}

bool has_signals(const RuleInput& input, PartId id) {
    const auto pins = input.harness.pins_of(id);
    return std::any_of(pins.begin(), pins.end(),
                       [](const DevicePin& pin) { return pin.purpose == PinPurpose::signal; });
}

// Whether a wire comes straight from a load or coil.
bool comes_from_a_load(const RuleInput& input, EdgeId wire, TerminalId to) {
    const Edge& edge = input.circuit.edge(wire);
    const NodeId other = edge.to_terminal == to ? edge.from : edge.to;
    const auto& there = input.circuit.at(other);
    return std::any_of(there.begin(), there.end(), [&](const Incidence& next) {
        const EdgeRole role = input.circuit.edge(next.edge).role;
        return role == EdgeRole::load || role == EdgeRole::coil;
    });
}

// What comes into the returns of a device by their wires and none of its pins has given: the way of others
// through it. Where signals are measured against it, what a load sends there shifts them: it may be no more
// than a signal lead may be fed.
void judge_strangers(const RuleInput& input, PartId id, Report& report) {
    const double signal_A = input.facts.policy("signal-current"_attr).hi;
    const bool measures = has_signals(input, id);
    std::vector<Pin> returns;
    for (const DevicePin& pin : input.harness.pins_of(id))
        if (pin.purpose == PinPurpose::back && !pin_current(input.harness, pin))
            returns.push_back({pin.terminal, small_contact_A, false, false});
    if (returns.empty()) return;
    Most worst;
    double may_A = 0;
    const Pin* at = nullptr;
    for (const OperatingPoint& point : input.points) {
        if (!point.usable()) continue;
        double comes_A = 0, given_A = 0, of_loads_A = 0;
        Most largest;
        const Pin* by = nullptr;
        for (const Pin& pin : returns)
            for (const EdgeId wire : landing(input, pin.terminal)) {
                const double in_A = (input.circuit.edge(wire).to_terminal == pin.terminal ? 1 : -1) *
                                    point.edge_A[wire.index()];
                comes_A += std::max(0.0, in_A);
                if (measures && in_A > 0 && comes_from_a_load(input, wire, pin.terminal)) of_loads_A += in_A;
                if (in_A > largest.current_A) largest = {in_A, &point, wire}, by = &pin;
            }
        for (const EdgeId each : input.circuit.edges_of_part[id.index()]) {
            const EdgeRole role = input.circuit.edge(each).role;
            if (role == EdgeRole::high_side || role == EdgeRole::output_pin)
                given_A += std::max(0.0, point.edge_A[each.index()]);
        }
        const double strange_A = comes_A - given_A;
        const double may_now_A = std::min(of_loads_A, strange_A) > signal_A * 1.0001
                                     ? std::min(signal_A, small_contact_A)
                                     : small_contact_A;
        if (strange_A <= may_now_A * 1.0001 || strange_A <= worst.current_A * 1.0001) continue;
        worst = {strange_A, &point, largest.edge};
        may_A = may_now_A;
        at = by;
    }
    if (!at) return;
    const std::string path(input.harness.terminal(at->terminal).path), who = named(input.harness, id);
    Finding finding = finding_about(input, "overloaded-pin", Severity::warning, id);
    finding.message = "pin " + path + " is a way for what is no part of " + who;
    finding.beside = amps(worst.current_A) + " more than " + std::string(input.harness.part(id).name) +
                     " gives come into its returns";
    finding.working = {amps(worst.current_A) + " > " + amps(may_A) +
                       (may_A < small_contact_A
                            ? ", what a load or coil may send to where signals are measured from"
                            : ", what any pin stands beside its own")};
    finding.figures = {{"current", worst.current_A, Dimension::current},
                       {"limit", may_A, Dimension::current}};
    finding.source =
        may_A < small_contact_A ? "policy signal-current, no source" : "common practice, no source";
    witnessed(input, finding, *worst.point, worst.edge);
    finding.help = "a return of its own for what is no part of this device";
    report.add(std::move(finding));
}

// A converter with one minus for both sides: what it takes and what it gives come home there, and no more.
void judge_converter(const RuleInput& input, PartId id, Report& report) {
    EdgeId input_edge, output_edge;
    for (const EdgeId each : input.circuit.edges_of_part[id.index()]) {
        const EdgeRole role = input.circuit.edge(each).role;
        if (role == EdgeRole::converter_input) input_edge = each;
        if (role == EdgeRole::converter_output) output_edge = each;
    }
    if (!input_edge || !output_edge) return;
    const Edge &in = input.circuit.edge(input_edge), &out = input.circuit.edge(output_edge);
    if (in.to != out.from || in.to_terminal == out.from_terminal) return;
    for (const TerminalId terminal : {in.to_terminal, out.from_terminal}) {
        Most worst;
        double own_A = 0;
        for (const OperatingPoint& point : input.points) {
            if (!point.usable()) continue;
            double now_A = 0;
            EdgeId largest;
            for (const EdgeId wire : landing(input, terminal)) {
                now_A +=
                    (input.circuit.edge(wire).to_terminal == terminal ? 1 : -1) * point.edge_A[wire.index()];
                if (!largest ||
                    std::abs(point.edge_A[wire.index()]) > std::abs(point.edge_A[largest.index()]))
                    largest = wire;
            }
            const double own_now_A = std::max(std::abs(point.edge_A[input_edge.index()]),
                                              std::abs(point.edge_A[output_edge.index()])),
                         strange_A = std::abs(now_A) - own_now_A;
            if (strange_A <= small_contact_A * 1.0001 || strange_A <= worst.current_A * 1.0001) continue;
            worst = {strange_A, &point, largest};
            own_A = own_now_A;
        }
        const auto output = input.facts.quantity(id, output_attribute(input.harness, id), 1);
        const double may_A = std::max(own_A, output ? output->hi : 0) + small_contact_A;
        if (!worst.point || worst.current_A + own_A <= may_A * 1.0001) continue;
        const std::string path(input.harness.terminal(terminal).path);
        Finding finding = finding_about(input, "overloaded-pin", Severity::warning, id);
        finding.message = "the minus of " + named(input.harness, id) + " is a way for what is no part of it";
        finding.beside = amps(worst.current_A + own_A) + " at " + path + "; its own may be " +
                         amps(may_A - small_contact_A);
        finding.working = {amps(worst.current_A + own_A) + " > " + amps(may_A) + " = " +
                           amps(may_A - small_contact_A) + " + " + amps(small_contact_A) +
                           " (what it gives, and what any contact stands beside its own)"};
        finding.figures = {{"current", worst.current_A + own_A, Dimension::current},
                           {"limit", may_A, Dimension::current}};
        finding.source = "common practice, no source";
        witnessed(input, finding, *worst.point, worst.edge);
        finding.help = "a return of its own for what is no part of this converter";
        report.add(std::move(finding));
        return;
    }
}

// Return pins of a device are one point: which of them the current takes is one finding, on the worst.
void judge(const RuleInput& input, PartId id, Report& report) {
    std::optional<Pin> worst;
    Most worst_most;
    for (const Pin& pin : pins_of(input, id)) {
        const Most most = most_at(input, pin);
        if (!most.point || most.current_A <= pin.may_A * 1.0001) continue;
        if (pin.stated)
            tell(input, id, pin, most, report);
        else if (!worst || most.current_A > worst_most.current_A * 1.0001)
            worst = pin, worst_most = most;
    }
    if (worst)
        tell(input, id, *worst, worst_most, report);
    else
        judge_strangers(input, id, report);
}

void run(const RuleInput& input, Report& report) {
    for (std::size_t i = 0; i < input.harness.parts.size(); ++i) {
        judge(input, PartId(i), report);
        if (input.harness.parts[i].kind == Kind::converter) judge_converter(input, PartId(i), report);
    }
}

}  // namespace

extern const RuleFamily family;
const RuleFamily family{infos, run};

}  // namespace loomward::rules::overloaded_pins
