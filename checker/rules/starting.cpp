// What the starting current of a load does to the rest of the machine: the sag in which a contactor lets go
// or a converter drops out, and the parts on its way that it overloads while it lasts.
//
// A load that says its inrush is followed as if its mode said "draws the inrush for its time, then what it
// draws": the rules that hold a course of a mode against ratings judge that course as any other. Fuses,
// breakers and battery management are the matter of nuisance-trip, contacts that close onto it of
// making-current.
#include <algorithm>
#include <cmath>
#include <limits>
#include <map>
#include <numeric>
#include <set>

#include "checker/circuit/latching.hpp"
#include "checker/currents/surges.hpp"
#include "checker/currents/witness.hpp"
#include "checker/parts/elements.hpp"
#include "checker/parts/inrush.hpp"
#include "checker/parts/tasks.hpp"
#include "checker/rules/cures.hpp"
#include "checker/rules/rule_support.hpp"

// What judges the currents that stay judges a start as well.
namespace loomward::rules {
namespace component_currents {
extern const RuleFamily family;
}
namespace contact_ratings {
extern const RuleFamily family;
}
namespace source_ratings {
extern const RuleFamily family;
}
}  // namespace loomward::rules

namespace loomward::rules::starting {

namespace {

using namespace literals;

constexpr RuleInfo infos[] = {
    {"starting-sag",
     "a load whose starting current pulls the supply down so far that a coil lets go or that a converter, a "
     "controller or electronics on the same lead drop out: a contactor that chatters under that current "
     "welds",
     "U while the inrush flows >= coil-works.smallest (75 % of the rated voltage of a coil that does not "
     "say), input.smallest; works.smallest of what holds, brakes or steers, and the "
     "least of a "
     "supply pin of management, controllers and what drives; of other loads that act as power and other "
     "supply pins where the pack itself stays above it",
     "IEC 60947-4-1 8.2.1.2 (memory): a d.c. coil may let go from 75 % of its rated voltage on; ratings of "
     "the "
     "parts",
     "a note about other loads, of which many are lamps, and of a motor that says only what it draws "
     "blocked; the pack at its lowest, resistances at their "
     "largest, "
     "every load alone at its inrush, the others as "
     "the "
     "mode says; shorter than 10 ms coils and electronics ride through (common practice, no source)",
     "load H2 { 48 V, 10 W, acts-as power, works 30..60 V, inrush 100 A for 50 ms }",
     "load H2 { 48 V, 10 W, acts-as power, works 30..60 V }"},
    {"start-above-output",
     "a load that asks for more as it is switched on than the converter that feeds it gives: the output "
     "falls "
     "meanwhile, and what else hangs on it may reset",
     "I_inrush > what the output gives at its limit, less what others take of it", "rating of the part",
     "a note, since many outputs ride through it; not where a pack or another source on the same bus gives "
     "the rest",
     "load H1 { 12 V, 20 W, acts-as current, works 9..15 V, inrush 40 A for 50 ms }",
     "load H1 { 12 V, 20 W, acts-as current, works 9..15 V }"},
};

constexpr double rides_through_s = 0.01;
constexpr double may_let_go = 0.75;  // of the rated voltage
// Of very many loads those that could overload something on their way, and so many with the largest inrush
// and as many with the most heat in it.
constexpr std::size_t most_loads = 64;
constexpr std::size_t affordable_solutions = 8000000;  // edges of all points, once a load

// What a coil or electronics need at the least, V; nullopt: nothing is said.
std::optional<double> needs_V(const RuleInput& input, const Edge& edge) {
    const Facts& facts = input.facts;
    if (edge.role == EdgeRole::coil) {
        if (is_latching(input.harness, edge.part)) return std::nullopt;
        if (const auto works = facts.quantity(edge.part, "coil-works"_attr)) return works->lo;
        const auto rated = facts.quantity(edge.part, "coil"_attr, 0);
        return rated ? std::optional(may_let_go * rated->lo) : std::nullopt;
    }
    // Of loads electronics and what lets go: a lamp dims and is bright again.
    if (edge.role == EdgeRole::load) {
        const auto works = facts.quantity(edge.part, "works"_attr);
        const bool told = facts.word(edge.part, "acts-as"_attr) == "power" ||
                          drops_out(input.harness, input.harness.part(edge.part));
        return works && told ? std::optional(works->lo) : std::nullopt;
    }
    if (edge.role == EdgeRole::supply_pin) {
        const auto range = pin_voltage(input.harness, pin_of(input.harness, edge));
        return range && range->lo < range->hi ? std::optional(range->lo) : std::nullopt;
    }
    if (edge.role != EdgeRole::converter_input && edge.role != EdgeRole::controller) return std::nullopt;
    const auto range = facts.quantity(edge.part, "input"_attr);
    return range ? std::optional(range->lo) : std::nullopt;
}

struct Start {
    EdgeId load;
    Quantity current, time;
    bool stated = true;
};

class Starts {
  public:
    Starts(const RuleInput& input, Report& report)
        : input_(input), report_(report), solver_(input.circuit, input.facts) {
        for (const RuleFamily* family : judges) {
            Report found;
            family->run(input_, found);
            for (const Finding& finding : found.take())
                if (Severity& gravest = told_.try_emplace(key(finding), finding.severity).first->second;
                    finding.severity < gravest)
                    gravest = finding.severity;
        }
    }

    void judge(const Start& start) {
        std::vector<OperatingPoint> points;
        for (const Course& course : usable_courses(input_.points)) follow(start, course, points);
        if (points.empty()) return;
        const std::vector<AtSetting> no_settings;
        const RuleInput starting{input_.harness, input_.circuit, points,       no_settings,
                                 input_.wires,   input_.zones,   input_.proof, input_.transients,
                                 input_.faults,  input_.boxes,   input_.facts};
        for (const RuleFamily* family : judges) {
            Report found;
            family->run(starting, found);
            for (Finding& finding : found.take()) {
                if (std::find(std::begin(rules), std::end(rules), finding.rule) == std::end(rules) ||
                    !judged_by_moments(finding, start))
                    continue;
                const Severity now = start.stated ? finding.severity : Severity::note;
                const auto [known, fresh] = told_.try_emplace(key(finding), now);
                if (!fresh && known->second <= now) {
                    if (start.stated) ask_more(report_.told(), finding);
                    continue;
                }
                known->second = now;
                finding.message += ", as " + named(input_.harness, part(start)) + " starts";
                add_start(start, finding);
                report_.add(std::move(finding));
            }
        }
    }

  private:
    static constexpr const RuleFamily* judges[] = {&component_currents::family, &contact_ratings::family,
                                                   &source_ratings::family};
    static constexpr std::string_view rules[] = {"overloaded-diode", "overloaded-shunt", "overloaded-contact",
                                                 "overdrawn-pack"};
    using Key = std::pair<std::string, std::string>;
    static Key key(const Finding& finding) { return {finding.rule, finding.subject}; }
    // Packs that do not say what they give for a moment give more than their discharge for one: nothing to
    // judge by. Those that do give more for less: by equal I2t.
    bool judged_by_moments(const Finding& finding, const Start& start) const {
        if (finding.rule != "overdrawn-pack") return true;
        const auto peak = input_.facts.quantity(finding.part, "peak"_attr, 0);
        if (!peak || finding.figures.empty()) return false;
        const auto time = input_.facts.quantity(finding.part, "peak"_attr, 1);
        const double gives_A = finding.figures[0].value;
        return !time || gives_A * gives_A * start.time.hi > peak->lo * peak->lo * time->lo;
    }
    PartId part(const Start& start) const { return input_.circuit.edge(start.load).part; }

    // Of a motor that says nothing of its start it is known blocked alone: a note.
    void add_start(const Start& start, Finding& finding) const {
        if (!start.stated) finding.severity = Severity::note;
        finding.working.push_back(
            named(input_.harness, part(start)) + " draws " + to_text(start.current) + " for " +
            to_text(start.time) + " as it is switched on (" +
            (start.stated ? "inrush)" : "what it draws blocked: it says nothing of its start)"));
        finding.related.push_back(
            {input_.harness.part(part(start)).where, named(input_.harness, part(start)) + " is here"});
    }

    // The course with the inrush before it, where the load draws and the mode does not state as much itself.
    void follow(const Start& start, const Course& course, std::vector<OperatingPoint>& points) {
        const OperatingPoint& first = course.points.front();
        for (const OperatingPoint& point : course.points)
            if (point.edge_A[start.load.index()] >= 0.9 * start.current.lo) return;
        if (first.edge_A[start.load.index()] < 1e-3) return;
        OperatingPoint surged = solver_.with(first, {{start.load, start.current.hi}});
        if (!surged.usable() || surged.edge_A.empty()) return;
        surged.from_s = 0;
        surged.duration_s = start.time.hi;
        surged.repeats = false;
        judge_sag(start, first, surged);
        judge_output(start, first, surged);
        points.push_back(std::move(surged));
        for (OperatingPoint point : course.points) {
            point.from_s += start.time.hi;
            point.repeats = false;
            points.push_back(std::move(point));
        }
    }

    void judge_sag(const Start& start, const OperatingPoint& before, const OperatingPoint& surged) {
        if (start.time.hi < rides_through_s || surged.corner != Corner::run_hot) return;
        for (std::size_t i = 0; i < input_.circuit.edges.size(); ++i) {
            const Edge& edge = input_.circuit.edges[i];
            if (EdgeId(i) == start.load) continue;
            const std::optional<double> least_V = needs_V(input_, edge);
            if (!least_V || !holds(edge, before)) continue;
            const auto across_V = [&](const OperatingPoint& point) {
                return std::abs(point.node_V[edge.from.index()] - point.node_V[edge.to.index()]);
            };
            // What is too low without it as well is another rule's.
            if (!below(across_V(surged), *least_V) || below(across_V(before), *least_V)) continue;
            // A pack that sags so far takes all of them down with it: only what a shared lead loses is told,
            // and what must not drop out.
            const bool plain = edge.role == EdgeRole::load || edge.role == EdgeRole::supply_pin;
            if (plain && (edge.part == part(start) || lies_on_an_output(edge, surged) ||
                          (!must_stay_on(edge) && below(most_of_packs_V(surged), *least_V))))
                continue;
            const Key sag{"starting-sag", std::string(input_.harness.part(edge.part).name)};
            if (!told_.try_emplace(sag, Severity::note).second) continue;
            tell_sag(start, edge, across_V(before), across_V(surged), *least_V, surged);
        }
    }

    // What lets go, and electronics that hold something else on: management, and what drives by its pins.
    bool must_stay_on(const Edge& edge) const {
        const Part& part = input_.harness.part(edge.part);
        if (edge.role == EdgeRole::load) return drops_out(input_.harness, part);
        const auto pins = input_.harness.pins_of(edge.part);
        return part.kind == Kind::bms || part.kind == Kind::controller ||
               std::any_of(pins.begin(), pins.end(),
                           [](const DevicePin& pin) { return is_driver(pin.purpose); });
    }

    // Behind a converter that gives no more: start-above-output tells of it.
    bool lies_on_an_output(const Edge& fed, const OperatingPoint& point) const {
        const CurrentPath way =
            trace_current(input_.circuit, point, input_.circuit.edges_of_part[fed.part.index()].front());
        return std::any_of(way.edges.begin(), way.edges.end(), [&](EdgeId id) {
            return input_.circuit.edge(id).role == EdgeRole::converter_output;
        });
    }
    double most_of_packs_V(const OperatingPoint& point) const {
        double most_V = 0;
        for (const Edge& edge : input_.circuit.edges)
            if (edge.role == EdgeRole::emf)
                most_V = std::max(most_V, point.node_V[edge.to.index()] - point.node_V[edge.from.index()]);
        return most_V;
    }

    // The solver gives a load no more than what the converter before it may.
    void judge_output(const Start& start, const OperatingPoint& before, const OperatingPoint& surged) {
        EdgeId output;
        double most_A = 0;
        for (std::size_t i = 0; i < input_.circuit.edges.size(); ++i) {
            if (input_.circuit.edges[i].role != EdgeRole::converter_output) continue;
            const double added_A = surged.edge_A[i] - before.edge_A[i];
            if (added_A > most_A) output = EdgeId(i), most_A = added_A;
        }
        if (!output) return;
        // Solved at one end of what the output gives; an estimate may be the other.
        const auto gives = input_.facts.quantity(input_.circuit.edge(output).part, "output"_attr, 1);
        const double solved_A = std::abs(surged.edge_A[start.load.index()]);
        const double left_A = gives ? gives->lo - (surged.edge_A[output.index()] - solved_A) : solved_A;
        const double gets_A = std::max(0.0, std::min(solved_A, left_A));
        if (!below(gets_A, start.current.hi)) return;
        const std::string name(input_.harness.part(part(start)).name);
        if (!told_.try_emplace({"start-above-output", name}, Severity::note).second) return;
        const PartId by = input_.circuit.edge(output).part;
        const std::string converter = named(input_.harness, by);
        Finding finding = finding_about(input_, "start-above-output", Severity::note, part(start));
        finding.message =
            named(input_.harness, part(start)) + " asks for more as it starts than " + converter + " gives";
        finding.beside = amps(start.current.hi) + "; gets " + amps(gets_A);
        finding.working = {
            amps(start.current.hi) + " > " + amps(gets_A) + ", what is left of the output of " + converter,
            "for " + to_text(start.time) + " the output falls (inrush)"};
        finding.figures = {{"current", start.current.hi, Dimension::current},
                           {"limit", gets_A, Dimension::current}};
        finding.source = "rating of the part";
        witnessed(input_, finding, surged, start.load);
        finding.related.push_back({input_.harness.part(by).where, converter + " is here"});
        finding.help = "a converter that gives " + amps(start.current.hi - gets_A) +
                       " more, or a load that starts softly";
        report_.add(std::move(finding));
    }

    bool holds(const Edge& edge, const OperatingPoint& point) const {
        const Posture posture = input_.harness.modes[point.mode.index()].states[edge.part.index()].posture;
        if (edge.role == EdgeRole::coil) return posture == Posture::closed || posture == Posture::energised;
        return posture != Posture::off;
    }
    void tell_sag(const Start& start, const Edge& edge, double before_V, double sags_V, double least_V,
                  const OperatingPoint& point) {
        const bool coil = edge.role == EdgeRole::coil;
        const std::string load = named(input_.harness, part(start));
        // A lamp of the same kind in print is bright again.
        const bool dims = edge.role == EdgeRole::load && !must_stay_on(edge);
        Finding finding =
            finding_about(input_, "starting-sag", dims ? Severity::note : Severity::warning, edge.part);
        finding.message = (coil ? "the coil of " : "") + named(input_.harness, edge.part) +
                          (coil ? " may let go" : " may drop out") + " as " + load + " starts";
        finding.beside = volts(sags_V) + "; " + (coil ? "holds from " : "works from ") + volts(least_V);
        finding.working = {volts(sags_V) + " < " + volts(least_V),
                           volts(before_V) + " without the starting current (pack low)"};
        finding.figures = {{"voltage", sags_V, Dimension::voltage}, {"limit", least_V, Dimension::voltage}};
        finding.source = coil ? "rating of the part; IEC 60947-4-1 8.2.1.2 (memory)" : "rating of the part";
        witnessed(input_, finding, point, start.load);
        finding.help = coil
                           ? "a supply for the coil that does not sag with it, a coil that holds lower, or a "
                             "pack and leads with less resistance"
                           : "a supply that does not sag with it, a part that works lower, or a pack and "
                             "leads with less resistance";
        add_start(start, finding);
        report_.add(std::move(finding));
    }

    const RuleInput& input_;
    Report& report_;
    SurgeSolver solver_;
    std::map<Key, Severity> told_;  // the gravest
};

// What diodes, shunts and contacts carry for long, A.
std::optional<double> carries_A(const RuleInput& input, const Edge& edge) {
    std::optional<Quantity> rated;
    if (edge.role == EdgeRole::diode || edge.role == EdgeRole::shunt)
        rated = input.facts.quantity(edge.part, "(rated-current)"_attr);
    else if (!is_conductor(edge.role) || opens_on_current(edge.role) || !edge.part)
        return std::nullopt;
    else if (rated = input.facts.quantity(edge.part, "carries"_attr); !rated)
        rated = input.facts.quantity(edge.part, "way-carries"_attr);
    return rated ? std::optional(rated->lo) : std::nullopt;
}

// More than something on the way carries for long, whatever the time.
bool may_overload(const RuleInput& input, const Start& start, const OperatingPoint& point,
                  CurrentTracer& tracer) {
    const double own_A = std::abs(point.edge_A[start.load.index()]);
    if (own_A < 1e-3) return false;
    for (const EdgeId id : tracer.through(start.load).edges) {
        const auto rated_A = carries_A(input, input.circuit.edge(id));
        if (rated_A && std::abs(point.edge_A[id.index()]) - own_A + start.current.hi > *rated_A) return true;
    }
    return false;
}

// `starts`: the largest current first, and so they stay.
void keep_the_worst(const RuleInput& input, std::vector<Start>& starts) {
    std::vector<bool> kept(starts.size(), false);
    for (std::size_t i = 0; i < std::min(most_loads, starts.size()); ++i) kept[i] = true;
    std::vector<std::size_t> by_heat(starts.size());
    std::iota(by_heat.begin(), by_heat.end(), 0U);
    const auto heat = [&](std::size_t i) {
        return starts[i].current.hi * starts[i].current.hi * starts[i].time.hi;
    };
    std::stable_sort(by_heat.begin(), by_heat.end(),
                     [&](std::size_t a, std::size_t b) { return heat(a) > heat(b); });
    for (std::size_t i = 0; i < std::min(most_loads, starts.size()); ++i) kept[by_heat[i]] = true;
    for (const Course& course : usable_courses(input.points)) {
        CurrentTracer tracer(input.circuit, course.points.front());
        for (std::size_t i = 0; i < starts.size(); ++i)
            kept[i] = kept[i] || may_overload(input, starts[i], course.points.front(), tracer);
    }
    std::vector<Start> some;
    for (std::size_t i = 0; i < starts.size(); ++i)
        if (kept[i]) some.push_back(starts[i]);
    starts = std::move(some);
}

void run(const RuleInput& input, Report& report) {
    std::vector<Start> starts;
    for (std::size_t i = 0; i < input.circuit.edges.size(); ++i) {
        const Edge& edge = input.circuit.edges[i];
        if (edge.role != EdgeRole::load && edge.role != EdgeRole::controller) continue;
        if (const auto inrush = inrush_of(input.facts, edge.part); inrush && inrush->time)
            starts.push_back({EdgeId(i), inrush->current, *inrush->time, inrush->stated});
    }
    if (starts.empty()) return;
    std::stable_sort(starts.begin(), starts.end(),
                     [](const Start& a, const Start& b) { return a.current.hi > b.current.hi; });
    const std::size_t a_load = std::max<std::size_t>(1, input.circuit.edges.size() * input.points.size());
    if (starts.size() > std::max(most_loads, affordable_solutions / a_load)) keep_the_worst(input, starts);
    Starts all(input, report);
    for (const Start& start : starts) all.judge(start);
}

}  // namespace

extern const RuleFamily family;
const RuleFamily family{infos, run};

}  // namespace loomward::rules::starting
