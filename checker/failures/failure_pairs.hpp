// Two failures at once: one that nobody sees, and another that joins what should be apart.
#pragma once
#include <cstdint>
#include <set>
#include <vector>

#include "checker/failures/failure_judge.hpp"

namespace loomward {

// Lines of those that leave no stop at all; counts what was tried in `report`. A contact in line with another
// one, whose weld nobody sees and whose partner is then alone, is told as not seen in `report.tried`.
// `takes_stop`: by SingleFailure::same, what takes a hand away by itself.
std::vector<FailureLine> try_pairs(FailureReport& report, const FailureJudge& judge,
                                   const std::set<std::uint32_t>& takes_stop);

}  // namespace loomward
