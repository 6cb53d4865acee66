// What a contact that closes charges, or lets capacitors give through it.
#pragma once
#include <vector>

#include "checker/rules/rule.hpp"

namespace loomward {

// What a capacitor still lacks, V; below 0 where it stands above what it comes to.
inline double lacks_V(const CapacitorState& state) {
    return state.settles_V - state.before_V;
}

// Capacitors that are charged through a contact, or that give through it.
struct Fed {
    std::vector<const CapacitorState*> capacitors;
    double energy_J = 0;                   // C dU^2 / 2 of all of them
    const CapacitorState* main = nullptr;  // the one with most of it

    bool gives() const { return lacks_V(*main) < 0; }
};

// Along what flows, from the contact on, to the capacitors; up along it where the contact is in the return,
// or where they are what it comes from.
Fed fed_through(const RuleInput& input, const ModeEntry& entry, const ClosingContact& contact);

// Whether all that flows through the contact in the first moment passes a resistor too: the contact that
// precharges. The resistor takes the energy.
bool closes_through_resistor(const RuleInput& input, const ModeEntry& entry, EdgeId contact);

}  // namespace loomward
