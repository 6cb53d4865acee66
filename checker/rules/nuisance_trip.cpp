// Normal use that opens a fuse or breaker, or makes a battery management trip: pulses of the modes, and loads
// as they are switched on.
#include <algorithm>
#include <cmath>
#include <limits>
#include <map>

#include "checker/currents/device_duty.hpp"
#include "checker/currents/surges.hpp"
#include "checker/parts/bands.hpp"
#include "checker/parts/printed_figures.hpp"
#include "checker/parts/time_current.hpp"
#include "checker/parts/unknown_curves.hpp"
#include "checker/rules/rule_support.hpp"
#include "checker/switching/starts.hpp"

namespace loomward::rules::nuisance_trip {
namespace {

using namespace literals;

constexpr RuleInfo infos[] = {
    {"nuisance-trip",
     "normal use that can open a fuse or breaker or make a battery management trip: the pulses of a mode, "
     "or a load that is switched on; as a note, what opens when a load is blocked",
     "sum of duration / t_fast(I) < 1 over a mode, t_fast at the hottest ambient of its place; inrush: "
     "duration < t_fast(I_mode + inrush); an error where t_slow at the coldest is reached as well",
     "the time-current band of the device",
     "a device cools while it carries less than it holds for good, with the time constant that its band "
     "gives at the pulse, (I/Ih)^2 (1 - exp(-t_fast/tau)) = 1, for the error at once; it does not cool "
     "before; "
     "ageing by many pulses is not counted; loads are switched on one at a time, each at the busiest "
     "moment of a mode, but those together that a mode starts with one switch; converters give no more than "
     "their limit; capacitors are another rule "
     "(no-precharge); pulses that trip a battery management are told by overdrawn-bms, steady overload by "
     "overloaded-fuse; a fast edge that is told for hours alone is taken as a hundredth of the slow one (no "
     "source); "
     "nothing is said where nothing is known of the fast edge",
     "load H2 { 48 V, 10 W, acts-as power, works 30..60 V, inrush 50 A for 300 ms }",
     "load H2 { 48 V, 10 W, acts-as power, works 30..60 V }"},
};

std::string edge_working(const RuleInput& input, const Band& band, PartId part, ModeId mode, bool surely,
                         double current_A) {
    const Quantity ambient = input.facts.ambient(part, mode);
    if (band.electronic) return "trips as stated";
    if (!surely && band.fast_untold(current_A)) {
        const std::string taken = "1/" + to_text(edges_apart, Dimension::none) + " of its slow edge";
        input.facts.assume("fast edge of a device whose curve promises hours alone", taken, "no source",
                           input.harness.part(part).name);
        return "its curve promises hours a little above its rating; at this current taken as " + taken +
               ", " + band.source;
    }
    return std::string(surely ? "slow" : "fast") + " edge at " + degrees(surely ? ambient.lo : ambient.hi) +
           ", " + band.source;
}

void judge_pulses(const RuleInput& input, const std::vector<Course>& courses, EdgeId id, Bands& bands,
                  Report& report) {
    const PartId part = input.circuit.edge(id).part;
    for (const DutyEdge which : {DutyEdge::slow, DutyEdge::fast}) {
        const bool surely = which == DutyEdge::slow;
        for (const Course& course : courses) {
            const Band& band = bands.of(part, course.mode);
            // What is too much for good is overload, another rule.
            const auto rated = rated_at(input.facts, part, input.facts.ambient(part, course.mode).hi);
            if (!rated || load_of(course, fuse_warm_up().quick_s, id).current_A > rated->current_A * 1.0001)
                continue;
            const Duty duty = follow_duty(course, id, band, which);
            if (!duty.operates) continue;
            const double now_A = std::abs(duty.point->edge_A[id.index()]);
            Finding finding =
                finding_about(input, "nuisance-trip", surely ? Severity::error : Severity::warning, part);
            finding.message = named(input.harness, part) + (surely ? " opens" : " may open") +
                              " in normal use, by the pulses of mode " +
                              std::string(input.harness.modes[course.mode.index()].name);
            finding.beside = amps(now_A) + (surely ? "; open after " : "; may open after ") +
                             seconds(edge_time_s(band, which, now_A));
            finding.working = duty.working;
            finding.working.push_back(edge_working(input, band, part, course.mode, surely, now_A));
            finding.figures = {{"current", now_A, Dimension::current},
                               {"time", edge_time_s(band, which, now_A), Dimension::time},
                               {"share", duty.share, Dimension::none}};
            finding.source = band.source;
            witnessed(input, finding, *duty.point, id);
            finding.help = "one that holds " + amps(now_A) +
                           " for longer would pass, if the wires behind it may "
                           "carry its rated current";
            const double may_s = band.fast_s(now_A).value_or(0);
            if (may_s > 0) finding.help += "; so would pulses well below " + seconds(may_s);
            report.add(std::move(finding));
            return;
        }
    }
}

// A load at another current, and what a device on its way carries then.
struct Surge {
    EdgeId device;
    EdgeId load;
    double through_A = 0;
    double mode_A = 0;  // of it, what the mode draws without the surge
    double lasts_s = 0;
    double open_s = 0;
    bool surely = false;
    OperatingPoint point;
};

class Surges {
  public:
    Surges(const RuleInput& input, const std::vector<Course>& courses, Bands& bands)
        : input_(input), courses_(courses), bands_(bands), solver_(input.circuit, input.facts) {}

    void judge_inrush(EdgeId load, Report& report) {
        const PartId part = input_.circuit.edge(load).part;
        const auto amount = input_.facts.quantity(part, "inrush"_attr, 0);
        const auto time = input_.facts.quantity(part, "inrush"_attr, 1);
        if (!amount || !time) return;
        std::map<PartId, Surge> worst;
        for (const Course& course : courses_) {
            each_device(course, load, amount->hi,
                        [&](EdgeId device, double through_A, double mode_A, const OperatingPoint& surged) {
                            const PartId guard = input_.circuit.edge(device).part;
                            const Band& band = bands_.of(guard, course.mode);
                            const double fast_s = edge_time_s(band, DutyEdge::fast, through_A);
                            const double slow_s =
                                edge_time_s(band, DutyEdge::slow, through_A * amount->lo / amount->hi);
                            const bool surely = time->lo >= slow_s;
                            if (!surely && time->hi < fast_s) return;
                            Surge now{device,
                                      load,
                                      through_A,
                                      mode_A,
                                      surely ? time->lo : time->hi,
                                      surely ? slow_s : fast_s,
                                      surely,
                                      surged};
                            const auto known = worst.find(guard);
                            const bool worse = known == worst.end() || (surely && !known->second.surely) ||
                                               (surely == known->second.surely &&
                                                through_A > known->second.through_A * 1.0001);
                            if (worse) worst.insert_or_assign(guard, std::move(now));
                        });
        }
        for (const auto& [guard, surge] : worst) {
            bool& surely = opened_.try_emplace(guard, false).first->second;
            surely = surely || surge.surely;
            report_inrush(guard, surge, report);
        }
    }

    void judge_stall(EdgeId load, Report& report) {
        const PartId part = input_.circuit.edge(load).part;
        const auto amount = input_.facts.quantity(part, "stall"_attr);
        if (!amount) return;
        // In the mode in which it takes longest until the first device on the way is open.
        std::optional<Surge> slowest;
        for (const Course& course : courses_) {
            std::optional<Surge> first;
            each_device(course, load, amount->lo,
                        [&](EdgeId device, double through_A, double mode_A, const OperatingPoint& surged) {
                            const Band& band = bands_.of(input_.circuit.edge(device).part, course.mode);
                            const auto any =
                                by_any_curve(input_.facts, input_.circuit.edge(device).part, through_A);
                            const double slow_s = any ? any->slowest_s : band.slow_s(through_A);
                            if (first && slow_s >= first->open_s) return;
                            first = Surge{device, load, through_A, mode_A, band.fast_s(through_A).value_or(0),
                                          slow_s, true, surged};
                        });
            if (first && (!slowest || first->open_s > slowest->open_s)) slowest = std::move(first);
        }
        if (slowest) report_stall(*slowest, amount->lo, report);
    }

    // Loads that one switch starts: their inrushes add up.
    void judge_start(const CommonStart& start, Report& report) {
        for (std::size_t i = 0; i < input_.circuit.edges.size(); ++i) {
            const Edge& edge = input_.circuit.edges[i];
            if (!opens_on_current(edge.role)) continue;
            const Band& band = bands_.of(edge.part, start.mode);
            double fast = 0, slow = 0;
            const OperatingPoint* highest = nullptr;
            for (const StartLevel& level : start.levels) {
                if (level.point.edge_A.empty()) continue;
                const double now_A = std::abs(level.point.edge_A[i]);
                if (now_A <= std::abs(start.running->edge_A[i]) * 1.001) continue;
                fast += level.lasts_s / edge_time_s(band, DutyEdge::fast, now_A);
                slow += level.lasts_s / edge_time_s(band, DutyEdge::slow, now_A);
                if (!highest || now_A > std::abs(highest->edge_A[i])) highest = &level.point;
            }
            const bool surely = slow >= 1 && all_exact(start);
            if (!highest || (fast < 1 && !surely)) continue;
            const auto [known, fresh] = opened_.try_emplace(edge.part, surely);
            if (!fresh && (known->second || !surely)) continue;
            known->second = surely;
            report_start(start, EdgeId(i), *highest, surely, surely ? slow : fast, report);
        }
    }

    void say_what_was_lost(Report& report) const {
        for (const auto& [load, mode] : lost_) {
            const PartId part = input_.circuit.edge(load).part;
            Finding finding = finding_about(input_, "nuisance-trip", Severity::note, part);
            finding.message = "what flows when " + named(input_.harness, part) +
                              " is switched on or blocked could not be worked out";
            finding.beside = "not judged";
            finding.source = "the solver did not settle";
            finding.mode = mode;
            report.add(std::move(finding));
        }
    }

  private:
    bool all_exact(const CommonStart& start) const {
        return std::all_of(start.loads.begin(), start.loads.end(), [&](EdgeId load) {
            const PartId part = input_.circuit.edge(load).part;
            const auto amount = input_.facts.quantity(part, "inrush"_attr, 0);
            const auto time = input_.facts.quantity(part, "inrush"_attr, 1);
            return amount && time && amount->lo == amount->hi && time->lo == time->hi;
        });
    }
    void report_start(const CommonStart& start, EdgeId device, const OperatingPoint& highest, bool surely,
                      double share, Report& report) const {
        const PartId guard = input_.circuit.edge(device).part;
        const Band& band = bands_.of(guard, start.mode);
        std::string names;
        for (std::size_t i = 0; i < start.loads.size() && i < 4; ++i)
            names += (i > 0 ? ", " : "") +
                     std::string(input_.harness.part(input_.circuit.edge(start.loads[i]).part).name);
        if (start.loads.size() > 4) names += " and " + std::to_string(start.loads.size() - 4) + " more";
        const std::string opens =
            band.electronic ? (surely ? " trips" : " may trip") : (surely ? " opens" : " may open");
        Finding finding =
            finding_about(input_, "nuisance-trip", surely ? Severity::error : Severity::warning, guard);
        finding.message = named(input_.harness, guard) + opens + " when " + named(input_.harness, start.by) +
                          " starts " + names + " at once";
        const double most_A = std::abs(highest.edge_A[device.index()]);
        const double open_s = edge_time_s(band, surely ? DutyEdge::slow : DutyEdge::fast, most_A);
        finding.beside = amps(most_A) + (surely ? "; open after " : "; may open after ") + seconds(open_s);
        for (const StartLevel& level : start.levels) {
            if (level.point.edge_A.empty()) continue;
            const double now_A = std::abs(level.point.edge_A[device.index()]);
            const double time_s = edge_time_s(band, surely ? DutyEdge::slow : DutyEdge::fast, now_A);
            finding.working.push_back(
                amps(now_A) + " for " + seconds(level.lasts_s) +
                (std::isfinite(time_s) ? (surely ? ", is open after " : ", may open after ") + seconds(time_s)
                                       : std::string(", which it holds")));
        }
        finding.working.push_back(to_text(share, Dimension::none) + " >= 1 (sum of duration / time)");
        finding.working.push_back(edge_working(input_, band, guard, start.mode, surely, most_A));
        finding.figures = {{"current", most_A, Dimension::current}, {"time", open_s, Dimension::time}};
        finding.source = band.source;
        witnessed(input_, finding, highest, start.loads.front());
        finding.mode = start.mode;
        finding.related.push_back(
            {input_.harness.part(start.by).where, named(input_.harness, start.by) + " starts them"});
        finding.help = "start them one after the other, or a device that holds " + amps(most_A) +
                       " for longer, if the wires behind it may carry its rated current";
        report.add(std::move(finding));
    }

    // Every device that carries more in a course because the load takes `load_A`: with what it carries then
    // at the most, what of it the mode draws, and the solved surge. The surge is solved at the busiest point
    // and adds to the others as it does there.
    template <class Judge>
    void each_device(const Course& course, EdgeId load, double load_A, Judge judge) {
        const OperatingPoint* busiest = nullptr;
        double most_A = 0;
        for (const OperatingPoint& point : course.points) {
            if (point.edge_A[load.index()] < 1e-3 || point.edge_A[load.index()] >= load_A) continue;
            double sum_A = 0;
            for (std::size_t i = 0; i < input_.circuit.edges.size(); ++i)
                if (opens_on_current(input_.circuit.edges[i].role)) sum_A += std::abs(point.edge_A[i]);
            if (!busiest || sum_A > most_A) busiest = &point, most_A = sum_A;
        }
        if (!busiest) return;
        const OperatingPoint surged = solver_.with(*busiest, {{load, load_A}});
        if (surged.edge_A.empty()) {
            lost_.emplace(load, course.mode);
            return;
        }
        for (std::size_t i = 0; i < input_.circuit.edges.size(); ++i) {
            if (!opens_on_current(input_.circuit.edges[i].role)) continue;
            const double added_A = surged.edge_A[i] - busiest->edge_A[i];
            if (std::abs(added_A) < 0.01 * load_A) continue;
            double through_A = 0, mode_A = 0;
            for (const OperatingPoint& point : course.points) {
                if (point.edge_A[load.index()] < 1e-3) continue;
                const double now_A = std::abs(point.edge_A[i] + added_A);
                if (now_A > through_A) through_A = now_A, mode_A = std::abs(point.edge_A[i]);
            }
            if (through_A > mode_A) judge(EdgeId(i), through_A, mode_A, surged);
        }
    }

    void report_inrush(PartId guard, const Surge& surge, Report& report) const {
        const PartId load = input_.circuit.edge(surge.load).part;
        Finding finding =
            finding_about(input_, "nuisance-trip", surge.surely ? Severity::error : Severity::warning, guard);
        const Band& band = bands_.of(guard, surge.point.mode);
        const std::string opens = band.electronic ? (surge.surely ? " trips" : " may trip")
                                                  : (surge.surely ? " opens" : " may open");
        finding.message =
            named(input_.harness, guard) + opens + " when " + named(input_.harness, load) + " is switched on";
        finding.beside = amps(surge.through_A) + " for " + seconds(surge.lasts_s) +
                         (surge.surely ? "; open after " : "; may open after ") + seconds(surge.open_s);
        finding.working = {
            seconds(surge.lasts_s) + " >= " + seconds(surge.open_s) + " at " + amps(surge.through_A),
            "of it the mode draws " + amps(surge.mode_A) + "; inrush of " +
                std::string(input_.harness.part(load).name) + " " +
                to_text(*input_.facts.quantity(load, "inrush"_attr, 0)) + " for " +
                to_text(*input_.facts.quantity(load, "inrush"_attr, 1)),
            edge_working(input_, band, guard, surge.point.mode, surge.surely, surge.through_A)};
        finding.figures = {{"current", surge.through_A, Dimension::current},
                           {"lasts", surge.lasts_s, Dimension::time},
                           {"time", surge.open_s, Dimension::time}};
        finding.source = band.source;
        witnessed(input_, finding, surge.point, surge.load);
        finding.related.push_back(
            {input_.harness.part(load).where, named(input_.harness, load) + " is here"});
        finding.help = (band.electronic ? "a trip point above " : "one that holds ") + amps(surge.through_A) +
                       (band.electronic ? ", or a delay longer than " : " for longer than ") +
                       seconds(input_.facts.quantity(load, "inrush"_attr, 1)->hi) + " would pass" +
                       (band.electronic ? "" : ", if the wires behind it may carry its rated current");
        report.add(std::move(finding));
    }

    void report_stall(const Surge& surge, double stall_A, Report& report) const {
        const PartId load = input_.circuit.edge(surge.load).part;
        const PartId guard = input_.circuit.edge(surge.device).part;
        const Band& band = bands_.of(guard, surge.point.mode);
        Finding finding = finding_about(input_, "nuisance-trip", Severity::note, load);
        const bool opens = surge.open_s < never_s;
        const auto any = by_any_curve(input_.facts, guard, surge.through_A);
        finding.message = named(input_.harness, load) + " blocked draws " + amps(stall_A) +
                          (opens ? ": " + named(input_.harness, guard) + " opens it"
                                 : ": no device on its way is sure to open");
        const bool spread = surge.lasts_s > 0 && surge.lasts_s < surge.open_s;
        finding.beside = !opens ? std::string("nothing but its own windings ends it")
                                : "after " + (spread ? seconds(surge.lasts_s) + " at the soonest, " : "") +
                                      seconds(surge.open_s) + " at the latest";
        finding.working = {amps(surge.through_A) + " through " + named(input_.harness, guard) + ", " +
                               amps(surge.mode_A) + " without it",
                           any ? "nobody knows its curve: taken as the slowest, " + any->slowest_source
                               : "band: " + (band.source.empty() ? "not known" : band.source)};
        finding.figures = {{"current", surge.through_A, Dimension::current}};
        finding.source = any                   ? any->slowest_source
                         : band.source.empty() ? "common practice, no source"
                                               : band.source;
        witnessed(input_, finding, surge.point, surge.load);
        report.add(std::move(finding));
    }

    const RuleInput& input_;
    const std::vector<Course>& courses_;
    Bands& bands_;
    SurgeSolver solver_;
    std::map<PartId, bool> opened_;  // devices that a single load opens, or some together; true: surely
    std::map<EdgeId, ModeId> lost_;  // loads whose surge has no solution, and the first mode of those
};

void run(const RuleInput& input, Report& report) {
    const std::vector<Course> courses = usable_courses(input.points);
    Bands bands(input.facts);
    for (std::size_t i = 0; i < input.circuit.edges.size(); ++i) {
        const EdgeRole role = input.circuit.edges[i].role;
        if (is_protective(role)) judge_pulses(input, courses, EdgeId(i), bands, report);
    }
    Surges surges(input, courses, bands);
    for (std::size_t i = 0; i < input.circuit.edges.size(); ++i) {
        const EdgeRole role = input.circuit.edges[i].role;
        if (role != EdgeRole::load && role != EdgeRole::controller) continue;
        surges.judge_inrush(EdgeId(i), report);
        surges.judge_stall(EdgeId(i), report);
    }
    for (const CommonStart& start :
         common_starts(input.circuit, input.facts, input.transients.entries, input.points))
        surges.judge_start(start, report);
    surges.say_what_was_lost(report);
}

}  // namespace

extern const RuleFamily family;
const RuleFamily family{infos, run};

}  // namespace loomward::rules::nuisance_trip
