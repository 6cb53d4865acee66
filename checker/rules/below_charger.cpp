// Contacts and diodes between a charger and a pack that carry less than the charger gives: where several
// packs share it in a mode, all of it goes to one as soon as the others are full or switched off.
#include <cmath>
#include <map>
#include <optional>
#include <vector>

#include "checker/circuit/pack_ways.hpp"
#include "checker/currents/largest.hpp"
#include "checker/parts/elements.hpp"
#include "checker/parts/ratings.hpp"
#include "checker/rules/cures.hpp"
#include "checker/rules/rule_support.hpp"

namespace loomward::rules::below_charger {
namespace {

using namespace literals;

constexpr RuleInfo infos[] = {
    {"below-charger",
     "a contact, diode or shunt that carries less than a charger or converter gives, and through which alone "
     "it reaches a pack: what it gives goes there whole when nothing else takes any",
     "I of the charger in a mode <= rating, of what lies on every way from it to one pack",
     "rating of the part",
     "what the mode has closed; the most that the charger gives in any mode; what a mode itself overloads is "
     "told by the rule of that part",
     "pack B8 { voltage 39..54.6 V, resistance 40 mohm, capacity 20 Ah, discharge 20 A, charge 20 A }\n"
     "charger G9 { output 54 V 10 A, reverse blocked }\ndiode D9 { 8 A, 100 V, drop 0.7 V }\ndiode D8 { 20 "
     "A, 100 V, drop 0.7 V }\n"
     "fuse F8 { 20 A, 80 V dc, breaks 6 kA at 80 V dc, curve iso8820-3 }\n"
     "fuse F9 { 20 A, 80 V dc, breaks 6 kA at 80 V dc, curve iso8820-3 }\nsplice X8 { carries 20 A }\n"
     "route G9.+ (W40 2.5 mm2, 0.2 m) X8 (W41 2.5 mm2, 0.2 m) D9 (W42 2.5 mm2, 0.2 m) F9.out\n"
     "route F9.in (W43 2.5 mm2, 0.1 m) B1.+\nroute X8 (W44 2.5 mm2, 0.2 m) D8 (W48 2.5 mm2, 0.2 m) F8.out\n"
     "route F8.in (W45 2.5 mm2, 0.1 m) B8.+\nroute B8.- (W46 2.5 mm2, 0.2 m) Q1.P-\n"
     "route G9.- (W47 2.5 mm2, 0.2 m) Q1.P-\nmode shore { others at rest, G9 delivers 10 A }\nsplice X1",
     "splice X1"},
};

// What gives, at its most.
struct Giver {
    EdgeId edge;
    const OperatingPoint* point = nullptr;
    double current_A = 0;
};

struct Weak {
    Giver giver;
    PartId pack;
    CurrentRating rating;
};

std::vector<Giver> givers(const RuleInput& input) {
    std::vector<Giver> list;
    for (std::size_t i = 0; i < input.circuit.edges.size(); ++i) {
        const EdgeRole role = input.circuit.edges[i].role;
        if (role != EdgeRole::charger && role != EdgeRole::converter_output) continue;
        Giver giver{EdgeId(i)};
        for (const OperatingPoint& point : input.points)
            if (point.usable() && point.edge_A[i] > giver.current_A * (1 + 1e-6) + 1e-3)
                giver.point = &point, giver.current_A = point.edge_A[i];
        if (giver.point) list.push_back(giver);
    }
    return list;
}

void look_at(const RuleInput& input, const Giver& giver, std::map<PartId, Weak>& worst) {
    const Circuit& circuit = input.circuit;
    std::vector<std::pair<EdgeId, CurrentRating>> weak;
    for (std::size_t i = 0; i < circuit.edges.size(); ++i) {
        const Edge& edge = circuit.edges[i];
        if (!passes_on(edge.role)) continue;
        const auto rating = current_rating(
            input.facts, edge, input.facts.ambient(edge.part, giver.point->mode), Direction::either);
        if (!rating || rating->may_A <= 0 || !above(giver.current_A, rating->may_A)) continue;
        if (!above(largest_A(input.points, EdgeId(i)), rating->may_A)) weak.emplace_back(EdgeId(i), *rating);
    }
    if (weak.empty()) return;
    const Mode& mode = input.harness.modes[giver.point->mode.index()];
    std::vector<bool> taken_out = open_in(circuit, mode);
    const std::vector<bool> reaches = charged_from(circuit, taken_out, circuit.edge(giver.edge));
    for (const auto& [id, rating] : weak) {
        if (taken_out[id.index()]) continue;
        taken_out[id.index()] = true;
        const std::vector<bool> without = charged_from(circuit, taken_out, circuit.edge(giver.edge));
        taken_out[id.index()] = false;
        for (std::size_t i = 0; i < reaches.size(); ++i) {
            if (!reaches[i] || without[i]) continue;
            const auto [place, fresh] =
                worst.try_emplace(circuit.edge(id).part, Weak{giver, circuit.edges[i].part, rating});
            Weak& known = place->second;
            if (!fresh &&
                (giver.current_A / rating.may_A > known.giver.current_A / known.rating.may_A * (1 + 1e-6)))
                known = {giver, circuit.edges[i].part, rating};
            break;
        }
    }
}

void tell(const RuleInput& input, PartId part, const Weak& weak, Report& report) {
    const PartId source = input.circuit.edge(weak.giver.edge).part;
    const std::string gives = named(input.harness, source);
    Finding finding = finding_about(input, "below-charger", Severity::warning, part);
    finding.message = named(input.harness, part) + " carries less than " + gives + " gives";
    finding.beside = amps(weak.giver.current_A) + " when nothing but " + named(input.harness, weak.pack) +
                     " takes any; may carry " + amps(weak.rating.may_A);
    finding.working = {
        amps(weak.giver.current_A) + " > " + amps(weak.rating.may_A) + " (" + weak.rating.name + ")",
        "every way from " + gives + " to " + named(input.harness, weak.pack) + " leads through it"};
    if (weak.rating.working.find('=') != std::string::npos) finding.working.push_back(weak.rating.working);
    finding.figures = {{"current", weak.giver.current_A, Dimension::current},
                       {"limit", weak.rating.may_A, Dimension::current}};
    finding.source = weak.rating.source;
    witnessed(input, finding, *weak.giver.point, weak.giver.edge);
    finding.related.push_back({input.harness.part(source).where, gives + " is here"});
    const double wants_A = weak.giver.current_A * weak.rating.stated_A / weak.rating.may_A;
    finding.help = "one that carries " + amps(wants_A) + " or more, or a charger that gives " +
                   amps(weak.rating.may_A) + " or less";
    if (input.facts.quantity(part, "carries"_attr))
        finding.cures = {at_least(input.harness, part, "carries"_attr, wants_A, Dimension::current)};
    report.add(std::move(finding));
}

void run(const RuleInput& input, Report& report) {
    std::map<PartId, Weak> worst;
    for (const Giver& giver : givers(input)) look_at(input, giver, worst);
    for (const auto& [part, weak] : worst) tell(input, part, weak, report);
}

}  // namespace

extern const RuleFamily family;
const RuleFamily family{infos, run};

}  // namespace loomward::rules::below_charger
