// One fault's currents: chains of pieces in series between key nodes, and a few nodal equations.
#include <Eigen/Dense>
#include <Eigen/SparseCholesky>
#include <cmath>

#include "checker/faults/fault_network.hpp"

namespace loomward {

namespace {
constexpr double leak_S = 1e-9;          // keeps a node in the equations that only blocked sources lead to
constexpr std::size_t dense_limit = 40;  // unknowns from which the sparse solver is quicker
constexpr double rounding_A = 1e-7;
constexpr int most_rounds = 200;  // of settling what blocks and what is at its limit
}  // namespace

FaultSolver::FaultSolver(const FaultNetwork& network)
    : network_(network), local_of_node_(network.circuit().node_count(), -1) {}

std::uint32_t FaultSolver::local(NodeId node) {
    std::int32_t& place = local_of_node_[node.index()];
    if (place < 0) {
        place = static_cast<std::int32_t>(touched_.size());
        touched_.push_back(node);
        if (arcs_.size() < touched_.size()) arcs_.emplace_back();
        arcs_[static_cast<std::size_t>(place)].clear();
    }
    return static_cast<std::uint32_t>(place);
}

// Local node 0 is the fault: both of its points. Which of them a piece comes from decides what it adds to the
// fault current.
void FaultSolver::list_arcs(std::span<const FaultPiece> pieces, const std::vector<bool>& opened, NodeId a,
                            NodeId b) {
    for (const NodeId node : touched_) local_of_node_[node.index()] = -1;
    touched_.clear();
    local(a);
    local_of_node_[b.index()] = 0;
    touched_.push_back(b);  // so that both are forgotten afterwards; local numbers go on from 2
    if (arcs_.size() < 2) arcs_.resize(2);
    arcs_[1].clear();
    side_.assign(pieces.size(), 0);
    ends_.resize(pieces.size());
    for (std::uint32_t i = 0; i < pieces.size(); ++i) {
        if (opened[i]) continue;
        const FaultPiece& piece = pieces[i];
        const std::uint32_t from = local(piece.from), to = local(piece.to);
        if (piece.to == a) ++side_[i];
        if (piece.from == a) --side_[i];
        ends_[i] = {from, to};
        arcs_[from].push_back({i, to, 1});
        arcs_[to].push_back({i, from, -1});
    }
}

void FaultSolver::follow(std::uint32_t from, Arc arc, std::span<const FaultPiece> pieces) {
    Chain chain;
    chain.u = static_cast<std::uint32_t>(key_of_local_[from]);
    chain.first = chain_pieces_.size();
    std::uint32_t at = from;
    for (;;) {
        const FaultPiece& piece = pieces[arc.piece];
        const FaultBranch& branch = network_.branch(network_.lines().edge(piece, 0));
        if (branch.one_way && chain.way != 0) break;  // two of them in one chain: part it here
        taken_[arc.piece] = true;
        chain_pieces_.emplace_back(arc.piece, arc.sign);
        chain.resistance_ohm += network_.lines().resistance_ohm(piece);
        chain.voltage_V += arc.sign * branch.voltage_V;
        if (branch.one_way) {
            chain.way = arc.sign;
            chain.limit_A = branch.limit_A;
        }
        at = arc.other;
        if (key_of_local_[at] >= 0 || arcs_[at].size() != 2) break;
        const auto& here = arcs_[at];
        const Arc& next = taken_[here[0].piece] ? here[1] : here[0];
        if (taken_[next.piece]) break;
        arc = next;
    }
    if (key_of_local_[at] < 0) {
        key_of_local_[at] = static_cast<std::int32_t>(keys_.size());
        keys_.push_back(at);
    }
    chain.v = static_cast<std::uint32_t>(key_of_local_[at]);
    chain.last = chain_pieces_.size();
    chains_.push_back(chain);
}

void FaultSolver::find_chains(std::span<const FaultPiece> pieces) {
    chains_.clear();
    chain_pieces_.clear();
    keys_.assign(1, 0);
    key_of_local_.assign(touched_.size(), -1);
    key_of_local_[0] = 0;
    taken_.assign(pieces.size(), false);
    for (std::size_t i = 0; i < keys_.size(); ++i)
        for (const Arc& arc : arcs_[keys_[i]])
            if (!taken_[arc.piece]) follow(keys_[i], arc, pieces);
}

// What each chain adds to the equations: `add(i, j, siemens)`, and to the amperes put in.
template <class Add, class Column>
void FaultSolver::list_equations(Add add, Column& right) const {
    for (const Chain& chain : chains_) {
        if (chain.u == chain.v || chain.state == 2) continue;
        double pushed = chain.way * chain.limit_A;
        if (chain.state == 0) {
            const double siemens = 1 / chain.resistance_ohm;
            pushed = chain.voltage_V * siemens;
            if (chain.u != 0) add(chain.u - 1, chain.u - 1, siemens);
            if (chain.v != 0) add(chain.v - 1, chain.v - 1, siemens);
            if (chain.u != 0 && chain.v != 0) {
                add(chain.u - 1, chain.v - 1, -siemens);
                add(chain.v - 1, chain.u - 1, -siemens);
            }
        }
        if (chain.u != 0) right(chain.u - 1) -= pushed;
        if (chain.v != 0) right(chain.v - 1) += pushed;
    }
}

// Few unknowns, as most faults have: nothing is asked of the heap.
void FaultSolver::find_few_voltages(std::ptrdiff_t unknowns) {
    constexpr int most = static_cast<int>(dense_limit);
    using Matrix = Eigen::Matrix<double, Eigen::Dynamic, Eigen::Dynamic, Eigen::ColMajor, most, most>;
    using Column = Eigen::Matrix<double, Eigen::Dynamic, 1, Eigen::ColMajor, most, 1>;
    Matrix matrix = leak_S * Matrix::Identity(unknowns, unknowns);
    Column right = Column::Zero(unknowns);
    list_equations([&](std::uint32_t i, std::uint32_t j, double siemens) { matrix(i, j) += siemens; }, right);
    const Column solution = matrix.ldlt().solve(right);
    std::copy(solution.begin(), solution.end(), voltage_V_.begin() + 1);
}

void FaultSolver::find_many_voltages(std::ptrdiff_t unknowns) {
    std::vector<Eigen::Triplet<double>> entries;
    Eigen::VectorXd right = Eigen::VectorXd::Zero(unknowns);
    list_equations(
        [&](std::uint32_t i, std::uint32_t j, double siemens) { entries.emplace_back(i, j, siemens); },
        right);
    for (int i = 0; i < unknowns; ++i) entries.emplace_back(i, i, leak_S);
    Eigen::SparseMatrix<double> sparse(unknowns, unknowns);
    sparse.setFromTriplets(entries.begin(), entries.end());
    const Eigen::VectorXd solution = Eigen::SimplicialLDLT<Eigen::SparseMatrix<double>>(sparse).solve(right);
    std::copy(solution.begin(), solution.end(), voltage_V_.begin() + 1);
}

void FaultSolver::find_voltages() {
    const std::size_t unknowns = keys_.size() - 1;
    voltage_V_.assign(keys_.size(), 0);
    if (unknowns == 0) return;
    if (unknowns <= dense_limit)
        find_few_voltages(static_cast<std::ptrdiff_t>(unknowns));
    else
        find_many_voltages(static_cast<std::ptrdiff_t>(unknowns));
}

// What a blocking or limiting chain does must agree with the voltages. With `one_only` the first that does
// not changes, which ends where changing all at once would go round in circles.
bool FaultSolver::settle_states(bool one_only) {
    bool changed = false;
    for (Chain& chain : chains_) {
        const double free_A =
            (voltage_V_[chain.u] - voltage_V_[chain.v] + chain.voltage_V) / chain.resistance_ohm;
        int state = 0;
        if (chain.way != 0) {
            // A source that holds its voltage and gives nothing stands on the edge: rounding must not push it
            // to and fro.
            const double along_A = free_A * chain.way;
            if (along_A > chain.limit_A + (chain.state == 1 ? -rounding_A : rounding_A)) state = 1;
            if (along_A < (chain.state == 2 ? rounding_A : -rounding_A)) state = 2;
            // Between its limit and giving nothing it holds its voltage first: a source alone at a point that
            // nothing draws from would swing from one to the other.
            if (state != 0 && chain.state != 0 && state != chain.state) state = 0;
        }
        chain.current_A = state == 0 ? free_A : state == 1 ? chain.way * chain.limit_A : 0;
        if (state == chain.state || (one_only && changed)) continue;
        chain.state = state;
        changed = true;
    }
    return changed;
}

bool FaultSolver::find_currents() {
    for (int round = 0; round < most_rounds; ++round) {
        find_voltages();
        if (!settle_states(round > 20)) return true;
    }
    return false;
}

bool FaultSolver::may_flow(std::span<const FaultPiece> pieces, const std::vector<bool>& opened) {
    together_.reset(touched_.size());
    const auto join = [&](std::size_t i) { return together_.join(ends_[i].first, ends_[i].second); };
    const auto drives = [&](std::size_t i) {
        const FaultBranch& branch = network_.branch(network_.lines().edge(pieces[i], 0));
        return branch.one_way || branch.voltage_V != 0;
    };
    for (std::size_t i = 0; i < pieces.size(); ++i)
        if (!opened[i] && !drives(i)) join(i);
    for (std::size_t i = 0; i < pieces.size(); ++i)
        if (!opened[i] && drives(i) && !join(i)) return true;
    return false;
}

bool FaultSolver::solve(std::span<const FaultPiece> pieces, const std::vector<bool>& opened, NodeId a,
                        NodeId b) {
    list_arcs(pieces, opened, a, b);
    find_chains(pieces);
    const bool solved = find_currents();
    current_A_.assign(pieces.size(), 0);
    fault_A_ = 0;
    for (const Chain& chain : chains_)
        for (std::size_t i = chain.first; i < chain.last; ++i) {
            const auto [piece, sign] = chain_pieces_[i];
            current_A_[piece] = sign * chain.current_A;
            fault_A_ += side_[piece] * current_A_[piece];
        }
    return solved;
}

}  // namespace loomward
