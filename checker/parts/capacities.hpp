// How much each edge lets pass for long before a device opens: what the proof of checker/proof counts with.
#pragma once
#include <limits>
#include <string>
#include <vector>

#include "checker/circuit/circuit.hpp"
#include "checker/parts/facts.hpp"

namespace loomward {

inline constexpr double unbounded_A = std::numeric_limits<double>::infinity();

// Conventional operating current of a device: the current that opens it within its conventional time at the
// latest.
struct OperatingCurrent {
    double current_A = 0;
    std::string working;  // "1.35 x 30 A"
    std::string source;
};
OperatingCurrent operating_current(const Facts& facts, PartId device);
// Its rated current times this where its family is not known: the widest conventional pair there is for its
// kind. `kind`: fuse or breaker. IEC 60269-1 Table 2 (memory); IEC 60898-1.
double factor_of_unknown_family(Kind kind);

// The slowest trip that is sure to act on a standing current, A: the lowest threshold of all.
double trip_current_A(const Facts& facts, PartId device);

// What each edge lets pass for long, A.
class Capacities {
  public:
    Capacities(const Circuit& circuit, const Facts& facts);
    // As a guard: infinity for a plain conductor; negative where it does not conduct at all (loads, sources).
    double guard_A(const Edge& edge, bool electronics_count) const;
    // What a source can push out of its plus: infinity for a pack, the limit of one that limits itself.
    double source_A(const Edge& edge) const;

  private:
    // A converter's own output cannot come back through its own way back: that leads on only where something
    // else feeds the output side.
    void find_way_back(const Circuit& circuit);

    const Circuit& circuit_;
    const Facts& facts_;
    std::vector<bool> way_back_;  // by PartId
    double highest_V_;            // that could stand across a resistor: every pack in series, or one charger
};

}  // namespace loomward
