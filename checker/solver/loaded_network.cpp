#include "checker/solver/loaded_network.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numeric>

#include "checker/solver/network_ties.hpp"

namespace loomward {

namespace {

constexpr double rounding_share = 1e-9;        // of what flows through a node
constexpr double rounding_of_largest = 1e-12;  // of the largest flow in the network
constexpr double rounding_A = 1e-14;
constexpr double nothing_W = 1e-10;  // far below any standby; what rounding leaves of an output at rest
constexpr int most_converter_rounds = 120;
constexpr double settled_change = 1e-12;  // of what an input asks for, from one round to the next
constexpr double followed_change = 1e-8;  // the same on the way to what is solved from nothing in the end
constexpr int most_starts_again = 8;
// What could not be fed is tried anew once the inputs together ask for less than this share of it.
constexpr double worth_another_try = 0.9;

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

double asked_W(const NewtonSolver& solver, const std::vector<Coupling>& couplings) {
    return std::accumulate(couplings.begin(), couplings.end(), 0.0, [&](double sum, const Coupling& each) {
        return sum + solver.elements()[each.input].power_W;
    });
}

// When what collapsed is raised anew: it does not come back by itself, though less power might be fed. Where
// a converter's output asks its input for more and more, that would go round for ever.
class StartsAgain {
  public:
    // Is told what was asked for where a load stands below its knee.
    void failed_at(double power_W) { failed_W_ = std::min(failed_W_, power_W); }
    bool worth_it(double power_W) const {
        return starts_ < most_starts_again && power_W < worth_another_try * failed_W_;
    }
    // Where nothing changes any more; once.
    bool worth_a_last(double power_W) {
        const bool yes = !last_tried_ && power_W < failed_W_ * (1 - 1e-6);
        last_tried_ = last_tried_ || yes;
        return yes;
    }
    void count() { ++starts_; }

  private:
    double failed_W_ = std::numeric_limits<double>::infinity();
    int starts_ = 0;
    bool last_tried_ = false;
};

// Every third round goes to where the last two point (Aitken's extrapolation): a converter whose output comes
// back to its input through both banks settles slowly, and one at the edge of what can be had swings about
// it.
class Extrapolation {
  public:
    explicit Extrapolation(std::size_t couplings) : rounds_(couplings) {}

    void apply(NewtonSolver& solver, const std::vector<Coupling>& couplings) {
        const bool now = ++round_ % 3 == 0;
        for (std::size_t i = 0; i < couplings.size(); ++i) {
            double& input_W = solver.elements()[couplings[i].input].power_W;
            const double before_W = rounds_[i].before_W, last_W = rounds_[i].last_W;
            rounds_[i] = {last_W, input_W};
            if (!now) continue;
            const double ratio = (input_W - last_W) / (last_W - before_W);
            if (!std::isfinite(ratio) || std::abs(ratio) > 1.5 || ratio > largest_ratio) continue;
            const double meant_W = input_W + (input_W - last_W) * ratio / (1 - ratio);
            if (meant_W > 0 && meant_W < 2 * input_W) input_W = meant_W;
        }
    }

  private:
    static constexpr double largest_ratio = 0.97;  // what grows from round to round points nowhere
    struct Rounds {
        double before_W = 0, last_W = 0;
    };
    std::vector<Rounds> rounds_;
    int round_ = 0;
};

// Power at the inputs from what the outputs give now, or a share of the way there. The largest relative
// change.
double update_inputs(NewtonSolver& solver, const std::vector<Coupling>& couplings, double share) {
    double largest = 0;
    for (const Coupling& coupling : couplings) {
        const double output_V = -solver.drop_V(solver.elements()[coupling.output]);
        const double output_W = std::max(0.0, output_V * solver.current_A(coupling.output));
        const double power_W = output_W / coupling.efficiency + coupling.own_power_W;
        double& input_W = solver.elements()[coupling.input].power_W;
        if (std::abs(power_W - input_W) > nothing_W)
            largest = std::max(largest, std::abs(power_W - input_W) / std::max(power_W, input_W));
        input_W += share * (power_W - input_W);
    }
    return largest;
}

// Where inputs and outputs push each other to and fro, smaller steps settle.
constexpr int first_small_step = 30;
double share_in(int round) {
    return round < 12 ? 1 : round < first_small_step ? 0.5 : 0.1;
}

bool converge(NewtonSolver& solver, const std::vector<Coupling>& couplings) {
    if (!solver.solve_without_power()) return false;
    const bool any_power =
        std::any_of(solver.elements().begin(), solver.elements().end(),
                    [](const Element& element) { return element.law == Element::Law::power; });
    if (!any_power) return true;
    // The output side hardly feels the input side, so a round or two a stage of the cascade is enough.
    update_inputs(solver, couplings, 1);
    StartsAgain again;
    Extrapolation extrapolation(couplings.size());
    if (!solver.solve_with_power()) return false;
    for (int round = 0; round < most_converter_rounds; ++round) {
        const bool below = solver.any_power_below_knee();
        if (below) again.failed_at(asked_W(solver, couplings));
        const double change = update_inputs(solver, couplings, share_in(round));
        const double now_W = asked_W(solver, couplings);
        const bool settled = change <= settled_change;
        if (!settled && round < first_small_step) extrapolation.apply(solver, couplings);
        const bool start_again = below && (settled ? again.worth_a_last(now_W) : again.worth_it(now_W));
        if (settled && !start_again) return true;
        if (start_again) again.count();
        if (!solver.follow_power(start_again)) return false;
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
            rounding_A + rounding_share * through_A[node] + rounding_of_largest * largest_A;
        passes = passes && std::abs(sum_A[node]) <= allowed_A && std::isfinite(solution.node_V[node]);
    }
    return passes;
}

void read_out(const NewtonSolver& solver, const ContractedElements& contracted, const NetworkGraph& graph,
              NetworkSolution& solution) {
    const std::vector<Element>& elements = solver.elements();
    std::vector<double> current_A(elements.size());
    for (std::size_t index = 0; index < elements.size(); ++index) {
        const Element& element = elements[index];
        current_A[index] = solver.current_A(index);
        if (graph.roles[element.branch] != BranchRole::active) continue;
        const bool wants = (element.law == Element::Law::power && element.power_W > nothing_W) ||
                           (element.law == Element::Law::current && element.limit_A > 0);
        if (wants && solver.below_knee(element)) solution.collapsed.push_back(element.branch);
    }
    std::vector<FineVoltage> voltage_V = solver.voltages();
    solution.branch_A = contracted.spread(current_A, voltage_V);
    for (std::size_t branch = 0; branch < solution.branch_A.size(); ++branch)
        if (graph.roles[branch] != BranchRole::active) solution.branch_A[branch] = 0;
    std::transform(voltage_V.begin(), voltage_V.end(), solution.node_V.begin(),
                   [](const FineVoltage& each) { return each.high + each.low; });
}

}  // namespace

LoadedNetwork::LoadedNetwork(const Network& network, double load_factor)
    : network_(network),
      graph_(analyse_graph(network)),
      contracted_(network, graph_, make_elements(network, graph_, load_factor)),
      solver_(network.node_count, graph_, contracted_.elements()),
      couplings_(find_couplings(network, graph_, solver_.elements())) {}

bool LoadedNetwork::converge() {
    return converged_ = loomward::converge(solver_, couplings_);
}

bool LoadedNetwork::change_load(std::uint32_t branch, double power_W, double current_A) {
    std::vector<Element> asked = solver_.elements();
    for (Element& element : asked)
        if (element.branch == branch) element.power_W = power_W, element.limit_A = current_A;
    return follow(std::move(asked));
}

bool LoadedNetwork::change_factor(double load_factor) {
    std::vector<Element> asked = solver_.elements();
    for (Element& element : asked) {
        const Branch& branch = network_.branches[element.branch];
        if (branch.type == Branch::Type::current_load) element.limit_A = branch.current_A * load_factor;
        if (branch.type == Branch::Type::power_load) element.power_W = branch.power_W * load_factor;
    }
    return follow(std::move(asked));
}

// To the solution next to this one when the elements are these; false, and all as before, where none is near.
bool LoadedNetwork::follow(std::vector<Element> asked) {
    const std::vector<FineVoltage> before = solver_.voltages();
    std::swap(solver_.elements(), asked);
    bool found = solver_.advance();
    for (int round = 0; found; ++round) {
        if (update_inputs(solver_, couplings_, share_in(round)) <= followed_change) return true;
        found = round < most_converter_rounds && solver_.advance();
    }
    solver_.elements() = std::move(asked);
    solver_.go_back_to(before);
    return false;
}

NetworkSolution LoadedNetwork::solution() const {
    NetworkSolution solution;
    solution.iterations = solver_.iterations();
    if (!converged_) return solution;
    solution.node_V.assign(network_.node_count, 0);
    read_out(solver_, contracted_, graph_, solution);
    lift_sourceless_islands(network_, graph_, solution.node_V);
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
