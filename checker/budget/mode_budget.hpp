// The budget of one state at one corner, from its solved points.
#pragma once
#include <span>

#include "checker/budget/budget.hpp"

namespace loomward {

// `points`: one course of the state, all usable, at least one.
ModeBudget mode_budget(const Circuit& circuit, const Facts& facts, const Mode& state, ModeId mode,
                       std::span<const OperatingPoint> points);

}  // namespace loomward
