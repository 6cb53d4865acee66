// The points between packs, and sections of packs, that lie on top of one another.
#pragma once
#include <map>
#include <utility>
#include <vector>

#include "checker/circuit/circuit.hpp"

namespace loomward {

// A point between two sections of a string, as all the conductors that hang together there.
struct StringPoint {
    std::vector<EdgeId> below, above;  // sections that end there, that begin there
    // Both sides of converters that only move charge from one section to another; the sign with which their
    // current leaves the point.
    std::vector<std::pair<EdgeId, int>> levelling;
};

// What hangs together with every contact closed that can be closed beside the others, by the lowest point of
// each piece.
struct StringPoints {
    std::vector<std::size_t> piece;            // by NodeId
    std::map<std::size_t, StringPoint> among;  // by piece
};
StringPoints string_points(const Circuit& circuit);

}  // namespace loomward
