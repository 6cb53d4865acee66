// The nodal conductance matrix of a network: pattern once, numbers as often as wanted.
#pragma once
#include <Eigen/OrderingMethods>
#include <Eigen/SparseCholesky>
#include <Eigen/SparseCore>
#include <cstdint>
#include <span>
#include <vector>

#include "checker/solver/wide_double.hpp"

namespace loomward {

enum class Definiteness : std::uint8_t {
    positive,
    not_positive,
    unsure,  // some pivot is within rounding of nothing
};

// Symmetric; rows and columns stand in an order of little fill, in which the upper triangle is kept, so that
// factoring has nothing to move. Scalar is double, or WideDouble where conductances
// so far apart meet that a double's digits do not hold both.
template <class Scalar>
class NodalMatrix {
  public:
    static constexpr std::uint32_t grounded = 0xffffffffU;  // an end at a reference node
    struct Ends {
        std::uint32_t first;  // unknowns, or `grounded`
        std::uint32_t second;
    };

    // One entry of `ends` an element; the numbers come later in the same order.
    void set_pattern(std::uint32_t unknown_count, std::span<const Ends> ends);
    // Usable where positive.
    Definiteness factor(std::span<const double> conductance_S);
    std::uint32_t unknown_count() const { return unknown_count_; }
    // Volts for amperes put in at each unknown.
    std::vector<double> solve(std::span<const double> injected_A) const;

  private:
    using Matrix = Eigen::SparseMatrix<Scalar, Eigen::ColMajor, int>;
    struct Slots {
        int first = -1;  // places in the value array; -1: nothing there
        int second = -1;
        int between = -1;
    };
    Definiteness judge_pivots() const;
    void order_for_little_fill();
    void fill_pattern(std::span<const Ends> ends);
    void find_slots(std::span<const Ends> ends);
    Ends placed(Ends ends) const;

    std::uint32_t unknown_count_ = 0;
    std::vector<std::uint32_t> place_of_;  // by unknown: its row and column
    std::vector<Slots> slots_;             // by element
    Matrix matrix_;
    Eigen::SimplicialLDLT<Matrix, Eigen::Upper, Eigen::NaturalOrdering<int>> factor_;
    bool analysed_ = false;
};

extern template class NodalMatrix<double>;
extern template class NodalMatrix<WideDouble>;

}  // namespace loomward
