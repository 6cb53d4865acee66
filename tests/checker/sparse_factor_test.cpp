#include "checker/solver/sparse_factor.hpp"

#include <Eigen/SparseCholesky>
#include <bit>
#include <catch2/catch.hpp>
#include <cstdint>
#include <random>

namespace loomward {

namespace {

// A nodal matrix of `size` unknowns with some loops, conductances over many decades, some of them negative.
template <class Scalar>
Eigen::SparseMatrix<Scalar, Eigen::ColMajor, int> random_matrix(int size, std::mt19937& chance) {
    std::uniform_real_distribution<double> decade(-4, 6), any(0, 1);
    std::vector<Eigen::Triplet<Scalar>> entries;
    const auto add = [&](int one, int other, double siemens) {
        entries.emplace_back(one, one, Scalar(siemens));
        entries.emplace_back(other, other, Scalar(siemens));
        entries.emplace_back(std::max(one, other), std::min(one, other), Scalar(-siemens));
    };
    const auto siemens = [&] { return (any(chance) < 0.03 ? -1 : 1) * std::pow(10, decade(chance)); };
    entries.emplace_back(0, 0, Scalar(siemens()));
    for (int node = 1; node < size; ++node) add(node, static_cast<int>(any(chance) * node), siemens());
    for (int loop = 0; loop < size / 4; ++loop) {
        const int one = static_cast<int>(any(chance) * size), other = static_cast<int>(any(chance) * size);
        if (one != other) add(one, other, siemens());
    }
    Eigen::SparseMatrix<Scalar, Eigen::ColMajor, int> matrix(size, size);
    matrix.setFromTriplets(entries.begin(), entries.end());
    return matrix;
}

std::uint64_t bits(double value) {
    return std::bit_cast<std::uint64_t>(value);
}
bool same_bits(double one, double other) {
    return bits(one) == bits(other);
}
bool same_bits(WideDouble one, WideDouble other) {
    return same_bits(one.high, other.high) && same_bits(one.low, other.low);
}

// Cases of which some figure differs in some bit from what Eigen finds.
template <class Scalar>
int cases_unlike_eigen(int cases) {
    using Vector = Eigen::Matrix<Scalar, Eigen::Dynamic, 1>;
    std::mt19937 chance(20);
    std::uniform_real_distribution<double> any(-10, 10);
    int unlike = 0;
    for (int number = 0; number < cases; ++number) {
        const int size = 1 + number % 60;
        const auto matrix = random_matrix<Scalar>(size, chance);
        const Eigen::SimplicialLDLT<std::decay_t<decltype(matrix)>, Eigen::Lower, Eigen::AMDOrdering<int>>
            reference(matrix);
        SparseFactor<Scalar> factor;
        factor.analyse(matrix);
        const std::span<const Scalar> values(matrix.valuePtr(), static_cast<std::size_t>(matrix.nonZeros()));
        factor.factor(values);
        bool same = factor.factor(values) && reference.info() == Eigen::Success;
        for (int place = 0; place < size; ++place) {
            const auto at = static_cast<std::size_t>(place);
            same = same && same_bits(factor.pivots()[at], reference.vectorD()[place]);
            if (size > 1)
                same = same && static_cast<int>(factor.unknown_at(at)) ==
                                   reference.permutationPinv().indices()[place];
        }
        std::vector<double> right(static_cast<std::size_t>(size)), result(right.size());
        Vector wanted(size);
        for (int row = 0; row < size; ++row)
            wanted[row] = Scalar(right[static_cast<std::size_t>(row)] = any(chance));
        wanted = reference.solve(wanted).eval();
        factor.solve(right, result);
        for (int row = 0; row < size; ++row)
            same = same && same_bits(result[static_cast<std::size_t>(row)], static_cast<double>(wanted[row]));
        unlike += !same;
    }
    return unlike;
}

}  // namespace

TEST_CASE("the factor of a nodal matrix is that of Eigen to the last bit") {
    CHECK(cases_unlike_eigen<double>(600) == 0);
    CHECK(cases_unlike_eigen<WideDouble>(300) == 0);
}

TEST_CASE("a pivot of nothing is told, and the next figures are factored as if it had never been") {
    Eigen::SparseMatrix<double, Eigen::ColMajor, int> matrix(2, 2);
    const std::vector<Eigen::Triplet<double>> entries{{0, 0, 1}, {1, 0, -1}, {1, 1, 1}};
    matrix.setFromTriplets(entries.begin(), entries.end());
    SparseFactor<double> factor;
    factor.analyse(matrix);
    CHECK_FALSE(factor.factor(std::vector<double>{1, -1, 1}));
    REQUIRE(factor.factor(std::vector<double>{2, -1, 1}));
    std::vector<double> result(2);
    factor.solve(std::vector<double>{1, 0}, result);
    CHECK(result == std::vector<double>{1, 1});
}

}  // namespace loomward
