// Chargers that a mode has deliver where no pack takes it: a full pack that its management has cut off, a
// battery switch turned off while an alternator runs.
#include <algorithm>
#include <set>

#include "checker/circuit/ways.hpp"
#include "checker/parts/elements.hpp"
#include "checker/parts/positions.hpp"
#include "checker/rules/rule_support.hpp"

namespace loomward::rules::charged_nowhere {
namespace {

constexpr RuleInfo infos[] = {
    {"no-pack-to-charge",
     "a charger or inverter that a mode has deliver a current while no pack lies on its output: it holds "
     "what "
     "hangs there at its own voltage, and an alternator that loses its battery lifts it far above",
     "a way over conductors that are closed in the mode, and diodes the way they lead, from both poles of "
     "the "
     "output to a pack",
     "common practice, no source: load dump",
     "a warning, a note where its own plug is parted or where it reaches a pack in no position of the "
     "contacts; "
     "what the charger does by itself then is not known; none where a converter that is not off takes the "
     "current of a charger and has a pack behind it, or can take all that it gives",
     "splice X1\ncharger G9 { output 54 V 5 A, reverse blocked }\n"
     "fuse F9 { 10 A, 80 V dc, breaks 10 kA at 80 V dc, curve iso8820-5 }\n"
     "route K1.out (W30 2.5 mm2, 0.2 m, red) F9 (W31 2.5 mm2, 0.2 m, red) G9.+\n"
     "route G9.- (W32 2.5 mm2, 0.2 m, black) Q1.P-\nmode shore { others at rest, G9 delivers 4 A }",
     "splice X1"},
};

bool charges(const RuleInput& input, const Mode& mode, PartId part) {
    return delivers(mode, part) && input.harness.part(part).kind != Kind::converter;
}

// What opens between the output and the pack in this mode, nearest first: the parts to name.
std::string opened_text(const RuleInput& input, const Mode& mode) {
    std::string text;
    std::set<PartId> told;
    for (const Edge& edge : input.circuit.edges) {
        if (!is_conductor(edge.role) || is_closed(input.circuit, mode, edge) || !edge.part) continue;
        if (edge.role != EdgeRole::switching && edge.role != EdgeRole::trip) continue;
        if (told.size() >= 6 || !told.insert(edge.part).second) continue;
        text += (text.empty() ? "" : ", ") + std::string(input.harness.part(edge.part).name);
    }
    return text;
}

// A panel or generator written as a charger before the converter that charges; one that the mode has off
// takes nothing. An inverter is neither.
bool feeds_a_regulator(const RuleInput& input, const Mode& mode, DisjointSets& joined, const Edge& output) {
    if (input.harness.part(output.part).kind == Kind::inverter) return false;
    // What takes the current of a lamp or two takes none of a charge: it has to have a pack behind it.
    const auto charges_a_pack = [&](PartId converter) {
        return std::any_of(input.circuit.edges.begin(), input.circuit.edges.end(), [&](const Edge& out) {
            return out.role == EdgeRole::converter_output && out.part == converter &&
                   std::any_of(input.circuit.edges.begin(), input.circuit.edges.end(), [&](const Edge& pack) {
                       return pack.role == EdgeRole::emf && joined.same(pack.to.index(), out.to.index());
                   });
        });
    };
    // Or take all that the charger gives by themselves.
    const auto gives_W = [&](PartId part) {
        const Attr gives = output_attribute(input.harness, part);
        const auto volts = input.facts.quantity(part, gives, 0), amps = input.facts.quantity(part, gives, 1);
        return volts && amps ? volts->hi * amps->hi : 0;
    };
    double taken_W = 0;
    for (const Edge& edge : input.circuit.edges) {
        if (edge.role != EdgeRole::converter_input ||
            mode.states[edge.part.index()].posture == Posture::off ||
            !joined.same(edge.from.index(), output.to.index()) ||
            !joined.same(edge.to.index(), output.from.index()))
            continue;
        if (charges_a_pack(edge.part)) return true;
        taken_W += gives_W(edge.part);
    }
    if (taken_W > 0 && taken_W >= gives_W(output.part)) return true;
    return false;
}

// A supply of its own, as an adapter at the mains that a change-over contact puts in the place of a pack: in
// no position of the contacts does it reach one.
bool never_reaches_a_pack(const RuleInput& input, const Edge& output) {
    const Positions positions(input.circuit);
    for (std::size_t number = 0; number < positions.count(); ++number) {
        const std::vector<bool> open = positions.open(number);
        DisjointSets joined = pieces(input.circuit, [&](EdgeId each) {
            const Edge& edge = input.circuit.edge(each);
            return (is_conductor(edge.role) || edge.role == EdgeRole::diode) && !open[each.index()];
        });
        for (const Edge& pack : input.circuit.edges)
            if (pack.role == EdgeRole::emf && joined.same(pack.to.index(), output.to.index())) return false;
    }
    return true;
}

// With the plugs in it would find one: somebody has pulled the charger's, and nothing is left on it.
bool is_unplugged(const RuleInput& input, const Mode& mode, const Edge& output) {
    const auto finds_one = [&](bool all_plugs_in) {
        DisjointSets joined = pieces(input.circuit, [&](EdgeId each) {
            const Edge& edge = input.circuit.edge(each);
            return edge.role == EdgeRole::diode || (all_plugs_in && edge.role == EdgeRole::contact) ||
                   (is_conductor(edge.role) && is_closed(input.circuit, mode, edge));
        });
        const auto any = [&](auto&& on) {
            return std::any_of(input.circuit.edges.begin(), input.circuit.edges.end(),
                               [&](const Edge& pack) { return pack.role == EdgeRole::emf && on(pack); });
        };
        return any([&](const Edge& pack) { return joined.same(pack.to.index(), output.to.index()); }) &&
               any([&](const Edge& pack) { return joined.same(pack.from.index(), output.from.index()); });
    };
    return finds_one(true) && !finds_one(false);
}

// Whether it is told.
bool judge(const RuleInput& input, const Edge& output, ModeId id, Report& report) {
    const Mode& mode = input.harness.modes[id.index()];
    DisjointSets joined = pieces(input.circuit, [&](EdgeId each) {
        const Edge& edge = input.circuit.edge(each);
        return (is_conductor(edge.role) || edge.role == EdgeRole::diode) &&
               is_closed(input.circuit, mode, edge);
    });
    const auto onwards = [&](NodeId start, bool along) {
        const NodeId starts[] = {start};
        return reached(input.circuit, starts, [&](EdgeId each, NodeId at) {
            const Edge& edge = input.circuit.edge(each);
            return is_closed(input.circuit, mode, edge) &&
                   (is_conductor(edge.role) ||
                    (edge.role == EdgeRole::diode && (along ? edge.from : edge.to) == at));
        });
    };
    const Reached out = onwards(output.to, true), home = onwards(output.from, false);
    bool plus = false, minus = false, beyond_diodes = false;
    std::vector<NodeId> entered;
    for (const Edge& pack : input.circuit.edges) {
        if (pack.role != EdgeRole::emf) continue;
        plus = plus || out[pack.to];
        minus = minus || home[pack.from];
        if (out[pack.to]) entered.push_back(pack.from);
        beyond_diodes = beyond_diodes || (joined.same(pack.to.index(), output.to.index()) &&
                                          joined.same(pack.from.index(), output.from.index()));
    }
    // The plus of one pack and the minus of another are no pack: on from the minus of those it enters.
    const Reached beyond = reached(input.circuit, entered, [&](EdgeId each, NodeId at) {
        const Edge& edge = input.circuit.edge(each);
        if (edge.role == EdgeRole::emf) return edge.to == at;
        return is_closed(input.circuit, mode, edge) &&
               (is_conductor(edge.role) || (edge.role == EdgeRole::diode && edge.from == at));
    });
    if (beyond[output.from]) return false;
    if (feeds_a_regulator(input, mode, joined, output)) return false;
    // Nothing else hangs on it then: the mode says what cannot be.
    const bool unplugged = is_unplugged(input, mode, output), alone = never_reaches_a_pack(input, output);
    // On the side of a diode that what it feeds is on: a supply that a pack stands by for.
    DisjointSets beside = pieces(input.circuit, [&](EdgeId each) {
        const Edge& edge = input.circuit.edge(each);
        return is_conductor(edge.role) && is_closed(input.circuit, mode, edge);
    });
    const bool stood_by =
        beyond_diodes &&
        std::any_of(input.circuit.edges.begin(), input.circuit.edges.end(), [&](const Edge& user) {
            return uses_power(user.role) && beside.same(user.from.index(), output.to.index());
        });
    Finding finding =
        finding_about(input, "no-pack-to-charge",
                      unplugged || alone || stood_by ? Severity::note : Severity::warning, output.part);
    finding.message = named(input.harness, output.part) + " delivers in mode " + std::string(mode.name) +
                      " and finds no pack";
    finding.beside = unplugged ? "its plug is parted in this mode: nothing takes its current"
                               : "nothing takes its current; what hangs on it stands at its own voltage";
    const std::string open = opened_text(input, mode);
    finding.working = {plus && minus ? std::string("it finds the plus of one pack and the minus of another")
                                     : std::string(plus ? "the minus" : "the plus") +
                                           " of no pack hangs together with its own in this mode"};
    if (alone)
        finding.working.emplace_back("it reaches one in no position of the contacts: a supply of its own");
    if (stood_by) finding.working.emplace_back("it feeds what hangs on its side of the diode itself");
    if (beyond_diodes) finding.working.push_back("a diode on the way to a pack lies against its current");
    if (!open.empty() && !beyond_diodes) finding.working.push_back("open in this mode: " + open);
    finding.source = "common practice, no source: load dump";
    finding.mode = id;
    finding.help = unplugged ? "mate the plug in this mode, or have the charger at rest"
                   : beyond_diodes
                       ? "land its output on the side of the diode where the pack is"
                       : "close in this mode what leads to the pack, or have the charger at rest; an "
                         "output that lands before the switch cannot lose its pack";
    report.add(std::move(finding));
    return true;
}

void run(const RuleInput& input, Report& report) {
    std::set<PartId> said;
    for (std::size_t m = 0; m < input.harness.modes.size(); ++m) {
        const Mode& mode = input.harness.modes[m];
        if (mode.own) continue;
        for (const Edge& edge : input.circuit.edges) {
            if (edge.role != EdgeRole::charger || !charges(input, mode, edge.part)) continue;
            if (said.contains(edge.part)) continue;
            if (judge(input, edge, ModeId(m), report)) said.insert(edge.part);
        }
    }
}

}  // namespace

extern const RuleFamily family;
const RuleFamily family{infos, run};

}  // namespace loomward::rules::charged_nowhere
