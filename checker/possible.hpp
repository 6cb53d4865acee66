// Which findings hold whatever the values left open are, and which for some of them only.
#pragma once
#include <functional>
#include <memory>
#include <vector>

#include "checker/taken_values.hpp"

namespace loomward {

// Where in its range taken value `i` stands in mixture `k` of ends: all as they hold up currents least
// (short, thick, of little resistance), all as they do most, and two of both.
constexpr std::size_t mixtures = 4, least_resistance = 0, most_resistance = 1;
double place_in(const Completion& completion, std::size_t mixture, std::size_t i);
// The harness with all that was taken pinned there; as it is where nothing was taken.
std::shared_ptr<const Harness> at_mixture(const Completion& completion, std::size_t mixture);

// Marks the findings of `results`, which were made with every taken value as a range: each is `possible`
// unless it is told as gravely in each of these mixtures. What only such a mixture tells is added. Adds
// missing-data for what stays open: the sizes of wires, as requirements, and values whose range is of low
// confidence. `check_at` checks one harness.
void tell_possible(
    const Completion& completion, Results& results,
    const std::function<std::vector<Finding>(const std::shared_ptr<const Harness>&)>& check_at);

}  // namespace loomward
