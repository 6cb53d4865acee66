// The largest current of an edge in any mode that was solved.
#pragma once
#include <algorithm>
#include <cmath>
#include <span>

#include "checker/currents/operating_point.hpp"

namespace loomward {

inline double largest_A(std::span<const OperatingPoint> points, EdgeId edge) {
    double most_A = 0;
    for (const OperatingPoint& point : points)
        if (point.usable()) most_A = std::max(most_A, std::abs(point.edge_A[edge.index()]));
    return most_A;
}

}  // namespace loomward
