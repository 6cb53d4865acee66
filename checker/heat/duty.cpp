#include "checker/heat/duty.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

namespace loomward {

namespace {

// rise' = heating - rate * rise: what one loss does to the body. The rate is below 0 where the loss runs
// away.
struct Heating {
    double cold_K_s;
    double rate_per_s;
};

Heating under(const ThermalBody& body, double loss_W) {
    const double cold_K = loss_W * body.K_per_W;
    return {cold_K / body.time_constant_s, (1 - cold_K * body.growth_per_K) / body.time_constant_s};
}

// The integral of exp(-rate t) from 0 to `seconds`.
double spread_s(double rate_per_s, double seconds) {
    const double exponent = rate_per_s * seconds;
    return std::abs(exponent) < 1e-12 ? seconds : -std::expm1(-exponent) / rate_per_s;
}

}  // namespace

double wire_time_constant_s(double area_mm2, bool aluminium, double given_W_per_mK) {
    return (aluminium ? 2.5 : 3.45) * area_mm2 / given_W_per_mK;
}

double rise_after_K(const ThermalBody& body, double loss_W, double start_K, double seconds) {
    const Heating heating = under(body, loss_W);
    return start_K * std::exp(-heating.rate_per_s * seconds) +
           heating.cold_K_s * spread_s(heating.rate_per_s, seconds);
}

namespace {

// Under one loss the rise only climbs or only falls, so the ends of the levels are enough.
void follow(DutyPeak& peak, const ThermalBody& body, std::span<const LossLevel> course, double start_K) {
    peak.lowest_rise_K = peak.start_K = peak.end_K = start_K;
    double at_s = 0;
    for (std::size_t i = 0; i < course.size(); ++i) {
        at_s += course[i].duration_s;
        peak.end_K = rise_after_K(body, course[i].loss_W, peak.end_K, course[i].duration_s);
        peak.lowest_rise_K = std::min(peak.lowest_rise_K, peak.end_K);
        if (peak.end_K <= peak.rise_K) continue;
        peak.rise_K = peak.end_K;
        peak.at_s = at_s;
        peak.level = i;
    }
}

}  // namespace

DutyPeak single_peak(const ThermalBody& body, std::span<const LossLevel> course, double start_K) {
    DutyPeak peak;
    peak.rise_K = start_K;
    follow(peak, body, course, start_K);
    return peak;
}

DutyPeak periodic_peak(const ThermalBody& body, std::span<const LossLevel> course) {
    // One run makes `kept * start + gained` of its start.
    double exponent = 0;
    for (const LossLevel& level : course) exponent += under(body, level.loss_W).rate_per_s * level.duration_s;
    const double gained = single_peak(body, course, 0).end_K;
    if (gained == 0) return {};
    if (!(exponent > 0)) {
        DutyPeak none;
        none.settles = false;
        return none;
    }
    // The start is the end of the last level: a peak there belongs to that level.
    const double start_K = gained / -std::expm1(-exponent);
    DutyPeak peak;
    peak.rise_K = -1;
    follow(peak, body, course, start_K);
    return peak;
}

double longest_hold_s(const ThermalBody& body, double loss_W, double start_K, double limit_K) {
    if (start_K >= limit_K) return 0;
    const Heating heating = under(body, loss_W);
    const double at_limit_K_s = heating.cold_K_s - heating.rate_per_s * limit_K;
    if (!(at_limit_K_s > 0)) return std::numeric_limits<double>::infinity();
    const double way_K = limit_K - start_K;
    const double part = heating.rate_per_s * way_K / at_limit_K_s;
    // ln(1 + part)/rate, also where the rate is 0 or below.
    return std::abs(part) < 1e-12 ? way_K / at_limit_K_s : std::log1p(part) / heating.rate_per_s;
}

double lasting_loss_W(const ThermalBody& body, double limit_K) {
    return limit_K <= 0 ? 0 : limit_K / (body.K_per_W * (1 + body.growth_per_K * limit_K));
}

}  // namespace loomward
