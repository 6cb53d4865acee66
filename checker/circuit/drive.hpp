// Which way round sources can push a current between two points, on the graph: from a source's plus to one
// of them, from the other to its minus. Nothing is solved, so that it also answers where no mode works; a
// crossed plug between the source and the part changes nothing about it.
#pragma once
#include <cstdint>
#include <span>
#include <vector>

#include "checker/circuit/circuit.hpp"

namespace loomward {

// What may stand between the source and the two points: consumers too, passed in their own direction, or
// conductors, diodes and drivers alone. Bare is what makes a dead short of a diode.
enum class DriveThrough { anything, bare };
// Which sources push: all of them, packs alone, or chargers and converters alone.
enum class DriveBy { any_source, packs, chargers };

class Drive {
  public:
    // `taken_out` by EdgeId: contacts that are open. The circuit outlives this.
    Drive(const Circuit& circuit, const std::vector<bool>& taken_out);

    // Whether some source can push a current from `from` to `to` of an edge, and the other way. Sources
    // within the same part do not count.
    struct Ways {
        bool along = false;
        bool against = false;
    };
    std::vector<Ways> across(std::span<const EdgeId> edges, DriveThrough through,
                             DriveBy by = DriveBy::any_source) const;

    // Whether two nodes hang together over conductors.
    bool joined(NodeId a, NodeId b) const { return piece(a) == piece(b); }
    std::uint32_t piece(NodeId node) const { return piece_[node.index()]; }
    // What lies between two pieces and is neither a conductor nor open, at each of them.
    struct Onward {
        EdgeId edge;
        std::uint32_t from, to;  // pieces, in the edge's own direction
    };
    std::span<const Onward> leaving(NodeId node) const { return at_piece_[piece(node)]; }

  private:
    struct Supply {
        EdgeId edge;
        std::uint32_t plus, minus;
    };
    // By piece, the number of the walk that came to it last, and where this one came to.
    struct Walk {
        std::vector<std::uint32_t> stamps;
        std::vector<std::uint32_t> pieces;
        std::uint32_t number = 0;
        bool came_to(std::uint32_t piece) const { return stamps[piece] == number; }
    };
    void walk(const Supply& supply, bool forward, DriveThrough through, EdgeId skip, Walk& walk) const;
    void find_blocks_of_edges();
    bool counts(const Supply& supply, EdgeId id, DriveBy by) const;

    const Circuit& circuit_;
    std::vector<std::uint32_t> piece_;           // by NodeId
    std::vector<std::vector<Onward>> at_piece_;  // by piece
    std::vector<Supply> supplies_;
    std::vector<std::uint32_t> block_;  // by EdgeId: edges on one loop have the same
};

}  // namespace loomward
