// The bound of every return conductor: what can arrive at it from the worst load, and leave it on the other
// side.
#pragma once
#include <vector>

#include "checker/circuit/circuit.hpp"

namespace loomward {

// One return network as the proof sees it. Edges are those that conduct among nodes that no plus reaches.
struct ReturnNetwork {
    struct Conductor {
        EdgeId edge;
        double capacity_A = 0;  // infinite for a plain conductor
    };
    struct Load {
        EdgeId edge;
        NodeId back;
        double feed_A = 0;  // what can flow for long at its feed
    };
    struct Drain {
        EdgeId source;
        NodeId minus;
        double capacity_A = 0;
    };
    std::vector<Conductor> conductors;
    std::vector<Load> loads;
    std::vector<Drain> drains;
};

struct ReturnBound {
    double current_A = 0;
    EdgeId load;  // valid: the feed of this load makes the bound
    std::vector<EdgeId>
        drained;  // else: the devices and sources on the leaving side that make it (some of many)
};

// By EdgeId. A wire whose loss parts the network carries what arrives on one side and leaves on the other,
// either way round. Where conductors form a loop, everything that arrives anywhere may take any of them.
// Linear, no recursion.
std::vector<ReturnBound> bound_returns(const Circuit& circuit, const ReturnNetwork& network);

}  // namespace loomward
