// When a device opens at a current, read off the edges of its band.
#include <algorithm>
#include <cmath>

#include "checker/parts/time_current.hpp"

namespace loomward {
namespace {

double between(const EdgeCurve::Point& a, const EdgeCurve::Point& b, double current_A) {
    if (a.time_s == b.time_s) return a.time_s;
    const double share = std::log(current_A / a.current_A) / std::log(b.current_A / a.current_A);
    return std::exp(std::log(a.time_s) + share * (std::log(b.time_s) - std::log(a.time_s)));
}

double earliest_by_points_s(const std::vector<EdgeCurve>& fast, double current_A) {
    double earliest_s = never_s;
    for (const EdgeCurve& curve : fast) earliest_s = std::min(earliest_s, curve.time_s(current_A));
    return earliest_s;
}

bool beyond_points(const std::vector<EdgeCurve>& curves, double current_A) {
    return std::all_of(curves.begin(), curves.end(), [current_A](const EdgeCurve& curve) {
        return curve.points.empty() || current_A > curve.points.back().current_A;
    });
}

}  // namespace

double EdgeCurve::time_s(double current_A) const {
    // The last digits of a solution do not decide whether it is at its first point.
    if (points.empty() || current_A < points.front().current_A * (1 - 1e-9)) return never_s;
    current_A = std::max(current_A, points.front().current_A);
    const auto after =
        std::upper_bound(points.begin(), points.end(), current_A,
                         [](double amps, const Point& point) { return amps < point.current_A; });
    if (after != points.end()) return between(*(after - 1), *after, current_A);
    const Point& last = points.back();
    if (!keeps_integral) return last.time_s;
    const double ratio = last.current_A / current_A;
    return last.time_s * ratio * ratio;
}

std::optional<double> Band::fast_s(double current_A) const {
    if (fast.empty()) return std::nullopt;
    double earliest = never_s;
    for (const EdgeCurve& curve : fast) {
        if (curve.points.empty()) return std::nullopt;
        // Of a curve that only says what it holds, nothing is known beyond.
        if (!electronic && curve.points.size() == 1 && curve.integral_A2s == 0 &&
            current_A > curve.points.front().current_A)
            return std::nullopt;
        double time = curve.time_s(current_A);
        if (curve.integral_A2s > 0 && time < never_s)
            time = std::min(time, curve.integral_A2s / (current_A * current_A));
        earliest = std::min(earliest, time);
    }
    // What usually is open by then may as well open earlier.
    return promised(current_A) ? earliest : std::min(earliest, usual.time_s(current_A));
}

double Band::slow_s(double current_A) const {
    const double by_gates_s = unpromised_s(current_A);
    return promised(current_A) ? by_gates_s : std::min(by_gates_s, usual.time_s(current_A));
}

double Band::unpromised_s(double current_A) const {
    double latest = electronic ? never_s : 0;
    if (slow.empty()) return never_s;
    for (const EdgeCurve& curve : slow) {
        double time = curve.time_s(current_A);
        // A stated operating integral is the truth where it is reached sooner than the points promise. It
        // holds for short circuits: beyond the adiabatic range heat is lost, and it takes more.
        const double by_integral_s = curve.integral_A2s / (current_A * current_A);
        // Nor does it hold where the part's own points say that it stays closed for longer; beyond the last
        // of them they are only carried on, and make it no slower than they have it at the earliest.
        const double earliest_s = own_points ? earliest_by_points_s(fast, current_A) : 0;
        const bool holds = by_integral_s >= earliest_s || beyond_points(fast, current_A);
        if (curve.integral_A2s > 0 && time < never_s && by_integral_s <= adiabatic_s && holds)
            time = std::min(time, std::max(by_integral_s, earliest_s));
        // Beyond its last point nothing but that stated integral speaks, also where it is the larger one.
        if (curve.keeps_integral && !curve.points.empty() && current_A > curve.points.back().current_A)
            time = std::max(time, std::min(curve.points.back().time_s, by_integral_s));
        latest = electronic ? std::min(latest, time) : std::max(latest, time);
    }
    return latest;
}

bool Band::fast_untold(double current_A) const {
    constexpr double an_hour_s = 3600;
    return std::any_of(fast.begin(), fast.end(), [current_A](const EdgeCurve& curve) {
        return !curve.points.empty() && curve.integral_A2s == 0 && curve.points.back().time_s >= an_hour_s &&
               current_A > curve.points.back().current_A * 1.0001;
    });
}

bool Band::carried_on(double current_A) const {
    return std::any_of(slow.begin(), slow.end(), [current_A](const EdgeCurve& curve) {
        if (curve.points.empty()) return false;
        const bool silent = current_A > curve.silent_from_A * 1.0001 && current_A < curve.silent_to_A;
        return silent || (curve.keeps_integral && curve.integral_A2s == 0 &&
                          current_A > curve.points.back().current_A * 1.0001);
    });
}

}  // namespace loomward
