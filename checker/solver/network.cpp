#include "checker/solver/network.hpp"

#include <algorithm>
#include <cassert>
#include <cmath>
#include <limits>
#include <set>
#include <utility>

#include "checker/circuit/disjoint_sets.hpp"
#include "checker/solver/loaded_network.hpp"
#include "checker/solver/network_question.hpp"
#include "checker/work/remembered.hpp"

namespace loomward {

namespace {

// Of what its output gives: a converter whose input cannot feed so little has no input.
constexpr double next_to_nothing = 1e-3;
constexpr std::size_t most_bytes_remembered = 24'000'000;

NetworkSolution solve_anew(const Network& network, double load_factor) {
    LoadedNetwork loaded(network, load_factor);
    loaded.converge();
    return loaded.solution();
}

NetworkSolution solve_loaded(const Network& network, double load_factor) {
    static Remembered<NetworkSolution> solved_before(most_bytes_remembered);
    const std::string question = question_of(network, load_factor);
    if (question.empty()) return solve_anew(network, load_factor);
    if (auto known = solved_before.find(question)) return std::move(*known);
    NetworkSolution solution = solve_anew(network, load_factor);
    solved_before.keep(question, solution, bytes_of(solution));
    return solution;
}

bool has_no_input(const Branch& input, const NetworkSolution& solution) {
    return solution.node_V[input.from] - solution.node_V[input.to] < input.knee_V * (1 - 1e-9);
}

// Silences the outputs of converters that stand below their knee even when they draw next to nothing, though
// something leads to their input: behind an open switch that a bleed bridges, at an empty capacitor, the
// wrong way round, or fed by nothing but their own output. One that stands above it then asks for too much.
bool drop_dead_outputs(Network& network, const NetworkSolution& solution) {
    std::vector<std::size_t> below;
    Network at_rest = network;
    for (std::size_t index = 0; index < network.branches.size(); ++index) {
        const Branch& branch = network.branches[index];
        if (branch.type != Branch::Type::converter_input || !branch.partner) continue;
        if (network.branches[branch.partner.index()].current_A <= 0 || !has_no_input(branch, solution))
            continue;
        below.push_back(index);
        const std::size_t output = branch.partner.index();
        const double given_W = network.branches[output].voltage_V * std::max(0.0, solution.branch_A[output]);
        at_rest.branches[index].power_W = next_to_nothing * given_W / branch.efficiency;
        at_rest.branches[branch.partner.index()].current_A = 0;
    }
    if (below.empty()) return false;
    const NetworkSolution rest = solve_loaded(at_rest, 1);
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
        NetworkSolution now = solve_loaded(started, load_factor);
        if (now.status == SolveStatus::not_converged || waiting.empty()) return now;
        const std::size_t before = waiting.size();
        std::erase_if(waiting, [&](std::size_t index) {
            const Branch& branch = network.branches[index];
            if (has_no_input(branch, now)) return false;
            started.branches[index].power_W = branch.power_W;
            started.branches[branch.partner.index()].current_A =
                network.branches[branch.partner.index()].current_A;
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
        solution = solve_loaded(network, load_factor);
        if (solution.status == SolveStatus::not_converged &&
            std::any_of(network.branches.begin(), network.branches.end(), is_paired_input))
            solution = solve_from_standstill(network, load_factor);
    }
    if (solution.status != SolveStatus::collapsed) return solution;
    Network without_dead = network;
    while (solution.status == SolveStatus::collapsed && drop_dead_outputs(without_dead, solution))
        solution = solve_loaded(without_dead, load_factor);
    return solution;
}

// By branch, which of the pieces that nothing joins it belongs to; a converter joins both its sides.
std::vector<std::size_t> pieces_of(const Network& network) {
    DisjointSets nodes(network.node_count);
    for (const Branch& branch : network.branches) {
        nodes.join(branch.from, branch.to);
        if (branch.partner) nodes.join(branch.from, network.branches[branch.partner.index()].from);
    }
    for (const NetworkTie& tie : network.ties) nodes.join(tie.from, tie.to);
    std::vector<std::size_t> pieces;
    for (const Branch& branch : network.branches) pieces.push_back(nodes.find(branch.from));
    return pieces;
}

// One piece after the other: how one bends does not keep the steps of another short.
NetworkSolution solve_apart(const Network& network, NetworkSolution together) {
    const std::vector<std::size_t> pieces = pieces_of(network);
    const std::set<std::size_t> all(pieces.begin(), pieces.end());
    if (all.size() < 2) return together;
    NetworkSolution sum;
    sum.status = SolveStatus::solved;
    sum.node_V.assign(network.node_count, 0);
    sum.branch_A.assign(network.branches.size(), 0);
    for (const std::size_t piece : all) {
        Network alone = network;
        for (std::size_t i = 0; i < pieces.size(); ++i) {
            if (pieces[i] == piece) continue;
            Branch loop;
            loop.from = loop.to = network.branches[i].from;
            loop.resistance_ohm = 1;
            alone.branches[i] = loop;
        }
        const NetworkSolution one = solve_times(alone, 1);
        if (one.status == SolveStatus::not_converged) return together;
        if (one.status == SolveStatus::collapsed) sum.status = SolveStatus::collapsed;
        sum.collapsed.insert(sum.collapsed.end(), one.collapsed.begin(), one.collapsed.end());
        sum.iterations += one.iterations;
        sum.worst_residual_A = std::max(sum.worst_residual_A, one.worst_residual_A);
        for (std::size_t i = 0; i < pieces.size(); ++i) {
            if (pieces[i] != piece) continue;
            const Branch& branch = network.branches[i];
            sum.branch_A[i] = one.branch_A[i];
            sum.node_V[branch.from] = one.node_V[branch.from];
            sum.node_V[branch.to] = one.node_V[branch.to];
        }
    }
    std::sort(sum.collapsed.begin(), sum.collapsed.end());
    return sum;
}

// Multiples of all loads at once: one that can be fed and one that cannot.
struct Factors {
    double fed;
    double not_fed;
};

constexpr double least_factor = 1e-3;

template <class Feeds>
Factors bisect(Factors factors, const Feeds& feeds) {
    while (factors.not_fed - factors.fed > 5e-4 * factors.fed) {
        const double middle = (factors.fed + factors.not_fed) / 2;
        (feeds(middle) ? factors.fed : factors.not_fed) = middle;
    }
    return factors;
}

// Each from the one before, not from nothing: sooner found, and to be asked again from nothing.
Factors followed_factors(const Network& network) {
    LoadedNetwork loaded(network, least_factor);
    if (!loaded.converge()) return {least_factor, 1};
    double now = least_factor;
    return bisect({least_factor, 1}, [&](double factor) {
        if (!loaded.change_factor(factor)) return false;
        const bool feeds = loaded.solution().status == SolveStatus::solved;
        if (feeds)
            now = factor;
        else
            loaded.change_factor(now);
        return feeds;
    });
}

}  // namespace

NetworkSolution solve(const Network& network) {
    NetworkSolution solution = solve_times(network, 1);
    if (solution.status != SolveStatus::not_converged) return solution;
    return solve_apart(network, std::move(solution));
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
    if (!feeds(1)) {
        if (!feeds(least_factor)) return 0;
        const auto [fed, not_fed] = followed_factors(network);
        if (!feeds(fed)) return bisect({least_factor, 1}, feeds).fed;
        // A step that was followed may have been too long: there is more from nothing.
        Factors factors{fed, not_fed};
        double step = not_fed - fed;
        while (factors.not_fed < 1 && feeds(factors.not_fed)) {
            step *= 4;
            factors = {factors.not_fed, std::min(1.0, factors.not_fed + step)};
        }
        return bisect(factors, feeds).fed;
    }
    Factors factors{1, 2};
    while (feeds(factors.not_fed)) {
        factors.fed = factors.not_fed;
        factors.not_fed *= 2;
        if (factors.not_fed > 1e15) return std::numeric_limits<double>::infinity();
    }
    return bisect(factors, feeds).fed;
}

}  // namespace loomward
