#include "checker/currents/profile.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

#include "checker/parts/printed_figures.hpp"
#include "checker/tables/formulas.hpp"

namespace loomward {

using namespace literals;

namespace {

constexpr double infinity = std::numeric_limits<double>::infinity();

// The time constant with which a current that is borne for a time from cold warms up to what is borne for
// long: (I / Ir)^2 (1 - exp(-t / tau)) = 1. Shorter withstands are far above the rating, and there it is I^2
// t.
double borne_constant_s(double rated_A, double borne_A, double time_s) {
    const double share = rated_A / borne_A;
    return -time_s / std::log1p(-share * share);
}

}  // namespace

std::vector<Course> usable_courses(const std::vector<OperatingPoint>& points) {
    std::vector<Course> courses;
    for (std::size_t first = 0; first < points.size();) {
        std::size_t last = first;
        bool usable = true;
        while (last < points.size() && points[last].mode == points[first].mode &&
               points[last].corner == points[first].corner)
            usable = points[last++].usable() && usable;
        if (usable)
            courses.push_back(
                {points[first].mode, points[first].corner, std::span(points).subspan(first, last - first)});
        first = last;
    }
    return courses;
}

Peak peak_of(const Course& course, EdgeId edge) {
    Peak peak;
    for (const OperatingPoint& point : course.points) {
        const double amps = std::abs(point.edge_A[edge.index()]);
        if (!peak.point || amps > peak.current_A) peak = {amps, &point};
    }
    return peak;
}

WarmUp contact_warm_up(const Facts& facts, PartId part, double rated_A) {
    const auto current = facts.quantity(part, "withstands"_attr, 0);
    const auto time = facts.quantity(part, "withstands"_attr, 1);
    if (current && time && rated_A > 0 && current->lo > rated_A) {
        const double tau_s = borne_constant_s(rated_A, current->lo, time->lo);
        return {tau_s, tau_s, "what it withstands, " + to_text(*current) + " for " + to_text(*time),
                "rating of the part", false};
    }
    return {60, 300, "contacts", "common practice, no source"};
}

WarmUp electronics_warm_up() {
    return {60, 300, "power electronics", "common practice, no source"};
}
WarmUp diode_warm_up() {
    return {10, 60, "diodes", "common practice, no source"};
}
WarmUp motor_warm_up() {
    return {120, 600, "windings", "common practice, no source"};
}
WarmUp pack_warm_up(const Facts& facts, PartId part, double rated_A) {
    constexpr double quick_s = 60, slow_s = 600;
    const auto current = facts.quantity(part, "peak"_attr, 0);
    const auto time = facts.quantity(part, "peak"_attr, 1);
    if (current && time && rated_A > 0 && current->lo > rated_A) {
        const double tau_s = borne_constant_s(rated_A, current->lo, time->lo);
        return {tau_s, std::max(tau_s, slow_s), "its peak, " + to_text(*current) + " for " + to_text(*time),
                "rating of the part", false};
    }
    return {quick_s, slow_s, "packs", "common practice, no source"};
}
WarmUp charge_warm_up() {
    return {60, 600, "packs being charged", "common practice, no source"};
}
WarmUp fuse_warm_up() {
    return {300, 300, "fuses with their holders", "common practice, no source"};
}
WarmUp hours() {
    return {3600, 3600, "loads that last three hours", "NFPA 70 article 100 (memory)"};
}

WarmUp resistor_warm_up(const Facts& facts, PartId part, double rated_W) {
    constexpr double common_s = 22.4;  // five times its power for five seconds
    const auto pulse = facts.quantity(part, "pulse"_attr);
    if (pulse && rated_W > 0 && pulse->lo > 0) {
        const double tau_s = pulse->lo / rated_W;
        return {tau_s, std::max(tau_s, common_s),
                "the pulse it survives, " + to_text(*pulse) + " / " + to_text(rated_W, Dimension::power),
                "rating of the part", false};
    }
    return {common_s, common_s, "resistors: five times their power for 5 s", "IEC 60115-1 (memory)"};
}

std::string CourseLoad::working(const WarmUp& warm_up) const {
    if (stays()) return {};
    std::string cooled;
    if (before_A > 0) cooled = " - ((" + amps(level_A) + ")^2 - (" + amps(before_A) + ")^2)";
    const std::string decay = " x exp(-" + seconds(lasts_s) + " / " + seconds(time_constant_s) + ")";
    const std::string square = "(" + amps(level_A) + ")^2";
    return amps(current_A) + " = sqrt(" + square + (before_A > 0 ? cooled : " - " + square) + decay +
           "): " + amps(level_A) + " for " + seconds(lasts_s) + " warms it as much as that does for long (" +
           warm_up.of + ", " + std::string(warm_up.source) + ")";
}

CourseLoad load_of(const Course& course, double time_constant_s, const Amperes& current) {
    CourseLoad load;
    load.time_constant_s = time_constant_s;
    if (course.points.empty()) return load;
    // Where another part's profile changes its level, that of this one goes on.
    std::vector<HeatLevel> levels;
    std::vector<const OperatingPoint*> starts;
    for (const OperatingPoint& point : course.points) {
        const double now_A = current(point);
        if (!levels.empty() && std::abs(levels.back().current_A - now_A) <= 1e-4 * now_A) {
            levels.back().duration_s += point.duration_s;
            levels.back().current_A = std::max(levels.back().current_A, now_A);
        } else {
            levels.push_back({now_A, point.duration_s});
            starts.push_back(&point);
        }
    }
    const bool repeats = course.points.front().repeats && levels.size() > 1;
    if (levels.size() == 1) levels.front().duration_s = infinity;
    const HottestLevel hottest = hottest_level(levels, repeats, time_constant_s, levels.back().current_A);
    load.current_A = hottest.current_A;
    load.before_A = hottest.before_A;
    load.level_A = levels[hottest.level].current_A;
    load.lasts_s = levels[hottest.level].duration_s;
    load.at = starts[hottest.level];
    return load;
}
CourseLoad load_of(const Course& course, double time_constant_s, EdgeId edge) {
    return load_of(course, time_constant_s,
                   [edge](const OperatingPoint& point) { return std::abs(point.edge_A[edge.index()]); });
}
CourseLoad load_of(const Course& course, double time_constant_s, EdgeId edge, int sign) {
    return load_of(course, time_constant_s, [edge, sign](const OperatingPoint& point) {
        return std::max(0.0, sign * point.edge_A[edge.index()]);
    });
}

Excess worst_load(const Circuit& circuit, const std::vector<Course>& courses,
                  const std::function<std::optional<Rated>(ModeId)>& rated, const Amperes& current) {
    Excess worst;
    const auto name = [&](const Course& course) { return circuit.harness->modes[course.mode.index()].name; };
    for (const Course& course : courses) {
        const std::optional<Rated> rating = rated(course.mode);
        if (!rating) continue;
        Excess now{load_of(course, rating->warm_up.quick_s, current), rating->may_A, false, course,
                   rating->warm_up};
        if (!now.load.at) continue;
        now.certain = rating->warm_up.slow_s <= rating->warm_up.quick_s || now.load.stays() ||
                      load_of(course, rating->warm_up.slow_s, current).current_A > rating->may_A;
        // Equals but for rounding by the name of their mode, so that the order of writing means nothing.
        const double ratio = now.ratio(), known = worst.ratio();
        const bool alike =
            ratio == known || (std::isfinite(known) && std::abs(ratio - known) <= 1e-6 * std::abs(known));
        // What is too much for certain comes before what may be.
        const bool sure = now.certain && now.over(), was_sure = worst.certain && worst.over();
        if (!worst.load.at || (sure != was_sure ? sure
                               : alike          ? name(course) < name(worst.course)
                                                : ratio > known))
            worst = std::move(now);
    }
    return worst;
}

}  // namespace loomward
