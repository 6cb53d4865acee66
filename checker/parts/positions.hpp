// The positions that selectors and change-over contacts can take together, and the sides of a bridge of
// contacts that reverses a motor, or of the links that put packs in line or side by side: all of its contacts
// at once would be a short across the pack and no state of use. A contact that no mode closes and that shorts a
// pack counts as open, every other one as closed.
#pragma once
#include <span>
#include <vector>

#include "checker/circuit/circuit.hpp"
#include "checker/circuit/contact_ways.hpp"
#include "checker/circuit/disjoint_sets.hpp"

namespace loomward {

class Positions {
  public:
    explicit Positions(const Circuit& circuit);
    // Combinations to look at one by one, at least 1. Beyond 64 the choices that hang on the same load are
    // combined in full, and those groups, which share nothing but the supply, are set side by side: every
    // position of each is looked at, not each with all of the others; and besides, all of them where the most
    // can flow, where the least can, and each as it leads to a place that several lead to. A group that has
    // more than 64 by itself has everything closed at once, which only makes currents and bounds larger.
    std::size_t count() const { return combinations_; }
    // Whether every combination is looked at.
    bool all() const { return all_; }
    // By EdgeId: contacts that combination `number` (below count()) leaves open.
    std::vector<bool> open(std::size_t number) const;
    // By EdgeId: contacts of choices that must not all count as closed at once, because a pack would be
    // shorted over them. For who asks what hangs together in any position.
    std::vector<bool> apart() const;
    // Contacts that no mode closes and that would short a pack: open in every combination.
    std::span<const EdgeId> left_open() const { return left_open_; }
    // The choices themselves, for who follows ways instead of trying positions.
    ContactWays ways() const;

  private:
    void add_bridges(const Circuit& circuit);
    void group(const Circuit& circuit);
    void add_mixed(DisjointSets& fixed);

    // Contacts of which only one way can be closed at a time: the positions of a selector, the two throws of
    // a change-over; or for a bridge what the modes close of it, where a contact may be in several ways.
    struct Choice {
        std::vector<std::vector<EdgeId>> ways;
    };
    const Circuit& circuit_;
    struct Group {
        std::vector<std::size_t> choices;
        std::size_t combinations = 1;
    };
    void close(std::vector<bool>& open, const Choice& choice, std::size_t way) const;

    std::size_t combinations_ = 1;
    bool all_ = true;
    std::vector<Choice> choices_;
    std::vector<EdgeId> left_open_;  // closed by no mode, and then a short across a pack
    std::vector<Group> groups_;                    // one of all choices where they are few
    std::vector<std::vector<std::size_t>> mixed_;  // the way of every choice, for the last combinations
};

}  // namespace loomward
