// Converters and supply pins that are at their limit, where their output gives way.
#pragma once
#include <cstdint>
#include <vector>

#include "checker/circuit/circuit.hpp"
#include "checker/currents/operating_point.hpp"
#include "checker/parts/facts.hpp"

namespace loomward {

class ConverterLimits {
  public:
    // `supply_of_node`: by NodeId, what hangs together with every device closed (Zones).
    ConverterLimits(const Circuit& circuit, const Facts& facts,
                    const std::vector<std::uint32_t>& supply_of_node);
    // Whether the output of this converter gives way at that point. One that charges a pack works at its
    // limit by design and never does. Points without numbers: false.
    bool gives_way(const OperatingPoint& point, EdgeId output) const;
    // The load on its supply that is held at what it can get; invalid where none is.
    EdgeId held_load(const OperatingPoint& point, EdgeId output) const;
    // Whether some converter that gives way there feeds the same supply as this node.
    bool feeds(const OperatingPoint& point, NodeId node) const;

  private:
    const Circuit& circuit_;
    const Facts& facts_;
    const std::vector<std::uint32_t>& supply_of_node_;
    std::vector<EdgeId> outputs_;
    std::vector<bool> charges_;  // by place in outputs_
};

}  // namespace loomward
