// What burns when a fuse, breaker or battery management does not open: the same short circuits once more,
// with it bridged.
#pragma once
#include <vector>

#include "checker/faults/fault.hpp"

namespace loomward {

struct BridgedGuard {
    PartId part;
    struct Burnt {
        WireId wire;
        double after_s = 0;
        double current_A = 0;
    };
    std::vector<Burnt> burnt;           // that do not burn with it whole; soonest first
    PartId opens;                       // what opens instead in the worst of it; invalid: nothing
    bool ends = true;                   // every short circuit in which one of them burns ends
    bool asked = false;                 // some short circuit is its to open
    std::size_t shorts = 0, tried = 0;  // that are its to open, and of those
};

// By PartId of what opens first in some short circuit; the others have no entry.
std::vector<BridgedGuard> bridged_guards(const Circuit& circuit, const FaultStudy& study);

}  // namespace loomward
