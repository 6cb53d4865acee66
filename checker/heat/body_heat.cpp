#include "checker/heat/body_heat.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

#include "checker/heat/losses.hpp"
#include "checker/heat/motor_loss.hpp"
#include "checker/parts/no_end.hpp"
#include "checker/parts/printed_figures.hpp"

namespace loomward {

using namespace literals;

namespace {

constexpr double good_to = 0.25, bedded_low = 0.3, bedded_high = 0.6;

std::optional<EdgeId> fed_by(const Circuit& circuit, PartId part) {
    if (circuit.harness->part(part).kind == Kind::motor) {
        const EdgeId lead = motor_lead(circuit, part);
        return lead ? std::optional(lead) : std::nullopt;
    }
    for (const EdgeId id : circuit.edges_of_part[part.index()]) {
        const EdgeRole role = circuit.edge(id).role;
        if (role == EdgeRole::controller || role == EdgeRole::converter_input || role == EdgeRole::charger)
            return id;
    }
    return std::nullopt;
}

WarmUp warm_up_of(const Facts& facts, PartId part) {
    const bool motor = facts.harness().part(part).kind == Kind::motor;
    if (const auto stated = facts.quantity(part, "time-constant"_attr))
        return {stated->lo, stated->hi, "its time-constant", "rating of the part", false};
    return motor ? motor_warm_up() : electronics_warm_up();
}

std::optional<MeasuredRise> measured_rise(const Facts& facts, PartId part, double slow_s) {
    const auto rise = facts.quantity(part, "rise"_attr, 0);
    const auto at = facts.quantity(part, "rise"_attr, 1);
    const auto after = facts.quantity(part, "rise"_attr, 2);
    if (!rise || !at || !after || at->lo <= 0 || after->lo <= 0) return std::nullopt;
    return MeasuredRise{
        rise->hi / -std::expm1(-after->lo / slow_s), at->lo,
        kelvins(rise->hi) + " at " + amps(at->lo) + " after " + to_text(after->lo, Dimension::time)};
}

}  // namespace

double MeasuredRise::with(double current_A) const {
    const double share = current_A / at_A;
    return settled_K * (share > 1 ? share * share : share);
}

MountedRise mounted_rise(const Enclosure& body, std::optional<bool> bedded, double loss_W, double air_degC) {
    const double free_K =
        std::max(0.0, free_body_degC(body, loss_W, air_degC).value_or(hottest_inside_degC) - air_degC);
    MountedRise rise{free_K * (1 + good_to), free_K * (1 - good_to)};
    if (bedded.value_or(false)) rise.high_K *= bedded_high;
    if (bedded.value_or(true)) rise.low_K *= bedded_low;
    return rise;
}

double BodyRise::lasting(double limit_K) const {
    double most_K = 0;
    for (const LossLevel& level : rises.levels) most_K = std::max(most_K, level.loss_W);
    if (most_K <= 0) return never_s;
    const double share = std::max(0.0, limit_K) / most_K;
    return share < 1 ? share : std::sqrt(share);
}

BodyHeat::BodyHeat(const Circuit& circuit, const Facts& facts, PartId part)
    : circuit_(circuit), facts_(facts), part_(part) {
    const auto edge = fed_by(circuit, part);
    if (!edge) return;
    warms_ = true;
    edge_ = measured_at_ = *edge;
    // What a converter prints and what one measures is the current that it gives.
    for (const EdgeId id : circuit.edges_of_part[part.index()])
        if (circuit.edge(id).role == EdgeRole::converter_output) measured_at_ = id;
    warm_up_ = warm_up_of(facts, part);
    path_ = facts.quantity(part, "thermal-resistance"_attr);
    measured_ = measured_rise(facts, part, warm_up_.slow_s);
    const Harness& harness = facts.harness();
    const Value mounting = harness.value(harness.part(part).attributes, "mounting"_attr);
    const bool known = mounting.present() && mounting.known != Knowledge::unknown;
    const auto width = facts.quantity(part, "size"_attr, 0), depth = facts.quantity(part, "size"_attr, 1),
               height = facts.quantity(part, "size"_attr, 2);
    lacks_size_ = known && !(width && depth && height);
    if (path_ || measured_ || !width || !depth || !height) return;
    Mounted& mounted = mounted_.emplace();
    mounted.outside.width_m = width->lo;
    mounted.outside.depth_m = depth->lo;
    mounted.outside.height_m = height->lo;
    mounted.outside.altitude_m = facts.altitude_m();
    const std::string_view wall = facts.word(part, "wall"_attr);
    mounted.outside.emissivity = wall.empty() || wall == "bare" ? bare_emissivity : painted_emissivity;
    if (known) mounted.bedded = mounting.text == "bedded";
    const auto text = [](double value) { return to_text(value, Dimension::length); };
    mounted.text = text(width->lo) + " x " + text(depth->lo) + " x " + text(height->lo) + ", " +
                   std::string(wall.empty() ? "bare" : wall) + ", " +
                   (known ? std::string(mounting.text) : "stood off where nobody says");
}

bool BodyHeat::lacks_losses() const {
    return path_ && !measured_ && facts_.harness().part(part_).kind == Kind::motor &&
           !motor_losses_known(facts_, part_);
}

std::optional<double> BodyHeat::limit_degC() const {
    const bool motor = facts_.harness().part(part_).kind == Kind::motor;
    const auto limit = facts_.quantity(part_, motor ? "limit"_attr : "cuts-out-at"_attr);
    return limit ? std::optional(limit->lo) : std::nullopt;
}

double BodyHeat::current_A(const OperatingPoint& point) const {
    if (facts_.harness().part(part_).kind == Kind::motor) return motor_current_A(circuit_, part_, point);
    return std::abs(point.edge_A[measured_at_.index()]);
}

double BodyHeat::settled_K(const OperatingPoint& point, double air_degC, bool hot, BodyRise* told) const {
    const double now_A = current_A(point);
    double settled_K = 0;
    if (path_ || mounted_) {
        const HeatSource source = loss_at(circuit_, facts_, point, part_);
        std::string how;
        if (path_) {
            settled_K = source.loss_W * path_->hi;
            how = to_text(path_->hi, Dimension::thermal_resistance) + " (thermal-resistance)";
        } else {
            const MountedRise rise =
                mounted_rise(mounted_->outside, mounted_->bedded, source.loss_W, air_degC);
            settled_K = hot ? rise.high_K : rise.low_K;
            how = to_text(settled_K / std::max(source.loss_W, 1e-9), Dimension::thermal_resistance) +
                  ", an estimate by its outside, the hot end: " + mounted_->text;
        }
        if (told) {
            told->loss_W = source.loss_W;
            told->current_A = now_A;
            told->working = {kelvins(settled_K) + " = " + watts(source.loss_W) + " x " + how};
            if (!source.working.empty()) told->working.push_back(source.working);
        }
    }
    if (!measured_) return settled_K;
    const double by_point_K = measured_->with(now_A);
    if (by_point_K <= settled_K) return settled_K;
    if (told) {
        told->loss_W = 0;
        told->current_A = now_A;
        told->working = {
            kelvins(by_point_K) + " at " + amps(now_A) + ", from the measured " + measured_->text + ": " +
            kelvins(measured_->settled_K) + " once it is settled, " +
            (now_A > measured_->at_A ? "by the square of the current" : "in proportion to the current")};
    }
    return by_point_K;
}

BodyRise BodyHeat::in(const Course& course, double air_degC) const {
    BodyRise rise;
    if (course.points.empty()) return rise;
    const std::string name(facts_.harness().part(part_).name);
    const auto course_of = [&](bool hot) {
        return loss_course(
            course, [&](const OperatingPoint& point) { return settled_K(point, air_degC, hot, nullptr); });
    };
    const auto highest = [&](const LossCourse& rises, double time_constant_s) {
        const ThermalBody body{1, time_constant_s};
        const double stays_K = rises.repeats ? 0 : rises.levels.back().loss_W;
        DutyPeak peak = course_peak(body, rises, stays_K);
        if (!rises.repeats && peak.rise_K <= stays_K) peak.level = rises.levels.size() - 1;
        return peak;
    };
    rise.rises = course_of(true);
    rise.body = {1, warm_up_.quick_s};
    rise.peak = highest(rise.rises, warm_up_.quick_s);
    rise.rise_K = rise.peak.rise_K;
    rise.if_slow_K = highest(course_of(false), warm_up_.slow_s).rise_K;
    rise.settled_K = settled_K(course.points[rise.peak.level], air_degC, true, &rise);
    if (rise.rise_K < rise.settled_K * 0.9995) {
        rise.working.push_back(kelvins(rise.rise_K) + " of it over the course, " + warm_up_.of + " with " +
                               to_text(warm_up_.quick_s, Dimension::time));
        rise.loss_W *= rise.rise_K / rise.settled_K;
    }
    if (warm_up_.assumed && rise.settled_K > 0)
        facts_.assume("time constant of " + std::string(info(facts_.harness().part(part_).kind).a_word),
                      to_text(warm_up_.quick_s, Dimension::time, 2) + " to " +
                          to_text(warm_up_.slow_s, Dimension::time, 2),
                      warm_up_.source, name);
    if (mounted_ && rise.settled_K > 0) {
        facts_.assume_altitude();
        facts_.assume("how the heat of a body leaves",
                      "by its outside, give or take a quarter; bedded in grease 0.3 to 0.6 of that",
                      "Churchill and Chu (1975), radiation; bedded: common practice, no source", name);
        if (!mounted_->bedded) facts_.assume("mounting of a body", "stood off", "no source, safe side", name);
    }
    return rise;
}

}  // namespace loomward
