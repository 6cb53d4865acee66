#include "checker/solver/sparse_factor.hpp"

#include <Eigen/OrderingMethods>
#include <algorithm>
#include <limits>

namespace loomward {

namespace {

constexpr std::uint32_t none = std::numeric_limits<std::uint32_t>::max();

std::uint32_t natural(int value) {
    return static_cast<std::uint32_t>(value);
}

}  // namespace

template <class Scalar>
void SparseFactor<Scalar>::analyse(const Matrix& lower) {
    order(lower);
    list_entries(lower);
    plan_rows();
    work_.assign(unknown_at_.size(), Scalar(0));
}

template <class Scalar>
void SparseFactor<Scalar>::order(const Matrix& lower) {
    Matrix whole;
    whole = lower.template selfadjointView<Eigen::Lower>();
    Eigen::PermutationMatrix<Eigen::Dynamic, Eigen::Dynamic, int> found;
    Eigen::AMDOrdering<int>()(whole, found);
    const auto size = static_cast<std::size_t>(lower.cols());
    unknown_at_.resize(size);
    place_of_.resize(size);
    for (std::size_t place = 0; place < size; ++place) {
        unknown_at_[place] = natural(found.indices()[static_cast<Eigen::Index>(place)]);
        place_of_[unknown_at_[place]] = static_cast<Index>(place);
    }
}

// Each entry to the later of its two places.
template <class Scalar>
void SparseFactor<Scalar>::list_entries(const Matrix& lower) {
    const std::size_t size = unknown_at_.size();
    const auto each = [&](auto visit) {
        for (std::size_t column = 0; column < size; ++column)
            for (Index value = natural(lower.outerIndexPtr()[column]);
                 value < natural(lower.outerIndexPtr()[column + 1]); ++value)
                visit(place_of_[column], place_of_[natural(lower.innerIndexPtr()[value])], value);
    };
    first_entry_.assign(size + 1, 0);
    each([&](Index one, Index other, Index) { ++first_entry_[std::max(one, other) + 1]; });
    for (std::size_t row = 0; row < size; ++row) first_entry_[row + 1] += first_entry_[row];
    entries_.resize(first_entry_.back());
    std::vector<Index> next(first_entry_.begin(), first_entry_.end() - 1);
    each([&](Index one, Index other, Index value) {
        entries_[next[std::max(one, other)]++] = {std::min(one, other), value};
    });
}

// What of a row is not nothing: from each of its entries up the tree of elimination.
template <class Scalar>
void SparseFactor<Scalar>::plan_rows() {
    const std::size_t size = unknown_at_.size();
    std::vector<Index> parent(size, none), seen(size, none), count(size, 0), pattern(size), way;
    first_step_.assign(1, 0);
    steps_.clear();
    for (Index row = 0; row < size; ++row) {
        std::size_t top = size;
        seen[row] = row;
        for (Index at = first_entry_[row]; at < first_entry_[row + 1]; ++at) {
            way.clear();
            for (Index column = entries_[at].column; seen[column] != row; column = parent[column]) {
                if (parent[column] == none) parent[column] = row;
                seen[column] = row;
                way.push_back(column);
            }
            for (; !way.empty(); way.pop_back()) pattern[--top] = way.back();
        }
        for (; top < size; ++top) steps_.push_back({pattern[top], count[pattern[top]]++});
        first_step_.push_back(static_cast<Index>(steps_.size()));
    }
    column_start_.assign(size + 1, 0);
    for (std::size_t column = 0; column < size; ++column)
        column_start_[column + 1] = column_start_[column] + count[column];
    row_of_.resize(steps_.size());
    for (Index row = 0; row < size; ++row)
        for (Index at = first_step_[row]; at < first_step_[row + 1]; ++at) {
            steps_[at].end += column_start_[steps_[at].column];
            row_of_[steps_[at].end] = row;
        }
    factor_.assign(steps_.size(), Scalar(0));
    pivots_.assign(size, Scalar(0));
}

template <class Scalar>
bool SparseFactor<Scalar>::factor(std::span<const Scalar> values) {
    Scalar* const work = work_.data();
    const Index* const row_of = row_of_.data();
    Scalar* const factor = factor_.data();
    for (std::size_t row = 0; row < pivots_.size(); ++row) {
        work[row] = Scalar(0);
        for (Index at = first_entry_[row]; at < first_entry_[row + 1]; ++at)
            work[entries_[at].column] += values[entries_[at].value];
        Scalar pivot = work[row];
        work[row] = Scalar(0);
        for (Index at = first_step_[row]; at < first_step_[row + 1]; ++at) {
            const auto [column, end] = steps_[at];
            const Scalar left = work[column];
            work[column] = Scalar(0);
            const Scalar figure = left / pivots_[column];
            for (Index place = column_start_[column]; place < end; ++place)
                work[row_of[place]] -= factor[place] * left;
            pivot -= figure * left;
            factor[end] = figure;
        }
        pivots_[row] = pivot;
        if (pivot == Scalar(0)) return false;
    }
    return true;
}

template <class Scalar>
void SparseFactor<Scalar>::solve(std::span<const double> right, std::span<double> result) const {
    const std::size_t size = pivots_.size();
    std::vector<Scalar>& work = work_;
    for (std::size_t place = 0; place < size; ++place) work[place] = Scalar(right[unknown_at_[place]]);
    for (std::size_t column = 0; column < size; ++column) {
        const Scalar figure = work[column];
        if (figure == Scalar(0)) continue;
        for (Index place = column_start_[column]; place < column_start_[column + 1]; ++place)
            work[row_of_[place]] -= figure * factor_[place];
    }
    for (std::size_t place = 0; place < size; ++place) work[place] = Scalar(1) / pivots_[place] * work[place];
    for (std::size_t column = size; column-- > 0;) {
        Scalar figure = work[column];
        for (Index place = column_start_[column]; place < column_start_[column + 1]; ++place)
            figure -= factor_[place] * work[row_of_[place]];
        work[column] = figure;
    }
    for (std::size_t place = 0; place < size; ++place)
        result[unknown_at_[place]] = static_cast<double>(work[place]);
    std::fill(work.begin(), work.end(), Scalar(0));
}

template class SparseFactor<double>;
template class SparseFactor<WideDouble>;

}  // namespace loomward
