// The positions that selectors and change-over contacts can take together, and the sides of a bridge of
// contacts that reverses a motor: all of its contacts at once would be a short across the pack and no state
// of use. Every other contact counts as closed.
#pragma once
#include <vector>

#include "checker/circuit/circuit.hpp"

namespace loomward {

class Positions {
  public:
    explicit Positions(const Circuit& circuit);
    // Combinations to look at one by one, at least 1. Beyond 64 there is a single one, with everything closed
    // at once, which only makes currents and bounds larger.
    std::size_t count() const { return combinations_; }
    // By EdgeId: contacts that combination `number` (below count()) leaves open.
    std::vector<bool> open(std::size_t number) const;

  private:
    void add_bridges(const Circuit& circuit);

    // Contacts of which only one way can be closed at a time: the positions of a selector, the two throws of
    // a change-over; or for a bridge what the modes close of it, where a contact may be in several ways.
    struct Choice {
        std::vector<std::vector<EdgeId>> ways;
    };
    std::size_t edges_ = 0;
    std::size_t combinations_ = 1;
    std::vector<Choice> choices_;  // empty where there are too many
};

}  // namespace loomward
