// A network as a question that was perhaps answered before.
#pragma once
#include <string>

#include "checker/solver/network.hpp"

namespace loomward {

// All that its solution depends on, to the last bit, and a further number. Empty: too large to be worth
// remembering, since the same network hardly comes again.
std::string question_of(const Network& network, double number);

// About what a solution takes.
std::size_t bytes_of(const NetworkSolution& solution);

}  // namespace loomward
