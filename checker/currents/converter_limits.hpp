// Converters and supply pins that are at their limit, where their output gives way.
#pragma once
#include <vector>

#include "checker/rules/rule.hpp"

namespace loomward {

class ConverterLimits {
  public:
    explicit ConverterLimits(const RuleInput& input);
    // Whether the output of this converter gives way at that point. One that charges a pack works at its
    // limit by design and never does. Points without numbers: false.
    bool gives_way(const OperatingPoint& point, EdgeId output) const;
    // The load on its supply that is held at what it can get; invalid where none is.
    EdgeId held_load(const OperatingPoint& point, EdgeId output) const;
    // Whether some converter that gives way there feeds the same supply as this node.
    bool feeds(const OperatingPoint& point, NodeId node) const;

  private:
    const RuleInput& input_;
    std::vector<EdgeId> outputs_;
    std::vector<bool> charges_;  // by place in outputs_
};

}  // namespace loomward
