#include "checker/solver/loaded_network.hpp"

#include <algorithm>
#include <cmath>

namespace loomward {

namespace {

constexpr double balance_share = 1e-9;              // of what flows through a node
constexpr double balance_share_of_largest = 1e-12;  // of the largest flow in the network
constexpr double nothing_A = 1e-14;
constexpr double nothing_W = 1e-10;  // far below any standby; what rounding leaves of an output at rest
constexpr int most_converter_rounds = 200;

// Those whose output lies in a loop: an idle one gives nothing, and what its voltage lacks of its rating is
// rounding, which would be multiplied into a power that never settles.
std::vector<Coupling> find_couplings(const Network& network, const NetworkGraph& graph,
                                     const std::vector<Element>& elements) {
    std::vector<std::size_t> element_of_branch(network.branches.size(), elements.size());
    for (std::size_t index = 0; index < elements.size(); ++index)
        element_of_branch[elements[index].branch] = index;
    std::vector<Coupling> couplings;
    for (std::size_t index = 0; index < elements.size(); ++index) {
        const Branch& branch = network.branches[elements[index].branch];
        if (branch.type != Branch::Type::converter_input || elements[index].law != Element::Law::power)
            continue;
        if (!branch.partner || graph.roles[branch.partner.index()] != BranchRole::active) continue;
        const std::size_t output = element_of_branch[branch.partner.index()];
        couplings.push_back({index, output, branch.power_W, branch.efficiency});
    }
    return couplings;
}

struct InputChange {
    double largest = 0;  // relative
    bool fell = false;   // by more than rounding
};

// Power at the inputs from what the outputs give now, or a share of the way there.
InputChange update_inputs(NewtonSolver& solver, const std::vector<Coupling>& couplings, double share) {
    InputChange change;
    for (const Coupling& coupling : couplings) {
        const double output_V = -solver.drop_V(solver.elements()[coupling.output]);
        const double output_W = std::max(0.0, output_V * solver.current_A(coupling.output));
        const double power_W = output_W / coupling.efficiency + coupling.own_power_W;
        double& input_W = solver.elements()[coupling.input].power_W;
        change.fell = change.fell || power_W < input_W * (1 - 1e-6);
        if (std::abs(power_W - input_W) > nothing_W) {
            change.largest =
                std::max(change.largest, std::abs(power_W - input_W) / std::max(power_W, input_W));
        }
        input_W += share * (power_W - input_W);
    }
    return change;
}

// Where inputs and outputs push each other to and fro, smaller steps settle.
double share_in(int round) {
    return round < 12 ? 1 : round < 60 ? 0.5 : 0.1;
}

bool converge(NewtonSolver& solver, const std::vector<Coupling>& couplings) {
    if (!solver.solve_without_power()) return false;
    const bool any_power =
        std::any_of(solver.elements().begin(), solver.elements().end(),
                    [](const Element& element) { return element.law == Element::Law::power; });
    if (!any_power) return true;
    // The output side hardly feels the input side, so a round or two a stage of the cascade is enough.
    update_inputs(solver, couplings, 1);
    if (!solver.solve_with_power()) return false;
    for (int round = 0; round < most_converter_rounds; ++round) {
        const InputChange change = update_inputs(solver, couplings, share_in(round));
        if (change.largest <= 1e-12) return true;
        if (!solver.follow_power(change.fell)) return false;
    }
    return false;
}

// Kirchhoff's current law from the branch currents as they are handed out.
bool passes_current_law(const Network& network, NetworkSolution& solution) {
    std::vector<double> sum_A(network.node_count, 0), through_A(network.node_count, 0);
    double largest_A = 0;
    for (std::size_t index = 0; index < network.branches.size(); ++index) {
        const Branch& branch = network.branches[index];
        const double current_A = solution.branch_A[index];
        if (!std::isfinite(current_A)) return false;
        if (branch.from == branch.to) continue;
        sum_A[branch.from] -= current_A;
        sum_A[branch.to] += current_A;
        through_A[branch.from] += std::abs(current_A);
        through_A[branch.to] += std::abs(current_A);
        largest_A = std::max(largest_A, std::abs(current_A));
    }
    bool passes = true;
    for (std::uint32_t node = 0; node < network.node_count; ++node) {
        solution.worst_residual_A = std::max(solution.worst_residual_A, std::abs(sum_A[node]));
        const double allowed_A =
            nothing_A + balance_share * through_A[node] + balance_share_of_largest * largest_A;
        passes = passes && std::abs(sum_A[node]) <= allowed_A && std::isfinite(solution.node_V[node]);
    }
    return passes;
}

void read_out(const NewtonSolver& solver, const Network& network, const NetworkGraph& graph,
              NetworkSolution& solution) {
    for (std::uint32_t node = 0; node < network.node_count; ++node) {
        solution.node_V[node] = solver.voltages()[node].high + solver.voltages()[node].low;
    }
    const std::vector<Element>& elements = solver.elements();
    for (std::size_t index = 0; index < elements.size(); ++index) {
        const Element& element = elements[index];
        if (graph.roles[element.branch] != BranchRole::active) continue;
        solution.branch_A[element.branch] = solver.current_A(index);
        const bool wants = (element.law == Element::Law::power && element.power_W > nothing_W) ||
                           (element.law == Element::Law::current && element.limit_A > 0);
        if (wants && solver.below_knee(element)) solution.collapsed.push_back(element.branch);
    }
}

}  // namespace

LoadedNetwork::LoadedNetwork(const Network& network, double load_factor)
    : network_(network),
      graph_(analyse_graph(network)),
      solver_(network.node_count, graph_, make_elements(network, graph_, load_factor)),
      couplings_(find_couplings(network, graph_, solver_.elements())) {}

bool LoadedNetwork::converge() {
    return converged_ = loomward::converge(solver_, couplings_);
}

bool LoadedNetwork::change_load(std::uint32_t branch, double power_W, double current_A) {
    const std::vector<Element> asked = solver_.elements();
    const std::vector<FineVoltage> before = solver_.voltages();
    for (Element& element : solver_.elements())
        if (element.branch == branch) element.power_W = power_W, element.limit_A = current_A;
    bool found = solver_.advance();
    for (int round = 0; found; ++round) {
        if (update_inputs(solver_, couplings_, share_in(round)).largest <= 1e-12) return true;
        found = round < most_converter_rounds && solver_.advance();
    }
    solver_.elements() = asked;
    solver_.go_back_to(before);
    return false;
}

NetworkSolution LoadedNetwork::solution() const {
    NetworkSolution solution;
    solution.iterations = solver_.iterations();
    if (!converged_) return solution;
    solution.node_V.assign(network_.node_count, 0);
    solution.branch_A.assign(network_.branches.size(), 0);
    read_out(solver_, network_, graph_, solution);
    if (!passes_current_law(network_, solution)) {
        solution = {};
        solution.iterations = solver_.iterations();
        return solution;
    }
    solution.status = solution.collapsed.empty() ? SolveStatus::solved : SolveStatus::collapsed;
    return solution;
}

bool may_feed_itself(const Network& network) {
    std::vector<bool> at_output(network.node_count, false);
    for (const Branch& branch : network.branches)
        if (branch.type == Branch::Type::converter_input && branch.partner)
            at_output[network.branches[branch.partner.index()].to] = true;
    return std::any_of(network.branches.begin(), network.branches.end(), [&](const Branch& branch) {
        return branch.type == Branch::Type::diode && at_output[branch.from];
    });
}

}  // namespace loomward
