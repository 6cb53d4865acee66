// What open ratings have to be, held: written in as they are asked for, they have to pass every rule.
#pragma once
#include <functional>
#include <memory>
#include <vector>

#include "checker/rules/finding.hpp"
#include "checker/taken_values.hpp"

namespace loomward {

// What one check finds of a harness.
using CheckAt = std::function<std::vector<Finding>(const std::shared_ptr<const Harness>&)>;

// Writes the required figures of `findings` (rule missing-data) into copies of the harness that was judged,
// of a choice of ratings the smallest and then the largest, and raises or narrows each by what the errors of
// `check_at` then say would pass, until none says more: by their cures, or else by the figure that stands
// against it, by the next size of a wire, by leaving the largest of a choice. What no figure alone passes stays as it is: that is
// told when it is written in. Step by step only
// where nothing but sizes of wires is taken for a range: else a step would answer the worst of other values.
// After `most_checks` cures have brought them as far as they came; what was still on its way by steps is as
// before.
void hold_requirements(const Completion& completion, std::vector<Finding>& findings, std::size_t most_checks,
                       const CheckAt& check_at);

}  // namespace loomward
