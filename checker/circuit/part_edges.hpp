// Which edges and terminals of a part do what: the pin of a driver, the coil of a contactor.
#pragma once
#include "checker/circuit/circuit.hpp"

namespace loomward {

// The pin of a driver (EdgeRole::low_side, high_side): the end that is not a pole of its part.
inline TerminalId driver_pin(const Edge& driver) {
    return driver.role == EdgeRole::low_side ? driver.from_terminal : driver.to_terminal;
}
inline NodeId driver_node(const Edge& driver) {
    return driver.role == EdgeRole::low_side ? driver.from : driver.to;
}

// The coil of a contactor or relay; invalid where the part has none.
inline EdgeId coil_of(const Circuit& circuit, PartId part) {
    for (const EdgeId id : circuit.edges_of_part[part.index()])
        if (circuit.edge(id).role == EdgeRole::coil) return id;
    return {};
}

}  // namespace loomward
