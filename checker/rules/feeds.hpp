// What feeds a part in a solved mode: the voltage that arrives, the source it comes from, the way there and
// back, and whether the mode calls on the part at all.
#pragma once
#include <map>
#include <optional>
#include <vector>

#include "checker/circuit/ways.hpp"
#include "checker/currents/operating_point.hpp"
#include "checker/rules/rule_support.hpp"

namespace loomward::rules {

inline double fed_V(const OperatingPoint& point, const Edge& edge) {
    return point.node_V[edge.from.index()] - point.node_V[edge.to.index()];
}

// A supply whose voltage is not its own there: what cannot be fed holds it down, or what nothing takes lifts
// it.
bool strained(const RuleInput& input, const OperatingPoint& point, const Edge& edge);

// Which parts a mode calls on: not said to be off, and in a closed loop with a pack. What gets no voltage so
// is not switched off; packs stand against each other.
class CalledOn {
  public:
    explicit CalledOn(const RuleInput& input) : input_(input), loops_(input.harness.modes.size()) {}
    bool operator()(ModeId mode, const Edge& edge);

  private:
    // What hangs together over closed contacts alone, and over packs too.
    struct Loops {
        DisjointSets without, with_packs;
    };
    Loops loops_in(const Mode& mode) const;

    const RuleInput& input_;
    std::vector<std::optional<Loops>> loops_;  // by ModeId
};

// Whether something gets there at all, or ought to. A load that pulls its own voltage down still draws; one
// that stands the wrong way round is another rule's.
bool is_fed(const OperatingPoint& point, EdgeId id, const Edge& edge, CalledOn& called_on);

// What stands at the source that feeds it, and how it gets from there to the load and back.
struct Feed {
    double source_V = 0;
    CurrentPath path;
    bool dropped_on_purpose =
        false;  // a precharge or dropping resistor on the way, or another load in series
};
using Tracers = std::map<const OperatingPoint*, CurrentTracer>;  // never walked in order

Feed feed_of(const RuleInput& input, const OperatingPoint& point, EdgeId id, Tracers& tracers);

// Tells where the part of an edge loses more of its source's voltage than the policy allows at one of the
// points (rule voltage-drop).
void judge_drop(const RuleInput& input, EdgeId id, const std::vector<const OperatingPoint*>& points,
                Tracers& tracers, Report& report);

}  // namespace loomward::rules
