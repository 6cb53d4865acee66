// What guards every wire, proved on the topology: the largest current that can flow in it for long without
// any device opening.
//
// *Forward* conductors, which some source's plus reaches (over devices or not): the maximum flow from all
// sources into the wire, each device a capacity of its conventional operating current (fusing current of a
// fuse), each source that limits itself a capacity of its limit, a resistor U/R, everything else infinite.
// The minimum cut is the set of devices that guards the wire. *Return* conductors: the worst load is taken as
// shorted. What arrives is the largest bound of the feed of any load whose return can lead through the wire;
// what leaves is the maximum flow from the wire to the sources' minus; the bound is the smaller of the two.
// Every switch, relay and connector counts as closed. Cost: points joined without a device are contracted,
// the rest is split into biconnected blocks, and a flow is computed only inside a block with a loop: near
// linear for a harness.
#pragma once
#include <limits>
#include <vector>

#include "checker/circuit.hpp"
#include "checker/facts.hpp"
#include "checker/finding.hpp"

namespace loomward {

inline constexpr double unbounded_A = std::numeric_limits<double>::infinity();

// One bound with the devices that make it.
struct Bound {
    double current_A = 0;
    std::vector<EdgeId> cut;  // source order; empty where unbounded or where no source reaches
};

enum class Side : std::uint8_t {
    forward,  // some source's plus reaches it
    back,     // it leads back to a source's minus
    neither,  // no source: phase leads, signals
};

struct WireProof {
    Side side = Side::neither;
    Bound with_electronics;     // BMS trips and limits of converters, chargers, controllers and pins count
    Bound without_electronics;  // fuses, breakers and resistors alone
    EdgeId worst_load;          // of a return: the load whose short would send it

    bool unguarded() const { return side != Side::neither && with_electronics.current_A == unbounded_A; }
    bool electronic_only() const {
        return side != Side::neither && without_electronics.current_A == unbounded_A && !unguarded();
    }
};

// Conventional operating current of a device: the current that opens it within its conventional time at the
// latest.
struct OperatingCurrent {
    double current_A = 0;
    std::string working;  // "1.35 x 30 A"
    std::string source;
};
OperatingCurrent operating_current(const Facts& facts, PartId device);

struct Proof {
    std::vector<WireProof> wires;    // by WireId
    std::vector<Side> side_of_node;  // by NodeId
    std::vector<EdgeId> bypassed;    // fuses and breakers with a way round them that passes no device
};

Proof prove_guards(const Circuit& circuit, const Facts& facts);

// What each edge lets pass for long, A.
class Capacities {
  public:
    Capacities(const Circuit& circuit, const Facts& facts);
    // As a guard: infinity for a plain conductor; negative where it does not conduct at all (loads, sources).
    double guard_A(const Edge& edge, bool electronics_count) const;
    // What a source can push out of its plus: infinity for a pack.
    double source_A(const Edge& edge, bool electronics_count) const;

  private:
    const Circuit& circuit_;
    const Facts& facts_;
    double highest_V_;  // that could stand across a resistor: every pack in series, or one charger
};
bool is_source(EdgeRole role);

}  // namespace loomward
