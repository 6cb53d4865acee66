// What every wire carries at its worst against what it may carry there.
#pragma once
#include <span>
#include <vector>

#include "checker/circuit/circuit.hpp"
#include "checker/parts/facts.hpp"
#include "checker/protection/proof.hpp"
#include "checker/results.hpp"
#include "checker/tables/conductors.hpp"

namespace loomward {

// The operating points of one mode at one corner, in the order of their intervals: one run of `points`.
struct Course {
    ModeId mode;
    Corner corner{};
    std::span<const OperatingPoint> points;
};
// Splits the points into courses; a course with any point that is not usable is left out.
std::vector<Course> usable_courses(const std::vector<OperatingPoint>& points);

// The largest current an edge carries in a course, A, and the point where it does.
struct Peak {
    double current_A = 0;
    const OperatingPoint* point = nullptr;
};
Peak peak_of(const Course& course, EdgeId edge);

// Bundles count the conductors that carry more than 30 % of what they may alone (IEC 60364-5-52 523.5,
// memory), and the wire itself.
std::vector<WireLoading> load_wires(const Circuit& circuit, const Facts& facts,
                                    const std::vector<OperatingPoint>& points, const Proof& proof);

// What a wire may carry for long, all its parallel conductors together: at the hottest ambient of any mode,
// and every other conductor of its bundles loaded as the modes load them. Its size has to be known.
Ampacity standing_ampacity(const Facts& facts, WireId id, const WireLoading& loading);

}  // namespace loomward
