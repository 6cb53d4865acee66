// A harness is mostly wires in series: a node with two linear elements and nothing else needs no equation of
// its own, and what ends in one carries nothing. Taken out before a network is solved and put back after it,
// exactly.
#pragma once
#include <cstdint>
#include <span>
#include <vector>

#include "checker/solver/network_elements.hpp"
#include "checker/solver/network_graph.hpp"

namespace loomward {

class ContractedElements {
  public:
    // Every linear element may become part of a chain or a dead end, but for the outputs of converters.
    // Linear in the size of the network.
    ContractedElements(const Network& network, const NetworkGraph& graph, std::vector<Element> whole);

    // What is left to solve, in the order of the first branch of each; a chain as one linear element.
    const std::vector<Element>& elements() const { return left_; }

    // Current by branch from that of what is left; 0 where no element is. Adds to `voltage_V`, which has
    // those of the nodes that were left, the ones in between.
    std::vector<double> spread(std::span<const double> current_A, std::vector<FineVoltage>& voltage_V) const;

  private:
    struct Link {
        Element element;
        double resistance_ohm = 0;
        bool forwards = true;  // the chain's current goes through it from `from` to `to`
    };
    struct Chain {
        std::size_t begin = 0, end = 0;  // in links_
    };
    struct DeadEnd {
        Element element;
        bool ends_at_to = true;
    };
    class Builder;

    void walk(const Element& whole, Chain chain, std::vector<FineVoltage>& voltage_V) const;

    std::size_t branch_count_ = 0;
    std::vector<Element> left_;
    std::vector<Chain> chains_;  // by element left
    std::vector<Link> links_;
    std::vector<DeadEnd> dead_ends_;  // outermost first
};

}  // namespace loomward
