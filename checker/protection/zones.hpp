// What hangs together when every contact is closed, and how far it lies from a source: the lengths and
// witness paths behind the proof of checker/proof. Switches, relays and connectors count as closed; loads do
// not conduct.
#pragma once
#include <vector>

#include "checker/circuit/circuit.hpp"
#include "checker/circuit/path.hpp"
#include "checker/parts/facts.hpp"

namespace loomward {

struct Zones {
    std::vector<std::uint32_t> zone_of_node;    // by NodeId; no device, load or source inside
    std::vector<std::uint32_t> supply_of_node;  // by NodeId: the same, with devices closed too
    std::vector<EdgeId>
        reached_from;  // by NodeId: step back towards a source's plus in a zone that its plus lies in
    std::vector<double>
        source_distance_m;  // by NodeId: wire length from the nearest plus; infinity elsewhere
};

Zones find_zones(const Circuit& circuit, const Facts& facts);

// The way back from a node of an unguarded zone to the source's plus, source first.
std::vector<Step> way_from_source(const Circuit& circuit, const Zones& zones, NodeId node);

// A way between two nodes that passes no protective device and not `avoid`; empty if there is none.
std::vector<Step> way_round(const Circuit& circuit, const Facts& facts, NodeId from, NodeId to, EdgeId avoid);

}  // namespace loomward
