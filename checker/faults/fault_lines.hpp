// What lies in line with each other between any two points of a network, in the time of the few pieces that
// the way has.
//
// A connection between two points changes the current only in the biconnected blocks on the way between them
// (it closes them into one). All links are laid out in one line once: bridges by the heavy paths of the tree
// of blocks, inside a block with loops whatever meets nothing else. The way between two points then is a few
// stretches of that line, however many links it has, and what adds up along it is a difference of two sums.
#pragma once
#include <cstdint>
#include <span>
#include <vector>

#include "checker/circuit/circuit.hpp"

namespace loomward {

// A stretch of the line between two points: one link, or plain ones in series.
struct FaultPiece {
    NodeId from, to;  // one link: as it lies itself
    std::uint32_t first = 0, count = 0;
    auto operator<=>(const FaultPiece&) const = default;
};

class FaultLines {
  public:
    struct Link {
        EdgeId edge;
        NodeId from, to;
        bool plain = false;  // takes whatever passes either way: may be in one piece with others
        double resistance_ohm = 0;
        double wire_m = 0;
        bool watched = false;  // its part keeps the worst of what passes: see any_watched
    };
    FaultLines(std::size_t node_count, const std::vector<Link>& links);

    // The pieces whose current a bolted connection between two nodes can change; false where no way leads
    // from one to the other.
    bool between(NodeId a, NodeId b, std::vector<FaultPiece>& pieces) const;
    // The same link by link.
    std::vector<FaultPiece> apart(std::span<const FaultPiece> pieces) const;

    EdgeId edge(const FaultPiece& piece, std::uint32_t index) const {
        return slots_[piece.first + index].link.edge;
    }
    EdgeId edge_at(std::uint32_t place) const { return slots_[place].link.edge; }
    std::uint32_t places() const { return static_cast<std::uint32_t>(slots_.size()); }
    // +1: the edge lies as the piece does.
    int sign(const FaultPiece& piece, std::uint32_t index) const {
        return piece.count == 1 || slots_[piece.first + index].forwards ? 1 : -1;
    }
    // At its `from` or `to`.
    EdgeId edge_at_end(const FaultPiece& piece, bool from) const {
        return slots_[from ? piece.first : piece.first + piece.count - 1].link.edge;
    }
    double resistance_ohm(const FaultPiece& piece) const;
    double wire_m(const FaultPiece& piece) const;
    bool is_watched(const FaultPiece& piece, std::uint32_t index) const {
        return slots_[piece.first + index].link.watched;
    }
    // From its link number `from` on.
    bool any_watched(const FaultPiece& piece, std::uint32_t from = 0) const {
        return watched_before_[piece.first + piece.count] > watched_before_[piece.first + from];
    }
    // The same for the same edges, however they are cut into pieces.
    std::uint64_t fingerprint(std::span<const FaultPiece> pieces) const;

  private:
    struct Slot {  // one place of the line
        Link link;
        std::uint32_t near, far;   // its nodes in the order of the line
        bool forwards;             // the link lies along it
        std::uint32_t plain_from;  // where the plain stretch that ends here begins
    };
    struct Chain {
        std::uint32_t block, first, count;
    };
    void lay_out(const std::vector<Link>& links);
    void add_up();
    void lay_tree(const std::vector<Link>& links);
    void lay_block(std::uint32_t block, const std::vector<Link>& links, std::vector<std::uint32_t>& scratch);
    void place(const Link& link, std::uint32_t near);
    bool is_bridge(std::uint32_t block) const { return links_of_block_[block].size() == 1; }
    void take(std::uint32_t begin, std::uint32_t end, std::vector<FaultPiece>& pieces) const;
    void take_block(std::uint32_t block, std::uint32_t one, std::uint32_t other,
                    std::vector<FaultPiece>& pieces) const;

    std::uint32_t root_;
    std::vector<std::vector<std::uint32_t>> links_of_block_;  // empty: leads to the root alone
    std::vector<std::uint32_t> entry_of_block_;
    std::vector<std::uint32_t> block_of_node_;  // the one towards the root
    std::vector<std::uint32_t> order_;          // nodes, entries first
    std::vector<std::uint32_t> depth_, head_;   // by node
    std::vector<std::uint32_t> slot_of_node_;   // of the link towards the root, or of nothing
    std::vector<Slot> slots_;
    std::vector<double> ohm_before_, wire_m_before_;
    std::vector<std::uint32_t> watched_before_;
    std::vector<std::uint64_t> print_before_;
    std::vector<Chain> chains_;
    std::vector<std::pair<std::uint32_t, std::uint32_t>> chains_of_block_;  // first, one past the last
    std::vector<std::uint32_t> chain_of_node_;                              // that it lies inside of; none
    std::vector<std::uint32_t> cut_of_node_;                                // the place after it
};

}  // namespace loomward
