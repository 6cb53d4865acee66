// What guards every wire, proved on the topology: the largest current that can flow in it for long without
// any device opening.
//
// One question for plus and minus: the largest circulation, out of the sources, through the wire, and home,
// with each device a capacity of its conventional operating current (fusing current of a fuse), each source
// that limits itself one of its limit, and loads, or what may fail like one, without end. The minimum cut is
// the set of devices that guards the wire.
//
// Forward conductors, which some source's plus reaches: the wire itself may touch a return, a frame that
// leads home or the minus of any load, so what counts is the flow from there through the sources into the
// wire. A wire that is fed from both of its ends carries what arrives at one or what arrives at the other,
// never the sum: the larger of the two flows with the wire itself taken out.
//
// Return conductors: what loads let in (checker/protection/return_bounds).
//
// Every switch, relay and connector counts as closed, but of the positions of a selector and of the throws of
// a change-over contact one at a time: the worst combination counts. Cost: points joined without a device are
// contracted, the rest is split into biconnected blocks, and a flow is computed only inside a block with a
// loop: near linear for a harness.
#pragma once
#include <span>
#include <vector>

#include "checker/circuit/bar_pairs.hpp"
#include "checker/circuit/circuit.hpp"
#include "checker/parts/capacities.hpp"
#include "checker/parts/facts.hpp"

namespace loomward {

// One bound with the devices that make it.
struct Bound {
    double current_A = 0;
    std::vector<EdgeId> cut;  // source order; empty where unbounded or where no source reaches
    double other_way_A = 0;   // what reaches the wire from its other end, or by other devices in another
                              // position of the contacts
};

enum class Side : std::uint8_t {
    forward,  // some source's plus reaches it
    back,     // it leads back to a source's minus
    neither,  // no source: phase leads, signals
};

struct WireProof {
    Side side = Side::neither;
    Bound with_electronics;     // BMS trips count
    Bound without_electronics;  // they do not; what a charger, converter, controller or pin can give is a
                                // limit in both
    EdgeId worst_load;          // of a return: the load whose short would send it
    bool no_fuse = false;       // the cut holds nothing but electronics and limits of sources

    // The bound to hold a wire against: without electronics, unless nothing else limits it.
    const Bound& guarding() const {
        return without_electronics.current_A == unbounded_A ? with_electronics : without_electronics;
    }
    bool unguarded() const { return side != Side::neither && with_electronics.current_A == unbounded_A; }
    bool electronic_only() const {
        return side != Side::neither && !unguarded() &&
               (without_electronics.current_A == unbounded_A || no_fuse);
    }
};

struct Proof {
    std::vector<WireProof> wires;    // by WireId
    std::vector<Side> side_of_node;  // by NodeId
    std::vector<EdgeId> bypassed;    // fuses and breakers with a way round them that passes no device
};

Proof prove_guards(const Circuit& circuit, const Facts& facts, std::span<const BarPair> pairs = {});

// The same of one wire as it is told: the devices by name, none that only limits.
struct WireGuards {
    std::vector<PartId> devices;  // of its cut, by PartId
    bool unguarded = false;
    bool electronic_only = false;
};
std::vector<WireGuards> wire_guards(const Circuit& circuit, const Proof& proof);  // by WireId

}  // namespace loomward
