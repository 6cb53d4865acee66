// What carries no current. It is drawn paler, which says nothing about voltage: it may be live.
#include <cmath>
#include <map>

#include "render/sheet/model/sheet_model.hpp"

namespace loomward::sheet {
namespace {

constexpr double no_current_A = 1e-3;

// Whether current flows in each edge of the circuit at some moment.
std::vector<bool> carrying_edges(const Results& results) {
    std::vector<bool> carrying(results.circuit.edges.size());
    for (const OperatingPoint& point : results.points)
        for (std::size_t e = 0; e < carrying.size() && e < point.edge_A.size(); ++e)
            carrying[e] = carrying[e] || std::abs(point.edge_A[e]) > no_current_A;
    return carrying;
}

}  // namespace

void mark_off(const Results& results, SheetModel& model) {
    const std::vector<bool> carrying = carrying_edges(results);
    std::vector<bool> wired(model.elements.size()), busy(model.elements.size());
    std::vector<bool> known(model.lines.size());
    for (std::size_t i = 0; i < model.lines.size(); ++i) {
        Line& line = model.lines[i];
        if (!line.wire || line.wire.index() >= results.circuit.edge_of_wire.size()) continue;
        const EdgeId edge = results.circuit.edge_of_wire[line.wire.index()];
        known[i] = edge.valid();
        line.off = known[i] && !carrying[edge.index()];
    }
    const auto note = [&](const Line& line) {
        for (const int end : {line.from.element, line.to.element}) {
            wired[static_cast<std::size_t>(end)] = true;
            if (!line.off) busy[static_cast<std::size_t>(end)] = true;
        }
    };
    for (std::size_t i = 0; i < model.lines.size(); ++i)
        if (known[i]) note(model.lines[i]);
    // A part whose own edges carry current is at work, whatever its wires do (a motor's phase leads, a pack
    // between two others).
    for (std::size_t e = 0; e < carrying.size(); ++e) {
        if (!carrying[e] || !results.circuit.edges[e].part) continue;
        for (std::size_t i = 0; i < model.elements.size(); ++i)
            if (model.elements[i].part == results.circuit.edges[e].part &&
                model.elements[i].form != Form::contact)
                busy[i] = true;
    }
    // A bolted joint is off where either of its ends is.
    for (std::size_t i = 0; i < model.lines.size(); ++i) {
        Line& line = model.lines[i];
        if (known[i] || line.wire) continue;
        const auto idle = [&](int end) {
            return wired[static_cast<std::size_t>(end)] && !busy[static_cast<std::size_t>(end)];
        };
        line.off = idle(line.from.element) || idle(line.to.element);
    }
    for (std::size_t i = 0; i < model.elements.size(); ++i) {
        model.elements[i].off = wired[i] && !busy[i];
        if (const int bar = model.elements[i].on_bar; bar >= 0 && busy[i])
            model.elements[static_cast<std::size_t>(bar)].off = false;
    }
}

}  // namespace loomward::sheet
