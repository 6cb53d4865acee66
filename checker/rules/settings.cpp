// Controller settings against the weakest part of the route that feeds them.
//
// A setting can be reached whenever the rider or the load asks for it, whatever the modes say: every part on
// the way is asked whether it may carry the setting for long. The way is the one the current takes in the
// mode in which the controller draws most.
#include <algorithm>
#include <cmath>

#include "checker/parts/elements.hpp"
#include "checker/parts/temperature_limits.hpp"
#include "checker/parts/time_current.hpp"
#include "checker/rules/rule_support.hpp"
#include "checker/tables/conductors.hpp"

namespace loomward::rules {
namespace {

using namespace literals;

constexpr RuleInfo infos[] = {
    {"setting-too-high",
     "a controller set to take more from its supply than the weakest part of the route that feeds it may "
     "carry",
     "supply current = phase-peak x phase-limit x supply-limit, shared as the currents share; I <= rating "
     "of every part on the way",
     "common practice, no source (a 300 A controller at 80 % and 40 % takes 96 A)",
     "the way of the mode in which it draws most, at the hottest and coldest ambient of each place then; "
     "parts in parallel share as they do there; that a controller takes less at a temperature (supply-at) "
     "is not counted on",
     "supply-limit 90 A", "supply-limit 40 A"},
};

struct Weakest {
    double may_A = 0;
    double carries_A = 0;  // at the setting
    double share = 1;      // of what the controller draws
    EdgeId edge;
    std::string what;  // "discharge of pack B1"
};

// The continuous rating of what an edge is, as the other rules judge it; nullopt where it has none.
std::optional<std::pair<double, std::string>> rating_of(const RuleInput& input, const Edge& edge,
                                                        ModeId mode) {
    const auto of = [&](Attr name, std::string what) -> std::optional<std::pair<double, std::string>> {
        const auto value = input.facts.quantity(edge.part, name);
        if (!value) return std::nullopt;
        return std::pair(value->lo, what + " of " + named(input.harness, edge.part));
    };
    switch (edge.role) {
        case EdgeRole::wire: {
            const WireLoading& loading = input.wires[edge.wire.index()];
            if (loading.limit_A <= 0) return std::nullopt;
            return std::pair(loading.limit_A, "ampacity of " + named(input.harness, edge.wire));
        }
        case EdgeRole::fuse:
        case EdgeRole::breaker: {
            const auto rated = rated_at(input.facts, edge.part, input.facts.ambient(edge.part, mode).hi);
            if (!rated) return std::nullopt;
            const std::string at =
                rated->lowered() ? " at " + to_text(rated->ambient_degC, Dimension::temperature) : "";
            return std::pair(rated->current_A,
                             "rated current" + at + " of " + named(input.harness, edge.part));
        }
        case EdgeRole::switching:
            return of("carries"_attr, "rating");
        case EdgeRole::trip:
        case EdgeRole::emf: {
            auto rating = of("discharge"_attr, "discharge");
            const auto limit = temperature_limit(input.facts, edge.part, "discharge-at"_attr,
                                                 input.facts.ambient(edge.part, mode));
            if (limit && (!rating || limit->current_A < rating->first))
                rating = std::pair(limit->current_A,
                                   "discharge-at " + to_text(limit->ambient_degC, Dimension::temperature) +
                                       " of " + named(input.harness, edge.part));
            return rating;
        }
        case EdgeRole::contact: {
            auto rated = of("carries"_attr, "derated current");
            const auto at = input.facts.quantity(edge.part, "rated-at"_attr);
            const auto limit = input.facts.quantity(edge.part, "limit"_attr);
            if (rated && at && limit)
                rated->first =
                    derated_A(rated->first, at->lo, limit->lo, input.facts.ambient(edge.part, mode).hi);
            return rated;
        }
        default:
            return std::nullopt;
    }
}

// The point in which the controller draws most.
const OperatingPoint* busiest(const RuleInput& input, EdgeId edge) {
    const OperatingPoint* best = nullptr;
    for (const OperatingPoint& point : input.points)
        if (point.usable() && (!best || point.edge_A[edge.index()] > best->edge_A[edge.index()]))
            best = &point;
    return best && best->edge_A[edge.index()] > 0.1 ? best : nullptr;
}

void judge(const RuleInput& input, EdgeId id, Report& report) {
    const Edge& edge = input.circuit.edge(id);
    const std::optional<Setting> setting = supply_limit(input.facts, edge.part);
    const OperatingPoint* point = setting ? busiest(input, id) : nullptr;
    if (!point) return;
    const double draws_A = point->edge_A[id.index()];
    CurrentPath path = trace_current(input.circuit, *point, id);
    // The source itself is not on the path: the strongest of the sources at its start.
    for (const Incidence& next : input.circuit.at(path.start))
        if (input.circuit.edge(next.edge).role == EdgeRole::emf &&
            input.circuit.edge(next.edge).to == path.start)
            path.edges.push_back(next.edge);
    Weakest weakest;
    for (const EdgeId step : path.edges) {
        if (step == id) continue;
        const auto rating = rating_of(input, input.circuit.edge(step), point->mode);
        if (!rating || rating->first <= 0) continue;
        // What else flows here stays; the controller's share grows with its setting.
        const double now_A = std::abs(point->edge_A[step.index()]);
        const double share = std::min(1.0, now_A / draws_A);
        const double at_setting_A = now_A + share * std::max(0.0, setting->current_A - draws_A);
        if (!weakest.edge || at_setting_A / rating->first > weakest.carries_A / weakest.may_A)
            weakest = {rating->first, at_setting_A, share, step, rating->second};
    }
    if (!weakest.edge || weakest.carries_A <= weakest.may_A * 1.0001) return;
    Finding finding = finding_about(input, "setting-too-high", Severity::error, edge.part);
    finding.message = named(input.harness, edge.part) + " is set to take more than its supply may give";
    const double others_A = weakest.carries_A - weakest.share * setting->current_A;
    finding.beside = amps(setting->current_A) +
                     (others_A > 0.01 * weakest.may_A ? " with " + amps(others_A) + " of others" : "") +
                     "; the weakest part may carry " + amps(weakest.may_A);
    finding.working = {setting->working + " at the setting",
                       amps(weakest.carries_A) + " > " + amps(weakest.may_A) + " (" + weakest.what + ")"};
    finding.figures = {{"setting", setting->current_A, Dimension::current},
                       {"limit", weakest.may_A, Dimension::current}};
    finding.source = "common practice, no source; rating of the weakest part";
    witnessed(input, finding, *point, id);
    const Edge& weak = input.circuit.edge(weakest.edge);
    finding.related.push_back(
        {weak.wire ? input.harness.wire(weak.wire).where : input.harness.part(weak.part).where,
         "the weakest part of the way: " + weakest.what + ", " + amps(weakest.may_A)});
    const double passes_A =
        setting->current_A - (weakest.carries_A - weakest.may_A) / std::max(0.01, weakest.share);
    if (passes_A > 0)
        finding.help = "a supply limit of " + amps(std::floor(passes_A * (1 + 1e-9))) + " or less would pass";
    report.add(std::move(finding));
}

void run(const RuleInput& input, Report& report) {
    for (std::size_t i = 0; i < input.circuit.edges.size(); ++i)
        if (input.circuit.edges[i].role == EdgeRole::controller) judge(input, EdgeId(i), report);
}

}  // namespace

extern const RuleFamily settings;
const RuleFamily settings{infos, run};

}  // namespace loomward::rules
