// A signal lead on the wrong pin of a plug: a signal pin that lies straight on a supply or a minus, while
// another signal pin there has no lead at all.
#include <algorithm>
#include <map>
#include <optional>
#include <set>
#include <string>
#include <vector>

#include "checker/circuit/ways.hpp"
#include "checker/rules/rule_support.hpp"

namespace loomward::rules::strayed_signals {
namespace {

constexpr RuleInfo infos[] = {
    {"strayed-signal",
     "a signal pin that conductors alone join to a supply, or to a pole of the part at the other end of its "
     "lead, while a signal pin has no lead of a part on that supply, on a rail of electronics with it, or at "
     "that end",
     "no free signal pin where a signal pin lies on a pole", "common practice, no source",
     "a lead with a contact, resistor or diode in it is no such lead; a pin that is said to be spare is not "
     "free; a signal pin that states a voltage no lower than the pack that it lies on is taken for a meter's",
     "controller U1 { input 30..60 V, capacitance 3 mF, supply-limit 40 A, phase-peak 70 A, regen none\n"
     "  pin 5v output 5 V 100 mA, pin gnd return, pin grip signal }\n"
     "device A9 { pin 5v supply 5 mA, pin gnd return, pin out signal }\n"
     "route U1.5v (W30 0.5 mm2, 0.5 m, red) A9.5v\nroute U1.gnd (W31 0.5 mm2, 0.5 m, black) A9.gnd\n"
     "route U1.grip (W32 0.5 mm2, 0.5 m, white) A9.5v",
     "controller U1 { input 30..60 V, capacitance 3 mF, supply-limit 40 A, phase-peak 70 A, regen none }"},
    {"return-on-supply",
     "a sensor of signal and return alone whose return pin conductors join to what feeds others",
     "no plus of an output, converter or pack on a return pin", "common practice, no source",
     "devices without a supply pin, those with one are told as reversed, floating or on the wrong rail",
     "controller U1 { input 30..60 V, capacitance 3 mF, supply-limit 40 A, phase-peak 70 A, regen none\n"
     "  pin 5v output 5 V 100 mA, pin gnd return, pin heat signal }\n"
     "device A9 { pin a signal, pin b return }\n"
     "route U1.heat (W30 0.5 mm2, 0.5 m, white) A9.a\nroute A9.b (W31 0.5 mm2, 0.5 m, black) U1.5v",
     "controller U1 { input 30..60 V, capacitance 3 mF, supply-limit 40 A, phase-peak 70 A, regen none }"},
    {"crossed-signals",
     "two signal leads between two parts that change places, where both parts call their pins alike",
     "of signal pins that two parts both have, each on the one of its own name", "common practice, no source",
     "a note: rotor leads are changed on purpose where a motor has to turn the other way",
     "controller U1 { input 30..60 V, capacitance 3 mF, supply-limit 40 A, phase-peak 70 A, regen none\n"
     "  pin hu signal, pin hv signal }\ndevice A9 { pin hu signal, pin hv signal, pin gnd return }\n"
     "route U1.hu (W30 0.5 mm2, 0.5 m) A9.hv\nroute U1.hv (W31 0.5 mm2, 0.5 m) A9.hu\n"
     "route A9.gnd (W32 0.5 mm2, 0.5 m) Q1.P-",
     "controller U1 { input 30..60 V, capacitance 3 mF, supply-limit 40 A, phase-peak 70 A, regen none }"},
};

class StrayedSignals {
  public:
    StrayedSignals(const RuleInput& input, Report& report)
        : input_(input),
          harness_(input.harness),
          circuit_(input.circuit),
          report_(report),
          joined_(pieces(circuit_, [&](EdgeId id) { return leads(circuit_.edge(id).role); })),
          landed_(harness_.terminals.size(), false) {
        for (const Wire& wire : harness_.wires) land(wire.from, wire.to);
        for (const Joint& joint : harness_.joints) land(joint.a, joint.b);
        for (const Tie& tie : harness_.ties) land(tie.a, tie.b);
    }

    void look() {
        for (const Edge& edge : circuit_.edges)
            if (is_source(edge.role) && edge.role != EdgeRole::regeneration)
                sources_[joined_.find(edge.to.index())].push_back(&edge);
        for (std::size_t i = 0; i < harness_.parts.size(); ++i) look_at_return(PartId(i));
        look_at_crossed();
        const std::vector<TerminalId> free = free_signals();
        if (free.empty()) return;
        for (std::size_t i = 0; i < harness_.terminals.size(); ++i) {
            const TerminalId pin(i);
            if (!landed_[i] || !is_signal(pin)) continue;
            if (const std::optional<Astray> found = astray(pin, free)) tell(pin, *found);
        }
    }

  private:
    struct Astray {
        TerminalId free;               // the signal pin without a lead
        TerminalId lands;              // of the same part: what the lead lies on instead
        const Edge* source = nullptr;  // absent: a minus
    };

    // Of a sensor that hangs between a signal and a return.
    void look_at_return(PartId id) {
        const Part& sensor = harness_.part(id);
        if (sensor.kind != Kind::device) return;
        TerminalId back;
        for (std::uint32_t k = 0; k < sensor.terminals.count; ++k) {
            const TerminalId terminal(sensor.terminals.first + k);
            const DevicePin* pin = harness_.pin_at(terminal);
            if (!pin || (pin->purpose != PinPurpose::signal && pin->purpose != PinPurpose::back)) return;
            if (pin->purpose == PinPurpose::back && landed_[terminal.index()]) back = terminal;
        }
        if (!back) return;
        const auto fed = sources_.find(joined_.find(circuit_.node(back).index()));
        if (fed == sources_.end()) return;
        for (const Edge* source : fed->second)
            if (!joined_.same(source->from.index(), source->to.index())) return tell_return(back, *source);
    }
    void tell_return(TerminalId back, const Edge& source) {
        Finding finding = finding_about(input_, "return-on-supply", Severity::warning, part(back));
        finding.message =
            "the return pin " + path(back) + " lies on " + path(source.to_terminal) + ", which feeds others";
        finding.beside = "it reads the wrong way about, or nothing";
        finding.working = {"conductors alone join " + path(back) + " to " + path(source.to_terminal)};
        finding.source = "common practice, no source";
        finding.related.push_back(
            {harness_.part(source.part).where, named(harness_, source.part) + " is here"});
        finding.help = "its lead on the minus beside it; or `supply` instead of `return`, if the pin is fed";
        report_.add(std::move(finding));
    }

    // Pairs of signal pins that change places between two parts.
    void look_at_crossed() {
        std::map<std::size_t, std::vector<TerminalId>> together;
        for (std::size_t i = 0; i < harness_.terminals.size(); ++i)
            if (landed_[i] && is_signal(TerminalId(i)))
                together[joined_.find(circuit_.node(TerminalId(i)).index())].push_back(TerminalId(i));
        for (const auto& [piece, pins] : together)
            for (const TerminalId one : pins)
                for (const TerminalId other : pins)
                    if (comes_first(one, other) && short_name(one) < short_name(other))
                        judge_pair(one, other);
    }
    bool comes_first(TerminalId one, TerminalId other) const {
        return part(one) != part(other) && harness_.part(part(one)).name < harness_.part(part(other)).name;
    }
    std::string_view short_name(TerminalId terminal) const { return harness_.terminal(terminal).table_name; }
    TerminalId signal_called(PartId id, std::string_view name) const {
        const Slice& terminals = harness_.part(id).terminals;
        for (std::uint32_t k = 0; k < terminals.count; ++k)
            if (const TerminalId pin(terminals.first + k); is_signal(pin) && short_name(pin) == name)
                return pin;
        return {};
    }
    // `one` lies on `other`, of another name: told where their namesakes lie on each other too.
    void judge_pair(TerminalId one, TerminalId other) {
        const TerminalId here = signal_called(part(one), short_name(other)),
                         there = signal_called(part(other), short_name(one));
        if (!here || !there || !same(here, there) || same(here, one)) return;
        Finding finding = finding_about(input_, "crossed-signals", Severity::note, part(other));
        finding.message =
            path(one) + " lies on " + path(other) + ", and " + path(here) + " on " + path(there);
        finding.beside = "two signal leads have changed places";
        finding.working = {"both parts have signal pins of these two names"};
        finding.source = "common practice, no source";
        finding.related.push_back({harness_.part(part(one)).where, named(harness_, part(one)) + " is here"});
        finding.help = "change the two leads at one end";
        report_.add(std::move(finding));
    }

    // What no hand and no coil opens.
    static bool leads(EdgeRole role) {
        return is_conductor(role) && role != EdgeRole::switching && role != EdgeRole::breaker;
    }
    void land(TerminalId a, TerminalId b) { landed_[a.index()] = landed_[b.index()] = true; }
    bool is_signal(TerminalId terminal) const {
        const DevicePin* pin = harness_.pin_at(terminal);
        return pin && pin->purpose == PinPurpose::signal;
    }
    std::string path(TerminalId terminal) const { return std::string(harness_.terminal(terminal).path); }
    PartId part(TerminalId terminal) const { return harness_.terminal(terminal).part; }

    std::vector<TerminalId> free_signals() const {
        std::vector<TerminalId> free;
        for (std::size_t i = 0; i < harness_.terminals.size(); ++i) {
            const TerminalId pin(i);
            if (landed_[i] || !is_signal(pin)) continue;
            const auto spares = harness_.joined(harness_.part(part(pin)).spares);
            if (std::find(spares.begin(), spares.end(), pin) == spares.end()) free.push_back(pin);
        }
        return free;
    }

    // Another part's free signal pin, where that part has a pole on what this one lies on.
    std::optional<Astray> astray(TerminalId pin, const std::vector<TerminalId>& free) {
        const std::size_t here = joined_.find(circuit_.node(pin).index());
        const auto fed = sources_.find(here);
        const Edge* source = nullptr;
        if (fed != sources_.end()) {
            source = fed->second.front();
            if (std::any_of(fed->second.begin(), fed->second.end(),
                            [&](const Edge* each) { return is_made_for(pin, *each); }))
                return std::nullopt;
        }
        const std::set<NodeId> other_ends = source ? std::set<NodeId>() : far_ends(pin);
        for (const TerminalId open : free) {
            if (part(open) == part(pin)) continue;
            for (const TerminalId pole : poles_of(part(open)))
                if (source ? same(pole, pin) : other_ends.contains(circuit_.node(pole)))
                    return Astray{open, pole, source};
            if (source && share_a_rail(part(pin), part(open)))
                return Astray{open, source->to_terminal, source};
        }
        return std::nullopt;
    }
    std::vector<TerminalId> poles_of(PartId part) const {
        std::vector<TerminalId> poles;
        const Slice& terminals = harness_.part(part).terminals;
        for (std::uint32_t k = 0; k < terminals.count; ++k)
            if (const TerminalId pole(terminals.first + k); !is_signal(pole)) poles.push_back(pole);
        return poles;
    }
    bool same(TerminalId a, TerminalId b) {
        return joined_.same(circuit_.node(a).index(), circuit_.node(b).index());
    }
    // A rail of electronics that both hang on, or that one of them gives: what talks to one another.
    bool share_a_rail(PartId one, PartId other) {
        const std::vector<TerminalId> here = poles_of(one), there = poles_of(other);
        return std::any_of(here.begin(), here.end(), [&](TerminalId pole) {
            const auto fed = sources_.find(joined_.find(circuit_.node(pole).index()));
            return fed != sources_.end() &&
                   std::all_of(fed->second.begin(), fed->second.end(),
                               [](const Edge* each) { return limits_itself(each->role); }) &&
                   std::any_of(there.begin(), there.end(), [&](TerminalId each) { return same(each, pole); });
        });
    }
    // A meter's pin on a pack.
    bool is_made_for(TerminalId pin, const Edge& source) const {
        const Value& stated = harness_.voltage_of(*harness_.pin_at(pin));
        if (source.role != EdgeRole::emf || !stated.present() || stated.known == Knowledge::unknown)
            return false;
        if (!potentials_) potentials_.emplace(input_);
        return !above(potentials_->node_V(source.to), stated.lo);
    }
    // Where its leads arrive, over plugs; whatever lies on from there is passed by.
    std::set<NodeId> far_ends(TerminalId pin) const {
        std::set<NodeId> ends;
        const NodeId start = circuit_.node(pin);
        const NodeId starts[] = {start};
        const Reached found = reached(circuit_, starts, [&](EdgeId id, NodeId from) {
            const EdgeRole role = circuit_.edge(id).role;
            const bool in_plug =
                role == EdgeRole::contact ||
                std::any_of(circuit_.at(from).begin(), circuit_.at(from).end(), [&](const Incidence& each) {
                    return circuit_.edge(each.edge).role == EdgeRole::contact;
                });
            return (role == EdgeRole::wire || role == EdgeRole::joint || role == EdgeRole::contact) &&
                   (from == start || in_plug);
        });
        for (const NodeId node : found.order)
            if (node != start) ends.insert(node);
        return ends;
    }

    void tell(TerminalId pin, const Astray& found) {
        Finding finding = finding_about(input_, "strayed-signal", Severity::warning, part(pin));
        finding.message = "the signal pin " + path(pin) + " lies on " + path(found.lands) +
                          ", and the signal pin " + path(found.free) + " has no lead";
        finding.beside = found.source ? "it reads the full supply, whatever the sensor says"
                                      : "it reads nothing, whatever the sensor says";
        finding.working = {"conductors alone join " + path(pin) + " to " + path(found.lands),
                           "no wire and no joint on " + path(found.free)};
        if (found.source) finding.working.push_back("what feeds it: " + path(found.source->to_terminal));
        finding.source = "common practice, no source";
        finding.related.push_back(
            {harness_.part(part(found.free)).where, named(harness_, part(found.free)) + " is here"});
        finding.help =
            "its lead on " + path(found.free) + "; or say 'spare' for what is left empty on purpose";
        report_.add(std::move(finding));
    }

    const RuleInput& input_;
    const Harness& harness_;
    const Circuit& circuit_;
    Report& report_;
    DisjointSets joined_;
    std::vector<bool> landed_;                                 // by TerminalId
    std::map<std::size_t, std::vector<const Edge*>> sources_;  // by piece of their plus
    mutable std::optional<Potentials> potentials_;
};

void run(const RuleInput& input, Report& report) {
    StrayedSignals(input, report).look();
}

}  // namespace

extern const RuleFamily family;
const RuleFamily family{infos, run};

}  // namespace loomward::rules::strayed_signals
