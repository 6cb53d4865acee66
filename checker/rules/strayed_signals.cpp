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

namespace loomward::rules {
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
        const std::vector<TerminalId> free = free_signals();
        if (free.empty()) return;
        for (const Edge& edge : circuit_.edges)
            if (is_source(edge.role) && edge.role != EdgeRole::regeneration)
                sources_[joined_.find(edge.to.index())].push_back(&edge);
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

extern const RuleFamily strayed_signals;
const RuleFamily strayed_signals{infos, run};

}  // namespace loomward::rules
