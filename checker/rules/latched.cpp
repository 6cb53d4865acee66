// Latching contactors with nothing in line that opens by itself: the key, an emergency stop and a supply that
// breaks down take the current from their coil and leave them closed.
//
// With everything at rest and every latching contactor closed, as somebody may have left them: what uses
// power then still hangs on both poles of a pack, and no longer does with this one open.
#include <set>
#include <string>
#include <vector>

#include "checker/budget/rest_state.hpp"
#include "checker/circuit/latching.hpp"
#include "checker/circuit/ways.hpp"
#include "checker/parts/elements.hpp"
#include "checker/rules/held_past_trip.hpp"
#include "checker/rules/rule_support.hpp"

namespace loomward::rules {
namespace {

constexpr RuleInfo infos[] = {
    {"stays-latched",
     "a latching contactor that alone parts something from its pack: it stays closed when the key is off, "
     "when "
     "an emergency stop opens the way of its coil, or when the supply breaks down; as a note, one that a "
     "battery management opens, which needs a supply and a pulse for it",
     "with everything at rest and it closed, something else on the way of every consumer is open",
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
    std::vector<bool> fed(circuit.edges.size(), false);
    for (const Edge& pack : circuit.edges) {
        if (pack.role != EdgeRole::emf) continue;
        for (std::size_t i = 0; i < fed.size(); ++i) {
            const Edge& edge = circuit.edges[i];
            fed[i] = fed[i] || (uses_power(edge.role) && joined.same(edge.from.index(), pack.to.index()) &&
                                joined.same(edge.to.index(), pack.from.index()));
        }
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

void run(const RuleInput& input, Report& report) {
    std::vector<PartId> latching;
    for (std::size_t i = 0; i < input.harness.parts.size(); ++i)
        if (is_latching(input.harness, PartId(i))) latching.emplace_back(i);
    if (latching.empty()) return;
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

extern const RuleFamily latched;
const RuleFamily latched{infos, run};

}  // namespace loomward::rules
