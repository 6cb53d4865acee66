// Loads that ask for more than their sources can give: held at what they can get, so that one of them does
// not hide what the others do.
//
// Which of the loads below their knee are to blame cannot be read off the collapse itself: whoever shares a
// bus goes down with it. The one that asks for most is taken first. Without it the rest shows what it can be
// fed; then it gets the largest share that leaves the rest so. What is below its knee still comes next.
#include <algorithm>
#include <cmath>

#include "checker/solver/loaded_network.hpp"
#include "checker/solver/network_question.hpp"
#include "checker/work/remembered.hpp"

namespace loomward {

namespace {

constexpr std::size_t most_held = 16;  // beyond it the rest stays as it collapsed
constexpr int halvings = 20;
constexpr std::size_t most_bytes_remembered = 8'000'000;
constexpr double told_apart = 1e-4;  // shares; two that are found in two ways

bool is_converter(const Branch& branch) {
    return branch.type == Branch::Type::converter_input;
}

double across_V(const NetworkSolution& solution, const Branch& branch) {
    return solution.node_V[branch.from] - solution.node_V[branch.to];
}

// Roughly what it asks for. A load of constant current has its knee at a quarter of its voltage.
double asks_W(const Network& network, std::uint32_t index) {
    const Branch& branch = network.branches[index];
    if (branch.type == Branch::Type::current_load) return branch.current_A * branch.knee_V * 4;
    if (!is_converter(branch) || !branch.partner) return branch.power_W;
    const Branch& output = network.branches[branch.partner.index()];
    return branch.power_W + output.voltage_V * output.current_A / branch.efficiency;
}

bool is_same(const NetworkSolution& one, const NetworkSolution& other) {
    return one.collapsed == other.collapsed &&
           std::equal(one.node_V.begin(), one.node_V.end(), other.node_V.begin(), other.node_V.end(),
                      [](double a, double b) { return std::abs(a - b) <= 1e-6 * (1 + std::abs(b)); });
}

// Its input becomes a load of what its output gives, and its output a source that asks nobody.
bool part_from_its_output(Network& network, std::uint32_t index) {
    const double efficiency = network.branches[index].efficiency;
    const BranchId partner = network.branches[index].partner;
    const double own_W = network.branches[index].power_W;
    network.branches[index].type = Branch::Type::power_load;
    network.branches[index].partner = {};
    if (!partner) return true;
    network.branches[index].power_W = 0;
    const NetworkSolution alone = solve(network);
    if (alone.status == SolveStatus::not_converged) return false;
    const Branch& output = network.branches[partner.index()];
    const double output_W = std::max(0.0, -across_V(alone, output) * alone.branch_A[partner.index()]);
    network.branches[index].power_W = own_W + output_W / efficiency;
    return true;
}

class Holding {
  public:
    Holding(Network& network, NetworkSolution& solution, double least_share)
        : network_(network), solution_(solution), least_share_(least_share) {}

    std::vector<HeldLoad> run() {
        std::vector<HeldLoad> held;
        while (held.size() < most_held) {
            const std::vector<std::uint32_t> starved = starved_in(solution_);
            std::uint32_t guilty = 0;
            double most_W = -1;
            for (const std::uint32_t each : starved) {
                const bool again = std::any_of(held.begin(), held.end(),
                                               [&](const HeldLoad& one) { return one.branch == each; });
                if (!again && asks_W(network_, each) > most_W) {
                    most_W = asks_W(network_, each);
                    guilty = each;
                }
            }
            if (most_W < 0) break;
            const double share = hold(guilty);
            if (share < 0) break;
            held.push_back({guilty, share});
        }
        return held;
    }

  private:
    std::vector<std::uint32_t> starved_in(const NetworkSolution& solution) const {
        std::vector<std::uint32_t> starved;
        for (const std::uint32_t index : solution.collapsed) {
            const Branch& branch = network_.branches[index];
            if (across_V(solution, branch) > least_share_ * branch.knee_V ||
                solution.branch_A[index] > trickle_A)
                starved.push_back(index);
        }
        return starved;
    }

    void ask(const Branch& whole, std::uint32_t index, double share) {
        network_.branches[index].current_A = whole.current_A * share;
        network_.branches[index].power_W = whole.power_W * share;
    }

    // The share it is held at; -1 where the network has no solution without it either.
    double hold(std::uint32_t index) {
        const Network before = network_;
        if (is_converter(network_.branches[index]) && !part_from_its_output(network_, index))
            return give_up(before);
        const Branch whole = network_.branches[index];
        ask(whole, index, 0);
        NetworkSolution best = solve(network_);
        if (best.status == SolveStatus::not_converged) return give_up(before);
        const std::vector<std::uint32_t> without_it = starved_in(best);
        double share = 0;
        if (!follow(whole, index, without_it, share, best)) share = bisect(whole, index, without_it, best);
        ask(whole, index, share);
        solution_ = std::move(best);
        return share;
    }

    // From what it is without the load, halving the way to the largest share, each from the one before; then
    // solved from nothing there and a little above, which has to say the same.
    bool follow(const Branch& whole, std::uint32_t index, const std::vector<std::uint32_t>& without_it,
                double& share, NetworkSolution& best) {
        LoadedNetwork loaded(network_, 1);
        if (!loaded.converge() || !is_same(loaded.solution(), best)) return false;
        double low = 0, high = 1;
        for (int i = 0; i < halvings; ++i) {
            const double middle = (low + high) / 2;
            const bool found = loaded.change_load(index, middle * whole.power_W, middle * whole.current_A);
            if (found && fits(loaded.solution(), index, without_it)) {
                low = middle;
                continue;
            }
            high = middle;
            if (found && !loaded.change_load(index, low * whole.power_W, low * whole.current_A)) return false;
        }
        ask(whole, index, std::min(1.0, low + told_apart));
        if (fits(solve(network_), index, without_it)) return false;
        for (const double short_of : {0.0, told_apart, 10 * told_apart}) {
            ask(whole, index, low * (1 - short_of));
            NetworkSolution now = solve(network_);
            if (!fits(now, index, without_it)) continue;
            best = std::move(now);
            share = low * (1 - short_of);
            return true;
        }
        return false;
    }

    double bisect(const Branch& whole, std::uint32_t index, const std::vector<std::uint32_t>& without_it,
                  NetworkSolution& best) {
        double low = 0, high = 1;
        for (int i = 0; i < halvings; ++i) {
            const double middle = (low + high) / 2;
            ask(whole, index, middle);
            NetworkSolution now = solve(network_);
            if (fits(now, index, without_it)) {
                low = middle;
                best = std::move(now);
            } else {
                high = middle;
            }
        }
        return low;
    }

    double give_up(const Network& before) {
        network_ = before;
        return -1;
    }

    bool fits(const NetworkSolution& now, std::uint32_t index,
              const std::vector<std::uint32_t>& without_it) const {
        if (now.status == SolveStatus::not_converged) return false;
        const std::vector<std::uint32_t> starved = starved_in(now);
        return std::none_of(now.collapsed.begin(), now.collapsed.end(),
                            [&](std::uint32_t each) { return each == index; }) &&
               std::includes(without_it.begin(), without_it.end(), starved.begin(), starved.end());
    }

    Network& network_;
    NetworkSolution& solution_;
    double least_share_;
};

struct Held {
    Network network;
    NetworkSolution solution;
    std::vector<HeldLoad> loads;
};

std::size_t bytes_of(const Held& held) {
    return loomward::bytes_of(held.solution) + sizeof(Branch) * held.network.branches.size();
}

}  // namespace

std::vector<HeldLoad> hold_what_cannot_be_fed(Network& network, NetworkSolution& solution,
                                              double least_share) {
    static Remembered<Held> held_before(most_bytes_remembered);
    const std::string question = question_of(network, least_share);
    Held held;
    if (auto known = question.empty() ? std::nullopt : held_before.find(question)) {
        held = std::move(*known);
    } else {
        held = {network, solution, {}};
        held.loads = Holding(held.network, held.solution, least_share).run();
        if (!question.empty()) held_before.keep(question, held, bytes_of(held));
    }
    network = std::move(held.network);
    solution = std::move(held.solution);
    return std::move(held.loads);
}

}  // namespace loomward
