// The voltage that arrives at each part against the one it is made for, and the drop on the way.
#include <algorithm>
#include <cmath>
#include <map>
#include <set>

#include "checker/circuit/ways.hpp"
#include "checker/parts/elements.hpp"
#include "checker/rules/rule_support.hpp"

namespace loomward::rules {
namespace {

using namespace literals;

constexpr RuleInfo infos[] = {
    {"input-voltage",
     "a controller or converter, or a load that says what it works at, fed above that at a full pack",
     "U_full <= largest input voltage", "rating of the part",
     "steady voltages; regeneration is counted where a mode returns current; where nothing takes that, rule "
     "regeneration-blocked tells; a charger or panel with no pack on it counts with its open voltage, "
     "whatever the modes say",
     "controller U1 { input 30..50 V", "controller U1 { input 30..60 V"},
    {"wrong-rail",
     "a load without a stated range whose rated voltage is far from what it is fed: a 12 V part on the "
     "pack's rail",
     "0.7 x rated <= U_full of the source, U_full <= 1.35 x rated", "common practice, no source",
     "loads that say what they work at are judged by that; what the way there loses is rule voltage-drop's",
     "load H2 { 12 V, 10 W }", "load H2 { 48 V, 10 W, acts-as power, works 30..60 V }"},
    {"undervoltage",
     "a controller, converter or load that gets less than it works at before the pack is empty",
     "U_low >= smallest input voltage", "rating of the part",
     "at the hottest ambient and the pack's lowest voltage, aged as far as it says (aged-resistance); not on "
     "a "
     "supply that cannot feed what hangs on it, which is told of",
     "controller U1 { input 45..60 V", "controller U1 { input 30..60 V"},
    {"voltage-drop",
     "a load, or a device fed by a pin, that loses more of its source's voltage on the way, out and back, "
     "than "
     "the policy allows",
     "(U_source - U_load) / U_source <= voltage-drop",
     "ABYC E-11 11.14.2.6: 3 % for critical circuits, 10 % for others",
     "at the pack's lowest voltage, conductors as warm as their current makes them",
     "(W18 1 mm2, 40 m, yellow)", "(W18 1 mm2, 2 m, yellow)"},
};

bool draws(const Edge& edge) {
    return uses_power(edge.role);
}

bool loses(const Edge& edge) {
    return draws(edge) || edge.role == EdgeRole::supply_pin;
}

// A supply whose voltage is not its own there: what cannot be fed holds it down, or what nothing takes lifts
// it.
bool strained(const RuleInput& input, const OperatingPoint& point, const Edge& edge) {
    const auto shares = [&](EdgeId other) {
        const Edge& each = input.circuit.edge(other);
        const auto supply = [&](NodeId node) { return input.zones.supply_of_node[node.index()]; };
        const NodeId plus = each.role == EdgeRole::regeneration ? each.to : each.from;
        return supply(plus) == supply(edge.from);
    };
    return std::any_of(point.collapsed.begin(), point.collapsed.end(), shares) ||
           std::any_of(point.unabsorbed.begin(), point.unabsorbed.end(), shares);
}

std::optional<Quantity> working_range(const RuleInput& input, PartId part) {
    const bool load = input.harness.part(part).kind == Kind::load;
    return input.facts.quantity(part, load ? "works"_attr : "input"_attr);
}

double fed_V(const OperatingPoint& point, const Edge& edge) {
    return point.node_V[edge.from.index()] - point.node_V[edge.to.index()];
}

Finding voltage_finding(const RuleInput& input, std::string_view rule, Severity severity, EdgeId id,
                        const OperatingPoint& point, std::string message, std::string beside,
                        std::string working) {
    Finding finding = finding_about(input, rule, severity, input.circuit.edge(id).part);
    finding.message = std::move(message);
    finding.beside = std::move(beside);
    finding.working = {std::move(working)};
    finding.figures = {{"voltage", fed_V(point, input.circuit.edge(id)), Dimension::voltage}};
    finding.source = "rating of the part";
    witnessed(input, finding, point, id);
    return finding;
}

// Below it rounding is all that is left.
constexpr double nothing_V = 1e-6;

// Which parts a mode calls on: not said to be off, and in a closed loop with a pack. What gets no voltage so
// is not switched off; packs stand against each other.
class CalledOn {
  public:
    explicit CalledOn(const RuleInput& input) : input_(input), loops_(input.harness.modes.size()) {}
    bool operator()(ModeId mode, const Edge& edge) {
        const Mode& stated = input_.harness.modes[mode.index()];
        if (stated.states[edge.part.index()].posture == Posture::off) return false;
        std::optional<Loops>& loops = loops_[mode.index()];
        if (!loops) loops = loops_in(stated);
        return loops->with_packs.same(edge.from.index(), edge.to.index()) &&
               !loops->without.same(edge.from.index(), edge.to.index());
    }

  private:
    struct Loops {
        DisjointSets without,
            with_packs;  // what hangs together over closed contacts alone, and over packs too
    };
    Loops loops_in(const Mode& mode) const {
        const auto leads = [&](EdgeId id) {
            const Edge& edge = input_.circuit.edge(id);
            return (is_conductor(edge.role) || is_driver(edge.role)) && is_closed(input_.circuit, mode, edge);
        };
        return {pieces(input_.circuit, leads), pieces(input_.circuit, [&](EdgeId id) {
                    return input_.circuit.edge(id).role == EdgeRole::emf || leads(id);
                })};
    }

    const RuleInput& input_;
    std::vector<std::optional<Loops>> loops_;  // by ModeId
};

// Whether something gets there at all, or ought to. A load that pulls its own voltage down still draws; one
// that stands the wrong way round is another rule's.
bool is_fed(const OperatingPoint& point, EdgeId id, const Edge& edge, CalledOn& called_on) {
    const double now_V = fed_V(point, edge), current_A = std::abs(point.edge_A[id.index()]);
    if (now_V < -0.5) return false;
    if (now_V >= 0.5 ? current_A >= 1e-6 : current_A >= 0.1) return true;
    return now_V < 0.5 && point.mode && called_on(point.mode, edge);
}

// The voltage a load is made for. Of an estimate the figure that was estimated: what it is held against are
// rules of thumb, wide already.
std::optional<Quantity> printed_voltage(const RuleInput& input, PartId load) {
    std::optional<Quantity> rated = input.facts.quantity(load, "(rated-voltage)"_attr);
    if (rated && rated->known == Knowledge::about) rated->lo = rated->hi = (rated->lo + rated->hi) / 2;
    return rated;
}

// True if something was said, so that no second rule speaks about the same voltage.
// Where the packs say how far they age, their resistance is what it is then.
void add_age(const RuleInput& input, const OperatingPoint& point, Finding& finding) {
    for (std::size_t i = 0; i < input.circuit.edges.size(); ++i) {
        const Edge& edge = input.circuit.edges[i];
        if (edge.role != EdgeRole::emf || point.edge_A[i] < 1e-3 ||
            !input.harness.find(input.harness.part(edge.part).attributes, "aged-resistance"_attr))
            continue;
        const auto aged = input.facts.quantity(edge.part, "aged-resistance"_attr);
        const auto section = pack_section(input.circuit, input.facts, edge, point.corner);
        if (!aged || !section) continue;
        finding.working.push_back(named(input.harness, edge.part) + " has " +
                                  to_text(section->resistance_ohm, Dimension::resistance) + " at " +
                                  to_text(aged->hi, Dimension::percentage) +
                                  " of its resistance when new (aged-resistance)");
        return;
    }
}

bool judge_high(const RuleInput& input, EdgeId id, const OperatingPoint& point, Report& report) {
    const Edge& edge = input.circuit.edge(id);
    const double now_V = fed_V(point, edge);
    const std::string who = named(input.harness, edge.part);
    const bool load = input.harness.part(edge.part).kind == Kind::load;
    if (const auto range = working_range(input, edge.part)) {
        if (!above(now_V, range->hi)) return false;
        const bool far = load && now_V > 1.35 * range->hi;
        Finding finding = voltage_finding(input, far ? "wrong-rail" : "input-voltage", Severity::error, id,
                                          point, who + " is fed a higher voltage than it takes",
                                          volts(now_V) + "; takes up to " + volts(range->hi),
                                          volts(now_V) + " > " + volts(range->hi));
        finding.help = "a part that takes " + volts(std::ceil(now_V)) + ", or a converter before it";
        report.add(std::move(finding));
        return true;
    }
    const auto rated = load ? printed_voltage(input, edge.part) : std::nullopt;
    if (!rated || now_V <= 1.35 * rated->lo) return false;
    Finding finding = voltage_finding(
        input, "wrong-rail", Severity::error, id, point, who + " is on the wrong rail",
        volts(now_V) + "; made for " + volts(rated->lo), volts(now_V) + " > 1.35 x " + volts(rated->lo));
    finding.source = "common practice, no source";
    finding.help = "feed it from a " + volts(rated->hi) + " rail, or say what it works at";
    report.add(std::move(finding));
    return true;
}

// What stands at the source that feeds it, and how it gets from there to the load and back.
struct Feed {
    double source_V = 0;
    CurrentPath path;
    bool dropped_on_purpose =
        false;  // a precharge or dropping resistor on the way, or another load in series
};
using Tracers = std::map<const OperatingPoint*, CurrentTracer>;  // never walked in order

Feed feed_of(const RuleInput& input, const OperatingPoint& point, EdgeId id, Tracers& tracers) {
    Feed feed;
    feed.path = tracers.try_emplace(&point, input.circuit, point).first->second.through(id);
    NodeId end = feed.path.start;
    for (const EdgeId step : feed.path.edges) {
        const Edge& each = input.circuit.edge(step);
        const bool drops = each.role == EdgeRole::resistor || uses(each.role);
        feed.dropped_on_purpose = feed.dropped_on_purpose || (drops && step != id);
        end = each.from == end ? each.to : each.from;
    }
    feed.source_V = point.node_V[feed.path.start.index()] - point.node_V[end.index()];
    return feed;
}

// `full_V`: what it gets in the same mode with the pack full; `source_V`: what its source has then.
// `point` feeds it.
bool judge_low(const RuleInput& input, EdgeId id, const OperatingPoint& point, double full_V, double source_V,
               Tracers& tracers, Report& report) {
    const Edge& edge = input.circuit.edge(id);
    const double arrives_V = fed_V(point, edge);
    const bool nothing = arrives_V < nothing_V;
    const double now_V = nothing ? 0 : arrives_V;
    const std::string who = named(input.harness, edge.part);
    if (const auto range = working_range(input, edge.part)) {
        if (!below(now_V, range->lo)) return false;
        const bool always = full_V < range->lo;
        Finding finding = voltage_finding(
            input, "undervoltage", always ? Severity::error : Severity::warning, id, point,
            who + (always ? " never gets the voltage it needs"
                          : " gets too little voltage when the pack is low"),
            volts(now_V) + "; works from " + volts(range->lo), volts(now_V) + " < " + volts(range->lo));
        finding.help = nothing
                           ? "its way to the packs is closed: what stands in it cancels out, or both of its "
                             "poles lie on one"
                       : always ? "a part that works at this voltage, or another rail"
                                : "a shorter or thicker way, or a part that works lower";
        if (nothing) finding.witness.clear();
        add_age(input, point, finding);
        report.add(std::move(finding));
        return false;  // what is lost on the way may be why
    }
    const bool load = input.harness.part(edge.part).kind == Kind::load;
    const auto rated = load ? printed_voltage(input, edge.part) : std::nullopt;
    // A long way to the right rail is a drop, not another rail.
    full_V = std::max(full_V, source_V);
    const double low_V = feed_of(input, point, id, tracers).source_V;
    if (!rated) return false;
    const double made_for_V = rated->hi;
    if (full_V >= 0.7 * made_for_V && low_V >= 0.5 * made_for_V) return false;
    if (full_V >= 0.7 * made_for_V) {
        Finding finding = voltage_finding(input, "undervoltage", Severity::warning, id, point,
                                          who + " gets too little voltage when the pack is low",
                                          volts(low_V) + " at its source; made for " + volts(made_for_V),
                                          volts(low_V) + " < 0.5 x " + volts(made_for_V));
        finding.source = "common practice, no source";
        finding.help = "say what it works at, or feed it from another rail";
        report.add(std::move(finding));
        return false;
    }
    Finding finding =
        voltage_finding(input, "wrong-rail", Severity::error, id, point, who + " is on the wrong rail",
                        volts(full_V) + " at most; made for " + volts(made_for_V),
                        volts(full_V) + " < 0.7 x " + volts(made_for_V));
    finding.source = "common practice, no source";
    report.add(std::move(finding));
    return true;
}

// What is lost between source and load, out and back, where that is most.
struct Drop {
    const OperatingPoint* point = nullptr;
    Feed feed;
    double now_V = 0, share = 0;  // of the source's voltage
};

// The moments differ in what else hangs on the way: the lowest voltage, the most current of the load itself
// and the largest loss on the way need not be one moment.
Drop largest_drop(const RuleInput& input, EdgeId id, const std::vector<const OperatingPoint*>& points,
                  Tracers& tracers) {
    Drop worst;
    const Edge& edge = input.circuit.edge(id);
    for (const OperatingPoint* point : points) {
        if (std::abs(point->edge_A[id.index()]) < 1e-3) continue;
        Feed feed = feed_of(input, *point, id, tracers);
        if (feed.dropped_on_purpose || feed.source_V < 1) continue;
        const double now_V = fed_V(*point, edge), share = (feed.source_V - now_V) / feed.source_V;
        if (share > worst.share * (1 + 1e-9)) worst = {point, std::move(feed), now_V, share};
    }
    return worst;
}

void judge_drop(const RuleInput& input, EdgeId id, const std::vector<const OperatingPoint*>& points,
                Tracers& tracers, Report& report) {
    const Edge& edge = input.circuit.edge(id);
    const Drop worst = largest_drop(input, id, points, tracers);
    const double allowed = input.facts.policy("voltage-drop"_attr).lo / 100;
    if (!worst.point || !above(worst.share, allowed)) return;
    const OperatingPoint& point = *worst.point;
    const CurrentPath& path = worst.feed.path;
    const double source_V = worst.feed.source_V, now_V = worst.now_V, share = worst.share;
    const bool severe = above(share, std::max(0.10, allowed));
    Finding finding =
        finding_about(input, "voltage-drop", severe ? Severity::error : Severity::warning, edge.part);
    finding.message =
        named(input.harness, edge.part) + " loses more voltage on the way than the policy allows";
    finding.beside = to_text(share * 100, Dimension::percentage) + " lost; " +
                     to_text(allowed * 100, Dimension::percentage) + " allowed";
    finding.working = {volts(source_V) + " at the source - " + volts(now_V) +
                       " here = " + volts(source_V - now_V) + ", " +
                       to_text(share * 100, Dimension::percentage) + " of " + volts(source_V)};
    // Where most of it is lost.
    const auto lost_V = [&](EdgeId step) {
        const Edge& each = input.circuit.edge(step);
        return std::abs(point.node_V[each.from.index()] - point.node_V[each.to.index()]);
    };
    std::vector<EdgeId> by_loss;
    for (const EdgeId step : path.edges)
        if (step != id) by_loss.push_back(step);
    std::stable_sort(by_loss.begin(), by_loss.end(),
                     [&](EdgeId a, EdgeId b) { return lost_V(a) > lost_V(b); });
    std::string most;
    for (std::size_t i = 0; i < by_loss.size() && i < 3; ++i) {
        const Edge& each = input.circuit.edge(by_loss[i]);
        const std::string name = each.wire   ? std::string(input.harness.wire(each.wire).name)
                                 : each.part ? std::string(input.harness.part(each.part).name)
                                             : "(direct)";
        most += (i ? ", " : "most of it in ") + name + " " + volts(lost_V(by_loss[i]));
    }
    if (!most.empty()) finding.working.push_back(most);
    finding.figures = {{"drop", share * 100, Dimension::percentage},
                       {"allowed", allowed * 100, Dimension::percentage}};
    finding.source = "policy voltage-drop; ABYC E-11 11.14.2.6: 3 % for critical circuits, 10 % for others";
    finding.help = "thicker or shorter wires where most is lost, or a policy that fits this circuit";
    witnessed(input, finding, point, id);
    report.add(std::move(finding));
}

// The points that hurt a part most, and all at which it is fed from packs that are low.
struct Worst {
    const OperatingPoint *highest = nullptr, *lowest = nullptr;
    std::vector<const OperatingPoint*> fed;
};
Worst worst_for(const RuleInput& input, EdgeId id, CalledOn& called_on) {
    const Edge& edge = input.circuit.edge(id);
    Worst worst;
    for (const OperatingPoint& point : input.points) {
        if (!point.usable() || strained(input, point, edge)) continue;
        const double now_V = fed_V(point, edge);
        if (point.corner == Corner::run_full) {
            if (!worst.highest || now_V > fed_V(*worst.highest, edge)) worst.highest = &point;
            continue;
        }
        if (!is_fed(point, id, edge, called_on)) continue;
        if (!worst.lowest || now_V < fed_V(*worst.lowest, edge)) worst.lowest = &point;
        worst.fed.push_back(&point);
    }
    return worst;
}

void judge_part(const RuleInput& input, EdgeId id, CalledOn& called_on, Tracers& tracers, Report& report) {
    const Edge& edge = input.circuit.edge(id);
    const Worst worst = worst_for(input, id, called_on);
    if (draws(edge)) {
        if (worst.highest && judge_high(input, id, *worst.highest, report)) return;
        const double full_V = worst.highest ? fed_V(*worst.highest, edge) : 0;
        const double source_V = worst.highest ? feed_of(input, *worst.highest, id, tracers).source_V : 0;
        if (worst.lowest && judge_low(input, id, *worst.lowest, full_V, source_V, tracers, report)) return;
    }
    judge_drop(input, id, worst.fed, tracers, report);
}

// What feeds a place that no pack holds down: a panel or charger with nothing on it stands at its open
// voltage, whatever the modes say.
class OpenVoltages {
  public:
    explicit OpenVoltages(const RuleInput& input) : input_(input), joined_(input.circuit.node_count()) {
        for (const Edge& edge : input.circuit.edges)
            if (conducts(edge.role) && edge.role != EdgeRole::converter_reverse)
                joined_.join(edge.from.index(), edge.to.index());
        for (std::size_t i = 0; i < input.circuit.edges.size(); ++i) {
            const Edge& edge = input.circuit.edges[i];
            if (edge.role == EdgeRole::emf) held_.insert(joined_.find(edge.to.index()));
            if (edge.role == EdgeRole::charger) chargers_.push_back(EdgeId(i));
        }
    }
    // The charger with the highest voltage that reaches both poles; invalid: none, or a pack holds it down.
    EdgeId over(const Edge& edge) {
        EdgeId highest;
        if (held_.contains(joined_.find(edge.from.index()))) return highest;
        for (const EdgeId id : chargers_) {
            const Edge& charger = input_.circuit.edge(id);
            if (!joined_.same(charger.to.index(), edge.from.index()) ||
                !joined_.same(charger.from.index(), edge.to.index()))
                continue;
            if (!highest || open_V(id) > open_V(highest)) highest = id;
        }
        return highest;
    }
    double open_V(EdgeId charger) const {
        const auto output = input_.facts.quantity(input_.circuit.edge(charger).part, "output"_attr);
        return output ? output->hi : 0;
    }

  private:
    const RuleInput& input_;
    DisjointSets joined_;
    std::set<std::size_t> held_;
    std::vector<EdgeId> chargers_;
};

bool judge_open(const RuleInput& input, EdgeId id, OpenVoltages& open, Report& report) {
    const Edge& edge = input.circuit.edge(id);
    const auto range = working_range(input, edge.part);
    const EdgeId charger = range ? open.over(edge) : EdgeId();
    if (!charger || !above(open.open_V(charger), range->hi)) return false;
    const double open_V = open.open_V(charger);
    const PartId source = input.circuit.edge(charger).part;
    Finding finding = finding_about(input, "input-voltage", Severity::error, edge.part);
    finding.message = named(input.harness, edge.part) + " stands at the open voltage of " +
                      named(input.harness, source) + ", which is above what it takes";
    finding.beside = volts(open_V) + "; takes up to " + volts(range->hi);
    finding.working = {volts(open_V) + " (output of " + named(input.harness, source) +
                       " with nothing on it) > " + volts(range->hi)};
    finding.figures = {{"voltage", open_V, Dimension::voltage}};
    finding.source = "rating of the part";
    finding.related.push_back({input.harness.part(source).where, named(input.harness, source) + " is here"});
    finding.help = "a part that takes " + volts(std::ceil(open_V)) + ", or a source that gives less";
    report.add(std::move(finding));
    return true;
}

void run(const RuleInput& input, Report& report) {
    Tracers tracers;
    CalledOn called_on(input);
    OpenVoltages open(input);
    for (std::size_t i = 0; i < input.circuit.edges.size(); ++i) {
        const Edge& edge = input.circuit.edges[i];
        if (!loses(edge) || (draws(edge) && judge_open(input, EdgeId(i), open, report))) continue;
        judge_part(input, EdgeId(i), called_on, tracers, report);
    }
}

}  // namespace

extern const RuleFamily supply_voltage;
const RuleFamily supply_voltage{infos, run};

}  // namespace loomward::rules
