// What guards what, held against what the weakest wire behind it may carry.
#pragma once
#include <optional>
#include <string>
#include <vector>

#include "checker/papers/shorts.hpp"
#include "checker/results.hpp"

namespace loomward {

// A protection zone of the results, in the same order.
struct ZoneRow {
    std::optional<double> allowed_A;  // 1.45 times what the weakest wire may carry, IEC 60364-4-43 433.1
    std::optional<double> share;  // what flows for long, in parts of it; nullopt: without end, or not known
    WireId hottest;               // of its wires the one that some short heats most; invalid: none
    double heat_over_limit = 0;   // see HottestShort
    double at_most_A = 0;         // flows for long; infinite: without end
};

std::vector<ZoneRow> zone_rows(const Results& results, const std::vector<WireShorts>& shorts);

}  // namespace loomward
