#include "checker/parts/panel_figures.hpp"

#include <algorithm>
#include <array>

namespace loomward {

using namespace literals;

namespace {

struct ColdRow {
    double from_degC, factor;
};
// NFPA 70 Table 690.7(A) (memory): from that temperature up to the row above.
constexpr std::array<ColdRow, 13> cold_rows{{{25, 1.00},
                                             {20, 1.02},
                                             {15, 1.04},
                                             {10, 1.06},
                                             {5, 1.08},
                                             {0, 1.10},
                                             {-5, 1.12},
                                             {-10, 1.14},
                                             {-15, 1.16},
                                             {-20, 1.18},
                                             {-25, 1.20},
                                             {-30, 1.21},
                                             {-35, 1.23}}};
constexpr double coldest_factor = 1.25;

}  // namespace

double cold_factor(double lowest_degC) {
    for (const ColdRow& each : cold_rows)
        if (lowest_degC >= each.from_degC) return each.factor;
    return coldest_factor;
}

ColdVoltage cold_voltage(const Facts& facts, PartId panel) {
    const auto open_circuit = facts.quantity(panel, "open-circuit-voltage"_attr);
    if (!open_circuit) return {};
    Quantity coldest = facts.ambient(panel);
    for (std::size_t i = 0; i < facts.harness().modes.size(); ++i) {
        const Quantity here = facts.ambient(panel, ModeId(i));
        if (here.lo < coldest.lo) coldest = here;
    }
    const bool stated = coldest.known == Knowledge::stated || coldest.known == Knowledge::about;
    const double factor = stated ? cold_factor(coldest.lo) : coldest_factor;
    return {open_circuit->hi * factor, factor,
            stated ? "at " + to_text(coldest.lo, Dimension::temperature) : "no temperature is stated"};
}

PanelField panel_field(const Circuit& circuit, const Facts& facts) {
    PanelFigures figures;
    for (std::vector<double>* each : {&figures.short_circuit_A, &figures.open_circuit_V, &figures.rated_A})
        each->assign(circuit.edges.size(), 0);
    const bool any = std::any_of(circuit.edges.begin(), circuit.edges.end(),
                                 [](const Edge& edge) { return edge.role == EdgeRole::panel; });
    for (std::size_t i = 0; any && i < circuit.edges.size(); ++i) {
        const Edge& edge = circuit.edges[i];
        if (edge.role == EdgeRole::panel) {
            figures.open_circuit_V[i] = cold_voltage(facts, edge.part).open_circuit_V;
            figures.short_circuit_A[i] =
                facts.quantity(edge.part, "short-circuit-current"_attr).value_or(Quantity{}).hi;
        } else if (is_protective(edge.role)) {
            figures.rated_A[i] = facts.quantity(edge.part, "(rated-current)"_attr).value_or(Quantity{}).hi;
        }
    }
    return PanelField(circuit, std::move(figures));
}

}  // namespace loomward
