// What an estimate decides: the findings that are told because it may be as low, or as high, as it is taken.
#pragma once
#include <cstddef>
#include <string>
#include <vector>

#include "checker/results.hpp"

namespace loomward {

struct EstimateEnds {
    std::string name;  // of the attribute: "current"
    std::vector<std::string>
        of;              // the parts, or the wire, that this one estimate is of, in the order of the file
    Quantity taken;      // base unit, its ends
    bool tried = false;  // false: there were too many, or it is of neither a part nor a wire
    // Findings (indices into the results, rising) that are not told, or milder, with the value at that end.
    std::vector<std::size_t> not_at_low, not_at_high;
};

// More are not tried: each costs two checks.
inline constexpr std::size_t most_tried_estimates = 24;

// Every estimate of a part or wire, in the order of the file, each alone at both its ends and the rest as
// they are taken.
std::vector<EstimateEnds> estimate_ends(const Results& results);

}  // namespace loomward
