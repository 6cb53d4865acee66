// How NewtonSolver finds a direction, and how far to go along it.
#include <algorithm>
#include <cmath>
#include <numeric>

#include "checker/solver/network_newton.hpp"

namespace loomward {

namespace {

// A step is too long when the content rises at its end by more than this share of its fall at the start.
constexpr double tolerated_rise = 0.05;
constexpr double largest_fall = 0.4;  // of a power load's voltage in one step

}  // namespace

NewtonSolver::Direction NewtonSolver::find_direction(Way way) {
    Direction direction;
    const bool negative = take_slopes(false);
    direction.modified = stitch();
    if (!factor()) {
        direction.indefinite = true;
        if (way != Way::descend || !negative) return direction;
        // The current that flows now in place of the law that makes it grow as the voltage falls.
        direction.modified = true;
        take_slopes(true);
        stitch();
        if (!factor()) return direction;
    }
    injected_A_.resize(residual_A_.size());
    std::transform(residual_A_.begin(), residual_A_.end(), injected_A_.begin(), std::negate<>());
    direction.step_V = factor_is_fine_ ? fine_matrix_.solve(injected_A_) : matrix_.solve(injected_A_);
    return direction;
}

// Says whether some slope is negative.
bool NewtonSolver::take_slopes(bool without_negative) {
    bool negative = false;
    for (std::size_t index = 0; index < flows_.size(); ++index) {
        const double slope_S = flows_[index].slope_S;
        negative = negative || slope_S < 0;
        slopes_S_[index] = without_negative ? std::max(0.0, slope_S) : slope_S;
    }
    return negative;
}

// In double where that is enough.
bool NewtonSolver::factor() {
    if (!factored_S_.empty() && factored_S_ == slopes_S_ && (factor_is_fine_ || !prefer_fine_)) return true;
    factored_S_.clear();
    factor_is_fine_ = false;
    if (!prefer_fine_) {
        const Definiteness found = matrix_.factor(slopes_S_);
        if (found == Definiteness::positive) factored_S_ = slopes_S_;
        if (found != Definiteness::unsure) return found == Definiteness::positive;
    }
    if (!fine_pattern_set_) {
        std::vector<NodalMatrix<WideDouble>::Ends> ends;
        ends.reserve(ends_.size());
        for (const auto [first, second] : ends_) ends.push_back({first, second});
        fine_matrix_.set_pattern(matrix_.unknown_count(), ends);
        fine_pattern_set_ = true;
    }
    if (fine_matrix_.factor(slopes_S_) != Definiteness::positive) return false;
    factor_is_fine_ = true;
    factored_S_ = slopes_S_;
    return true;
}

double NewtonSolver::longest_step(const std::vector<double>& step_V) const {
    double longest = std::numeric_limits<double>::infinity();
    for (std::size_t index = 0; index < elements_.size(); ++index) {
        const Element& element = elements_[index];
        if (element.law != Element::Law::power || flows_[index].slope_S >= 0) continue;
        const auto [first, second] = ends_[index];
        const double change_V = (first == NodalMatrix<double>::grounded ? 0 : step_V[first]) -
                                (second == NodalMatrix<double>::grounded ? 0 : step_V[second]);
        const double across_V = drop_V(element);
        if (change_V * across_V < 0)
            longest = std::min(longest, largest_fall * std::abs(across_V / change_V));
    }
    return longest;
}

void NewtonSolver::move(std::vector<FineVoltage>& voltages, const std::vector<double>& step_V,
                        double length) const {
    for (std::size_t unknown = 0; unknown < step_V.size(); ++unknown)
        voltages[node_of_unknown_[unknown]].add(length * step_V[unknown]);
}

// How the content changes at `length` along the step, in watts.
double NewtonSolver::slope_along(const std::vector<double>& step_V, double length, double power_scale) {
    tried_ = voltage_;
    if (length != 0) move(tried_, step_V, length);
    evaluate_at(tried_, power_scale);
    looked_at_length_ = length;
    return std::inner_product(step_V.begin(), step_V.end(), residual_A_.begin(), 0.0);
}

double NewtonSolver::choose_step(const Direction& direction, double power_scale) {
    const double longest = longest_step(direction.step_V);
    const double at_start =
        std::inner_product(direction.step_V.begin(), direction.step_V.end(), residual_A_.begin(), 0.0);
    double length = std::min(1.0, longest);
    looked_at_length_ = 0;
    if (!(at_start < 0)) return length;  // rounding: we are there
    double at_end = slope_along(direction.step_V, length, power_scale);
    if (at_end > -tolerated_rise * at_start) {
        return shorten(direction.step_V, power_scale, length, at_start, at_end);
    }
    if (!direction.modified) return length;
    for (int doubling = 0; doubling < 60 && 2 * length <= longest && at_end < tolerated_rise * at_start;
         ++doubling) {
        const double further = slope_along(direction.step_V, 2 * length, power_scale);
        if (further > 0) return shorten(direction.step_V, power_scale, 2 * length, at_start, further);
        at_end = further;
        length *= 2;
    }
    return length;
}

// Regula falsi (Illinois) for the place along the step where the content stops falling, from its near side.
double NewtonSolver::shorten(const std::vector<double>& step_V, double power_scale, double longest,
                             double at_start, double at_end) {
    double near = 0, far = longest;
    double at_near = at_start, at_far = at_end;
    int kept = 0;  // how often running the same end was kept
    for (int trial = 0; trial < 60; ++trial) {
        double length = near + (far - near) * (-at_near / (at_far - at_near));
        if (!(length > near && length < far)) length = near + (far - near) / 2;
        const double here = slope_along(step_V, length, power_scale);
        if (std::abs(here) <= -tolerated_rise * at_start && here <= 0) return length;
        if (here > 0) {
            far = length, at_far = here;
            if (kept > 0) at_near /= 2;
            kept = kept > 0 ? kept + 1 : 1;
        } else {
            near = length, at_near = here;
            if (kept < 0) at_far /= 2;
            kept = kept < 0 ? kept - 1 : -1;
        }
    }
    return near > 0 ? near : far;
}

// Off a balance point: every node beside a constant-power load a little down, no two alike.
void NewtonSolver::nudge(std::vector<double>& step_V) const {
    for (std::size_t index = 0; index < elements_.size(); ++index) {
        if (flows_[index].slope_S >= 0) continue;
        const double push_V = 1e-3 * drop_V(elements_[index]) * (1 + 0.1 * static_cast<double>(index % 7));
        if (ends_[index].first != NodalMatrix<double>::grounded) step_V[ends_[index].first] -= push_V;
    }
}

}  // namespace loomward
