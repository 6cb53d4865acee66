// Newton's method on the nodal equations of one network. Holds the voltages between calls.
//
// All laws but `power` pass more current at more voltage: then the solution minimises a convex function
// (content), the Jacobian is its second derivative, and a step along which the function falls always
// exists; kinks stay exact, and the search along the step keeps the states from cycling.
// Constant power passes less current at more voltage. Starting from the voltages without such loads, Newton's
// steps come down towards the first solution, which is the one the sources settle at; where the Jacobian
// stops being positive definite on the way, that solution does not exist, and the load collapses.
#pragma once
#include <cstdint>
#include <vector>

#include "checker/solver/network_elements.hpp"
#include "checker/solver/network_graph.hpp"
#include "checker/solver/network_matrix.hpp"

namespace loomward {

class NewtonSolver {
  public:
    // Nodes that no element touches stay at 0.
    NewtonSolver(std::uint32_t node_count, const NetworkGraph& graph, std::vector<Element> elements);

    // With power loads at nothing. False: not converged.
    bool solve_without_power();
    // From the voltages without power; the state after is that of the sources feeding what they can.
    bool solve_with_power();
    // The same after a change of power that is small, from the voltages as they are; or anew from without
    // power.
    bool follow_power(bool start_again);
    // To the solution next to the voltages as they are. False: none was found, or a power load would fall
    // below its knee; then the voltages are as before.
    bool advance();
    // To voltages that solved the elements as they are now.
    void go_back_to(const std::vector<FineVoltage>& voltages);

    std::vector<Element>& elements() { return elements_; }
    const std::vector<Element>& elements() const { return elements_; }
    const std::vector<FineVoltage>& voltages() const { return voltage_; }
    double current_A(std::size_t element) const { return flows_[element].current_A; }
    double drop_V(const Element& element) const {
        return drop_across(voltage_[element.from], voltage_[element.to]);
    }
    bool below_knee(const Element& element) const;
    bool any_power_below_knee() const;
    int iterations() const { return iterations_; }

  private:
    enum class Way : std::uint8_t {
        strict,    // give up where the Jacobian is not positive definite
        cautious,  // and where a power load jumps below its knee
        descend,   // go on down to wherever the currents balance
    };
    struct Direction {
        std::vector<double> step_V = {};  // by unknown; empty: none found
        bool modified = false;            // not the Jacobian as it is: longer steps may be worth while
        bool indefinite = false;
    };

    // To the last digits, or near enough to go on from.
    enum class Aim : std::uint8_t { there, near };
    bool run(double power_scale, Way way, int most_iterations, Aim aim = Aim::there);
    bool follow_up_to_full_power();
    double way_to_knee(const std::vector<FineVoltage>& before) const;
    bool jumped_below_knee(const std::vector<FineVoltage>& before, double tolerance) const;
    void evaluate(double power_scale) { evaluate_at(voltage_, power_scale); }
    void evaluate_at(const std::vector<FineVoltage>& voltages, double power_scale);
    Direction find_direction(Way way);
    bool take_slopes(bool without_negative);
    bool stitch();
    void guess();
    bool factor();
    double longest_step(const std::vector<double>& step_V) const;
    double choose_step(const Direction& direction, double power_scale);
    double shorten(const std::vector<double>& step_V, double power_scale, double longest, double at_start,
                   double at_end);
    double slope_along(const std::vector<double>& step_V, double length, double power_scale);
    // `voltages`: those of the nodes that are no unknown are left as they are.
    void move(std::vector<FineVoltage>& voltages, const std::vector<double>& step_V, double length) const;
    void nudge(std::vector<double>& step_V) const;
    double relative_size(const std::vector<double>& step_V);
    bool currents_balance() const;

    std::vector<Element> elements_;
    std::vector<NodalMatrix<double>::Ends> ends_;
    std::vector<std::uint32_t> node_of_unknown_;
    std::vector<std::uint32_t> unknown_of_node_;
    std::vector<std::uint32_t> island_of_node_;
    std::size_t island_count_ = 0;
    bool linear_ = true;  // every element is

    std::vector<FineVoltage> voltage_;  // by node; references stay at 0
    std::vector<FineVoltage> without_power_;
    std::vector<FineVoltage> tried_;    // along a step
    std::vector<BranchFlow> flows_;     // by element
    std::vector<double> residual_A_;    // by unknown: sum of the currents leaving it
    std::vector<double> throughput_A_;  // by unknown: sum of their magnitudes
    std::vector<double> injected_A_;    // by unknown: what would balance them
    std::vector<double> scale_V_;       // by island

    NodalMatrix<double> matrix_;
    NodalMatrix<WideDouble> fine_matrix_;
    std::vector<double> slopes_S_;    // wanted
    std::vector<double> whole_S_;     // that held every island together; empty: none yet
    std::vector<double> factored_S_;  // in the factor; empty: none
    bool factor_is_fine_ = false;
    bool prefer_fine_ = false;
    bool fine_pattern_set_ = false;
    double knee_tolerance_ = 0;  // share of the knee a cautious step may pass it by
    int iterations_ = 0;
    double looked_at_length_ = 0;  // along the last step: the flows are those at its end
};

}  // namespace loomward
