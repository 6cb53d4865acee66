// The way of a fault's current: along the strongest of it.
#pragma once
#include <vector>

#include "checker/faults/fault.hpp"

namespace loomward {

struct FaultWay {
    NodeId hot, cold;          // where the current arrives at the fault, where it leaves
    std::vector<EdgeId> out;   // from the fault back to the source's plus
    std::vector<EdgeId> back;  // from the fault on to the source's minus
    EdgeId source;             // invalid where the current only goes round
};
// Of the current at once, or of what still flows when nothing more opens.
enum class Moment : std::uint8_t { first, last };
FaultWay find_way(const Circuit& circuit, const FaultPlace& place, const FaultStory& story,
                  Moment moment = Moment::first);

// The same by pieces.
struct CourseWay {
    std::vector<std::uint32_t> out, back;  // into the pieces of the course
    EdgeId source;
};
CourseWay find_way(const FaultNetwork& network, const FaultPlace& place, const FaultCourse& course,
                   Moment moment = Moment::first);

}  // namespace loomward
