// What most rules need: a finding begun for a part or wire, and what an edge carries over a course.
#pragma once
#include <optional>
#include <string>

#include "checker/currents/loading.hpp"
#include "checker/currents/witness.hpp"
#include "checker/rules/rule.hpp"

namespace loomward {

// "fuse F1", "wire W4", "connector J1"
std::string named(const Harness& harness, PartId part);
std::string named(const Harness& harness, WireId wire);

Finding finding_about(const RuleInput& input, std::string_view rule, Severity severity, PartId part);
Finding finding_about(const RuleInput& input, std::string_view rule, Severity severity, WireId wire);

// A short tap from a thicker conductor to the device of its own branch: what the policy leaves unprotected at
// a source it leaves unprotected there.
bool is_short_tap(const RuleInput& input, WireId wire);

std::string amps(double value);
std::string volts(double value);

// Whether a mode contradicts the wiring somewhere: then its numbers are worthless.
bool contradicts(const RuleInput& input, ModeId mode);

// What an edge carries over a course, A, whatever its direction unless `signed_A`.
struct Carried {
    double sustained_A =
        0;  // the last level of a course that stays, the root mean square of one that repeats
    double peak_A = 0;
    double peak_s = 0;  // how long the peak level lasts without a break (infinity: it stays)
    const OperatingPoint* at_peak = nullptr;
};
Carried carried(const Course& course, EdgeId edge);
// Only the current in one direction: sign +1 from -> to, -1 to -> from.
Carried carried(const Course& course, EdgeId edge, int sign);

// The worst course of an edge: largest sustained current first, then largest peak.
struct WorstCourse {
    Course course;
    Carried carried;
};
std::optional<WorstCourse> worst_course(const std::vector<Course>& courses, EdgeId edge);

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
