#include "checker/solver/network_newton.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numeric>

namespace loomward {

namespace {

constexpr int most_iterations = 200;
// Steps smaller than this share of an island's voltage end the iteration, after one last one.
constexpr double small_step = 1e-11;
// After one of these it is as near as the digits of a float.
constexpr double near_step = 1e-5;
// Currents at a node balance within this share of what flows through it, or of its island's largest.
constexpr double balance_share = 1e-10;
constexpr double balance_share_of_largest = 1e-13;
// What is no current at all.
constexpr double nothing_A = 1e-14;
// Load steps of the continuation, as a share of the full power.
constexpr double smallest_load_step = 1e-4;
constexpr double careful_load_step = 2e-3;
constexpr double first_load_step = 0.5;
constexpr double before_knee = 0.97;  // of a way to the knee that a first look gave: it looks too far

// The voltage that counts for a load: a motor does not mind its sign.
double size_of(const Element& element, double drop_V) {
    return element.both_ways ? std::abs(drop_V) : drop_V;
}

}  // namespace

NewtonSolver::NewtonSolver(std::uint32_t node_count, const NetworkGraph& graph, std::vector<Element> elements)
    : elements_(std::move(elements)),
      unknown_of_node_(node_count, NodalMatrix<double>::grounded),
      island_of_node_(graph.island_of_node),
      island_count_(graph.reference_of_island.size()),
      voltage_(node_count) {
    std::vector<bool> touched(node_count, false);
    for (const Element& element : elements_) touched[element.from] = touched[element.to] = true;
    for (std::uint32_t node = 0; node < node_count; ++node) {
        const std::uint32_t reference = graph.reference_of_island[graph.island_of_node[node]];
        if (reference == NetworkGraph::none || reference == node || !touched[node]) continue;
        unknown_of_node_[node] = static_cast<std::uint32_t>(node_of_unknown_.size());
        node_of_unknown_.push_back(node);
    }
    ends_.reserve(elements_.size());
    for (const Element& element : elements_) {
        ends_.push_back({unknown_of_node_[element.from], unknown_of_node_[element.to]});
        linear_ = linear_ && element.law == Element::Law::linear;
    }
    matrix_.set_pattern(static_cast<std::uint32_t>(node_of_unknown_.size()), ends_);
    flows_.resize(elements_.size());
    slopes_S_.resize(elements_.size());
}

void NewtonSolver::evaluate_at(const std::vector<FineVoltage>& voltages, double power_scale) {
    residual_A_.assign(node_of_unknown_.size(), 0);
    throughput_A_.assign(node_of_unknown_.size(), 0);
    double* const residual_A = residual_A_.data();
    double* const throughput_A = throughput_A_.data();
    const FineVoltage* const voltage = voltages.data();
    for (std::size_t index = 0; index < elements_.size(); ++index) {
        const Element& element = elements_[index];
        const BranchFlow flow = flow_of(element, voltage[element.from], voltage[element.to], power_scale);
        flows_[index] = flow;
        const auto [first, second] = ends_[index];
        if (element.from == element.to) continue;
        if (first != NodalMatrix<double>::grounded) {
            residual_A[first] += flow.current_A;
            throughput_A[first] += std::abs(flow.current_A);
        }
        if (second != NodalMatrix<double>::grounded) {
            residual_A[second] -= flow.current_A;
            throughput_A[second] += std::abs(flow.current_A);
        }
    }
}

// One step after the other until they are too small to matter and the currents balance.
bool NewtonSolver::run(double power_scale, Way way, int most, Aim aim) {
    const std::vector<FineVoltage> start = voltage_;
    double last_size = 0;
    int nudges = 0;
    bool evaluated = false;  // the flows are those at the voltages
    for (int iteration = 0; iteration < most; ++iteration, ++iterations_) {
        if (!evaluated) evaluate(power_scale);
        evaluated = false;
        Direction direction = find_direction(way);
        if (direction.step_V.size() != node_of_unknown_.size()) return false;
        const double size = relative_size(direction.step_V);
        if (!std::isfinite(size)) return false;
        if (size <= small_step && direction.indefinite && nudges < 5) {
            // Balanced on an edge, as two equal power loads in series are: no circuit stays there.
            nudge(direction.step_V);
            ++nudges;
            move(voltage_, direction.step_V, 1);
            continue;
        }
        if (aim == Aim::near && size <= near_step) {
            move(voltage_, direction.step_V, 1);
            return true;
        }
        if (size <= small_step) {
            move(voltage_, direction.step_V, 1);
            evaluate(power_scale);
            if (currents_balance()) return true;
        } else {
            const double length = linear_ ? 1 : choose_step(direction, power_scale);
            move(voltage_, direction.step_V, length);
            evaluated = !linear_ && length == looked_at_length_;
        }
        if (way == Way::cautious && jumped_below_knee(start, knee_tolerance_)) return false;
        // Repeated solving gains digits each time unless the factor has none to give.
        const bool slow = size > (linear_ ? 0.01 : 0.5) * last_size;
        if (slow && (linear_ ? iteration > 0 : iteration > 10 && size < 1e-6)) prefer_fine_ = true;
        last_size = size;
    }
    return false;
}

// As if every source and diode conducted freely and no load drew anything: above the solution, and at the
// voltage of a source that turns out to have nothing to feed.
void NewtonSolver::guess() {
    std::vector<double> injected_A(node_of_unknown_.size(), 0);
    for (std::size_t index = 0; index < elements_.size(); ++index) {
        const Element& element = elements_[index];
        const auto [first, second] = ends_[index];
        slopes_S_[index] = element.conductance_S;  // 0 for loads
        const double drives_A = element.conductance_S * element.voltage_V;
        if (first != NodalMatrix<double>::grounded) injected_A[first] -= drives_A;
        if (second != NodalMatrix<double>::grounded) injected_A[second] += drives_A;
    }
    stitch();
    if (!factor()) return;
    const std::vector<double> guess_V =
        factor_is_fine_ ? fine_matrix_.solve(injected_A) : matrix_.solve(injected_A);
    if (std::isfinite(relative_size(guess_V))) move(voltage_, guess_V, 1);
}

bool NewtonSolver::solve_without_power() {
    guess();
    if (!run(0, Way::descend, most_iterations)) return false;
    without_power_ = voltage_;
    return true;
}

bool NewtonSolver::solve_with_power() {
    voltage_ = without_power_;
    const bool direct = run(1, Way::strict, most_iterations / 4);
    if (direct && !jumped_below_knee(without_power_, 0)) return true;
    // Either it collapsed, or the steps were too bold: raise the power gently and see.
    const std::vector<FineVoltage> collapsed = voltage_;
    voltage_ = without_power_;
    if (follow_up_to_full_power()) return true;
    if (direct) {
        voltage_ = collapsed;
        evaluate(1);
        return true;
    }
    return run(1, Way::descend, 10 * most_iterations);
}

bool NewtonSolver::follow_power(bool start_again) {
    const std::vector<FineVoltage> before = voltage_;
    if (!start_again && run(1, Way::strict, most_iterations / 4) && !jumped_below_knee(before, 0))
        return true;
    return solve_with_power();
}

bool NewtonSolver::advance() {
    const std::vector<FineVoltage> before = voltage_;
    knee_tolerance_ = 0;
    if (run(1, Way::cautious, most_iterations / 8)) return true;
    go_back_to(before);
    return false;
}

void NewtonSolver::go_back_to(const std::vector<FineVoltage>& voltages) {
    voltage_ = voltages;
    evaluate(1);
}

// Leaves the voltages at the highest power that could be followed. A step that takes a load below its knee is
// taken again as far as just before the knee, and then over it with care; a power that a step did not get to
// for another reason is come near to by halves, and tried again from close by: that step may only have been
// too long.
bool NewtonSolver::follow_up_to_full_power() {
    double reached = 0;
    double step = first_load_step;
    double missed = std::numeric_limits<double>::infinity();
    while (reached < 1) {
        const std::vector<FineVoltage> before = voltage_;
        const double target = std::min({1.0, missed, reached + step});
        knee_tolerance_ = step > careful_load_step ? 0 : 0.1;
        if (run(target, Way::cautious, most_iterations / 8, target < 1 ? Aim::near : Aim::there)) {
            reached = target;
            const double left = missed - reached;
            if (left > 2 * smallest_load_step && std::isfinite(left)) {
                step = left / 2;
            } else {
                step = std::max(first_load_step, 1.5 * step);
                if (left <= 0) missed = std::numeric_limits<double>::infinity();
            }
            continue;
        }
        const double to_knee = way_to_knee(before) * (target - reached);
        voltage_ = before;
        if (step > careful_load_step && to_knee < target - reached) {
            step = std::max(careful_load_step, std::min(before_knee * to_knee - careful_load_step / 4,
                                                        0.9 * (target - reached)));
            missed = std::numeric_limits<double>::infinity();
            continue;
        }
        missed = target;
        step = (target - reached) / 2;
        if (step < smallest_load_step) return false;
    }
    return true;
}

// The share of the way from these voltages at which the first power load came to its knee; 1 where none did.
double NewtonSolver::way_to_knee(const std::vector<FineVoltage>& before) const {
    double way = 1;
    for (const Element& element : elements_) {
        if (element.law != Element::Law::power || element.power_W <= 0) continue;
        const double was_V = size_of(element, drop_across(before[element.from], before[element.to]));
        const double is_V = size_of(element, drop_V(element));
        if (was_V >= element.knee_V && is_V < element.knee_V)
            way = std::min(way, (was_V - element.knee_V) / (was_V - is_V));
    }
    return way;
}

// Whether a power load fell below its knee from above it, by more than the tolerance (a share of the knee).
bool NewtonSolver::jumped_below_knee(const std::vector<FineVoltage>& before, double tolerance) const {
    return std::any_of(elements_.begin(), elements_.end(), [&](const Element& element) {
        if (element.law != Element::Law::power || element.power_W <= 0) return false;
        const double was_V = size_of(element, drop_across(before[element.from], before[element.to]));
        return was_V >= element.knee_V &&
               size_of(element, drop_V(element)) < element.knee_V * (1 - tolerance);
    });
}

bool NewtonSolver::below_knee(const Element& element) const {
    // A load exactly at its knee is fed; the last digits of the solution do not decide.
    return size_of(element, drop_V(element)) < element.knee_V * (1 - 1e-9);
}

bool NewtonSolver::any_power_below_knee() const {
    return std::any_of(elements_.begin(), elements_.end(), [&](const Element& element) {
        return element.law == Element::Law::power && element.power_W > 0 && below_knee(element);
    });
}

// The largest step against the voltages of its island.
double NewtonSolver::relative_size(const std::vector<double>& step_V) {
    scale_V_.assign(island_count_, 1e-9);
    for (const std::uint32_t node : node_of_unknown_) {
        double& scale = scale_V_[island_of_node_[node]];
        scale = std::max(scale, std::abs(voltage_[node].high));
    }
    double size = 0;
    for (std::size_t unknown = 0; unknown < step_V.size(); ++unknown) {
        const double share = std::abs(step_V[unknown]) / scale_V_[island_of_node_[node_of_unknown_[unknown]]];
        if (!(share <= size)) size = share;  // a NaN gets through
        if (std::isnan(size)) return size;
    }
    return size;
}

bool NewtonSolver::currents_balance() const {
    std::vector<double> largest_A(island_count_, 0);
    for (std::size_t unknown = 0; unknown < throughput_A_.size(); ++unknown) {
        double& largest = largest_A[island_of_node_[node_of_unknown_[unknown]]];
        largest = std::max(largest, throughput_A_[unknown]);
    }
    for (std::size_t unknown = 0; unknown < throughput_A_.size(); ++unknown) {
        const double allowed_A =
            nothing_A + balance_share * throughput_A_[unknown] +
            balance_share_of_largest * largest_A[island_of_node_[node_of_unknown_[unknown]]];
        if (!(std::abs(residual_A_[unknown]) <= allowed_A)) return false;
    }
    return true;
}

}  // namespace loomward
