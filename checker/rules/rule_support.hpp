// What most rules need: a finding begun for a part or wire, and what an edge carries over a course.
#pragma once
#include <cmath>
#include <optional>
#include <string>

#include "checker/currents/loading.hpp"
#include "checker/currents/profile.hpp"
#include "checker/currents/witness.hpp"
#include "checker/parts/above.hpp"
#include "checker/parts/printed_figures.hpp"
#include "checker/rules/rule.hpp"

namespace loomward {

// "fuse F1", "wire W4", "connector J1"
std::string named(const Harness& harness, PartId part);
std::string named(const Harness& harness, WireId wire);

// What the rating of an edge is that of: "contact J1.1", "driver pin U1.main", "fuse F1".
std::string rated_thing(const Harness& harness, const Edge& edge);

Finding finding_about(const RuleInput& input, std::string_view rule, Severity severity, PartId part);
Finding finding_about(const RuleInput& input, std::string_view rule, Severity severity, WireId wire);

// A short tap from a thicker conductor to the device of its own branch: what the policy leaves unprotected at
// a source it leaves unprotected there.
bool is_short_tap(const RuleInput& input, WireId wire);
// The devices at its end with what they let pass together; nullopt where it is no such tap.
std::optional<Bound> short_tap(const RuleInput& input, WireId wire);

// Whether a line accepts this rule's finding on this very wire: then it stands in no finding with others.
bool accepted_alone(const RuleInput& input, std::string_view rule, WireId wire);

// Whether a mode contradicts the wiring somewhere: then its numbers are worthless.
bool contradicts(const RuleInput& input, ModeId mode);
// False where one mode alone is checked: nothing can be said then of what no mode does.
bool looks_at_every_mode(const RuleInput& input);

// What flows over a course: "40 A"; "300 A for 4.5 s, as warm as 81 A for long".
std::string flow_text(const CourseLoad& load);
// "81 A > 30 A (rated)", and where the level does not stay how it comes to that. Puts what was assumed of the
// part's warm-up on the list.
std::vector<std::string> excess_working(const RuleInput& input, const Excess& excess, PartId part,
                                        const std::string& limit_name);
// What is certain is an error; what hangs on how quickly the part warms up, a warning.
Severity severity_of(const Excess& excess);

// The one to tell of several: that with the largest figure, of figures as good as equal the first. So neither
// the last bits of a solution nor, in a list by name, the order of writing decide.
template <class List, class FigureOf>
const typename List::value_type& gravest_of(const List& list, FigureOf figure_of) {
    constexpr double as_good_as_equal = 1e-6;
    auto gravest = list.begin();
    for (auto each = list.begin(); each != list.end(); ++each) {
        const double now = figure_of(*each), most = figure_of(*gravest);
        if (now > most + as_good_as_equal * std::abs(most)) gravest = each;
    }
    return *gravest;
}

// "controller U1 takes its setting of 40 A, all else as in mode drive"
std::string setting_text(const RuleInput& input, const AtSetting& at);

// What a finding hangs on that is told of a contact as long as nobody says that it makes so much.
OpenCause made_below(const RuleInput& input, PartId part, double current_A);

// Fills in mode, corner and witness from the point at which it is worst.
void witnessed(const RuleInput& input, Finding& finding, const OperatingPoint& point, EdgeId edge);

// The voltages that can stand in each part of the circuit with every pack full, from the topology alone: no
// mode has to be solved for it, and every contact counts as closed.
class Potentials {
  public:
    explicit Potentials(const RuleInput& input);
    // The highest voltage that can come to stand across a device there when it opens, V: the top of the
    // string of sources that its conductors lead to; in a return, the highest feed of the loads behind it. 0
    // where no source leads (signals, phase leads).
    double across_when_open_V(EdgeId edge) const;
    // The highest voltage of all that hangs together there, V: what insulation between neighbours has to
    // hold.
    double highest_V(NodeId node) const { return top_V_[zone_[node.index()]]; }
    // Of a node above the minus of its sources, V.
    double node_V(NodeId node) const { return above_V_[zone_[node.index()]]; }

  private:
    std::vector<std::uint32_t> zone_;  // by NodeId: what hangs together over conductors and devices
    std::vector<double> above_V_;      // by zone
    std::vector<double> top_V_;        // by zone
    std::vector<double> behind_V_;     // by EdgeId: returns only
    const Circuit& circuit_;
};

}  // namespace loomward
