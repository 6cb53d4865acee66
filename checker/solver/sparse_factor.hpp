// A symmetric matrix taken apart into L D L', with numbers as often as wanted: which figure meets which, and
// in what order, is worked out once. Newton's steps ask for the same small matrix a thousand times, and most
// of the time went into the pattern. Row after row as of T. A. Davis, "Algorithm 849: a concise sparse
// Cholesky factorization package" (memory), and operation by operation as Eigen's SimplicialLDLT does it, so
// that the results are the same to the last bit.
#pragma once
#include <Eigen/SparseCore>
#include <cstdint>
#include <span>
#include <vector>

#include "checker/solver/wide_double.hpp"

namespace loomward {

template <class Scalar>
class SparseFactor {
  public:
    using Matrix = Eigen::SparseMatrix<Scalar, Eigen::ColMajor, int>;

    // The lower triangle, of which only the pattern counts.
    void analyse(const Matrix& lower);
    // `values`: in the order of the matrix that was analysed. False: a pivot is nothing, no use to go on.
    bool factor(std::span<const Scalar> values);
    // Of what `factor` found; `right` and `result` by unknown.
    void solve(std::span<const double> right, std::span<double> result) const;

    // In the order of elimination.
    std::span<const Scalar> pivots() const { return pivots_; }
    std::uint32_t unknown_at(std::size_t place) const { return unknown_at_[place]; }

  private:
    using Index = std::uint32_t;
    void order(const Matrix& lower);
    void list_entries(const Matrix& lower);
    void plan_rows();

    std::vector<Index> unknown_at_, place_of_;  // by place, by unknown
    struct Entry {
        Index column;  // in the order of elimination
        Index value;   // among those of the matrix
    };
    std::vector<Index> first_entry_;  // by row; its own column is among the entries
    std::vector<Entry> entries_;
    struct Step {
        Index column;  // whose figure of this row comes next
        Index end;     // where in the factor it goes: after those of the column's rows before
    };
    std::vector<Index> first_step_;  // by row
    std::vector<Step> steps_;
    std::vector<Index> column_start_, row_of_;  // the factor, column by column
    std::vector<Scalar> factor_, pivots_;
    mutable std::vector<Scalar> work_;
};

extern template class SparseFactor<double>;
extern template class SparseFactor<WideDouble>;

}  // namespace loomward
