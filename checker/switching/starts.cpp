#include "checker/switching/starts.hpp"

#include <algorithm>
#include <cmath>
#include <map>
#include <set>

#include "checker/currents/witness.hpp"

namespace loomward {

using namespace literals;

namespace {

constexpr std::size_t most_levels = 4;  // inrushes that end close together are taken to last as the longest

bool by_coil(const Circuit& circuit, PartId part) {
    const Kind kind = circuit.harness->part(part).kind;
    return kind == Kind::relay || kind == Kind::contactor;
}

// The closing contact nearest before (or after) an edge on the way of its current.
PartId nearest_closing(const Circuit& circuit, const ModeEntry& entry, EdgeId used) {
    const CurrentPath path = trace_current(circuit, entry.loads, used);
    const auto at = std::find(path.edges.begin(), path.edges.end(), used) - path.edges.begin();
    PartId nearest;
    std::ptrdiff_t least = 0;
    for (std::size_t i = 0; i < path.edges.size(); ++i) {
        const bool closes =
            std::any_of(entry.closing.begin(), entry.closing.end(),
                        [&](const ClosingContact& each) { return each.edge == path.edges[i]; });
        const std::ptrdiff_t away = std::abs(static_cast<std::ptrdiff_t>(i) - at);
        if (closes && (!nearest || away < least)) nearest = circuit.edge(path.edges[i]).part, least = away;
    }
    return nearest;
}

PartId started_by(const Circuit& circuit, const ModeEntry& entry, EdgeId load) {
    PartId by = nearest_closing(circuit, entry, load);
    for (int depth = 0; by && by_coil(circuit, by) && depth < 8; ++depth) {
        PartId before;
        for (const EdgeId id : circuit.edges_of_part[by.index()])
            if (circuit.edge(id).role == EdgeRole::coil && std::abs(entry.loads.edge_A[id.index()]) > 1e-4)
                before = nearest_closing(circuit, entry, id);
        if (!before || before == by) break;
        by = before;
    }
    return by;
}

std::vector<StartLevel> levels_of(const Facts& facts, const Circuit& circuit, const SurgeSolver& solver,
                                  const CommonStart& start) {
    const auto inrush = [&](EdgeId load, std::size_t place) {
        return facts.quantity(circuit.edge(load).part, "inrush"_attr, place).value_or(Quantity{}).hi;
    };
    std::set<double> ends;
    for (const EdgeId load : start.loads) ends.insert(inrush(load, 1));
    while (ends.size() > most_levels) ends.erase(ends.begin());
    std::vector<StartLevel> levels;
    double from_s = 0;
    for (const double end_s : ends) {
        std::vector<LoadCurrent> surging;
        for (const EdgeId load : start.loads)
            if (inrush(load, 1) > from_s) surging.push_back({load, inrush(load, 0)});
        levels.push_back({end_s - from_s, solver.with(*start.running, surging)});
        from_s = end_s;
    }
    return levels;
}

}  // namespace

std::vector<CommonStart> common_starts(const Circuit& circuit, const Facts& facts,
                                       const std::vector<ModeEntry>& entries,
                                       const std::vector<OperatingPoint>& points) {
    std::vector<CommonStart> starts;
    std::optional<SurgeSolver> solver;
    for (const ModeEntry& entry : entries) {
        if (entry.starting.size() < 2) continue;
        const auto running = std::find_if(points.begin(), points.end(), [&](const OperatingPoint& point) {
            return point.mode == entry.mode && point.corner == entry.corner && point.usable();
        });
        if (running == points.end()) continue;
        std::map<PartId, std::vector<EdgeId>> by;
        for (const EdgeId load : entry.starting)
            if (running->edge_A[load.index()] > 1e-3) by[started_by(circuit, entry, load)].push_back(load);
        if (!solver) solver.emplace(circuit, facts);
        for (auto& [part, loads] : by) {
            if (loads.size() < 2 || !part) continue;
            CommonStart start{entry.mode, part, std::move(loads), {}, &*running};
            start.levels = levels_of(facts, circuit, *solver, start);
            starts.push_back(std::move(start));
        }
    }
    return starts;
}

}  // namespace loomward
