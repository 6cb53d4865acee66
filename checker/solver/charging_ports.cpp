#include "checker/solver/charging_ports.hpp"

#include <Eigen/SparseCholesky>
#include <Eigen/SparseCore>
#include <algorithm>
#include <cmath>

#include "checker/circuit/disjoint_sets.hpp"
#include "checker/solver/wide_double.hpp"

namespace loomward {

namespace {

using Wide = WideDouble;  // a capacitor and what leaks out of it lie 1e12 apart
using Column = Eigen::Matrix<Wide, Eigen::Dynamic, 1>;
using Columns = Eigen::Matrix<Wide, Eigen::Dynamic, Eigen::Dynamic>;

constexpr double held_ohm = 1e-6;
constexpr std::size_t most_moving = 48;
constexpr std::size_t most_ports = 96;
constexpr double stays_share = 0.01;  // a load whose voltage moves less than this keeps its current

Eigen::Index at(std::size_t index) {
    return static_cast<Eigen::Index>(index);
}

bool bends(const Branch& branch) {
    return branch.type != Branch::Type::resistor && branch.type != Branch::Type::emf;
}

double drop_V(const NetworkSolution& solution, const Branch& branch) {
    return solution.node_V[branch.from] - solution.node_V[branch.to];
}

// What a converter draws once everything is settled, or as it begins, whichever is more.
double input_W(const Network& network, const Branch& branch, const NetworkSolution& end) {
    if (branch.type != Branch::Type::converter_input) return branch.power_W;
    double watts = branch.power_W;
    if (branch.partner) {
        const std::size_t partner = branch.partner.index();
        const double output_W = -drop_V(end, network.branches[partner]) * end.branch_A[partner];
        watts += std::max(0.0, output_W) / branch.efficiency;
    }
    return watts;
}

// Fills the nodal equations with what is linear, or stays where it is.
class Reduction {
  public:
    Reduction(const Network& network, std::span<const Capacitance> capacitors, const NetworkSolution& start,
              const NetworkSolution& end)
        : network_(network),
          capacitors_(capacitors),
          start_(start),
          end_(end),
          together_(network.node_count),
          free_(Column::Zero(at(network.node_count))) {}

    std::optional<PortModel> run() {
        for (std::size_t i = 0; i < capacitors_.size(); ++i) add_capacitor(i);
        for (std::size_t i = 0; i < network_.branches.size(); ++i) add_branch(i);
        if (model_.moving.size() > most_moving || model_.ports.size() > most_ports) return std::nullopt;
        ground();
        if (!solve_columns()) return std::nullopt;
        read_rows();
        return std::move(model_);
    }

  private:
    void conduct(std::uint32_t a, std::uint32_t b, double siemens) {
        if (a == b) return;
        together_.join(a, b);
        entries_.emplace_back(static_cast<int>(a), static_cast<int>(a), siemens);
        entries_.emplace_back(static_cast<int>(b), static_cast<int>(b), siemens);
        entries_.emplace_back(static_cast<int>(std::max(a, b)), static_cast<int>(std::min(a, b)), -siemens);
    }
    void drive(Column& into, std::uint32_t from, std::uint32_t to, double amperes) const {
        into[at(from)] -= amperes;
        into[at(to)] += amperes;
    }

    void add_capacitor(std::size_t index) {
        const Capacitance& each = capacitors_[index];
        conduct(each.plus, each.minus, 1 / held_ohm);
        // One that stands where it will settle may still be moved by others on the way: it is held only where
        // there are too many to follow.
        const double settled_V = end_.node_V[each.plus] - end_.node_V[each.minus];
        const double apart_V = std::abs(settled_V - each.start_V);
        if (capacitors_.size() <= most_moving ||
            apart_V > 1e-4 * std::max(std::abs(settled_V), std::abs(each.start_V)) + 1e-9)
            model_.moving.push_back(index);
        else
            drive(free_, each.minus, each.plus, each.start_V / held_ohm);
    }

    void add_branch(std::size_t index) {
        const Branch& branch = network_.branches[index];
        if (branch.from == branch.to) return;
        if (!bends(branch)) {
            conduct(branch.from, branch.to, 1 / branch.resistance_ohm);
            if (branch.type == Branch::Type::emf)
                drive(free_, branch.from, branch.to, branch.voltage_V / branch.resistance_ohm);
            return;
        }
        const double watts = input_W(network_, branch, end_);
        const double first_V = drop_V(start_, branch), last_V = drop_V(end_, branch);
        const PortCurrent first = port_current(branch, first_V, watts),
                          last = port_current(branch, last_V, watts);
        const bool stays =
            std::abs(first_V - last_V) <= stays_share * std::max(std::abs(first_V), std::abs(last_V)) + 1e-6;
        const bool straight = std::abs(first.slope_S - last.slope_S) <=
                              stays_share * std::max(std::abs(first.slope_S), std::abs(last.slope_S));
        if (stays && straight) {
            // On the same straight piece at both ends of the course; what bends gently keeps its current.
            const double slope_S = std::max(0.0, last.slope_S);
            if (slope_S > 0) conduct(branch.from, branch.to, slope_S);
            together_.join(branch.from, branch.to);
            conduct(branch.from, branch.to, PortModel::ground_S);
            drive(free_, branch.from, branch.to, last.current_A - (slope_S + PortModel::ground_S) * last_V);
            return;
        }
        conduct(branch.from, branch.to, PortModel::ground_S);
        model_.ports.push_back({static_cast<std::uint32_t>(index), watts});
    }

    // One node of each piece is the zero of its voltages. No current flows there: all of it is balanced.
    void ground() {
        std::vector<bool> done(network_.node_count, false);
        for (std::uint32_t node = 0; node < network_.node_count; ++node) {
            const std::size_t piece = together_.find(node);
            if (done[piece]) continue;
            done[piece] = true;
            entries_.emplace_back(static_cast<int>(node), static_cast<int>(node), Wide(1));
        }
    }

    bool solve_columns() {
        const Eigen::Index nodes = at(network_.node_count);
        Eigen::SparseMatrix<Wide> matrix(nodes, nodes);
        matrix.setFromTriplets(entries_.begin(), entries_.end());
        Eigen::SimplicialLDLT<Eigen::SparseMatrix<Wide>, Eigen::Lower> factor(matrix);
        if (factor.info() != Eigen::Success) return false;
        const std::size_t moving = model_.moving.size(), ports = model_.ports.size();
        columns_.resize(nodes, at(1 + moving + ports));
        columns_.col(0) = factor.solve(free_);
        Column unit(nodes);
        for (std::size_t k = 0; k < moving; ++k) {
            const Capacitance& each = capacitors_[model_.moving[k]];
            unit.setZero();
            drive(unit, each.minus, each.plus, 1 / held_ohm);
            columns_.col(at(1 + k)) = factor.solve(unit);
        }
        for (std::size_t m = 0; m < ports; ++m) {
            const Branch& branch = network_.branches[model_.ports[m].branch];
            unit.setZero();
            drive(unit, branch.from, branch.to, 1);
            columns_.col(at(1 + moving + m)) = factor.solve(unit);
        }
        return columns_.allFinite();
    }

    void read_rows() {
        const Eigen::Index moving = at(model_.moving.size()), ports = at(model_.ports.size());
        Columns seen(ports, 1 + moving + ports), given(moving, 1 + moving + ports);
        for (Eigen::Index m = 0; m < ports; ++m) {
            const Branch& branch = network_.branches[model_.ports[static_cast<std::size_t>(m)].branch];
            seen.row(m) = columns_.row(at(branch.from)) - columns_.row(at(branch.to));
        }
        for (Eigen::Index k = 0; k < moving; ++k) {
            const Capacitance& each = capacitors_[model_.moving[static_cast<std::size_t>(k)]];
            given.row(k) = columns_.row(at(each.minus)) - columns_.row(at(each.plus));
            given(k, 1 + k) += 1;
        }
        given /= static_cast<Wide>(held_ohm);
        model_.free_V = seen.col(0).cast<double>();
        model_.by_capacitor = seen.middleCols(1, moving).cast<double>();
        model_.by_excess = seen.rightCols(ports).cast<double>();
        model_.free_A = given.col(0).cast<double>();
        model_.conductance_S = given.middleCols(1, moving).cast<double>();
        model_.by_excess_A = given.rightCols(ports).cast<double>();
        model_.node_columns = columns_.cast<double>();
    }

    const Network& network_;
    std::span<const Capacitance> capacitors_;
    const NetworkSolution& start_;
    const NetworkSolution& end_;
    DisjointSets together_;
    Column free_;
    std::vector<Eigen::Triplet<Wide>> entries_;
    Columns columns_;
    PortModel model_;
};

}  // namespace

PortCurrent port_current(const Branch& branch, double drop, double watts) {
    const auto load = [&](double amperes_at_knee, double above_A, double above_S) {
        if (drop < 0 && !branch.both_ways) return PortCurrent{};
        if (std::abs(drop) >= branch.knee_V) return PortCurrent{above_A, above_S};
        const double siemens = amperes_at_knee / branch.knee_V;
        return PortCurrent{siemens * drop, siemens};
    };
    switch (branch.type) {
        case Branch::Type::resistor:
            return {drop / branch.resistance_ohm, 1 / branch.resistance_ohm};
        case Branch::Type::emf:
            return {(branch.voltage_V + drop) / branch.resistance_ohm, 1 / branch.resistance_ohm};
        case Branch::Type::current_load:
            return load(branch.current_A, std::copysign(branch.current_A, drop), 0);
        case Branch::Type::power_load:
        case Branch::Type::converter_input:
            return load(watts / branch.knee_V, watts / drop, -watts / (drop * drop));
        case Branch::Type::limited_source: {
            const double amperes = (branch.voltage_V + drop) / branch.resistance_ohm;
            if (amperes <= 0) return {0, 0};
            if (amperes >= branch.current_A) return {branch.current_A, 0};
            return {amperes, 1 / branch.resistance_ohm};
        }
        case Branch::Type::diode: {
            const double amperes = (drop - branch.voltage_V) / branch.resistance_ohm;
            return amperes > 0 ? PortCurrent{amperes, 1 / branch.resistance_ohm} : PortCurrent{};
        }
    }
    return {};
}

int law_piece(const Branch& branch, double drop) {
    switch (branch.type) {
        case Branch::Type::resistor:
        case Branch::Type::emf:
            return 0;
        case Branch::Type::current_load:
        case Branch::Type::power_load:
        case Branch::Type::converter_input:
            return drop >= branch.knee_V                        ? 2
                   : drop >= 0                                  ? 1
                   : drop > -branch.knee_V || !branch.both_ways ? 0
                                                                : -1;
        case Branch::Type::limited_source:
            return branch.voltage_V + drop <= 0                                          ? 0
                   : branch.voltage_V + drop >= branch.current_A * branch.resistance_ohm ? 2
                                                                                         : 1;
        case Branch::Type::diode:
            return drop > branch.voltage_V ? 1 : 0;
    }
    return 0;
}

std::optional<PortModel> reduce_to_ports(const Network& network, std::span<const Capacitance> capacitors,
                                         const NetworkSolution& start, const NetworkSolution& end) {
    return Reduction(network, capacitors, start, end).run();
}

Network with_held_capacitors(const Network& network, std::span<const Capacitance> capacitors) {
    Network held = network;
    for (const Capacitance& each : capacitors) {
        Branch branch;
        branch.type = Branch::Type::emf;
        branch.from = each.minus;
        branch.to = each.plus;
        branch.voltage_V = each.start_V;
        branch.resistance_ohm = held_ohm;
        held.branches.push_back(branch);
    }
    return held;
}

}  // namespace loomward
