// A blocked motor that somebody lets go of.
#include "checker/rules/stalled_contacts.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <optional>

#include "checker/currents/surges.hpp"
#include "checker/parts/arcs.hpp"
#include "checker/parts/elements.hpp"
#include "checker/parts/time_current.hpp"
#include "checker/parts/unknown_curves.hpp"
#include "checker/rules/rule_support.hpp"

namespace loomward::rules {
namespace {

using namespace literals;

// A hand lets go of a blocked motor within about this time; what opens sooner cuts it first. Common practice,
// no source.
constexpr double lets_go_s = 1;
// What a contact breaks over what it says, once in a while: rated for thousands of times. Where nothing is
// sure to open, the contact is all there is, and gets none of it. Common practice, no source.
constexpr double now_and_then = 3;

class Stalls {
  public:
    Stalls(const RuleInput& input, std::set<PartId>& said, Report& report)
        : input_(input),
          said_(said),
          report_(report),
          courses_(usable_courses(input.points)),
          solver_(input.circuit, input.facts) {}

    void look_at(EdgeId load) {
        const auto stall = input_.facts.quantity(input_.circuit.edge(load).part, "stall"_attr);
        if (!stall) return;
        for (const Course& course : courses_) {
            const OperatingPoint* busiest = nullptr;
            for (const OperatingPoint& point : course.points)
                if (point.edge_A[load.index()] >= 1e-3 && point.edge_A[load.index()] < stall->hi &&
                    (!busiest || point.edge_A[load.index()] > busiest->edge_A[load.index()]))
                    busiest = &point;
            if (!busiest) continue;
            const OperatingPoint blocked = solver_.with(*busiest, {{load, stall->hi}});
            if (!blocked.edge_A.empty()) judge(load, *busiest, blocked);
        }
    }

  private:
    // What may open soonest of all that carry the current, and whether anything is sure to.
    struct First {
        PartId device;
        double opens_s = std::numeric_limits<double>::infinity();
        bool sure = false;
        bool untold = false;  // its curve is not known: how soon by the slowest family
    };
    First first_to_open(const OperatingPoint& running, const OperatingPoint& blocked) const {
        First first;
        for (std::size_t i = 0; i < input_.circuit.edges.size(); ++i) {
            const Edge& edge = input_.circuit.edges[i];
            const double now_A = std::abs(blocked.edge_A[i]);
            if (!opens_on_current(edge.role) || now_A <= std::abs(running.edge_A[i]) + 1e-3) continue;
            const Band& band = input_.faults.setting().bands[edge.part.index()];
            const auto any = by_any_curve(input_.facts, edge.part, now_A);
            const double slow_s = any ? any->slowest_s : band.slow_s(now_A);
            const double opens_s = any ? slow_s : band.fast_s(now_A).value_or(slow_s);
            first.sure = first.sure || std::isfinite(slow_s);
            if (first.device && opens_s >= first.opens_s) continue;
            first.device = edge.part, first.opens_s = opens_s;
            first.untold = any && any->opens();
        }
        return first;
    }

    // From the load outwards, both ways: up to the first contact that can break it, which is the one to use.
    void judge(EdgeId load, const OperatingPoint& running, const OperatingPoint& blocked) {
        const First first = first_to_open(running, blocked);
        if (first.opens_s <= lets_go_s) return;
        const std::vector<EdgeId> way = trace_current(input_.circuit, blocked, load).edges;
        const auto at = std::find(way.begin(), way.end(), load) - way.begin();
        const auto count = static_cast<std::ptrdiff_t>(way.size());
        for (std::ptrdiff_t out = 1; out <= count; ++out)
            for (const std::ptrdiff_t place : {at - out, at + out}) {
                if (place < 0 || place >= count) continue;
                const EdgeId id = way[static_cast<std::size_t>(place)];
                const Edge& edge = input_.circuit.edge(id);
                if (edge.role == EdgeRole::breaker) return;
                if (edge.role != EdgeRole::switching) continue;
                const auto may = input_.facts.quantity(edge.part, "breaks"_attr);
                if (!may) continue;
                const double limit_A = std::max(may->lo, no_arc_A);
                if (!above(std::abs(blocked.edge_A[id.index()]), limit_A * (first.sure ? now_and_then : 1)))
                    return;
                if (said_.insert(edge.part).second) tell(load, id, blocked, std::max(may->lo, 0.0), first);
            }
    }

    void tell(EdgeId load, EdgeId id, const OperatingPoint& blocked, double may_A, const First& first) {
        const Edge& edge = input_.circuit.edge(id);
        const double now_A = std::abs(blocked.edge_A[id.index()]);
        const std::string motor = named(input_.harness, input_.circuit.edge(load).part);
        Finding finding = finding_about(input_, "breaking-current", Severity::warning, edge.part);
        finding.message =
            named(input_.harness, edge.part) + " cannot break what " + motor + " draws when it is blocked";
        finding.beside = amps(now_A) + "; breaks " + amps(may_A);
        finding.working = {
            amps(now_A) + " > " + (first.sure ? to_text(now_and_then, Dimension::none) + " x " : "") +
                amps(may_A) + " (breaks" + (first.sure ? ", now and then)" : ")"),
            amps(std::abs(blocked.edge_A[load.index()])) + " (stall of " + motor + "); " +
                (!first.device ? std::string("no device is on its way")
                 : first.untold
                     ? named(input_.harness, first.device) + " opens some time, but nobody knows its curve"
                 : std::isfinite(first.opens_s)
                     ? named(input_.harness, first.device) + " lets it flow for " +
                           to_text(first.opens_s, Dimension::time) + " at the least" +
                           (first.sure ? "" : ", and is not sure to open") +
                           ": whoever lets go of it opens the contact first"
                     : named(input_.harness, first.device) + " lets it flow without end")};
        if (first.untold) {
            finding.possible = true;
            finding.hangs_on.push_back({std::string(input_.harness.part(first.device).name), "curve", {}});
        }
        finding.figures = {{"current", now_A, Dimension::current}, {"breaks", may_A, Dimension::current}};
        finding.source = "rating of the part; common practice, no source";
        witnessed(input_, finding, blocked, id);
        finding.related.push_back(
            {input_.harness.part(input_.circuit.edge(load).part).where, motor + " is here"});
        finding.help = "one that breaks " + amps(now_A) + " or more, or a device that opens within " +
                       to_text(lets_go_s, Dimension::time) + " at " + amps(now_A);
        report_.add(std::move(finding));
    }

    const RuleInput& input_;
    std::set<PartId>& said_;
    Report& report_;
    std::vector<Course> courses_;
    SurgeSolver solver_;
};

}  // namespace

void judge_stalled_contacts(const RuleInput& input, std::set<PartId>& said, Report& report) {
    std::optional<Stalls> stalls;
    for (std::size_t i = 0; i < input.circuit.edges.size(); ++i) {
        const Edge& edge = input.circuit.edges[i];
        if (edge.role != EdgeRole::load || !input.facts.quantity(edge.part, "stall"_attr)) continue;
        if (!stalls) stalls.emplace(input, said, report);
        stalls->look_at(EdgeId(i));
    }
}

}  // namespace loomward::rules
