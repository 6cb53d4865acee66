// Every single failure of a harness, as the change that it makes to the circuit.
#pragma once
#include <cstdint>
#include <string>
#include <vector>

#include "checker/failures/failure_kinds.hpp"
#include "checker/follow/follow.hpp"

namespace loomward {

struct SingleFailure {
    FailureKind kind{};
    std::string who;     // "K1", "U1.brake", "W40", "J1.+"
    std::string beside;  // what it touches, where it does: "minus"
    PartId part;         // whose it is; of a wire invalid
    WireId wire;
    CircuitChange change;
    // Those of one number do the same to the circuit: followed once.
    std::uint32_t same = 0;
};

// In the order of the source: parts, then wires. Joints do not fail.
std::vector<SingleFailure> single_failures(const Circuit& circuit, const Follower& follower);

// It joins what should be apart, or moves what nobody asked. What opens may move a contact that rests closed
// too.
bool joins(const SingleFailure& failure);

// "K1 welds", "W40 touches minus".
std::string failure_text(const SingleFailure& failure);

}  // namespace loomward
