#include "checker/currents/surges.hpp"

#include <algorithm>
#include <cmath>

#include "checker/currents/mode_network.hpp"

namespace loomward {

struct SurgeSolver::Values {
    CornerValues at;
};

SurgeSolver::SurgeSolver(const Circuit& circuit, const Facts& facts) : circuit_(circuit), facts_(facts) {
    for (const Corner corner : {Corner::run_hot, Corner::run_full})
        values_.push_back({values_at(circuit, facts, corner)});
}
SurgeSolver::~SurgeSolver() = default;

OperatingPoint SurgeSolver::with(const OperatingPoint& point, const std::vector<LoadCurrent>& loads) const {
    const CornerValues& values = values_[point.corner == Corner::run_hot ? 0 : 1].at;
    const Mode& mode = circuit_.harness->modes[point.mode.index()];
    const bool hot = takes_largest_resistance(point.corner);
    std::vector<double> wire_degC(circuit_.harness->wires.size());
    for (std::size_t i = 0; i < wire_degC.size(); ++i) {
        const Quantity ambient = facts_.ambient(WireId(i), point.mode);
        wire_degC[i] = hot ? ambient.hi : ambient.lo;
    }
    NetworkBuilder builder(circuit_, facts_, values, mode,
                           just_after_its_start({point.from_s, point.duration_s}));
    builder.build(wire_degC);
    Network network = builder.network();
    for (std::size_t i = 0; i < network.branches.size(); ++i) {
        Branch& branch = network.branches[i];
        const EdgeId id = builder.edge_of(static_cast<std::uint32_t>(i));
        // What draws nothing (behind an open switch) stays what it is: a current of 0 A would leave its ends
        // loose.
        const double drawn_A = point.edge_A[id.index()];
        if (branch.type == Branch::Type::power_load && drawn_A > 1e-6) {
            branch.type = Branch::Type::current_load;
            branch.current_A = drawn_A;
        }
        const auto surge = std::find_if(loads.begin(), loads.end(),
                                        [&](const LoadCurrent& each) { return each.load == id; });
        if (surge == loads.end()) continue;
        const double across_V = point.node_V[branch.from] - point.node_V[branch.to];
        branch.type = Branch::Type::current_load;
        branch.current_A = surge->current_A;
        branch.knee_V = std::max(0.25 * across_V, 1e-3);
    }
    OperatingPoint surged;
    surged.mode = point.mode;
    surged.corner = point.corner;
    surged.from_s = point.from_s;
    NetworkSolution solution = solve(network);
    surged.status = solution.status;
    surged.worst_residual_A = solution.worst_residual_A;
    if (solution.status == SolveStatus::not_converged) return surged;
    surged.node_V = std::move(solution.node_V);
    surged.edge_A.assign(circuit_.edges.size(), 0);
    for (std::size_t i = 0; i < solution.branch_A.size(); ++i)
        surged.edge_A[builder.edge_of(static_cast<std::uint32_t>(i)).index()] = solution.branch_A[i];
    return surged;
}

}  // namespace loomward
