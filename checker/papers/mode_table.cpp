#include "checker/papers/mode_table.hpp"

#include <algorithm>
#include <cmath>
#include <map>

#include "checker/parts/elements.hpp"

namespace loomward {
namespace {

// Less counts as nothing: it is what a solution leaves, and what leaks in what stands the wrong way round.
constexpr double nothing_A = 1e-5;

bool has_row(EdgeRole role) {
    return is_source(role) || uses(role);
}

TerminalId pin_terminal(const Harness& harness, const Edge& edge) {
    if (edge.role != EdgeRole::supply_pin && edge.role != EdgeRole::output_pin) return {};
    return pin_of(harness, edge).terminal;
}

void widen(std::optional<ModeFigures>& figures, double volts_V, double amps_A) {
    volts_V = std::abs(volts_V), amps_A = std::abs(amps_A) > nothing_A ? std::abs(amps_A) : 0;
    if (!figures) {
        figures = ModeFigures{volts_V, volts_V, amps_A, amps_A};
        return;
    }
    figures->least_V = std::min(figures->least_V, volts_V);
    figures->most_V = std::max(figures->most_V, volts_V);
    figures->least_A = std::min(figures->least_A, amps_A);
    figures->most_A = std::max(figures->most_A, amps_A);
}

// Of a pack in sections the outermost two points.
double volts_over(const Circuit& circuit, const std::vector<EdgeId>& sections, const OperatingPoint& point) {
    double least_V = point.node_V[circuit.edge(sections.front()).from.index()], most_V = least_V;
    for (const EdgeId id : sections)
        for (const NodeId node : {circuit.edge(id).from, circuit.edge(id).to}) {
            least_V = std::min(least_V, point.node_V[node.index()]);
            most_V = std::max(most_V, point.node_V[node.index()]);
        }
    return most_V - least_V;
}

double amps_in(const std::vector<EdgeId>& edges, const OperatingPoint& point) {
    double most_A = 0;
    for (const EdgeId id : edges) most_A = std::max(most_A, std::abs(point.edge_A[id.index()]));
    return most_A;
}

bool usable(const Results& results, ModeId mode) {
    bool any = false;
    for (const OperatingPoint& point : results.points) {
        if (point.mode != mode) continue;
        if (!point.usable()) return false;
        any = true;
    }
    return any;
}

}  // namespace

std::vector<ModeRow> mode_table(const Results& results) {
    const Circuit& circuit = results.circuit;
    const Harness& harness = *circuit.harness;
    std::vector<bool> known(harness.modes.size());
    for (std::size_t i = 0; i < known.size(); ++i) known[i] = usable(results, ModeId(i));

    using Key = std::tuple<std::uint32_t, EdgeRole, std::uint32_t>;
    std::map<Key, std::vector<EdgeId>> edges_of;
    for (std::size_t i = 0; i < circuit.edges.size(); ++i) {
        const Edge& edge = circuit.edges[i];
        if (!edge.part || !has_row(edge.role)) continue;
        const TerminalId pin = pin_terminal(harness, edge);
        edges_of[{edge.part.value, edge.role, pin ? pin.value : 0}].push_back(EdgeId(i));
    }
    std::vector<ModeRow> rows;
    for (const auto& [key, edges] : edges_of) {
        const Edge& first = circuit.edge(edges.front());
        ModeRow row;
        row.part = first.part;
        row.role = first.role;
        row.terminal = pin_terminal(harness, first);
        row.modes.resize(harness.modes.size());
        double most_A = 0;
        for (const OperatingPoint& point : results.points) {
            if (!known[point.mode.index()]) continue;
            widen(row.modes[point.mode.index()], volts_over(circuit, edges, point), amps_in(edges, point));
            most_A = std::max(most_A, amps_in(edges, point));
        }
        if (most_A > nothing_A) rows.push_back(std::move(row));
    }
    return rows;
}

std::vector<ModeLimits> mode_limits(const std::vector<ModeEndurance>& endurance) {
    std::vector<ModeLimits> all;
    for (const ModeEndurance& mode : endurance) {
        ModeLimits limits;
        limits.mode = mode.mode;
        for (const HeldPart::What what :
             {HeldPart::What::wire, HeldPart::What::contact, HeldPart::What::device, HeldPart::What::pack,
              HeldPart::What::body}) {
            const HeldPart* nearest = nullptr;
            for (const HeldPart& part : mode.parts)
                if (part.what == what && (!nearest || part.share() > nearest->share())) nearest = &part;
            if (nearest && nearest->share() > 0)
                limits.nearest.push_back({what, nearest->name, nearest->share(), nearest->lasting_A,
                                          nearest->worst_A, nearest->gives_out_s});
        }
        std::stable_sort(limits.nearest.begin(), limits.nearest.end(),
                         [](const Nearest& a, const Nearest& b) { return a.share > b.share; });
        all.push_back(std::move(limits));
    }
    return all;
}

}  // namespace loomward
