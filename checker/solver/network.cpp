#include "checker/solver/network.hpp"

#include <algorithm>
#include <cassert>
#include <cmath>
#include <limits>

#include "checker/solver/network_newton.hpp"

namespace loomward {

namespace {

constexpr double balance_share = 1e-9;              // of what flows through a node
constexpr double balance_share_of_largest = 1e-12;  // of the largest flow in the network
constexpr double nothing_A = 1e-14;
constexpr double nothing_W = 1e-10;  // far below any standby; what rounding leaves of an output at rest
constexpr int most_converter_rounds = 200;
// Of what its output gives: a converter whose input cannot feed so little has no input.
constexpr double next_to_nothing = 1e-3;

// A converter's input with the output it feeds, both as elements.
struct Coupling {
    std::size_t input;
    std::size_t output;
    double own_power_W;
    double efficiency;
};

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
        // Where inputs and outputs push each other to and fro, smaller steps settle.
        const InputChange change = update_inputs(solver, couplings, round < 12 ? 1 : round < 60 ? 0.5 : 0.1);
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

NetworkSolution solve_loaded(const Network& network, const NetworkGraph& graph, double load_factor) {
    NetworkSolution solution;
    NewtonSolver solver(network.node_count, graph, make_elements(network, graph, load_factor));
    const bool converged = converge(solver, find_couplings(network, graph, solver.elements()));
    solution.iterations = solver.iterations();
    if (!converged) return solution;
    solution.node_V.assign(network.node_count, 0);
    solution.branch_A.assign(network.branches.size(), 0);
    read_out(solver, network, graph, solution);
    if (!passes_current_law(network, solution)) {
        solution = {};
        solution.iterations = solver.iterations();
        return solution;
    }
    solution.status = solution.collapsed.empty() ? SolveStatus::solved : SolveStatus::collapsed;
    return solution;
}

bool has_no_input(const Branch& input, const NetworkSolution& solution) {
    return solution.node_V[input.from] - solution.node_V[input.to] < input.knee_V * (1 - 1e-9);
}

// Silences the outputs of converters that stand below their knee even when they draw next to nothing, though
// something leads to their input: behind an open switch that a bleed bridges, at an empty capacitor, the wrong
// way round, or fed by nothing but their own output. One that stands above it then asks for too much.
bool drop_dead_outputs(Network& network, const NetworkSolution& solution) {
    std::vector<std::size_t> below;
    Network at_rest = network;
    for (std::size_t index = 0; index < network.branches.size(); ++index) {
        const Branch& branch = network.branches[index];
        if (branch.type != Branch::Type::converter_input || !branch.partner) continue;
        if (network.branches[branch.partner.index()].current_A <= 0 || !has_no_input(branch, solution)) continue;
        below.push_back(index);
        const std::size_t output = branch.partner.index();
        const double given_W = network.branches[output].voltage_V * std::max(0.0, solution.branch_A[output]);
        at_rest.branches[index].power_W = next_to_nothing * given_W / branch.efficiency;
        at_rest.branches[branch.partner.index()].current_A = 0;
    }
    if (below.empty()) return false;
    const NetworkSolution rest = solve_loaded(at_rest, analyse_graph(at_rest), 1);
    bool dropped = false;
    for (const std::size_t index : below) {
        const Branch& branch = network.branches[index];
        if (rest.status == SolveStatus::not_converged || !has_no_input(branch, rest)) continue;
        dropped = dropped || solution.branch_A[branch.partner.index()] > 0;
        network.branches[branch.partner.index()].current_A = 0;
    }
    return dropped;
}

bool is_paired_input(const Branch& branch) {
    return branch.type == Branch::Type::converter_input && branch.partner;
}

// Whether a converter's output could come back to its own input through a diode: then it must not count as fed
// by itself, though its input lies in a loop with a source.
bool may_feed_itself(const Network& network) {
    std::vector<bool> at_output(network.node_count, false);
    for (const Branch& branch : network.branches)
        if (is_paired_input(branch)) at_output[network.branches[branch.partner.index()].to] = true;
    return std::any_of(network.branches.begin(), network.branches.end(), [&](const Branch& branch) {
        return branch.type == Branch::Type::diode && at_output[branch.from];
    });
}

// As converters start: each once its input stands above its knee without it, those behind others after them.
NetworkSolution solve_from_standstill(const Network& network, double load_factor) {
    Network started = network;
    std::vector<std::size_t> waiting;
    for (std::size_t index = 0; index < network.branches.size(); ++index) {
        if (!is_paired_input(network.branches[index])) continue;
        waiting.push_back(index);
        started.branches[index].power_W = 0;
        started.branches[network.branches[index].partner.index()].current_A = 0;
    }
    while (true) {
        NetworkSolution now = solve_loaded(started, analyse_graph(started), load_factor);
        if (now.status == SolveStatus::not_converged || waiting.empty()) return now;
        const std::size_t before = waiting.size();
        std::erase_if(waiting, [&](std::size_t index) {
            const Branch& branch = network.branches[index];
            if (has_no_input(branch, now)) return false;
            started.branches[index].power_W = branch.power_W;
            started.branches[branch.partner.index()].current_A = network.branches[branch.partner.index()].current_A;
            return true;
        });
        if (waiting.size() == before) return now;
    }
}

NetworkSolution solve_times(const Network& network, double load_factor) {
    NetworkSolution solution;
    if (may_feed_itself(network)) {
        solution = solve_from_standstill(network, load_factor);
    } else {
        solution = solve_loaded(network, analyse_graph(network), load_factor);
        if (solution.status == SolveStatus::not_converged &&
            std::any_of(network.branches.begin(), network.branches.end(), is_paired_input))
            solution = solve_from_standstill(network, load_factor);
    }
    if (solution.status != SolveStatus::collapsed) return solution;
    Network without_dead = network;
    while (solution.status == SolveStatus::collapsed && drop_dead_outputs(without_dead, solution))
        solution = solve_loaded(without_dead, analyse_graph(without_dead), load_factor);
    return solution;
}

}  // namespace

NetworkSolution solve(const Network& network) {
    return solve_times(network, 1);
}

void silence_dead_outputs(Network& network, const NetworkSolution& solution) {
    if (solution.status == SolveStatus::not_converged) return;
    for (const Branch& branch : network.branches)
        if (branch.type == Branch::Type::converter_input && branch.partner &&
            solution.branch_A[branch.partner.index()] <= 0 && has_no_input(branch, solution))
            network.branches[branch.partner.index()].current_A = 0;
}

double feedable_fraction(const Network& network) {
    const bool any = std::any_of(network.branches.begin(), network.branches.end(), [](const Branch& branch) {
        return (branch.type == Branch::Type::current_load && branch.current_A > 0) ||
               (branch.type == Branch::Type::power_load && branch.power_W > 0);
    });
    if (!any) return std::numeric_limits<double>::infinity();
    const auto feeds = [&](double factor) {
        return solve_times(network, factor).status == SolveStatus::solved;
    };
    double fed = 0, not_fed = 1;
    if (feeds(1)) {
        fed = 1, not_fed = 2;
        while (feeds(not_fed)) {
            fed = not_fed;
            not_fed *= 2;
            if (not_fed > 1e15) return std::numeric_limits<double>::infinity();
        }
    } else {
        constexpr double least = 1e-3;
        if (!feeds(least)) return 0;
        fed = least;
    }
    while (not_fed - fed > 5e-4 * fed) {
        const double middle = (fed + not_fed) / 2;
        (feeds(middle) ? fed : not_fed) = middle;
    }
    return fed;
}

}  // namespace loomward
