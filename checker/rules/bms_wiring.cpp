// A battery management against the pole and the end of the pack that it is made for, and against the string
// it has to interrupt.
//
// One made for the minus (side low) measures and interrupts between the minus of the cells, at B-, and all
// else, at P- and C-. On the graph, with every battery management open and every other contact closed: B- has
// to hang on the minus of some pack. If P- or C- does instead, it was turned round; if B- or P- hangs on a
// plus, it sits in the other pole.
#include <algorithm>
#include <map>
#include <set>

#include "checker/circuit/ways.hpp"
#include "checker/parts/elements.hpp"
#include "checker/parts/positions.hpp"
#include "checker/rules/rule_support.hpp"

namespace loomward::rules::bms_wiring {
namespace {

using namespace literals;

constexpr RuleInfo infos[] = {
    {"bms-direction",
     "a battery management whose battery side does not lie on the pole of a pack that it is made for: turned "
     "round, or in the other lead",
     "B- on the minus of a pack (side low), B+ on its plus (side high)", "common practice, no source",
     "every contact but those of battery managements counts as closed; with several packs any of them will "
     "do; one that drives a contactor lies in no lead itself",
     "black) Q1.P->B- (W6", "black) Q1 (W6"},
    {"series-bms",
     "a battery management in a string of packs that does not say that it stands the whole string: when it "
     "opens, the other packs push through it what it was never made for",
     "U_rated >= U_full of the string", "Kirchhoff's laws",
     "a string is what lies in series over conductors; a note that asks for the voltage where none is "
     "stated, "
     "an error where it is unknown; a stated one is held to by contact-voltage; one battery management alone "
     "at an end of a string is taken for the string's own",
     "pack B2 { voltage 39..54.6 V, resistance 40 mohm, capacity 15 Ah, discharge 60 A, charge 15 A }\n"
     "bms Q2 { side low, ports common, discharge 70 A, charge 20 A, trips 120 A after 1 s, resistance 1 mohm "
     "}\n"
     "route B2.- (W30 16 mm2, 0.1 m, black) Q2 (W31 16 mm2, 0.1 m, red) B1.+\n"
     "route B2.+ (W1 16 mm2, 0.15 m, red) F1",
     "route B1.+ (W1 16 mm2, 0.15 m, red) F1"},
};

// What hangs together in any position, battery managements left out.
DisjointSets joined(const Circuit& circuit) {
    const std::vector<bool> apart = Positions(circuit).apart();
    return pieces(circuit, [&](EdgeId id) {
        const EdgeRole role = circuit.edge(id).role;
        return is_conductor(role) && role != EdgeRole::trip && !apart[id.index()];
    });
}

class BmsWiring {
  public:
    BmsWiring(const RuleInput& input, Report& report)
        : input_(input), circuit_(input.circuit), report_(report), pieces_(joined(circuit_)) {
        for (std::size_t i = 0; i < input_.harness.parts.size(); ++i) {
            if (input_.harness.parts[i].kind != Kind::pack) continue;
            const auto& sections = circuit_.edges_of_part[i];
            if (sections.empty()) continue;
            minus_.insert(pieces_.find(circuit_.edge(sections.front()).from.index()));
            plus_.insert(pieces_.find(circuit_.edge(sections.back()).to.index()));
        }
    }

    void look() {
        for (std::size_t i = 0; i < input_.harness.parts.size(); ++i)
            if (input_.harness.parts[i].kind == Kind::bms && !input_.harness.parts[i].drives)
                judge(PartId(i));
    }

  private:
    void judge(PartId id) {
        const bool low = input_.facts.word(id, "side"_attr) != "high";
        const std::set<std::size_t>& own = low ? minus_ : plus_;
        const std::set<std::size_t>& other = low ? plus_ : minus_;
        TerminalId battery;
        std::vector<TerminalId> ports;
        for (const EdgeId each : circuit_.edges_of_part[id.index()]) {
            const Edge& edge = circuit_.edge(each);
            if (edge.role != EdgeRole::trip) continue;
            battery = edge.from_terminal;
            ports.push_back(edge.to_terminal);
        }
        if (!battery || on(battery, own)) return;
        for (const TerminalId port : ports)
            if (on(port, own)) return tell_turned(id, battery, port, low);
        ports.push_back(battery);
        for (const TerminalId end : ports)
            if (on(end, other)) return tell_other_pole(id, end, low);
    }

    bool on(TerminalId terminal, const std::set<std::size_t>& poles) {
        return poles.contains(pieces_.find(circuit_.node(terminal).index()));
    }
    std::string path(TerminalId terminal) const {
        return std::string(input_.harness.terminal(terminal).path);
    }

    void tell_turned(PartId id, TerminalId battery, TerminalId port, bool low) {
        Finding finding = finding_about(input_, "bms-direction", Severity::error, id);
        finding.message = named(input_.harness, id) + " is connected the wrong way round";
        finding.beside =
            path(port) + " lies on the cells, where " + path(battery) + " has to; it cannot stop a discharge";
        finding.working = {path(port) + " hangs on the " + (low ? "minus" : "plus") + " of a pack, " +
                           path(battery) + " on what it feeds"};
        finding.source = "common practice, no source";
        finding.help =
            "exchange its two ends: " + path(battery) + " to the pack, " + path(port) + " outwards";
        report_.add(std::move(finding));
    }

    void tell_other_pole(PartId id, TerminalId end, bool low) {
        Finding finding = finding_about(input_, "bms-direction", Severity::error, id);
        finding.message = named(input_.harness, id) + " is made for the " + (low ? "minus" : "plus") +
                          " lead and sits in the " + (low ? "plus" : "minus") + " lead";
        finding.beside = path(end) + " lies on the " + (low ? "plus" : "minus") + " of a pack";
        finding.working = {std::string("side ") + (low ? "low" : "high") +
                           ": its transistors and its cell leads work against the " +
                           (low ? "minus" : "plus") + " of the cells"};
        finding.source = "common practice, no source";
        finding.help = std::string("move it to the ") + (low ? "minus" : "plus") +
                       " lead of the pack, or fit one of side " + (low ? "high" : "low");
        report_.add(std::move(finding));
    }

    const RuleInput& input_;
    const Circuit& circuit_;
    Report& report_;
    DisjointSets pieces_;
    std::set<std::size_t> minus_, plus_;  // pieces that the poles of the packs lie in
};

// ---- series-bms -----------------------------------------------------------------------------------------

// Packs in series with one another, over what is bolted or switched in the string, from the lowest up. Relays
// and selectors are left out: they may join poles of different strings.
std::vector<std::vector<PartId>> strings_of(const RuleInput& input, DisjointSets& pieces) {
    const Circuit& circuit = input.circuit;
    std::map<std::size_t, PartId> above;  // by the piece that its minus lies in
    std::set<std::size_t> pluses;
    const auto minus_of = [&](PartId pack) {
        return pieces.find(circuit.edge(circuit.edges_of_part[pack.index()].front()).from.index());
    };
    const auto plus_of = [&](PartId pack) {
        return pieces.find(circuit.edge(circuit.edges_of_part[pack.index()].back()).to.index());
    };
    std::vector<PartId> packs;
    for (std::size_t i = 0; i < input.harness.parts.size(); ++i) {
        if (input.harness.parts[i].kind != Kind::pack || circuit.edges_of_part[i].empty()) continue;
        packs.emplace_back(i);
        above.try_emplace(minus_of(PartId(i)), PartId(i));
        pluses.insert(plus_of(PartId(i)));
    }
    std::vector<std::vector<PartId>> strings;
    for (const PartId lowest : packs) {
        if (pluses.contains(minus_of(lowest))) continue;
        std::vector<PartId> string{lowest};
        for (auto next = above.find(plus_of(lowest)); next != above.end() && string.size() <= packs.size();
             next = above.find(plus_of(next->second)))
            string.push_back(next->second);
        if (string.size() > 1) strings.push_back(std::move(string));
    }
    return strings;
}

void judge_string(const RuleInput& input, PartId bms, const std::vector<PartId>& string, Report& report) {
    double full_V = 0;
    std::string working;
    for (const PartId pack : string) {
        const auto voltage = pack_voltage(input.facts, pack);
        if (!voltage) return;
        full_V += voltage->hi;
        working += (working.empty() ? "" : " + ") + volts(voltage->hi) + " (" +
                   std::string(input.harness.part(pack).name) + ")";
    }
    if (input.facts.quantity(bms, "(rated-voltage)"_attr)) return;  // contact-voltage
    const bool unknown = input.facts.is_unknown(bms, "(rated-voltage)"_attr);
    Finding finding = finding_about(input, "series-bms", unknown ? Severity::error : Severity::note, bms);
    finding.message = named(input.harness, bms) + " lies in a string of " + std::to_string(string.size()) +
                      " packs and stands all of it when it opens";
    finding.beside = volts(full_V) + "; nobody says what its transistors stand";
    finding.working = {volts(full_V) + " = " + working};
    finding.figures = {{"voltage", full_V, Dimension::voltage}};
    finding.source = "Kirchhoff's laws";
    finding.help = "one for " + volts(full_V) + " or more, stated as its rated voltage: bms " +
                   std::string(input.harness.part(bms).name) + " { " + volts(full_V) +
                   " }; or a contactor that every battery management opens";
    report.add(std::move(finding));
}

// Which battery managements lie in a string, each between two of its packs or at an end of it. One alone at
// an end is the string's own.
void judge_strings(const RuleInput& input, Report& report) {
    const Circuit& circuit = input.circuit;
    DisjointSets pieces(circuit.node_count());
    for (const Edge& edge : circuit.edges) {
        const bool changes =
            edge.role == EdgeRole::switching && (input.harness.part(edge.part).kind == Kind::relay ||
                                                 input.harness.part(edge.part).kind == Kind::selector);
        if (is_conductor(edge.role) && !changes) pieces.join(edge.from.index(), edge.to.index());
    }
    for (const auto& string : strings_of(input, pieces)) {
        std::vector<PartId> inside;
        bool between = false;
        for (std::size_t i = 0; i < input.harness.parts.size(); ++i) {
            if (input.harness.parts[i].kind != Kind::bms || input.harness.parts[i].drives ||
                circuit.edges_of_part[i].empty())
                continue;
            const std::size_t here = pieces.find(circuit.edge(circuit.edges_of_part[i].front()).from.index());
            const auto pole = [&](PartId pack, bool plus) {
                const auto& sections = circuit.edges_of_part[pack.index()];
                return pieces.find(
                    (plus ? circuit.edge(sections.back()).to : circuit.edge(sections.front()).from).index());
            };
            const bool at_end = here == pole(string.front(), false) || here == pole(string.back(), true);
            const bool at_joint = std::any_of(string.begin(), string.end() - 1,
                                              [&](PartId pack) { return here == pole(pack, true); });
            between = between || at_joint;
            if (at_end || at_joint) inside.emplace_back(i);
        }
        if (inside.size() < 2 && !between) continue;
        for (const PartId bms : inside) judge_string(input, bms, string, report);
    }
}

void run(const RuleInput& input, Report& report) {
    BmsWiring(input, report).look();
    judge_strings(input, report);
}

}  // namespace

extern const RuleFamily family;
const RuleFamily family{infos, run};

}  // namespace loomward::rules::bms_wiring
