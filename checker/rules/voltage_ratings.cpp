// What breaks and what insulates against the highest voltage that can stand across it: every pack full, and
// what a mode that returns current lifts the bus of its controller by.
#include <algorithm>
#include <cmath>
#include <map>
#include <optional>

#include "checker/circuit/ways.hpp"
#include "checker/parts/elements.hpp"
#include "checker/parts/ratings.hpp"
#include "checker/rules/cures.hpp"
#include "checker/rules/rule_support.hpp"

namespace loomward::rules::voltage_ratings {
namespace {

using namespace literals;

constexpr RuleInfo infos[] = {
    {"fuse-voltage",
     "a fuse or breaker whose rated voltage is below the highest voltage of its circuit, or is one for "
     "alternating current",
     "U_rated (dc) >= U_full; of a bus that current comes back to what it loses on its way to the packs more",
     "IEC 60269-7 3.4.1; 33 CFR 183.455(d) (memory)",
     "every contact counts as closed; transients are not counted", "fuse F1 { 60 A, 32 V dc",
     "fuse F1 { 60 A, 80 V dc"},
    {"contact-voltage",
     "a switch, contactor, relay, selector, battery management, connector, terminal block, fuse block, diode "
     "or capacitor whose voltage rating is "
     "below what can stand across it, or is one for alternating current",
     "U_rated >= U_full, and more where current comes back; breaks at U >= U_full where it breaks current; a "
     "diode: U_rated >= the highest "
     "voltage that K can come to above the minus of its sources; a nominal voltage is good as far as it "
     "goes, "
     "and no limit where a rated or a breaking one is stated",
     "AC 43.13-1B 11-50; rating of the part", "every contact counts as closed; transients are not counted",
     "switch S1 { 24 V dc", "switch S1 { 80 V dc"},
};

struct Stated {
    double voltage_V = 0;
    bool alternating = false;
    Value value;
};

// The least that a rating says, at place `voltage_place` of its attribute, and whether it is one for ac.
std::optional<Stated> stated(const RuleInput& input, PartId part, Attr name, std::size_t voltage_place) {
    const auto rating = input.facts.quantity(part, name, voltage_place);
    if (!rating || rating->dimension != Dimension::voltage) return std::nullopt;
    const Slice attributes = input.harness.part(part).attributes;
    return Stated{rating->lo, input.harness.value(attributes, name, voltage_place + 1).text == "ac",
                  input.harness.value(attributes, name, voltage_place)};
}

// What a part stands more than by full packs, V, and the mode whose returned current lifts it so.
struct Lift {
    double voltage_V = 0;
    ModeId mode;
};

void judge(const RuleInput& input, PartId part, const Stated& rating, double stands_V, const Lift& lift,
           std::string_view rule, std::string_view what, std::vector<Cure> cures, Report& report) {
    if (!rating.alternating && !below(rating.voltage_V, stands_V)) return;
    if (stands_V < 1) return;
    Finding finding = finding_about(input, rule, Severity::error, part);
    if (rating.value.where.valid() && rating.value.where.file == finding.where.file &&
        input.harness.sources->position(rating.value.where).line ==
            input.harness.sources->position(finding.where).line)
        finding.where = rating.value.where;
    if (rating.alternating) {
        finding.message = named(input.harness, part) + " is rated for alternating current only";
        finding.beside = volts(rating.voltage_V) + " ac; " + volts(stands_V) + " dc stand here";
        finding.working = {
            "an alternating current passes zero and lets the arc die; a direct current does not"};
        finding.source =
            "AC 43.13-1B 11-50: ratings for alternating current do not hold in direct-current circuits";
    } else {
        finding.message =
            named(input.harness, part) + " is rated for a lower voltage than can stand across it";
        finding.beside = std::string(what) + " " + volts(rating.voltage_V) + "; " + volts(stands_V) + " here";
        finding.working = {volts(rating.voltage_V) + " (" + std::string(what) + ") < " + volts(stands_V) +
                           " (every pack full)"};
        if (lift.voltage_V > 0) {
            finding.working.back() = volts(rating.voltage_V) + " (" + std::string(what) + ") < " +
                                     volts(stands_V) + " = " + volts(stands_V - lift.voltage_V) +
                                     " (every pack full) + " + volts(lift.voltage_V) +
                                     " (lost by the current that comes back in mode " +
                                     std::string(input.harness.modes[lift.mode.index()].name) + ")";
            finding.mode = lift.mode;
        }
        finding.source = rule == "fuse-voltage" ? "IEC 60269-7 3.4.1" : "rating of the part";
    }
    finding.figures = {{"rated", rating.voltage_V, Dimension::voltage},
                       {"highest", stands_V, Dimension::voltage}};
    finding.corner = Corner::run_full;
    finding.help = "one rated " + volts(std::ceil(stands_V)) + " dc or more would do";
    finding.cures = std::move(cures);
    report.add(std::move(finding));
}

// Highest voltages at every part, by what is held against its rating.
class Standing {
  public:
    explicit Standing(const RuleInput& input)
        : input_(input),
          potentials_(input),
          holders_(input.harness),
          lift_V_(input.circuit.node_count(), 0),
          lifted_in_(input.circuit.node_count()) {
        for (const OperatingPoint& point : input.points)
            if (point.usable() && point.corner == Corner::run_full) find_lift(point);
    }

    Lift lift(PartId part) const {
        Lift highest;
        for (const EdgeId id : input_.circuit.edges_of_part[part.index()])
            for (const NodeId end : {input_.circuit.edge(id).from, input_.circuit.edge(id).to})
                if (lift_V_[end.index()] > highest.voltage_V)
                    highest = {lift_V_[end.index()], lifted_in_[end.index()]};
        return highest;
    }

    double across_V(PartId part, Held held) const {
        const double full_V = by_full_packs_V(part, held);
        return full_V > 0 ? full_V + lift(part).voltage_V : 0;
    }

  private:
    double by_full_packs_V(PartId part, Held held) const {
        switch (held) {
            case Held::voltage_open:
            case Held::breaking:
                return std::max(when_open_V(part), when_tripped_V(part));
            case Held::voltage_between:
                return between_V(part);
            case Held::voltage_across:
                return poles_V(part);
            default:
                return 0;
        }
    }
    // The bus of a controller that returns current stands above its packs by what the current loses on its
    // way to them.
    void find_lift(const OperatingPoint& point) {
        const Circuit& circuit = input_.circuit;
        std::optional<DisjointSets> joined;
        for (std::size_t i = 0; i < circuit.edges.size(); ++i) {
            const Edge& back = circuit.edges[i];
            if (back.role != EdgeRole::regeneration || point.edge_A[i] <= 0) continue;
            if (!joined)
                joined.emplace(pieces(circuit, [&](EdgeId id) {
                    const Edge& edge = circuit.edge(id);
                    return is_conductor(edge.role) &&
                           is_closed(circuit, input_.harness.modes[point.mode.index()], edge);
                }));
            const double minus_V = point.node_V[back.from.index()] - potentials_.node_V(back.from);
            const std::size_t bus = joined->find(back.to.index());
            for (std::size_t node = 0; node < circuit.node_count(); ++node) {
                if (joined->find(node) != bus) continue;
                const double lift_V = point.node_V[node] - minus_V - potentials_.node_V(NodeId(node));
                if (lift_V > lift_V_[node] + 1e-9) lift_V_[node] = lift_V, lifted_in_[node] = point.mode;
            }
        }
    }
    double when_open_V(PartId part) const {
        double highest = 0;
        for (const EdgeId id : input_.circuit.edges_of_part[part.index()]) {
            const EdgeRole role = input_.circuit.edge(id).role;
            if (role == EdgeRole::fuse || role == EdgeRole::breaker || role == EdgeRole::switching ||
                role == EdgeRole::protector || role == EdgeRole::diode)
                highest = std::max(highest, potentials_.across_when_open_V(id));
            // In reverse a diode holds off all that its K can come to, while its A lies at the bottom: across
            // a load whenever that is fed, towards another source when its own is off.
            if (role == EdgeRole::diode)
                highest = std::max(highest, potentials_.node_V(input_.circuit.edge(id).to));
        }
        return highest;
    }
    // The transistors of a battery management stand the whole string that they open, in whichever pole and
    // between whichever of its packs they lie: what hangs on it pulls the far side all the way.
    double when_tripped_V(PartId part) const {
        EdgeId trip;
        for (const EdgeId id : input_.circuit.edges_of_part[part.index()])
            if (input_.circuit.edge(id).role == EdgeRole::trip && !trip) trip = id;
        // Where it opens a contactor, that stands it.
        if (!trip || input_.harness.part(part).drives) return 0;
        // Relays and selectors may join poles of different strings.
        DisjointSets joined = pieces(input_.circuit, [&](EdgeId id) {
            const Edge& edge = input_.circuit.edge(id);
            const bool changes =
                edge.role == EdgeRole::switching && (input_.harness.part(edge.part).kind == Kind::relay ||
                                                     input_.harness.part(edge.part).kind == Kind::selector);
            return is_conductor(edge.role) && !changes && !(edge.role == EdgeRole::trip && edge.part == part);
        });
        const Edge& edge = input_.circuit.edge(trip);
        const bool low = input_.facts.word(part, "side"_attr) != "high";
        const auto height_V = [&](NodeId start, bool up) { return stacked_V(joined, start, up); };
        return height_V(edge.from, low) + height_V(edge.to, !low);
    }
    // The packs in series from a point upwards, or downwards, V.
    double stacked_V(DisjointSets& joined, NodeId start, bool up) const {
        std::map<std::size_t, double> reached{{joined.find(start.index()), 0}};
        double highest = 0;
        // As often as there are points at the most, so that a ring of packs ends too.
        for (std::size_t pass = 0; pass <= reached.size(); ++pass) {
            bool changed = false;
            for (const Edge& pack : input_.circuit.edges) {
                if (pack.role != EdgeRole::emf) continue;
                const auto section = pack_section(input_.circuit, input_.facts, pack, Corner::run_full);
                const auto from = reached.find(joined.find((up ? pack.from : pack.to).index()));
                if (!section || from == reached.end()) continue;
                const double there_V = from->second + section->voltage_V;
                double& best_V = reached[joined.find((up ? pack.to : pack.from).index())];
                if (there_V <= best_V + 1e-9) continue;
                best_V = there_V;
                highest = std::max(highest, there_V);
                changed = true;
            }
            if (!changed) break;
        }
        return highest;
    }
    // A block that has no terminals of its own holds fuses that do.
    // Against what lies beside it: of a return the highest feed of the loads behind it, because another
    // system that has its minus there too may stand higher.
    double at_contact_V(NodeId node) const {
        if (potentials_.node_V(node) > 0) return potentials_.highest_V(node);
        double highest_V = 0;
        for (const Incidence& next : input_.circuit.at(node))
            if (is_conductor(input_.circuit.edge(next.edge).role))
                highest_V = std::max(highest_V, potentials_.across_when_open_V(next.edge));
        return highest_V;
    }
    double between_V(PartId part) const {
        const Part& block = input_.harness.part(part);
        double highest = 0;
        for (std::size_t i = 0; i < block.terminals.count; ++i)
            highest =
                std::max(highest, at_contact_V(input_.circuit.node(TerminalId(block.terminals.first + i))));
        for (const PartId fuse : holders_.fuses_in(part)) highest = std::max(highest, between_V(fuse));
        return highest;
    }
    double poles_V(PartId part) const {
        double highest = 0;
        for (const EdgeId id : input_.circuit.edges_of_part[part.index()]) {
            const Edge& edge = input_.circuit.edge(id);
            highest =
                std::max(highest, std::abs(potentials_.node_V(edge.from) - potentials_.node_V(edge.to)));
        }
        return highest;
    }

    const RuleInput& input_;
    Potentials potentials_;
    Holders holders_;
    std::vector<double> lift_V_;     // by NodeId
    std::vector<ModeId> lifted_in_;  // by NodeId
};

// Sold for machines of one voltage, and nobody says up to which one it is good.
void judge_nominal(const RuleInput& input, PartId part, const Standing& standing, Report& report) {
    const auto nominal = stated(input, part, "nominal"_attr, 0);
    if (!nominal || stated(input, part, "(operational-voltage)"_attr, 0) ||
        stated(input, part, "breaks"_attr, 1))
        return;
    const double stands_V = standing.across_V(part, Held::voltage_open);
    if (stands_V < 1 || !above(stands_V, nominal->voltage_V)) return;
    Finding finding = finding_about(input, "contact-voltage", Severity::warning, part);
    finding.message = named(input.harness, part) + " is sold for " + volts(nominal->voltage_V) +
                      ", and nobody says how far above that it is good";
    finding.beside = "nominal " + volts(nominal->voltage_V) + "; " + volts(stands_V) + " here";
    finding.working = {volts(stands_V) + " (every pack full) > " + volts(nominal->voltage_V) + " (nominal)"};
    finding.figures = {{"rated", nominal->voltage_V, Dimension::voltage},
                       {"highest", stands_V, Dimension::voltage}};
    finding.corner = Corner::run_full;
    finding.possible = true;
    finding.source = "rating of the part";
    finding.help = "state the rated operational voltage of its contacts, from the datasheet: " +
                   volts(std::ceil(stands_V)) + " dc or more would do";
    finding.cures = {
        at_least(input.harness, part, "(operational-voltage)"_attr, stands_V, Dimension::voltage)};
    report.add(std::move(finding));
}

// Every rating of the part that its rule looks at and that is too low.
std::vector<Cure> cures_of(const RuleInput& input, PartId part, const Standing& standing,
                           std::string_view rule) {
    std::vector<Cure> cures;
    for (const RatingRow& row : rating_table()) {
        if (row.kind != input.harness.part(part).kind || row.rules.find(rule) == std::string_view::npos)
            continue;
        const auto rating = stated(input, part, row.attribute, row.held == Held::breaking ? 1 : 0);
        const double stands_V = rating ? standing.across_V(part, row.held) : 0;
        if (rating && (rating->alternating || below(rating->voltage_V, stands_V)))
            cures.push_back(at_least(input.harness, part, row.attribute, stands_V, Dimension::voltage));
    }
    return cures;
}

void run(const RuleInput& input, Report& report) {
    const Standing standing(input);
    for (std::size_t i = 0; i < input.harness.parts.size(); ++i) {
        const Kind kind = input.harness.parts[i].kind;
        judge_nominal(input, PartId(i), standing, report);
        const std::string_view rule =
            kind == Kind::fuse || kind == Kind::breaker ? "fuse-voltage" : "contact-voltage";
        for (const RatingRow& row : rating_table()) {
            if (row.kind != kind || row.rules.find(rule) == std::string_view::npos) continue;
            const bool breaks = row.held == Held::breaking;
            const auto rating = stated(input, PartId(i), row.attribute, breaks ? 1 : 0);
            if (!rating) continue;
            const double stands_V = standing.across_V(PartId(i), row.held);
            if (!rating->alternating && !below(rating->voltage_V, stands_V)) continue;
            judge(input, PartId(i), *rating, stands_V, standing.lift(PartId(i)), rule,
                  breaks ? "breaks at" : "rated", cures_of(input, PartId(i), standing, rule), report);
            if (stands_V >= 1) break;
        }
    }
}

}  // namespace

extern const RuleFamily family;
const RuleFamily family{infos, run};

}  // namespace loomward::rules::voltage_ratings
