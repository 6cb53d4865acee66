// What most rules need: a finding begun for a part or wire, and what an edge carries over a course.
#pragma once
#include <optional>
#include <string>

#include "checker/loading.hpp"
#include "checker/rule.hpp"
#include "checker/witness.hpp"

namespace loomward {

// "fuse F1", "wire W4", "connector J1"
std::string named(const Harness& harness, PartId part);
std::string named(const Harness& harness, WireId wire);

Finding finding_about(const RuleInput& input, std::string_view rule, Severity severity, PartId part);
Finding finding_about(const RuleInput& input, std::string_view rule, Severity severity, WireId wire);

std::string amps(double value);
std::string volts(double value);

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

// Potentials with every pack full, over every usable point: V above the lowest node of the same island.
class Potentials {
  public:
    explicit Potentials(const RuleInput& input);
    // What a device between two nodes has to hold when it opens, V: the higher of its ends; in a return,
    // where both ends are low, the highest node of the island, since the whole supply comes to stand across
    // it.
    double across_when_open_V(const Edge& edge) const;
    double node_V(NodeId node) const { return node_V_[node.index()]; }
    double island_V(NodeId node) const { return island_V_[island_[node.index()]]; }

  private:
    std::vector<double> node_V_;    // by NodeId
    std::vector<double> island_V_;  // by island of the circuit
    const std::vector<std::uint32_t>& island_;
};

}  // namespace loomward
