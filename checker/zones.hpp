// Which protective devices stand between the sources and each wire, by plain reachability: every switch,
// relay and connector counts as closed, loads do not conduct, resistors that hold the current below 2 A stop
// it. A *zone* is what hangs together without passing a device.
//
// Forward conductors: a zone that touches a source's plus is unguarded; any other is guarded by the devices
// through which it is reached. Return conductors: guarded by whatever guards the loads whose current they
// carry (the loads taken as shorted, one at a time).
#pragma once
#include <vector>

#include "checker/circuit.hpp"
#include "checker/facts.hpp"
#include "checker/results.hpp"

namespace loomward {

// A fuse or breaker.
bool is_protective(const Edge& edge);
// A BMS, or a source that limits itself: converter, charger, regenerating controller, output pin.
bool is_electronic(const Edge& edge);

struct Zones {
    std::vector<std::uint32_t> zone_of_node;    // by NodeId; no device, load or source inside
    std::vector<std::uint32_t> supply_of_node;  // by NodeId: the same, with devices closed too
    std::vector<EdgeId> reached_from;  // by NodeId: step back towards a source's plus in an unguarded zone
    std::vector<double>
        source_distance_m;  // by NodeId: wire length from the nearest plus; infinity elsewhere
    // By WireId.
    std::vector<std::vector<PartId>> guards;
    std::vector<bool> unguarded;
    std::vector<bool> electronic_only;
    // Parts whose two ends are in one zone: fuses and breakers with a way round them.
    std::vector<EdgeId> bypassed;
};

Zones find_zones(const Circuit& circuit, const Facts& facts);

// The way back from a node of an unguarded zone to the source's plus, source first.
std::vector<Step> way_from_source(const Circuit& circuit, const Zones& zones, NodeId node);

// A way between two nodes that passes no protective device and not `avoid`; empty if there is none.
std::vector<Step> way_round(const Circuit& circuit, const Facts& facts, NodeId from, NodeId to, EdgeId avoid);

}  // namespace loomward
