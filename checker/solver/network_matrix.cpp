#include "checker/solver/network_matrix.hpp"

#include <algorithm>
#include <limits>
#include <numeric>

namespace loomward {

namespace {

std::size_t index_of(int value) {
    return static_cast<std::size_t>(value);
}

}  // namespace

template <class Scalar>
void NodalMatrix<Scalar>::set_pattern(std::uint32_t unknown_count, std::span<const Ends> ends) {
    unknown_count_ = unknown_count;
    place_of_.resize(unknown_count);
    std::iota(place_of_.begin(), place_of_.end(), 0U);
    fill_pattern(ends);
    if (unknown_count > 1) {
        order_for_little_fill();
        fill_pattern(ends);
    }
    find_slots(ends);
    analysed_ = false;
}

template <class Scalar>
void NodalMatrix<Scalar>::order_for_little_fill() {
    Eigen::AMDOrdering<int>::PermutationType order;
    Eigen::AMDOrdering<int>{}(Matrix(matrix_.template selfadjointView<Eigen::Upper>()), order);
    for (Eigen::Index place = 0; place < order.size(); ++place)
        place_of_[index_of(order.indices()[place])] = static_cast<std::uint32_t>(place);
}

template <class Scalar>
typename NodalMatrix<Scalar>::Ends NodalMatrix<Scalar>::placed(Ends ends) const {
    if (ends.first != grounded) ends.first = place_of_[ends.first];
    if (ends.second != grounded) ends.second = place_of_[ends.second];
    return ends;
}

// Column by column: the rows above the diagonal, sorted, each once, and the diagonal last.
template <class Scalar>
void NodalMatrix<Scalar>::fill_pattern(std::span<const Ends> ends) {
    const int size = static_cast<int>(unknown_count_);
    std::vector<int> start(unknown_count_ + 1, 0);
    const auto joins_two = [](const Ends& end) {
        return end.first != grounded && end.second != grounded && end.first != end.second;
    };
    for (const Ends& each : ends) {
        const Ends end = placed(each);
        if (joins_two(end)) ++start[std::max(end.first, end.second) + 1];
    }
    for (std::size_t column = 0; column < unknown_count_; ++column) start[column + 1] += start[column];
    std::vector<int> rows(index_of(start.back()));
    std::vector<int> next(start.begin(), start.end() - 1);
    for (const Ends& each : ends) {
        const Ends end = placed(each);
        if (!joins_two(end)) continue;
        rows[index_of(next[std::max(end.first, end.second)]++)] =
            static_cast<int>(std::min(end.first, end.second));
    }
    matrix_ = Matrix(size, size);
    matrix_.reserve(static_cast<Eigen::Index>(rows.size() + unknown_count_));
    for (std::size_t column = 0; column < unknown_count_; ++column) {
        const auto first = rows.begin() + start[column];
        const auto last = rows.begin() + start[column + 1];
        std::sort(first, last);
        matrix_.startVec(static_cast<Eigen::Index>(column));
        for (auto row = first; row != last; ++row) {
            if (row != first && *row == *(row - 1)) continue;
            matrix_.insertBack(*row, static_cast<Eigen::Index>(column)) = Scalar(0);
        }
        matrix_.insertBack(static_cast<Eigen::Index>(column), static_cast<Eigen::Index>(column)) = Scalar(0);
    }
    matrix_.finalize();
}

template <class Scalar>
void NodalMatrix<Scalar>::find_slots(std::span<const Ends> ends) {
    const int* const column_start = matrix_.outerIndexPtr();
    const int* const row = matrix_.innerIndexPtr();
    const auto diagonal = [&](std::uint32_t place) { return column_start[place + 1] - 1; };
    slots_.assign(ends.size(), Slots{});
    for (std::size_t element = 0; element < ends.size(); ++element) {
        const auto [first, second] = placed(ends[element]);
        if (first == second) continue;
        Slots& slots = slots_[element];
        if (first != grounded) slots.first = diagonal(first);
        if (second != grounded) slots.second = diagonal(second);
        if (first == grounded || second == grounded) continue;
        const std::uint32_t column = std::max(first, second);
        const int* const begin = row + column_start[column];
        const int* const end = row + column_start[column + 1];
        const int* const place = std::lower_bound(begin, end, static_cast<int>(std::min(first, second)));
        slots.between = static_cast<int>(place - row);
    }
}

template <class Scalar>
Definiteness NodalMatrix<Scalar>::factor(std::span<const double> conductance_S) {
    if (unknown_count_ == 0) return Definiteness::positive;
    Scalar* const values = matrix_.valuePtr();
    std::fill(values, values + matrix_.nonZeros(), Scalar(0));
    for (std::size_t element = 0; element < slots_.size(); ++element) {
        const Scalar conductance(conductance_S[element]);
        const Slots& slots = slots_[element];
        if (slots.first >= 0) values[slots.first] += conductance;
        if (slots.second >= 0) values[slots.second] += conductance;
        if (slots.between >= 0) values[slots.between] -= conductance;
    }
    if (!analysed_) factor_.analyzePattern(matrix_);
    analysed_ = true;
    factor_.factorize(matrix_);
    return factor_.info() == Eigen::Success ? judge_pivots() : Definiteness::unsure;
}

// A pivot is its node's whole conductance less what leads on to nodes already eliminated. Where next to
// nothing is left of it, what is left is rounding. Only the first bad one in order of elimination tells.
template <class Scalar>
Definiteness NodalMatrix<Scalar>::judge_pivots() const {
    const Scalar margin = 16 * std::numeric_limits<Scalar>::epsilon();
    const Scalar clear_margin = margin * Scalar(1e4);
    const auto pivots = factor_.vectorD();
    const Scalar* const values = matrix_.valuePtr();
    const int* const column_start = matrix_.outerIndexPtr();
    for (Eigen::Index place = 0; place < pivots.size(); ++place) {
        const Scalar whole = values[column_start[place + 1] - 1];
        if (pivots[place] > margin * whole) continue;
        return pivots[place] < -clear_margin * whole || whole < 0 ? Definiteness::not_positive
                                                                  : Definiteness::unsure;
    }
    return Definiteness::positive;
}

template <class Scalar>
std::vector<double> NodalMatrix<Scalar>::solve(std::span<const double> injected_A) const {
    std::vector<double> result(unknown_count_, 0);
    if (unknown_count_ == 0) return result;
    Eigen::Matrix<Scalar, Eigen::Dynamic, 1> right(static_cast<Eigen::Index>(unknown_count_));
    for (std::size_t unknown = 0; unknown < unknown_count_; ++unknown)
        right[place_of_[unknown]] = Scalar(injected_A[unknown]);
    right = factor_.solve(right).eval();
    for (std::size_t unknown = 0; unknown < unknown_count_; ++unknown)
        result[unknown] = static_cast<double>(right[place_of_[unknown]]);
    return result;
}

template class NodalMatrix<double>;
template class NodalMatrix<WideDouble>;

}  // namespace loomward
