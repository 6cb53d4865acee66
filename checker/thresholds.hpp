// Where a possible finding turns: "true above 3.2 m of W24".
#pragma once
#include <functional>
#include <memory>
#include <string>
#include <vector>

#include "checker/taken_values.hpp"

namespace loomward {

// What one check finds of a harness in one mode (empty: all) by the rules that stand beside `rule`.
using CheckOne = std::function<std::vector<Finding>(const std::shared_ptr<const Harness>& harness,
                                                    std::string_view only_mode, std::string_view rule)>;

// Looks for each possible finding, the gravest first, whether one of the taken values that it hangs on
// decides it alone, whatever the others are in their ranges, and where: within 1 %, by bisection, each step a
// check. The place goes into Finding::hangs_on. `most_checks`: when so many were made, the rest keeps no
// place.
void find_thresholds(const Completion& completion, std::vector<Finding>& findings, std::size_t most_checks,
                     const CheckOne& check_one);

}  // namespace loomward
