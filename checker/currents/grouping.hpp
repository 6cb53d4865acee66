// Which conductors heat each other: the wires of a bundle, the cores of a cable, the parallel conductors of
// one wire.
//
// A conductor that carries no more than 30 % of what it may in its group is left out of the count (IEC
// 60364-5-52 523.5). What it may depends on the count again: counted from the safe side, beginning with all
// that carry anything, until none falls out.
#pragma once
#include <span>
#include <vector>

#include "checker/circuit/circuit.hpp"
#include "checker/parts/facts.hpp"
#include "checker/tables/conductors.hpp"

namespace loomward {

// Conductors that lie together, and what is around them.
struct HeatGroup {
    Wrap wrap = Wrap::open;
    std::vector<WireId> wires;
};
// Bundles, then cables, then wires of several parallel conductors.
std::vector<HeatGroup> heat_groups(const Harness& harness);

// By WireId: the surroundings in which each wire may carry least, with these currents in all wires, A, those
// of parallel conductors together, at the hottest ambient of a mode (invalid: of any). A wire always counts
// itself.
std::vector<Surroundings> surroundings_of(const Circuit& circuit, const Facts& facts,
                                          std::span<const double> current_A, ModeId mode);

// What a wire may carry there, all its parallel conductors together, A; 0 where its size is not known.
double limit_A(const Facts& facts, WireId wire, const Surroundings& surroundings);

}  // namespace loomward
