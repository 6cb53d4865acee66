// The voltage that arrives at each part against the one it is made for, and the drop on the way.
#include <algorithm>
#include <cmath>
#include <set>

#include "checker/parts/accepted.hpp"
#include "checker/parts/elements.hpp"
#include "checker/rules/cures.hpp"
#include "checker/rules/feeds.hpp"

namespace loomward::rules::supply_voltage {
namespace {

using namespace literals;

constexpr RuleInfo infos[] = {
    {"input-voltage",
     "a controller or converter, or a load or supply pin that says what it works at, fed above that at a "
     "full pack",
     "U_full <= largest input voltage", "rating of the part",
     "steady voltages; regeneration is counted where a mode returns current; where nothing takes that, rule "
     "regeneration-blocked tells; a charger or panel with no pack on it counts with its open voltage, "
     "whatever the modes say",
     "controller U1 { input 30..50 V", "controller U1 { input 30..60 V"},
    {"wrong-rail",
     "a load or supply pin without a stated range whose rated voltage is far from what it is fed: a 12 V "
     "part on the pack's rail, a 5 V sensor on 24 V",
     "0.7 x rated <= U_full of the source, U_full <= 1.35 x rated", "common practice, no source",
     "loads that say what they work at are judged by that; what the way there loses is rule voltage-drop's",
     "load H2 { 12 V, 10 W }", "load H2 { 48 V, 10 W, acts-as power, works 30..60 V }"},
    {"undervoltage",
     "a controller, converter, load or supply pin that gets less than it works at before the pack is empty",
     "U_low >= smallest input voltage", "rating of the part",
     "at the hottest ambient and the pack's lowest voltage, aged as far as it says (aged-resistance); each "
     "controller also at its setting, where no mode has it draw three quarters of that; not on a supply that "
     "cannot feed what hangs on it, which is told of",
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

bool loses(const Edge& edge) {
    return uses_power(edge.role) || edge.role == EdgeRole::supply_pin;
}

// What the line of a supply pin says it works at: a range, or the one voltage printed beside it.
const Value* pin_voltage(const RuleInput& input, const Edge& edge) {
    if (edge.role != EdgeRole::supply_pin) return nullptr;
    const Value& voltage = input.harness.voltage_of(pin_of(input.harness, edge));
    return voltage.present() && voltage.known != Knowledge::unknown ? &voltage : nullptr;
}

std::optional<Quantity> working_range(const RuleInput& input, const Edge& edge) {
    if (edge.role == EdgeRole::supply_pin) {
        const Value* voltage = pin_voltage(input, edge);
        if (!voltage || voltage->lo == voltage->hi) return std::nullopt;
        return voltage->quantity();
    }
    const bool load = input.harness.part(edge.part).kind == Kind::load;
    return input.facts.quantity(edge.part, load ? "works"_attr : "input"_attr);
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

// Parts whose voltage has a limit or a figure of its own.
bool has_range(const RuleInput& input, const Edge& edge) {
    return uses_power(edge.role) || pin_voltage(input, edge) != nullptr;
}

std::string who_is_fed(const RuleInput& input, const Edge& edge) {
    if (edge.role != EdgeRole::supply_pin) return named(input.harness, edge.part);
    return "pin " + std::string(input.harness.terminal(edge.from_terminal).path);
}

// The voltage a load or pin is made for. Of an estimate the figure that was estimated: what it is held
// against are rules of thumb, wide already.
std::optional<Quantity> printed_voltage(const RuleInput& input, const Edge& edge) {
    std::optional<Quantity> rated;
    if (const Value* pin = pin_voltage(input, edge))
        rated = pin->quantity();
    else if (edge.part && input.harness.part(edge.part).kind == Kind::load)
        rated = input.facts.quantity(edge.part, "(rated-voltage)"_attr);
    if (rated && rated->known == Knowledge::about) rated->lo = rated->hi = (rated->lo + rated->hi) / 2;
    return rated;
}

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

// True if something was said, so that no second rule speaks about the same voltage.
bool judge_high(const RuleInput& input, EdgeId id, const OperatingPoint& point, Report& report) {
    const Edge& edge = input.circuit.edge(id);
    const double now_V = fed_V(point, edge);
    const std::string who = who_is_fed(input, edge);
    const bool load = input.harness.part(edge.part).kind == Kind::load;
    if (const auto range = working_range(input, edge)) {
        if (!above(now_V, range->hi)) return false;
        const bool far = edge.role != EdgeRole::supply_pin && load && now_V > 1.35 * range->hi;
        Finding finding = voltage_finding(input, far ? "wrong-rail" : "input-voltage", Severity::error, id,
                                          point, who + " is fed a higher voltage than it takes",
                                          volts(now_V) + "; takes up to " + volts(range->hi),
                                          volts(now_V) + " > " + volts(range->hi));
        finding.help = "a part that takes " + volts(std::ceil(now_V)) + ", or a converter before it";
        if (edge.role != EdgeRole::supply_pin)
            finding.cures = {at_least(input.harness, edge.part, load ? "works"_attr : "input"_attr, now_V,
                                      Dimension::voltage)};
        report.add(std::move(finding));
        return true;
    }
    const auto rated = printed_voltage(input, edge);
    if (!rated || now_V <= 1.35 * rated->lo) return false;
    Finding finding = voltage_finding(
        input, "wrong-rail", Severity::error, id, point, who + " is on the wrong rail",
        volts(now_V) + "; made for " + volts(rated->lo), volts(now_V) + " > 1.35 x " + volts(rated->lo));
    finding.source = "common practice, no source";
    finding.help = "feed it from a " + volts(rated->hi) + " rail, or say what it works at";
    report.add(std::move(finding));
    return true;
}

// `full_V`: what it gets in the same mode with the pack full; `source_V`: what its source has then.
// `point` feeds it.
bool judge_low(const RuleInput& input, EdgeId id, const OperatingPoint& point, const AtSetting* set,
               double full_V, double source_V, Tracers& tracers, Report& report) {
    const Edge& edge = input.circuit.edge(id);
    const double arrives_V = fed_V(point, edge);
    const bool nothing = arrives_V < nothing_V;
    const double now_V = nothing ? 0 : arrives_V;
    const std::string who = who_is_fed(input, edge);
    if (const auto range = working_range(input, edge)) {
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
                       : feed_of(input, point, id, tracers).source_V < range->lo
                           ? "a part that works lower, or a rail that holds its voltage"
                           : "a shorter or thicker way, or a part that works lower";
        if (always && !nothing && edge.role != EdgeRole::supply_pin)
            finding.cures = {
                at_most(input.harness, edge.part,
                        input.harness.part(edge.part).kind == Kind::load ? "works"_attr : "input"_attr, now_V,
                        Dimension::voltage)};
        if (nothing) finding.witness.clear();
        add_age(input, point, finding);
        if (set) finding.working.push_back(setting_text(input, *set));
        report.add(std::move(finding));
        return false;  // what is lost on the way may be why
    }
    const auto rated = printed_voltage(input, edge);
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

// The points that hurt a part most, and all at which it is fed from packs that are low.
struct Worst {
    const OperatingPoint *highest = nullptr, *lowest = nullptr;
    const OperatingPoint* strained = nullptr;  // the lowest beside something that cannot be fed
    std::vector<const OperatingPoint*> fed;
    const AtSetting* set = nullptr;  // where the lowest is none of a mode
};
Worst worst_for(const RuleInput& input, EdgeId id, CalledOn& called_on) {
    const Edge& edge = input.circuit.edge(id);
    Worst worst;
    for (const OperatingPoint& point : input.points) {
        if (point.again || !point.usable()) continue;
        const double now_V = fed_V(point, edge);
        if (strained(input, point, edge)) {
            const bool itself =
                std::find(point.collapsed.begin(), point.collapsed.end(), id) != point.collapsed.end();
            if (!itself && point.unabsorbed.empty() && is_fed(point, id, edge, called_on) &&
                (!worst.strained || now_V < fed_V(*worst.strained, edge)))
                worst.strained = &point;
            continue;
        }
        if (point.corner == Corner::run_full) {
            if (!worst.highest || now_V > fed_V(*worst.highest, edge)) worst.highest = &point;
            continue;
        }
        if (!is_fed(point, id, edge, called_on)) continue;
        if (!worst.lowest || now_V < fed_V(*worst.lowest, edge)) worst.lowest = &point;
        worst.fed.push_back(&point);
    }
    for (const AtSetting& each : input.at_settings)
        if (worst.lowest && is_fed(each.point, id, edge, called_on) && !strained(input, each.point, edge) &&
            fed_V(each.point, edge) < fed_V(*worst.lowest, edge)) {
            worst.lowest = &each.point;
            worst.set = &each;
        }
    return worst;
}

// What stands beside a part that cannot be fed goes down with it. That one is the error, unless the file
// accepts it: then nothing else tells of this one.
void judge_strained(const RuleInput& input, EdgeId id, const OperatingPoint& point, Report& report) {
    const Edge& edge = input.circuit.edge(id);
    const auto range = working_range(input, edge);
    const double now_V = std::max(0.0, fed_V(point, edge));
    if (!range || !below(now_V, range->lo)) return;
    const bool accepted = std::all_of(point.collapsed.begin(), point.collapsed.end(), [&](EdgeId collapsed) {
        return is_accepted(input.harness, "cannot-be-fed", input.circuit.edge(collapsed).part, point.mode);
    });
    const PartId beside = input.circuit.edge(point.collapsed.front()).part;
    const std::string who = who_is_fed(input, edge), other = named(input.harness, beside);
    Finding finding = voltage_finding(
        input, "undervoltage", accepted ? Severity::error : Severity::warning, id, point,
        who + " gets too little voltage beside " + other + ", which cannot be fed",
        volts(now_V) + "; works from " + volts(range->lo), volts(now_V) + " < " + volts(range->lo));
    finding.working.push_back("with " + other + " held at what it can get");
    finding.related.push_back({input.harness.part(beside).where, other + " is here"});
    finding.help = "feed " + other + ", or take it off this supply";
    report.add(std::move(finding));
}

void judge_part(const RuleInput& input, EdgeId id, CalledOn& called_on, Tracers& tracers, Report& report) {
    const Edge& edge = input.circuit.edge(id);
    const Worst worst = worst_for(input, id, called_on);
    if (has_range(input, edge)) {
        if (worst.highest && judge_high(input, id, *worst.highest, report)) return;
        const double full_V = worst.highest ? fed_V(*worst.highest, edge) : 0;
        const double source_V = worst.highest ? feed_of(input, *worst.highest, id, tracers).source_V : 0;
        if (worst.lowest && judge_low(input, id, *worst.lowest, worst.set, full_V, source_V, tracers, report))
            return;
        const auto range = working_range(input, edge);
        const bool low_anyway = range && worst.lowest && below(fed_V(*worst.lowest, edge), range->lo);
        if (worst.strained && !low_anyway) judge_strained(input, id, *worst.strained, report);
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
            if (charger.part == edge.part) continue;  // what an inverter charges with, it stands itself
            if (!joined_.same(charger.to.index(), edge.from.index()) ||
                !joined_.same(charger.from.index(), edge.to.index()))
                continue;
            if (!highest || open_V(id) > open_V(highest)) highest = id;
        }
        return highest;
    }
    double open_V(EdgeId charger) const {
        const PartId part = input_.circuit.edge(charger).part;
        const auto output = input_.facts.quantity(part, output_attribute(input_.harness, part));
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
    const auto range = working_range(input, edge);
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
        if (!loses(edge) || (has_range(input, edge) && judge_open(input, EdgeId(i), open, report))) continue;
        judge_part(input, EdgeId(i), called_on, tracers, report);
    }
}

}  // namespace

extern const RuleFamily family;
const RuleFamily family{infos, run};

}  // namespace loomward::rules::supply_voltage
