// Whether each pack can be cut off from what it feeds by hand or by a contact.
#include <algorithm>
#include <cmath>
#include <map>
#include <set>

#include "checker/budget/rest_state.hpp"
#include "checker/circuit/disjoint_sets.hpp"
#include "checker/circuit/feeding_diodes.hpp"
#include "checker/circuit/latching.hpp"
#include "checker/circuit/packs_in_series.hpp"
#include "checker/circuit/part_edges.hpp"
#include "checker/parts/elements.hpp"
#include "checker/rules/consumers.hpp"
#include "checker/rules/rule_support.hpp"

namespace loomward::rules::disconnection {
namespace {

using namespace literals;

constexpr RuleInfo infos[] = {
    {"no-disconnect",
     "a controller, converter, load, heating resistor or device that no switch, contactor, breaker or "
     "connector can cut off from its "
     "pack; one that only a contact parts which is closed without power, or a selector without a position "
     "for it",
     "every loop of pack and load passes something that opens",
     "46 CFR 120.380(i): emergency switch; IEC 60204-1",
     "a BMS, a fuse and a contactor whose coil nothing can part from the pack do not count, nor a diode that "
     "stands against every pack; a warning where power for a coil would part it; loads that together draw "
     "under 1 A, and converters that charge a pack (ABYC E-11 lets chargers stay connected, memory), are "
     "noted "
     "only",
     "route F1.out (W13", "route X1 (W13"},
};

bool joins(const Edge& edge) {
    return is_conductor(edge.role) && !opened_by_hand(edge.role);
}

// Whether a converter's output lies on a pack for good: it is a charger from one bank to another, and rests
// by itself.
bool charges_a_pack(const RuleInput& input, const Edge& load, DisjointSets& fixed) {
    if (load.role != EdgeRole::converter_input) return false;
    for (const EdgeId id : input.circuit.edges_of_part[load.part.index()]) {
        const Edge& output = input.circuit.edge(id);
        if (output.role == EdgeRole::converter_output &&
            !PacksInSeries(input.circuit).between(output.to, output.from, fixed).empty())
            return true;
    }
    return false;
}

// What hangs together whatever is opened: over conductors, and over contacts that their coils always hold.
struct Fixed {
    DisjointSets nets;
    std::vector<PartId> held;  // contactors and relays
};
Fixed fixed_nets(const RuleInput& input) {
    Fixed fixed{DisjointSets(input.circuit.node_count()), {}};
    const PacksInSeries packs(input.circuit);
    std::vector<const Edge*> coils;
    for (const Edge& edge : input.circuit.edges) {
        if (joins(edge)) fixed.nets.join(edge.from.index(), edge.to.index());
        if (edge.role == EdgeRole::coil) coils.push_back(&edge);
    }
    for (const EdgeId id : diodes_that_feed(input.circuit, fixed.nets))
        if (const Edge& diode = input.circuit.edge(id); diode.role == EdgeRole::diode)
            fixed.nets.join(diode.from.index(), diode.to.index());
    // Contacts that are closed at rest of a coil that nothing is wired to.
    const Mode rest = rest_state(input.harness);
    for (const Edge* coil : coils) {
        if (input.circuit.at(coil->from).size() > 1 || input.circuit.at(coil->to).size() > 1) continue;
        for (const EdgeId id : input.circuit.edges_of_part[coil->part.index()]) {
            const Edge& edge = input.circuit.edge(id);
            if (edge.role == EdgeRole::switching && is_closed(input.circuit, rest, edge))
                fixed.nets.join(edge.from.index(), edge.to.index());
        }
    }
    // A coil that hangs on a pack with nothing in its way that opens. Each that is found held may feed
    // another one.
    for (std::size_t held = coils.size() + 1; held != coils.size();) {
        held = coils.size();
        std::erase_if(coils, [&](const Edge* coil) {
            if (packs.between(coil->from, coil->to, fixed.nets).empty()) return false;
            fixed.held.push_back(coil->part);
            for (const EdgeId id : input.circuit.edges_of_part[coil->part.index()]) {
                const Edge& edge = input.circuit.edge(id);
                if (edge.role == EdgeRole::switching && edge.throw_ == 0)
                    fixed.nets.join(edge.from.index(), edge.to.index());
            }
            return true;
        });
    }
    return fixed;
}

// Contactors and relays with contacts that are closed without power, each with the nets and those contacts.
std::vector<std::pair<PartId, DisjointSets>> without_power(const RuleInput& input, const DisjointSets& nets) {
    const Mode rest = rest_state(input.harness);
    std::vector<std::pair<PartId, DisjointSets>> found;
    for (std::size_t i = 0; i < input.harness.parts.size(); ++i) {
        if (!coil_of(input.circuit, PartId(i)) || is_latching(input.harness, PartId(i))) continue;
        DisjointSets now = nets;
        bool any = false;
        for (const EdgeId id : input.circuit.edges_of_part[i]) {
            const Edge& edge = input.circuit.edge(id);
            if (edge.role != EdgeRole::switching || !is_closed(input.circuit, rest, edge)) continue;
            now.join(edge.from.index(), edge.to.index());
            any = true;
        }
        if (any) found.emplace_back(PartId(i), std::move(now));
    }
    return found;
}

// The nets in each position of a selector.
std::vector<DisjointSets> in_each_position(const RuleInput& input, const DisjointSets& nets,
                                           PartId selector) {
    std::vector<DisjointSets> each(input.harness.positions_of(selector).size(), nets);
    for (const EdgeId id : input.circuit.edges_of_part[selector.index()])
        if (const Edge& edge = input.circuit.edge(id); edge.role == EdgeRole::switching)
            each[edge.way].join(edge.from.index(), edge.to.index());
    return each;
}

// What is cut off only by power for a coil, or not at all by the selector that is on its way.
void judge_contacts(const RuleInput& input, const std::vector<Consumer>& list, const DisjointSets& fixed,
                    const std::set<PartId>& told, Report& report) {
    const PacksInSeries packs(input.circuit);
    auto closed = without_power(input, fixed);
    std::vector<std::pair<PartId, std::vector<DisjointSets>>> selectors;
    for (std::size_t i = 0; i < input.harness.parts.size(); ++i)
        if (input.harness.parts[i].kind == Kind::selector)
            selectors.emplace_back(PartId(i), in_each_position(input, fixed, PartId(i)));
    for (const Consumer& consumer : list) {
        const Edge& edge = input.circuit.edge(consumer.edge);
        if (told.contains(edge.part)) continue;
        const double draws_A = consumer.draws_A;
        const bool small = draws_A < consumer_A;
        if (small && edge.role == EdgeRole::load) continue;
        const auto hangs = [&](DisjointSets& nets) {
            return !packs.between(consumer.plus, consumer.minus, nets).empty();
        };
        const auto relay =
            std::find_if(closed.begin(), closed.end(), [&](auto& each) { return hangs(each.second); });
        const auto selector = std::find_if(selectors.begin(), selectors.end(), [&](auto& each) {
            return !each.second.empty() && std::all_of(each.second.begin(), each.second.end(), hangs);
        });
        const bool powerless = relay != closed.end();
        if (powerless ? small : selector == selectors.end()) continue;
        const PartId by = powerless ? relay->first : selector->first;
        Finding finding =
            finding_about(input, "no-disconnect", powerless ? Severity::warning : Severity::error, edge.part);
        finding.message = named(input.harness, edge.part) +
                          (powerless ? " stays on with everything off: nothing but power for a coil stops it"
                                     : " cannot be cut off: a selector joins it to a pack in every position");
        finding.beside = powerless
                             ? "contact of " + std::string(input.harness.part(by).name) + " is closed at rest"
                             : std::string(input.harness.part(by).name) + " has no position that parts it";
        finding.working = {
            powerless ? "a contact that is closed without power parts it only while its coil has some"
                      : "both poles hang on a pack in each of the " +
                            std::to_string(selector->second.size()) + " positions",
            "it draws up to " + amps(draws_A)};
        finding.source = "46 CFR 120.380(i); IEC 60204-1";
        finding.related.push_back({input.harness.part(by).where, named(input.harness, by) + " is here"});
        finding.help = powerless
                           ? "a switch in line that is opened by hand, or a contact that its coil closes"
                           : "a position that joins nothing, or a switch in line";
        report.add(std::move(finding));
    }
}

// Small loads on the same two nets, by those: none of them is worth a switch, all of them may be.
struct SmallOnes {
    double together_A = 0, largest_A = 0;
    EdgeId largest;
    std::size_t count = 0;
};
std::map<std::pair<std::size_t, std::size_t>, SmallOnes> small_ones(const RuleInput& input,
                                                                    const std::vector<Consumer>& list,
                                                                    DisjointSets& fixed) {
    std::map<std::pair<std::size_t, std::size_t>, SmallOnes> found;
    for (const Consumer& consumer : list) {
        const double draws_A = consumer.draws_A;
        if (input.circuit.edge(consumer.edge).role != EdgeRole::load || draws_A >= consumer_A) continue;
        SmallOnes& here = found[{fixed.find(consumer.plus.index()), fixed.find(consumer.minus.index())}];
        here.together_A += draws_A;
        ++here.count;
        if (draws_A > here.largest_A) here.largest_A = draws_A, here.largest = consumer.edge;
    }
    return found;
}

void run(const RuleInput& input, Report& report) {
    std::set<PartId> told;
    Fixed all_fixed = fixed_nets(input);
    DisjointSets& fixed = all_fixed.nets;
    PacksOver packs = PacksInSeries(input.circuit).over(fixed);
    const std::vector<Consumer> list = consumers(input);
    const auto small_together = small_ones(input, list, fixed);
    for (const Consumer& consumer : list) {
        const Edge& edge = input.circuit.edge(consumer.edge);
        const std::vector<EdgeId> over = packs.between(consumer.plus, consumer.minus);
        if (over.empty() || !told.insert(edge.part).second) continue;
        const Edge& pack = input.circuit.edge(over.front());
        const double draws_A = consumer.draws_A;
        const auto beside =
            small_together.find({fixed.find(consumer.plus.index()), fixed.find(consumer.minus.index())});
        const bool of_many = beside != small_together.end() && beside->second.largest == consumer.edge &&
                             beside->second.together_A >= consumer_A;
        const bool small = (draws_A < consumer_A && edge.role == EdgeRole::load && !of_many) ||
                           charges_a_pack(input, edge, fixed);
        Finding finding =
            finding_about(input, "no-disconnect", small ? Severity::note : Severity::error, edge.part);
        finding.message =
            named(input.harness, edge.part) + " cannot be cut off from " + named(input.harness, pack.part);
        finding.beside = "no switch, contactor, breaker or connector on the way";
        finding.working = {"both poles hang on the pack through wires, fuses and electronics only",
                           "it draws up to " + amps(draws_A)};
        if (of_many)
            finding.working.push_back("with the " + std::to_string(beside->second.count - 1) +
                                      " others on the same two nets up to " +
                                      amps(beside->second.together_A));
        finding.source = "46 CFR 120.380(i); IEC 60204-1";
        for (const OperatingPoint& point : input.points)
            if (point.usable() && std::abs(point.edge_A[consumer.edge.index()]) > 1e-6) {
                witnessed(input, finding, point, consumer.edge);
                finding.mode = {};
                finding.corner.reset();
                break;
            }
        finding.related.push_back(
            {input.harness.part(pack.part).where, named(input.harness, pack.part) + " is here"});
        for (const PartId held : all_fixed.held)
            finding.related.push_back(
                {input.harness.part(held).where, "nothing opens the way of the coil of " +
                                                     named(input.harness, held) + ", so it is never open"});
        finding.help = "a switch, contactor, breaker or connector that breaks its current";
        report.add(std::move(finding));
    }
    judge_contacts(input, list, fixed, told, report);
}

}  // namespace

extern const RuleFamily family;
const RuleFamily family{infos, run};

}  // namespace loomward::rules::disconnection
