// What is taken where the file does not say whether current passes back through a converter. Neither is the
// safe side of every question, so a check looks at both (checker/alternatives).
#pragma once
#include "checker/circuit/circuit.hpp"

namespace loomward {

enum class Unstated : std::uint8_t { passes, blocks };

Circuit build_circuit(const Harness& harness, Unstated reverse);
// Whether the converter leaves it open; one with separate minus sides never passes anything back.
bool reverse_is_open(const Harness& harness, PartId converter);

}  // namespace loomward
