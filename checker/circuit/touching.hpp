// What can touch what: the one relation behind every question about shorts.
//
// Two conductors touch where they lie in one place: terminals of one part, contacts of one half of a
// connector, wires of one bundle or cable along all of it, the way out and the way back of one run
// (checker/circuit/runs), bare posts at one location, and anything and a bonded frame. What lies metres of
// wire apart does not touch.
//
// Each pair of nodes is listed once, in the order of their names: nothing here depends on the order of
// writing. Groups of up to `all_pairs_of` members give every pair, and so do larger ones while they give some
// thousand in all; beyond that each member meets its neighbours by name, and of each net the members behind
// the largest fuses, the thickest and the thinnest, so that the list stays near linear.
#pragma once
#include <cstdint>
#include <span>
#include <vector>

#include "checker/circuit/runs.hpp"

namespace loomward {

struct Touch {
    enum class Place : std::uint8_t {  // nearest to a workshop's eye first: of several the first one stays
        part,                          // terminals of one part, ways of one block, contacts of one half
        run,                           // out and back of one run, side by side
        frame,                         // against a bonded frame
        bundle,                        // two wires of one bundle
        cable,                         // two cores of one cable
        location,                      // bare posts in one box
    } place{};
    NodeId a, b;
    TerminalId at, against;  // as they are named, on a and on b
    // The wires whose insulation fails there, as far as it is wires: what is damaged may lie anywhere along
    // them; `at` and `against` are the ends that carry the current through all of them.
    WireId wire, other_wire;
    PartId part;               // place part: whose terminals
    bool same_supply = false;  // joined already over conductors and protective devices: no short, a way round
};

class Touching {
  public:
    static constexpr std::size_t all_pairs_of = 16;

    // `contacts`: which of them can be closed at the same time.
    Touching(const Circuit& circuit, const ContactWays& contacts);

    std::span<const Touch> all() const { return touches_; }
    // Indexes into all() of what a node touches.
    std::span<const std::uint32_t> of(NodeId node) const {
        return std::span(of_node_).subspan(start_[node.index()],
                                           start_[node.index() + 1] - start_[node.index()]);
    }
    const Runs& runs() const { return runs_; }
    // False: of some large group not every pair is listed.
    bool lists_every_pair() const { return every_pair_; }

  private:
    friend class TouchFinder;
    bool every_pair_ = true;
    Runs runs_;
    std::vector<Touch> touches_;
    std::vector<std::uint32_t> start_, of_node_;
};

}  // namespace loomward
