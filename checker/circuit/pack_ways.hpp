// Ways of a current through packs, on the graph: which way a diode lets pass and which way a pack is passed
// count, resistances do not.
#pragma once
#include <functional>
#include <vector>

#include "checker/circuit/circuit.hpp"

namespace loomward {

// Which way a current goes through the packs that it passes: into their plus, or out of it.
enum class PackFlow { charging, drawing };

// Where a current can go, along its direction. Conductors lead both ways, diodes from A to K, packs by the
// flow; loads, resistors and sources that limit themselves do not lead at all.
class PackWays {
  public:
    // `taken_out` by EdgeId: contacts that are open, and what else is not to be passed. The circuit outlives
    // this.
    PackWays(const Circuit& circuit, std::vector<bool> taken_out, PackFlow flow)
        : circuit_(circuit), taken_out_(std::move(taken_out)), flow_(flow) {}

    // Whether a current may enter this edge at that end of it.
    bool leads(EdgeId id, NodeId from) const;
    // The ends of a section of a pack (EdgeRole::emf) at which the current enters and leaves.
    NodeId entry(const Edge& section) const {
        return flow_ == PackFlow::charging ? section.to : section.from;
    }
    NodeId exit(const Edge& section) const { return flow_ == PackFlow::charging ? section.from : section.to; }

    // By NodeId: what a current that starts there can reach (`along`), or what can reach it.
    std::vector<bool> reached(NodeId start, bool along) const;
    // The way from one node to another that passes the least of `volts_V` (none negative), by EdgeId, in the
    // order of the current; empty if there is none.
    std::vector<EdgeId> way(NodeId from, NodeId to, const std::function<double(EdgeId)>& volts_V) const;

  private:
    const Circuit& circuit_;
    std::vector<bool> taken_out_;
    PackFlow flow_;
};

// By EdgeId: the sections of packs that a source charges, which gives from its `from` to its `to`: its
// current finds a way into their plus, and from their minus home.
std::vector<bool> charged_from(const Circuit& circuit, const std::vector<bool>& taken_out,
                               const Edge& source);

}  // namespace loomward
