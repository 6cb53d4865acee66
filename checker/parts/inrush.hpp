// What a load draws as it is switched on.
#pragma once
#include <optional>

#include "checker/parts/facts.hpp"

namespace loomward {

struct Inrush {
    Quantity current;
    std::optional<Quantity> time;  // nullopt: nobody knows it
    bool stated = true;            // false: what it draws blocked
};

// As `inrush` says; of a motor that says what it draws blocked and nothing of its start, that, for as long as
// small motors need to come up. nullopt: nothing is said of either. The start of a motor at rest is one that
// is blocked: its winding alone limits it.
std::optional<Inrush> inrush_of(const Facts& facts, PartId part);

}  // namespace loomward
