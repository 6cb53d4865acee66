// What a load is there for.
#pragma once
#include "checker/parts/facts.hpp"
#include "parser/harness.hpp"

namespace loomward {

// A load whose task is to hold, or that the name or label says is a brake, and no lamp of one: it holds when
// it is not fed.
bool holds_unfed(const Harness& harness, const Part& part);
// One that others must see, hear or feel: by its task, or by what the name or label says.
bool warns_others(const Harness& harness, const Part& part);
// One that only moves air, by what the name or label says where no task does: blocked it draws its `stall`,
// and drives nothing.
bool moves_air(const Harness& harness, const Part& part);

// A motor without a controller: by its task, else by a stall current where it is no fan.
bool is_driving_load(const Facts& facts, PartId part);

// A switch that rests closed and that the name or label calls a stop, where nothing is said of it.
bool called_stop(const Harness& harness, const Part& part);

}  // namespace loomward
