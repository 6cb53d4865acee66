// What a pack must not go without: something that watches each lithium cell while it is charged, a limit for
// charging in the cold, and a device that opens before the cells are cooked.
#include <algorithm>
#include <cmath>
#include <map>
#include <set>
#include <utility>

#include "checker/circuit/managements.hpp"
#include "checker/circuit/ways.hpp"
#include "checker/parts/driven.hpp"
#include "checker/parts/elements.hpp"
#include "checker/parts/lithium.hpp"
#include "checker/rules/rule_support.hpp"
#include "checker/tables/limits.hpp"

namespace loomward::rules::pack_care {
namespace {

using namespace literals;

constexpr RuleInfo infos[] = {
    {"unwatched-cells",
     "a lithium pack that has no battery management, so that nobody sees a single cell that is full or empty "
     "before the others; as a warning, one whose cells are stated beside a pack that has one; as a note, two "
     "packs side by side behind one: it has the cell leads of one",
     "a battery management on the minus or plus of the pack", "common practice, no source",
     "lithium is told by the voltage of a full cell where it is stated, else by a full voltage that is a "
     "whole "
     "number of full lithium cells",
     "pack B8 { cells 13s1p, cell-voltage 3.0..4.2 V, cell-resistance 40 mohm, cell-capacity 3 Ah, discharge "
     "5 "
     "A, "
     "charge 2 A }\ncharger G8 { output 54.6 V 1 A, reverse blocked }\n"
     "fuse F8 { 2 A, 80 V dc, breaks 2.5 kA at 80 V dc, curve iso8820-3 }\n"
     "route B8.+ (direct) F8 (W38 1 mm2, 0.1 m) G8 (W39 1 mm2, 0.1 m) B8.-\nsplice X1",
     "splice X1"},
    {"charged-in-the-cold",
     "a lithium pack that a mode charges below 0 degC, and no limit of its charge current in the cold is "
     "stated, on the pack or its battery management",
     "lowest ambient of a mode that charges it >= 0 degC, or charge-at stated for 0 degC or colder",
     "common practice, no source: below 0 degC lithium plates the anode",
     "lithium as for unwatched-cells; what is stated is held against the modes elsewhere",
     "charger G8 { output 54.6 V 5 A, reverse blocked }\n"
     "fuse F8 { 7.5 A, 80 V dc, breaks 2.5 kA at 80 V dc, curve iso8820-3 }\n"
     "route F1.out (direct) F8 (W38 1 mm2, 0.1 m) G8 (W39 1 mm2, 0.1 m) Q1.P-\n"
     "mode parked { others at rest, ambient -10..40 degC, G8 delivers 5 A }",
     "mode parked { others at rest }"},
    {"pack-guard",
     "a pack that can be overloaded for long with nothing that opens: the current that can leave it "
     "indefinitely "
     "is far above what it may give",
     "smallest rating of the devices that guard its lead <= 1.5 x discharge", "common practice, no source",
     "a battery management in its lead that trips or is rated no higher guards it too; between once and 1.5 "
     "times "
     "nothing is said, cells stand that as a peak",
     "pack B8 { voltage 39..54.6 V, resistance 40 mohm, capacity 10 Ah, discharge 5 A, charge 2 A }\n"
     "fuse F8 { 10 A, 80 V dc, breaks 2.5 kA at 80 V dc, curve iso8820-3 }\nload H8 { 48 V, 10 W }\n"
     "route B8.+ (W37 2.5 mm2, 0.1 m) F8 (W38 2.5 mm2, 0.1 m) H8 (W39 2.5 mm2, 0.1 m) B8.-\nsplice X1",
     "splice X1"},
};

// ---- which packs ----------------------------------------------------------------------------------------

std::vector<PartId> packs_of(const RuleInput& input) {
    std::vector<PartId> packs;
    for (std::size_t i = 0; i < input.harness.parts.size(); ++i)
        if (input.harness.parts[i].kind == Kind::pack && !input.circuit.edges_of_part[i].empty())
            packs.emplace_back(i);
    return packs;
}

// ---- unwatched-cells ------------------------------------------------------------------------------------

// Whether a charger or converter can push a current into its plus and out of its minus.
std::vector<bool> charged(const RuleInput& input, const std::vector<PartId>& packs) {
    std::vector<EdgeId> sections;
    for (const PartId pack : packs) sections.push_back(input.circuit.edges_of_part[pack.index()].front());
    const auto ways = driven(input.circuit, sections, DriveThrough::anything, DriveBy::chargers);
    std::vector<bool> result(packs.size());
    for (std::size_t i = 0; i < packs.size(); ++i) result[i] = ways[i].against;
    return result;
}

// A note where no pack of the harness shows one, or where its cells are only guessed: it may be inside. Where
// one does, this one was forgotten.
void tell_unwatched(const RuleInput& input, PartId pack, const std::string& why, bool is_charged,
                    PartId watched, Report& report) {
    const bool known = input.facts.quantity(pack, "cell-voltage"_attr).has_value();
    Finding finding =
        finding_about(input, "unwatched-cells", watched && known ? Severity::warning : Severity::note, pack);
    finding.message =
        named(input.harness, pack) + (is_charged ? " is charged and no battery management watches its cells"
                                                 : " has no battery management that watches its cells");
    finding.beside = is_charged ? "a cell that is full before the others is overcharged"
                                : "a cell that is empty before the others is drawn flat";
    finding.working = {"taken for lithium: " + why, "no battery management on its minus or plus"};
    if (watched)
        finding.related.push_back(
            {input.harness.part(watched).where, named(input.harness, watched) + " has one"});
    finding.source = "common practice, no source";
    finding.help = "a battery management between the pack and all else; or a note that it has one inside";
    report.add(std::move(finding));
}

// Of packs side by side behind one management, the others than the first by name: it has one set of cell
// leads.
void tell_sharing(const RuleInput& input, Managements& managements, const std::vector<PartId>& packs,
                  Report& report) {
    DisjointSets joined = pieces(input.circuit, [&](EdgeId id) {
        const EdgeRole role = input.circuit.edge(id).role;
        return is_conductor(role) && role != EdgeRole::trip;
    });
    using Place =
        std::pair<std::pair<std::size_t, std::size_t>, std::set<PartId>>;  // minus, plus; managements
    std::map<Place, std::vector<PartId>> beside;
    for (const PartId pack : packs) {
        const auto& sections = input.circuit.edges_of_part[pack.index()];
        const std::set<PartId> by = managements.of(pack);
        if (by.size() != 1 || taken_for_lithium(input.facts, pack).empty()) continue;
        beside[{{joined.find(input.circuit.edge(sections.front()).from.index()),
                 joined.find(input.circuit.edge(sections.back()).to.index())},
                by}]
            .push_back(pack);
    }
    for (auto& [place, among] : beside) {
        const auto by_name = [&](PartId a, PartId b) {
            return input.harness.part(a).name < input.harness.part(b).name;
        };
        std::sort(among.begin(), among.end(), by_name);
        const PartId bms = *place.second.begin();
        for (std::size_t i = 1; i < among.size(); ++i) {
            Finding finding = finding_about(input, "unwatched-cells", Severity::note, among[i]);
            finding.message = named(input.harness, among[i]) + " lies beside " +
                              named(input.harness, among[0]) + " behind one battery management";
            finding.beside = named(input.harness, bms) +
                             " has the cell leads of one pack: nothing sees the "
                             "cells of the other";
            finding.working = {"both poles of the two packs hang together before " +
                               named(input.harness, bms)};
            finding.source = "common practice, no source";
            finding.related.push_back(
                {input.harness.part(bms).where, named(input.harness, bms) + " is here"});
            finding.help =
                "a battery management for each pack; or their cells joined one by one, as one pack "
                "of more cells side by side";
            report.add(std::move(finding));
        }
    }
}

// ---- charged-in-the-cold --------------------------------------------------------------------------------

// A row for the frost: what is said of milder days says nothing of it.
bool says_cold(const RuleInput& input, PartId part) {
    const auto lines = input.harness.attributes_of(input.harness.part(part).attributes);
    return std::any_of(lines.begin(), lines.end(), [&](const Attribute& line) {
        if (line.name != "charge-at"_attr) return false;
        const Value at = input.harness.values_of(line).front();
        return at.known == Knowledge::unknown || at.lo <= 0;
    });
}

void judge_cold(const RuleInput& input, Managements& managements, PartId pack, const std::string& why,
                Report& report) {
    if (says_cold(input, pack)) return;
    for (const PartId bms : managements.of(pack))
        if (says_cold(input, bms)) return;
    const EdgeId section = input.circuit.edges_of_part[pack.index()].front();
    const OperatingPoint* coldest = nullptr;
    double coldest_degC = 0;
    for (const OperatingPoint& point : input.points) {
        if (!point.usable() || point.edge_A[section.index()] > -1e-3) continue;
        const double degC = input.facts.ambient(pack, point.mode).lo;
        if (degC >= coldest_degC) continue;
        coldest = &point;
        coldest_degC = degC;
    }
    if (!coldest) return;
    Finding finding = finding_about(input, "charged-in-the-cold", Severity::note, pack);
    finding.message = named(input.harness, pack) + " is charged in the frost and nobody says what it stands";
    finding.beside = "down to " + to_text(coldest_degC, Dimension::temperature) + " in mode " +
                     std::string(input.harness.modes[coldest->mode.index()].name);
    finding.working = {to_text(coldest_degC, Dimension::temperature) + " < 0 degC, at " +
                           amps(-coldest->edge_A[section.index()]),
                       "taken for lithium: " + why};
    finding.source = "common practice, no source: below 0 degC lithium plates the anode";
    finding.help =
        "charge-at on the pack or its battery management, or a mode that says it is warm: ambient "
        "0 degC or more";
    witnessed(input, finding, *coldest, section);
    report.add(std::move(finding));
}

// ---- pack-guard -----------------------------------------------------------------------------------------

// The rating of what guards the lead of the pack, and who: the fuses and breakers of the cut.
struct Guard {
    double rated_A = 0;
    std::string names;
    std::vector<PartId> parts;
};
std::optional<Guard> guard_of(const RuleInput& input, WireId lead) {
    Guard guard;
    for (const EdgeId device : input.proof.wires[lead.index()].guarding().cut) {
        const Edge& edge = input.circuit.edge(device);
        const auto rated = input.facts.quantity(edge.part, "(rated-current)"_attr);
        if (!is_protective(edge.role) || !rated) return std::nullopt;
        guard.rated_A += rated->hi;
        guard.names += (guard.names.empty() ? "" : " + ") + std::string(input.harness.part(edge.part).name);
        guard.parts.push_back(edge.part);
    }
    return guard.parts.empty() ? std::nullopt : std::optional(guard);
}

// Whether a battery management in its lead opens at no more than that.
bool managed(const RuleInput& input, Managements& managements, PartId pack, double allowed_A) {
    for (const PartId bms : managements.of(pack)) {
        const auto trips = input.facts.quantity(bms, "trips"_attr);
        const auto rated = input.facts.quantity(bms, "discharge"_attr);
        if ((trips && !above(trips->hi, allowed_A)) || (rated && !above(rated->hi, allowed_A))) return true;
    }
    return false;
}

void judge_guard(const RuleInput& input, Managements& managements, PartId pack, Report& report) {
    constexpr double far_above = 1.5;
    const auto discharge = input.facts.quantity(pack, "discharge"_attr);
    if (!discharge || discharge->lo <= 0) return;
    std::optional<Guard> least;
    const auto& sections = input.circuit.edges_of_part[pack.index()];
    for (const NodeId pole :
         {input.circuit.edge(sections.front()).from, input.circuit.edge(sections.back()).to})
        for (const Incidence& next : input.circuit.at(pole)) {
            const Edge& edge = input.circuit.edge(next.edge);
            if (!edge.wire) continue;
            const auto guard = guard_of(input, edge.wire);
            if (guard && (!least || guard->rated_A > least->rated_A)) least = guard;
        }
    if (!least || !above(least->rated_A, far_above * discharge->lo)) return;
    if (managed(input, managements, pack, far_above * discharge->lo)) return;
    Finding finding = finding_about(input, "pack-guard", Severity::warning, pack);
    finding.message = "nothing opens before the cells of " + named(input.harness, pack) + " are overloaded";
    finding.beside =
        least->names + " is rated " + amps(least->rated_A) + "; the pack may give " + amps(discharge->lo);
    finding.working = {amps(least->rated_A) + " > " + amps(far_above * discharge->lo) + " = 1.5 x " +
                       amps(discharge->lo)};
    finding.figures = {{"rated", least->rated_A, Dimension::current},
                       {"discharge", discharge->lo, Dimension::current}};
    finding.source = "common practice, no source";
    for (const PartId part : least->parts)
        finding.related.push_back({input.harness.part(part).where, named(input.harness, part) + " is here"});
    finding.help =
        "a device of " + amps(discharge->lo) + " or less, or a battery management that trips there";
    report.add(std::move(finding));
}

void run(const RuleInput& input, Report& report) {
    const std::vector<PartId> packs = packs_of(input);
    Managements managements(input.circuit);
    const std::vector<bool> is_charged = charged(input, packs);
    tell_sharing(input, managements, packs, report);
    PartId watched;  // the first by name that shows a battery management
    for (const PartId pack : packs)
        if (!managements.of(pack).empty() &&
            (!watched || input.harness.part(pack).name < input.harness.part(watched).name))
            watched = pack;
    for (std::size_t i = 0; i < packs.size(); ++i) {
        judge_guard(input, managements, packs[i], report);
        const std::string why = taken_for_lithium(input.facts, packs[i]);
        if (why.empty()) continue;
        if (managements.of(packs[i]).empty())
            tell_unwatched(input, packs[i], why, is_charged[i], watched, report);
        judge_cold(input, managements, packs[i], why, report);
    }
}

}  // namespace

extern const RuleFamily family;
const RuleFamily family{infos, run};

}  // namespace loomward::rules::pack_care
