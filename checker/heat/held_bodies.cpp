#include "checker/heat/held_bodies.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

#include "checker/heat/body_heat.hpp"
#include "checker/heat/body_in_box.hpp"
#include "checker/heat/box_course.hpp"
#include "checker/parts/above.hpp"
#include "checker/parts/no_end.hpp"

namespace loomward {

using namespace literals;

namespace {

// The rise with which a course meets its worst level, from the settled rest of it; nullopt: it has no rest.
std::optional<double> warm_K(const ThermalBody& body, const LossCourse& losses, std::size_t worst) {
    if (losses.levels.size() < 2) return std::nullopt;
    if (!losses.repeats) return rise_after_K(body, losses.levels.back().loss_W, 0, never_s);
    const DutyPeak settled = periodic_peak(body, losses.levels);
    if (!settled.settles) return never_s;
    double rise_K = settled.start_K;
    for (std::size_t i = 0; i < worst; ++i)
        rise_K = rise_after_K(body, losses.levels[i].loss_W, rise_K, losses.levels[i].duration_s);
    return rise_K;
}

}  // namespace

void follow_body(HeldPart& part, const Course& course, const ThermalBody& body, const LossCourse& losses,
                 double limit_K, const Amps& current) {
    std::size_t worst = 0;
    for (std::size_t i = 0; i < losses.levels.size(); ++i)
        if (losses.levels[i].loss_W > losses.levels[worst].loss_W) worst = i;
    const LossLevel& level = losses.levels[worst];
    const DutyPeak peak = course_peak(body, losses);
    part.settles = peak.settles;
    part.peak_degC = part.ambient_degC + peak.rise_K;
    part.peak_at_s = peak.at_s;
    if (current) part.worst_A = current(course.points[worst]);
    part.worst_s = level.duration_s;
    // What settles as its very limit, as it is printed, is not beyond it.
    const auto beyond = [&](double rise_K) {
        return above(part.ambient_degC + rise_K, part.ambient_degC + limit_K);
    };
    const auto hold_s = [&](double start_K) {
        const bool lasts = !beyond(start_K) && !beyond(rise_after_K(body, level.loss_W, 0, never_s));
        return lasts ? never_s : longest_hold_s(body, level.loss_W, start_K, limit_K);
    };
    part.from_cold_s = hold_s(0);
    if (const auto warm = warm_K(body, losses, worst)) part.from_warm_s = hold_s(*warm);
    part.gives_out_s =
        peak.settles && !beyond(peak.rise_K) ? never_s : first_reach_s(body, losses, 0, limit_K);
}

namespace {

void follow_with_box(HeldPart& part, const BodyInBox& both) {
    part.from_cold_s = both.held_s(part.limit_degC);
    part.from_warm_s = both.held_warm_s(part.limit_degC);
    if (part.gives_out_s == never_s) return;
    // What is as hot only with the box at its hottest keeps the sooner time.
    const double first_s = both.first_reach_s(part.limit_degC);
    if (first_s != never_s) part.gives_out_s = first_s;
}

}  // namespace

void follow_in_box(HeldPart& part, BoxCourses& boxes, const WarmedAir& air, const ThermalBody& body,
                   const LossCourse& rises) {
    const BodyInBox both = body_in_box(boxes, air, body, rises);
    if (both.box) follow_with_box(part, both);
}

void add_held_bodies(const Circuit& circuit, const Facts& facts, const Course& course, BoxCourses& boxes,
                     std::vector<HeldPart>& found) {
    const Harness& harness = facts.harness();
    for (std::size_t i = 0; i < harness.parts.size(); ++i) {
        const PartId id(i);
        const BodyHeat heat(circuit, facts, id);
        if (!heat.warms() || !heat.is_told()) continue;
        const bool motor = harness.part(id).kind == Kind::motor;
        constexpr double never_degC = std::numeric_limits<double>::infinity();
        const double stops_degC = heat.limit_degC().value_or(never_degC);
        double less_degC = never_degC;
        if (!motor)
            if (const auto less = facts.quantity(id, "gives-less-from"_attr)) less_degC = less->lo;
        const Amps current = [&](const OperatingPoint& point) { return heat.current_A(point); };
        const bool flows = std::any_of(course.points.begin(), course.points.end(),
                                       [&](const OperatingPoint& point) { return current(point) > idle_A; });
        const double limit_degC = std::min(stops_degC, less_degC);
        if (!flows || limit_degC == never_degC) continue;
        HeldPart part;
        part.what = HeldPart::What::body;
        part.part = id;
        part.name = harness.part(id).name;
        part.ambient_degC = facts.ambient(id, course.mode).hi;
        const bool first_less = less_degC < stops_degC;
        part.limit_degC = limit_degC;
        part.then = motor        ? "its winding gets hotter than it stands"
                    : first_less ? "it gives less"
                                 : "it switches itself off";
        const BodyRise rise = heat.in(course, part.ambient_degC);
        const double limit_K = part.limit_degC - part.ambient_degC;
        follow_body(part, course, rise.body, rise.rises, limit_K, current);
        const BodyInBox both = body_in_box(boxes, air_around(facts, id, course.mode), rise.body, rise.rises);
        part.lasting_A = part.worst_A * both.lasting(limit_degC);
        if (both.box) follow_with_box(part, both);
        found.push_back(std::move(part));
    }
}

void add_held_boxes(const Circuit& circuit, const Facts& facts, const Course& course,
                    std::vector<HeldPart>& found) {
    const Harness& harness = facts.harness();
    for (std::size_t i = 0; i < harness.locations.size(); ++i) {
        const Location& location = harness.locations[i];
        const Value limit = harness.value(location.attributes, "highest-ambient"_attr);
        if (!limit.present() || limit.known == Knowledge::unknown) continue;
        const auto box = box_course(circuit, facts, course, LocationId(i), limit.lo);
        if (!box) continue;
        HeldPart part;
        part.what = HeldPart::What::box;
        part.name = location.name;
        part.ambient_degC = box->around_degC;
        part.limit_degC = limit.lo;
        part.then = "the air in it gets hotter than it may";
        follow_body(part, course, box->body, box->rises, limit.lo - box->around_degC, {});
        part.worst_W = *std::max_element(box->losses_W.begin(), box->losses_W.end());
        part.lasting_W = box->lasting_W;
        found.push_back(std::move(part));
    }
}

}  // namespace loomward
