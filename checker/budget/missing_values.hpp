// Which values stand between a mode and its figures.
#pragma once
#include <string>
#include <vector>

#include "checker/circuit/circuit.hpp"
#include "checker/parts/facts.hpp"

namespace loomward {

// What is missing to say what an edge draws or gives in a state, if it has voltage: "power of load E1".
// Empty: nothing. Never asks for what the state does not use.
std::vector<std::string> missing_draw(const Circuit& circuit, const Facts& facts, const Mode& state,
                                      const Edge& edge);
// What is missing to say what an edge loses that carries a current: "length of wire W7".
std::vector<std::string> missing_loss(const Circuit& circuit, const Facts& facts, const Edge& edge);

// Its own consumption is left out of the file and counts as nothing in this state.
bool standby_left_out(const Harness& harness, const Mode& state, const Edge& edge);

// Of the whole pack; nullopt where it is not known.
std::optional<Quantity> pack_capacity(const Facts& facts, PartId pack);

}  // namespace loomward
