// What leads home: the returns with their rows of conductors, closed to a network in which currents circulate
// by what feeds them: devices, sources, loads.
#pragma once
#include <vector>

#include "checker/protection/guard_network.hpp"

namespace loomward {

class HomeNetwork {
  public:
    // Points: every node off the plus side is a vertex, but for direct joints. Pieces: points joined by
    // anything but a wire or a device, or by a ring of conductors without a device, are one, so that returns
    // are a forest but for rings with devices.
    enum class Detail { points, pieces };
    HomeNetwork(const GuardNetwork& network, const GuardView& view, Detail detail);

    // Off the plus side: conductors there are home conductors.
    bool is_home(NodeId node) const { return !network_.forward(node); }
    // A vertex for each zone of the plus side, and for each point or piece of the minus side.
    std::uint32_t vertex(NodeId node) const { return vertex_[node.index()]; }
    std::uint32_t vertex_count() const { return vertex_count_; }
    bool is_piece(std::uint32_t vertex) const { return piece_[vertex]; }
    // Of a vertex on the plus side.
    std::uint32_t zone(std::uint32_t vertex) const { return zone_of_vertex_[vertex]; }

    struct Tie {
        enum class Kind : std::uint8_t { conductor, device, source, load } kind{};
        FlowEdge flow;
        EdgeId edge;
    };
    const std::vector<Tie>& ties() const { return ties_; }
    // Conductors in a row, up to the next bar: the same current flows in all of them. By tie; only conductors
    // have one.
    std::uint32_t row(std::uint32_t tie) const { return rows_[tie]; }
    // A bar, stud, block or frame lies there: where leads end and branches begin.
    bool is_bar(std::uint32_t vertex) const { return bar_[vertex]; }
    // Part of a ring of home conductors, devices among them or not; of pieces only.
    bool on_ring(EdgeId edge) const { return on_ring_[edge.index()]; }
    // By vertex: ties that end there.
    const std::vector<std::uint32_t>& at(std::uint32_t vertex) const { return at_[vertex]; }

  private:
    void find_pieces();
    void add_ties();
    void find_rows();

    const GuardNetwork& network_;
    const Circuit& circuit_;
    GuardView view_;
    Detail detail_;
    std::vector<std::uint32_t> vertex_;  // by NodeId
    std::uint32_t vertex_count_ = 0;
    std::vector<bool> piece_, bar_, on_ring_;
    std::vector<std::uint32_t> zone_of_vertex_;
    std::vector<Tie> ties_;
    std::vector<std::uint32_t> rows_;
    std::vector<std::vector<std::uint32_t>> at_;
};

}  // namespace loomward
