// How hot one body gets in a course of losses: a heat capacity with one path to its surroundings. The losses
// of copper grow with its rise, which `growth_per_K` says; the solution stays a sum of exponentials, so
// nothing here is integrated in steps. Rises in K over the surroundings, losses in W, times in s.
#pragma once
#include <cstddef>
#include <span>

namespace loomward {

struct ThermalBody {
    double K_per_W = 0;          // to the surroundings; above 0
    double time_constant_s = 0;  // K_per_W times the heat capacity, without growth; above 0
    // The loss at a rise r is loss_W (1 + growth_per_K r); copper at 20 degC: 0.00393. 0 or above.
    double growth_per_K = 0;
};

struct LossLevel {
    double loss_W = 0;  // at a rise of 0; 0 or above
    double duration_s = 0;
};

// The time constant of a wire as `conductor_temperature.hpp`: heat capacity times area over what is given
// away per kelvin. 3.45e6 J/(K m3) copper, 2.5e6 aluminium (IEC 60949, memory); without the insulation, which
// makes it the lower estimate. `given_W_per_mK` above 0.
double wire_time_constant_s(double area_mm2, bool aluminium, double given_W_per_mK);

// The rise `seconds` after it was `start_K`, under one loss.
double rise_after_K(const ThermalBody& body, double loss_W, double start_K, double seconds);

struct DutyPeak {
    // False: repeated, it gets hotter every time without end; then the other figures say nothing.
    bool settles = true;
    double rise_K = 0;      // highest
    double at_s = 0;        // first time it is reached, from the start of the course
    std::size_t level = 0;  // during which
    double lowest_rise_K = 0;
    double start_K = 0;  // at the start of the course
    double end_K = 0;    // at its end
};

// A course that repeats for ever, once it has settled: its start is found directly, as where an affine map
// meets itself. Settles false where it does not. The peak stands at the end of a level. An empty course, or
// one of no duration, stays at 0.
DutyPeak periodic_peak(const ThermalBody& body, std::span<const LossLevel> course);

// One run through the course from `start_K`. Always settles.
DutyPeak single_peak(const ThermalBody& body, std::span<const LossLevel> course, double start_K);

// How long one loss may last from `start_K` (cold: 0) until `limit_K`: infinite where that is never reached,
// 0 where it is from the start.
double longest_hold_s(const ThermalBody& body, double loss_W, double start_K, double limit_K);

// The loss (at a rise of 0) that leads to `limit_K` and no further, for ever: limit / (R (1 + growth limit)).
// 0 for a limit of 0 or below.
double lasting_loss_W(const ThermalBody& body, double limit_K);

}  // namespace loomward
