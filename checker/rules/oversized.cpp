// Devices too large for the wire they guard.
//
// What counts is the largest current that can stand for long in the wire without any device opening
// (checker/proof): of one fuse its conventional operating current, of two feeds their sum. The limit is 1.45
// times the ampacity where the wire lies (IEC 60364-4-43 433.1), ambient and bundle included; of equal wires
// side by side that of all of them (433.4). The same clause wants the rated current of the device at or below
// the ampacity itself: a note, since a device that opens at 1.35 times its rating may be a tenth above it.
//
// A wire that a fuse is too large for and a protector is not is told as electronic-only.
//
// A thin branch is one mistake however many wires it has: wires that the same devices guard and that hang
// together, over contacts and loads too, are one finding. It ends where a wire of the right size begins.
#include <algorithm>
#include <limits>
#include <map>
#include <set>

#include "checker/circuit/by_name.hpp"
#include "checker/circuit/disjoint_sets.hpp"
#include "checker/circuit/parallel_wires.hpp"
#include "checker/parts/elements.hpp"
#include "checker/rules/cures.hpp"
#include "checker/rules/rule_support.hpp"
#include "checker/tables/overload.hpp"

namespace loomward::rules::oversized {
namespace {

using namespace literals;

constexpr RuleInfo infos[] = {
    {"oversized-fuse",
     "a wire in which more than 1.45 times its ampacity can flow for long without any device opening; as a "
     "note, one guarded by a single device that is rated above its ampacity, or held by limits above it",
     "I2 <= 1.45 Iz, In <= Iz; I2 the minimum cut of the conventional operating currents of the devices on "
     "the way",
     "IEC 60364-4-43 433.1",
     "every switch counts as closed, selectors one position at a time; a tap within unprotected-length of "
     "its own devices is held to what they let pass; connected wires behind the same devices are one "
     "finding, on the weakest; one that a protector holds is told as electronic-only; the lead of a minus "
     "bar is "
     "held to what the device before the plus bar beside it lets through, where all that the one feeds comes "
     "home "
     "to the other",
     "fuse F2 { 60 A, 80 V dc, breaks 2.5 kA at 80 V dc, curve iso8820-5 }",
     "fuse F2 { 5 A, 80 V dc, breaks 2.5 kA at 80 V dc, curve iso8820-3 }"},
};

// Of the devices that a finding adds up.
constexpr std::size_t most_named = 8;

std::string cut_text(const RuleInput& input, const Bound& bound, std::string& source) {
    std::string text;
    for (std::size_t i = 0; i < bound.cut.size(); ++i) {
        if (i == most_named && bound.cut.size() > most_named + 1)
            return text + " + " + std::to_string(bound.cut.size() - i) + " more";
        const Edge& edge = input.circuit.edge(bound.cut[i]);
        const bool opens = opens_on_current(edge.role);
        text += (text.empty() ? "" : " + ") + std::string(opens ? "" : "limit of ") +
                std::string(input.harness.part(edge.part).name);
        if (!is_protective(edge.role)) continue;
        const OperatingCurrent operating = operating_current(input.facts, edge.part);
        text += " " + operating.working;
        if (source.empty()) source = operating.source;
    }
    return text;
}

// A wire that is guarded by too large a device.
struct Thin {
    WireId wire;
    double ampacity_A = 0;
    std::string working;
    double rated_A = 0;       // of the one device that guards it; 0: more than one, or not known
    bool only_rated = false;  // the rated current is too large, what can flow for long is not
    bool held = false;        // by a protector, whose trips are small enough
    Bound bound;              // what can flow for long, with the devices that make it
};

// Whether protectors, beside fuses that hold their share, let no more stand than the wire may carry. A
// battery management guards its pack, and does not count here.
bool held_by_protectors(const RuleInput& input, const WireProof& proof, double ampacity_A) {
    const Bound& bound = proof.with_electronics;
    const auto role = [&](EdgeId id) { return input.circuit.edge(id).role; };
    return bound.current_A <= most_i2_over_iz * ampacity_A * 1.0001 &&
           std::any_of(bound.cut.begin(), bound.cut.end(),
                       [&](EdgeId id) { return role(id) == EdgeRole::protector; }) &&
           std::all_of(bound.cut.begin(), bound.cut.end(),
                       [&](EdgeId id) { return role(id) == EdgeRole::protector || is_protective(role(id)); });
}

double rated_A(const RuleInput& input, EdgeId device) {
    const Edge& edge = input.circuit.edge(device);
    if (!is_protective(edge.role)) return 0;
    const auto rated = input.facts.quantity(edge.part, "(rated-current)"_attr);
    return rated ? rated->hi : 0;
}

// Whether a device among those that hold it opens; otherwise they are limits.
bool opens(const RuleInput& input, const Bound& bound) {
    return std::any_of(bound.cut.begin(), bound.cut.end(),
                       [&](EdgeId device) { return opens_on_current(input.circuit.edge(device).role); });
}

std::optional<Thin> judge(const RuleInput& input, const ParallelGroups& groups, WireId id) {
    const WireProof& proof = input.proof.wires[id.index()];
    const Bound& bound = proof.guarding();
    if (proof.side == Side::neither || proof.unguarded() || bound.cut.empty()) return std::nullopt;
    const Ampacity limit = standing_ampacity(input.facts, id, input.wires[id.index()]);
    Thin thin{.wire = id, .ampacity_A = limit.current_A, .working = limit.working, .bound = bound};
    if (const ParallelWires* beside = groups.of(id)) {
        // Unequal ones are another rule's.
        if (!beside->equal) return std::nullopt;
        thin.ampacity_A = 0;
        for (const WireId each : beside->wires)
            thin.ampacity_A += standing_ampacity(input.facts, each, input.wires[each.index()]).current_A;
        thin.working += ", and " + std::to_string(beside->wires.size() - 1) + " more beside it";
    }
    // The devices at the end of a short tap hold its load; that it may be shorted on the way is accepted.
    if (auto own = short_tap(input, id)) {
        if (own->current_A <= most_i2_over_iz * thin.ampacity_A * 1.0001) return std::nullopt;
        // They are too large for it, whatever those before them are.
        if (own->current_A < bound.current_A) thin.bound = *std::move(own);
    }
    thin.rated_A = thin.bound.cut.size() == 1 ? rated_A(input, thin.bound.cut.front()) : 0;
    thin.held = !proof.electronic_only() && held_by_protectors(input, proof, thin.ampacity_A);
    if (thin.bound.current_A > most_i2_over_iz * thin.ampacity_A * 1.0001) return thin;
    thin.only_rated = true;
    // A limit holds its current for ever, as a fuse does what it is rated for.
    if (!opens(input, thin.bound)) thin.rated_A = thin.bound.current_A;
    if (above(thin.rated_A, thin.ampacity_A)) return thin;
    return std::nullopt;
}

// Which of the thin wires hang together.
class Branches {
  public:
    Branches(const RuleInput& input, const std::vector<Thin>& thin)
        : input_(input), sets_(input.circuit.node_count()), ends_(input.circuit.node_count(), false) {
        std::vector<bool> is_thin(input.harness.wires.size(), false);
        for (const Thin& each : thin) is_thin[each.wire.index()] = true;
        for (std::size_t i = 0; i < is_thin.size(); ++i) {
            const Edge& edge = input.circuit.edge(input.circuit.edge_of_wire[i]);
            if (!is_thin[i]) ends_[edge.from.index()] = ends_[edge.to.index()] = true;
        }
        for (const Edge& edge : input.circuit.edges)
            if (edge.wire ? is_thin[edge.wire.index()] : !is_protective(edge.role) && !is_source(edge.role))
                join(edge);
    }
    // Wires with the same mark are one branch. A wire between two ends of branches is one of its own.
    std::size_t of(WireId id) {
        const Edge& edge = input_.circuit.edge(input_.circuit.edge_of_wire[id.index()]);
        for (const NodeId node : {edge.from, edge.to})
            if (!ends_[node.index()]) return sets_.find(node.index());
        return ends_.size() + id.index();
    }
    // A mark that no branch has.
    static std::size_t alone(WireId id) { return std::numeric_limits<std::size_t>::max() - id.index(); }

  private:
    void join(const Edge& edge) {
        if (!ends_[edge.from.index()] && !ends_[edge.to.index()])
            sets_.join(edge.from.index(), edge.to.index());
    }

    const RuleInput& input_;
    DisjointSets sets_;
    std::vector<bool> ends_;  // by NodeId: a wire that is thick enough ends here
};

std::string wires_text(const RuleInput& input, const std::vector<Thin>& branch) {
    constexpr std::size_t most = 8;
    if (branch.size() == 1) return named(input.harness, branch.front().wire);
    std::string names;
    for (std::size_t i = 0; i < std::min(branch.size(), most); ++i)
        names += (i ? ", " : "") + std::string(input.harness.wire(branch[i].wire).name);
    if (branch.size() > most) names += " and " + std::to_string(branch.size() - most) + " more";
    return "wires " + names;
}

std::string is_or_are(const std::vector<Thin>& branch) {
    return branch.size() > 1 ? " are" : " is";
}

const Thin& weakest_of(const std::vector<Thin>& branch) {
    return gravest_of(branch, [](const Thin& each) { return -each.ampacity_A; });
}

// The largest standard rating of the same kind that would pass, A; 0 where there is none.
double passing_rating_A(const RuleInput& input, const Bound& bound, double ampacity_A) {
    const auto rated =
        input.facts.quantity(input.circuit.edge(bound.cut.front()).part, "(rated-current)"_attr);
    const double factor = rated && rated->hi > 0 ? bound.current_A / rated->hi : 0;
    double best = 0;
    for (const double rating : standard_ratings_A())
        if (factor > 0 && rating * factor <= most_i2_over_iz * ampacity_A && rating <= ampacity_A)
            best = std::max(best, rating);
    return best;
}

// The largest standard rated current at or below the ampacity; 0 where there is none.
double largest_rating_A(double ampacity_A) {
    double best = 0;
    for (const double rating : standard_ratings_A())
        if (rating <= ampacity_A) best = std::max(best, rating);
    return best;
}

// What a device carries with a controller or inverter behind it at its setting, A.
double carries_at_settings_A(const RuleInput& input, const OperatingPoint& point, EdgeId device) {
    double now_A = std::abs(point.edge_A[device.index()]), most_A = now_A;
    for (std::size_t i = 0; i < input.circuit.edges.size(); ++i) {
        const double takes_A = std::abs(point.edge_A[i]);
        if (input.circuit.edges[i].role != EdgeRole::controller || takes_A < 0.1) continue;
        const auto setting = asked_of_supply(input.facts, input.circuit.edges[i].part);
        const double more_A = setting ? setting->current_A - takes_A : 0;
        most_A = std::max(most_A, now_A + std::min(1.0, now_A / takes_A) * more_A);
    }
    return most_A;
}

// Whether a device of that rating would carry what flows for hours, and what is set: else it is no cure.
bool holds_its_load(const RuleInput& input, EdgeId device, double rated_A) {
    const double share = input.facts.policy("continuous-fuse-load"_attr).lo / 100;
    return std::none_of(input.points.begin(), input.points.end(), [&](const OperatingPoint& point) {
        return point.usable() && (std::abs(point.edge_A[device.index()]) > share * rated_A ||
                                  above(carries_at_settings_A(input, point, device), rated_A));
    });
}

// The other way: every wire of the branch as thick as `needs_A` asks of it.
void add_thicker(const RuleInput& input, const std::vector<Thin>& branch, double needs_A, Finding& finding) {
    std::vector<Cure> thicker;
    for (const Thin& each : branch) {
        const Wire& wire = input.harness.wire(each.wire);
        // Equal ones beside it share.
        const Surroundings& around = input.wires[each.wire.index()].standing;
        const double beside = std::max(
            1.0,
            std::round(each.ampacity_A /
                       standing_ampacity(input.facts, each.wire, input.wires[each.wire.index()]).current_A));
        const auto area = quantity_from_text(smallest_size(needs_A / wire.parallel / beside,
                                                           conductor_limit_degC(input.facts, each.wire),
                                                           wire.aluminium, around, wire.awg));
        if (!area) return;
        if (area->lo > wire.area.lo)
            thicker.push_back(
                or_else(at_least(input.harness, each.wire, "(area)"_attr, area->lo, Dimension::area)));
    }
    finding.cures.insert(finding.cures.end(), thicker.begin(), thicker.end());
}

void tell_rated(const RuleInput& input, const std::vector<Thin>& branch, Report& report) {
    const Thin& weakest = weakest_of(branch);
    const Bound& bound = weakest.bound;
    const PartId device = input.circuit.edge(bound.cut.front()).part;
    Finding finding = finding_about(input, "oversized-fuse", Severity::note, weakest.wire);
    const bool opened = opens(input, bound);
    finding.message =
        wires_text(input, branch) + is_or_are(branch) +
        (opened ? " guarded by a device that is rated above what " : " held by limits above what ") +
        (branch.size() > 1 ? "they" : "it") + " may carry";
    finding.beside = (branch.size() > 1 ? "the weakest: may carry " : "may carry ") +
                     amps(weakest.ampacity_A) + " here; " +
                     (opened ? named(input.harness, device) + " is rated " + amps(weakest.rated_A)
                             : amps(weakest.rated_A) + " can flow for ever");
    finding.working = {amps(weakest.rated_A) + " > " + amps(weakest.ampacity_A),
                       amps(weakest.ampacity_A) + " = " + weakest.working};
    finding.figures = {{"rated", weakest.rated_A, Dimension::current},
                       {"ampacity", weakest.ampacity_A, Dimension::current}};
    finding.source = "IEC 60364-4-43 433.1";
    finding.related.push_back({input.harness.part(device).where, named(input.harness, device) + " is here"});
    if (!opened)
        finding.help =
            "a thicker wire, or sources that give " + amps(rounded_down(weakest.ampacity_A)) + " or less";
    else if (const double rating = largest_rating_A(weakest.ampacity_A); rating > 0)
        finding.help = "a rated current of " + amps(rating) + " or less, or a thicker wire";
    if (opened && bound.other_way_A <= bound.current_A * weakest.ampacity_A / weakest.rated_A &&
        holds_its_load(input, bound.cut.front(), weakest.ampacity_A))
        finding.cures = {
            at_most(input.harness, device, "(rated-current)"_attr, weakest.ampacity_A, Dimension::current)};
    add_thicker(input, branch, weakest.rated_A, finding);
    report.add(std::move(finding));
}

bool has_own_points(const RuleInput& input, EdgeId device) {
    const Part& part = input.harness.part(input.circuit.edge(device).part);
    return input.harness.value(part.attributes, "point"_attr).present();
}

void tell(const RuleInput& input, const std::vector<Thin>& branch, Report& report) {
    const Thin& weakest = weakest_of(branch);
    const Bound& bound = weakest.bound;
    Finding finding = finding_about(input, "oversized-fuse", Severity::error, weakest.wire);
    const bool several = bound.cut.size() > 1;
    const bool opened = opens(input, bound);
    finding.message =
        wires_text(input, branch) +
        (!opened ? std::string(" can get more than ") + (branch.size() > 1 ? "they" : "it") +
                       " may carry, and no fuse or breaker stops that"
                 : is_or_are(branch) + (several ? " guarded by devices that together are too large"
                                                : " guarded by too large a device"));
    finding.beside = (branch.size() > 1 ? "the weakest: may carry " : "may carry ") +
                     amps(weakest.ampacity_A) + " here; " + amps(bound.current_A) + " can flow for long";
    std::string source;
    const std::string devices = cut_text(input, bound, source);
    finding.working = {devices + " = " + amps(bound.current_A) + " > 1.45 x " + amps(weakest.ampacity_A),
                       amps(weakest.ampacity_A) + " = " + weakest.working};
    finding.figures = {{"operating", bound.current_A, Dimension::current},
                       {"ampacity", weakest.ampacity_A, Dimension::current}};
    finding.source = "IEC 60364-4-43 433.1" + (source.empty() ? source : "; " + source);
    for (const EdgeId device : bound.cut) {
        if (finding.related.size() == most_named) break;
        const PartId part = input.circuit.edge(device).part;
        finding.related.push_back({input.harness.part(part).where, named(input.harness, part) + " is here"});
    }
    const double iz_A = weakest.ampacity_A;
    // Points of its own stay what they are when only its rating is written anew.
    const bool own_points = !several && has_own_points(input, bound.cut.front());
    const bool both_ways = bound.other_way_A > most_i2_over_iz * iz_A;
    if (!several && !both_ways && !own_points && weakest.rated_A > 0 &&
        holds_its_load(input, bound.cut.front(),
                       std::min(iz_A, weakest.rated_A * most_i2_over_iz * iz_A / bound.current_A)))
        finding.cures = {at_most(
            input.harness, input.circuit.edge(bound.cut.front()).part, "(rated-current)"_attr,
            std::min(iz_A, weakest.rated_A * most_i2_over_iz * iz_A / bound.current_A), Dimension::current)};
    add_thicker(input, branch, std::max(bound.current_A / most_i2_over_iz, weakest.rated_A), finding);
    if (!opened) {
        const double rating_A = largest_rating_A(weakest.ampacity_A);
        finding.help =
            "a thicker wire, or a source that gives less" +
            (rating_A > 0 ? ", or a fuse of " + amps(rating_A) + " or less before it" : std::string());
    } else if (both_ways) {
        finding.help = "a thicker wire, or smaller devices on both of its ways";
    } else if (several) {
        finding.help = "a thicker wire, or a device of its own where the feeds meet";
    } else if (own_points) {
        finding.help = "a thicker wire, or a device whose own points open at " +
                       amps(most_i2_over_iz * iz_A) + " or less";
    } else if (const double rating_A = passing_rating_A(input, bound, weakest.ampacity_A); rating_A > 0) {
        finding.help = "a rated current of " + amps(rating_A) + " or less would guard it, or a thicker wire";
    }
    report.add(std::move(finding));
}

// What the fuse is too large for, a protector holds: no mistake, and no more than electronics.
void tell_held(const RuleInput& input, const Thin& thin, Report& report) {
    const WireProof& proof = input.proof.wires[thin.wire.index()];
    Finding finding = finding_about(input, "electronic-only", Severity::note, thin.wire);
    finding.message = named(input.harness, thin.wire) + " is guarded by electronics alone";
    std::string source;
    const std::string with = cut_text(input, proof.with_electronics, source);
    const std::string without = cut_text(input, proof.without_electronics, source);
    finding.beside = with + "; " + without + " alone is too large for it";
    finding.working = {
        with + " = " + amps(proof.with_electronics.current_A) + " <= 1.45 x " + amps(thin.ampacity_A),
        without + " = " + amps(proof.without_electronics.current_A),
        amps(thin.ampacity_A) + " = " + thin.working};
    finding.figures = {{"operating", proof.with_electronics.current_A, Dimension::current},
                       {"ampacity", thin.ampacity_A, Dimension::current}};
    finding.source = "IEC 60364-4-43 433.1; common practice, no source";
    finding.help = "a fuse would still open if the electronics fail";
    report.add(std::move(finding));
}

void run(const RuleInput& input, Report& report) {
    const ParallelGroups groups(input.circuit);
    std::vector<Thin> thin;
    for (const WireId id : wires_by_name(input.harness))
        if (input.harness.wire(id).area.is_known())
            if (auto judged = judge(input, groups, id))
                judged->held ? tell_held(input, *judged, report) : thin.push_back(std::move(*judged));
    // A device that is far too large for one wire is not told again for being a little too large for another.
    std::set<std::vector<EdgeId>> told;
    for (const bool only_rated : {false, true}) {
        std::vector<Thin> here;
        for (const Thin& each : thin)
            if (each.only_rated == only_rated && (!only_rated || !told.contains(each.bound.cut)))
                here.push_back(each);
        if (here.empty()) continue;
        Branches branches(input, here);
        std::map<std::pair<std::vector<EdgeId>, std::size_t>, std::vector<Thin>> by_branch;
        for (Thin& each : here) {
            const bool alone = accepted_alone(input, "oversized-fuse", each.wire);
            const std::size_t branch = alone ? Branches::alone(each.wire) : branches.of(each.wire);
            by_branch[{each.bound.cut, branch}].push_back(each);
        }
        for (const auto& [key, branch] : by_branch) {
            told.insert(key.first);
            only_rated ? tell_rated(input, branch, report) : tell(input, branch, report);
        }
    }
}

}  // namespace

extern const RuleFamily family;
const RuleFamily family{infos, run};

}  // namespace loomward::rules::oversized
