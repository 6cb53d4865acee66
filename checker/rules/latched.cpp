// Latching contactors with nothing in line that opens by itself: the key, an emergency stop and a supply that
// breaks down take the current from their coil and leave them closed.
//
// With everything at rest and every latching contactor closed, as somebody may have left them: what uses
// power then still hangs on both poles of a pack, and no longer does with this one open.
#include <algorithm>
#include <cmath>
#include <optional>
#include <set>
#include <string>
#include <vector>

#include "checker/budget/rest_state.hpp"
#include "checker/circuit/latching.hpp"
#include "checker/circuit/packs_in_series.hpp"
#include "checker/circuit/ways.hpp"
#include "checker/parts/coil_levels.hpp"
#include "checker/parts/elements.hpp"
#include "checker/rules/held_past_trip.hpp"
#include "checker/rules/rule_support.hpp"

namespace loomward::rules::latched {
namespace {

constexpr RuleInfo infos[] = {
    {"stays-latched",
     "a latching contactor that alone parts something from its pack: it stays closed when the key is off, "
     "when "
     "an emergency stop opens the way of its coil, or when the supply breaks down; as a note, one that a "
     "battery management opens, which needs a supply and a pulse for it; one that a mode has open because "
     "its "
     "coil has lost the voltage of the mode before",
     "with everything at rest and it closed, something else on the way of every consumer is open; where a "
     "mode "
     "opens it, its coil has 10 % of its rated voltage or more there, or had none before",
     "IEC 60204-1 9.2.2 (memory): an emergency stop takes the power away, and needs none to do so",
     "a warning; at rest switches, selectors and relays are as they say, other contactors open, and a "
     "breaker, "
     "a connector and a battery management closed; who opens it by its coil counts on that coil being fed",
     "coil 48 V 200 mA, coil-works 30..60 V, suppression diode, latching\n}",
     "coil 48 V 200 mA, coil-works 30..60 V, suppression diode\n}"},
};

// Consumers, by EdgeId, that hang on both poles of a pack in a state.
std::vector<bool> fed_in(const Circuit& circuit, const Mode& state) {
    DisjointSets joined = pieces(circuit, [&](EdgeId id) {
        const Edge& edge = circuit.edge(id);
        return is_conductor(edge.role) && is_closed(circuit, state, edge);
    });
    PacksOver packs = PacksInSeries(circuit).over(joined);
    std::vector<bool> fed(circuit.edges.size(), false);
    for (std::size_t i = 0; i < fed.size(); ++i) {
        const Edge& edge = circuit.edges[i];
        fed[i] = uses_power(edge.role) && !packs.between(edge.from, edge.to).empty();
    }
    return fed;
}

void tell(const RuleInput& input, PartId contactor, const std::vector<PartId>& consumers, Report& report) {
    Finding finding = finding_about(input, "stays-latched", Severity::warning, contactor);
    const std::string name = named(input.harness, contactor);
    std::string list;
    for (const PartId each : consumers) {
        list += (list.empty() ? "" : ", ") + std::string(input.harness.part(each).name);
        finding.related.push_back({input.harness.part(each).where, named(input.harness, each) + " is here"});
    }
    finding.message = name + " stays closed when its coil loses its supply, and " + list +
                      (consumers.size() > 1 ? " stay" : " stays") + " on the pack";
    finding.beside = "it latches; nothing else on the way opens by itself";
    finding.working = {"with everything at rest and " + name + " closed both poles of a pack lead to " +
                       list};
    for (const Part& bms : input.harness.parts)
        if (bms.drives == contactor)
            finding.working.push_back("no trip of bms " + std::string(bms.name) +
                                      " counts: to open a latching contactor it needs a supply");
    finding.source = "IEC 60204-1 9.2.2 (memory)";
    finding.help =
        "a switch, or a contactor that does not latch, in line with it, that the key and the emergency stop "
        "open";
    report.add(std::move(finding));
}

// A battery management that is to open it when a cell is full, empty or too hot.
void tell_driven(const RuleInput& input, PartId contactor, PartId bms, Report& report) {
    Finding finding = finding_about(input, "stays-latched", Severity::note, contactor);
    const std::string name = named(input.harness, contactor), driver = named(input.harness, bms);
    finding.message = name + " latches: a trip of " + driver + " opens it by a pulse alone";
    finding.beside = "with its supply gone, or a driver or lead broken, it stays closed";
    finding.working = {"a contactor that does not latch lets go by itself when " + driver +
                       " or its supply fails"};
    finding.source = "common practice, no source";
    finding.related.push_back({input.harness.part(bms).where, driver + " is here"});
    finding.help = "a contactor that does not latch, or one more in line with it that does not";
    report.add(std::move(finding));
}

// The voltage across a coil in a mode, V, highest of all corners and times; nullopt where nothing is solved.
std::optional<double> most_V(const RuleInput& input, const Edge& coil, ModeId mode) {
    std::optional<double> most;
    for (const OperatingPoint& point : input.points) {
        if (point.mode != mode) continue;
        if (!point.usable()) return std::nullopt;
        const double across_V = std::abs(point.node_V[coil.from.index()] - point.node_V[coil.to.index()]);
        most = std::max(most.value_or(0), across_V);
    }
    return most;
}

// A mode that takes the supply from its coil and counts on it to open, as a contactor that does not latch
// would. Where the coil had no voltage before, a pulse may have come between.
void judge_let_go(const RuleInput& input, const Edge& coil, Report& report) {
    const auto rated = input.facts.quantity(coil.part, "coil"_attr);
    if (!rated || rated->dimension != Dimension::voltage) return;
    const auto closed_in = [&](ModeId mode) {
        return input.harness.modes[mode.index()].states[coil.part.index()].posture == Posture::closed;
    };
    for (std::size_t i = 0; i < input.harness.modes.size(); ++i) {
        const Mode& mode = input.harness.modes[i];
        if (!mode.after || closed_in(ModeId(i)) || !closed_in(mode.after)) continue;
        const auto before_V = most_V(input, coil, mode.after), now_V = most_V(input, coil, ModeId(i));
        if (!before_V || !now_V || *before_V < coil_at_rest * rated->lo || *now_V >= coil_at_rest * rated->lo)
            continue;
        Finding finding = finding_about(input, "stays-latched", Severity::warning, coil.part);
        const std::string name = named(input.harness, coil.part);
        finding.message = name + " does not open in mode " + std::string(mode.name) +
                          ": it latches, and its coil gets no pulse there";
        finding.beside = "its coil loses its voltage; it stays closed";
        finding.working = {volts(*before_V) + " across its coil in mode " +
                               std::string(input.harness.modes[mode.after.index()].name) + ", " +
                               volts(*now_V) + " in mode " + std::string(mode.name),
                           "a latching contactor opens by a pulse, not by losing its supply"};
        finding.figures = {{"voltage", *now_V, Dimension::voltage}};
        finding.source = "rating of the part; IEC 60204-1 9.2.2 (memory)";
        finding.mode = ModeId(i);
        finding.help = "a contactor that does not latch, or a contact that gives it the pulse to open";
        report.add(std::move(finding));
        return;
    }
}

void run(const RuleInput& input, Report& report) {
    std::vector<PartId> latching;
    for (std::size_t i = 0; i < input.harness.parts.size(); ++i)
        if (is_latching(input.harness, PartId(i))) latching.emplace_back(i);
    if (latching.empty()) return;
    for (const Edge& edge : input.circuit.edges)
        if (edge.role == EdgeRole::coil && is_latching(input.harness, edge.part))
            judge_let_go(input, edge, report);
    Mode closed = rest_state(input.harness);
    for (const PartId each : latching) closed.states[each.index()].posture = Posture::closed;
    const std::vector<bool> fed = fed_in(input.circuit, closed);
    std::set<PartId> told;
    for (const PartId each : latching) {
        Mode open = closed;
        open.states[each.index()].posture = Posture::open;
        const std::vector<bool> still = fed_in(input.circuit, open);
        std::vector<PartId> consumers;
        for (std::size_t i = 0; i < fed.size(); ++i) {
            const PartId part = input.circuit.edges[i].part;
            if (fed[i] && !still[i] && (consumers.empty() || consumers.back() != part))
                consumers.push_back(part);
        }
        if (!consumers.empty()) {
            tell(input, each, consumers, report);
            told.insert(each);
        }
    }
    for (const DrivenCoil& each : driven_coils(input))
        if (input.harness.part(each.driver).kind == Kind::bms && is_latching(input.harness, each.contactor) &&
            told.insert(each.contactor).second)
            tell_driven(input, each.contactor, each.driver, report);
}

}  // namespace

extern const RuleFamily family;
const RuleFamily family{infos, run};

}  // namespace loomward::rules::latched
