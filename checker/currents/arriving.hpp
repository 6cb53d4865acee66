// What comes to a point where conductors meet.
#pragma once
#include <algorithm>

#include "checker/circuit/circuit.hpp"
#include "checker/currents/operating_point.hpp"

namespace loomward {

// What arrives at a node of a bar, block or splice at an operating point, A; 0 or above.
inline double arrives_A(const Circuit& circuit, const OperatingPoint& point, NodeId node) {
    double sum_A = 0;
    for (const Incidence& next : circuit.at(node)) {
        const Edge& edge = circuit.edge(next.edge);
        sum_A += std::max(0.0, (edge.to == node ? 1 : -1) * point.edge_A[next.edge.index()]);
    }
    return sum_A;
}

}  // namespace loomward
