// What settings could ask of every conductor, bar and pack on the way, though no mode states it: the supply
// limits of controllers and the outputs of chargers, added up along the tree of conductors.
#pragma once
#include <string>
#include <vector>

#include "checker/circuit/feed_tree.hpp"
#include "checker/rules/rule_support.hpp"

namespace loomward {

// One that may take, or give, a current by its setting.
struct Asker {
    EdgeId edge;
    PartId part;
    double current_A = 0;
    std::string working;  // "96 A = 300 A x 80 % x 40 %"
};
std::vector<Asker> asking_controllers(const RuleInput& input);
std::vector<Asker> asking_chargers(const RuleInput& input);  // chargers, and converters that charge a pack

// Something on the way that may carry less than they could ask of it.
struct Overasked {
    std::vector<Asker> askers;  // whose currents add up there, source order
    double asked_A = 0;
    double may_A = 0;
    std::string limit_name;  // "discharge of pack B1"
    std::string limit_working;
    PartId part;  // whichever it is
    WireId wire;
    Span where;
};

// The weakest place of each set of askers. `together`: of several at once; else of each alone.
std::vector<Overasked> overasked(const RuleInput& input, const std::vector<Asker>& askers, bool together);

}  // namespace loomward
