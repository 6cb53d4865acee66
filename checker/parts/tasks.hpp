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
// One that lets go, or leaves off steering, where it drops out: what holds, brakes or steers by its task, and
// where none is stated what the name or label says is a brake or for steering.
bool drops_out(const Harness& harness, const Part& part);
// One that only moves air or water, by what the name or label says where no task does: a fan, a bilge pump.
// Blocked it draws its `stall`, and it drives nothing. A hydraulic pump does.
bool moves_air_or_water(const Harness& harness, const Part& part);

// A motor without a controller: by its task, else by a stall current where it moves no air or water, or by a
// name for what moves and hurts (a hoist, a blade), or for a motor that is none of a pump, a wiper and the
// like.
bool is_driving_load(const Facts& facts, PartId part);

// A switch that rests closed and that the name or label calls a stop, or one called an emergency stop that
// says nothing of how it rests, where `stop` says nothing; no contact of a stop lamp or at the end of a way.
bool called_stop(const Harness& harness, const Part& part);
// One that the name or label calls an emergency stop, if it is a stop.
bool called_emergency(const Part& part);

}  // namespace loomward
