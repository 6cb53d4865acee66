// How often somebody who follows the main current has to look for its wire elsewhere: from a pack to what it
// drives, and back.
#pragma once
#include <algorithm>
#include <optional>
#include <set>
#include <string>

#include "checker/currents/measured_way.hpp"
#include "render/sheet/pages/sheet_page.hpp"

namespace loomward::sheet {

// Names of the wires that are drawn in two pieces.
inline std::set<std::string> cut_wires(const SheetPlan& plan) {
    std::set<std::string> names;
    for (const PlacedStrip& strip : plan.strips)
        for (const Run& run : strip.layout.runs)
            if (strip.layout.line(run.line).stub) names.insert(strip.layout.line(run.line).name);
    return names;
}

// Cut wires on the way between two terminals; nothing where there is no way, or one of its wires is thin.
inline std::optional<int> hops_between(const Results& results, const SheetPlan& plan,
                                       const std::set<std::string>& cut, TerminalId from, TerminalId to) {
    const auto way = measured_way(results.circuit, results.wires, from, to, 1);
    if (!way) return std::nullopt;
    int hops = 0;
    for (const WayPiece& piece : way->pieces) {
        const Edge& edge = results.circuit.edge(piece.edge);
        if (!edge.wire) continue;
        const Line& line = plan.model->lines[edge.wire.index()];  // wires come first
        if (line.area_mm2 < heavy_mm2) return std::nullopt;
        hops += static_cast<int>(cut.count(line.name));
    }
    return hops;
}

// The most of any main way, out or back; 0 where no way is of heavy wires all along. A user of several packs
// counts from the nearest.
inline int most_hops(const Results& results, const SheetPlan& plan) {
    const Harness& harness = *results.harness;
    const std::set<std::string> cut = cut_wires(plan);
    int most = 0;
    for (std::size_t u = 0; u < harness.terminals.size(); ++u) {
        const Terminal& user = harness.terminals[u];
        const Kind kind = harness.part(user.part).kind;
        if (kind != Kind::controller && kind != Kind::motor && kind != Kind::load) continue;
        std::optional<int> least;
        for (std::size_t p = 0; p < harness.terminals.size(); ++p) {
            const Terminal& pole = harness.terminals[p];
            const bool poles = user.role == TerminalRole::plus || user.role == TerminalRole::minus;
            if (!poles || pole.role != user.role || harness.part(pole.part).kind != Kind::pack) continue;
            if (const auto hops = hops_between(results, plan, cut, TerminalId(p), TerminalId(u)))
                least = std::min(least.value_or(*hops), *hops);
        }
        most = std::max(most, least.value_or(0));
    }
    return most;
}

}  // namespace loomward::sheet
