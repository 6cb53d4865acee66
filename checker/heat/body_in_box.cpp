#include "checker/heat/body_in_box.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

#include "checker/parts/no_end.hpp"

namespace loomward {

namespace {

// Both bodies on their way through one course.
class Together {
  public:
    explicit Together(const BodyInBox& both) : both_(both) {
        for (const LossLevel& level : both.rises.levels) lasts_s_ += level.duration_s;
    }

    struct State {
        double body_K = 0, box_K = 0;
        double sum_K() const { return body_K + box_K; }
    };

    State at_cycle(double count) const {
        const double seconds = count * lasts_s_;
        return {rise_after_course_K(both_.body, both_.rises, 0, seconds),
                both_.box ? rise_after_course_K(both_.box->body, both_.box->rises, 0, seconds) : 0};
    }

    State after(const State& from, std::size_t level, double seconds) const {
        State now = from;
        now.body_K = rise_after_K(both_.body, both_.rises.levels[level].loss_W, from.body_K, seconds);
        if (both_.box)
            now.box_K =
                rise_after_K(both_.box->body, both_.box->rises.levels[level].loss_W, from.box_K, seconds);
        return now;
    }

    // Within one run from there; infinite where the limit is not met.
    double reach_s(State state, double limit_K) const {
        double passed_s = 0;
        for (std::size_t i = 0; i < both_.rises.levels.size(); ++i) {
            const double lasts_s = both_.rises.levels[i].duration_s;
            if (const double here_s = reach_in_level_s(state, i, lasts_s, limit_K); here_s != never_s)
                return passed_s + here_s;
            if (lasts_s == never_s) return never_s;
            state = after(state, i, lasts_s);
            passed_s += lasts_s;
        }
        return never_s;
    }

    double lasts_s() const { return lasts_s_; }

    // A sum of two exponentials turns once at most, so that it has one summit.
    double reach_in_level_s(const State& from, std::size_t level, double lasts_s, double limit_K) const {
        if (from.sum_K() >= limit_K) return 0;
        // Each of the two stays between where it begins and where it settles.
        const State settled = after(from, level, never_s);
        if (std::isfinite(settled.sum_K()) &&
            std::max(from.body_K, settled.body_K) + std::max(from.box_K, settled.box_K) < limit_K)
            return never_s;
        const double longest_tau_s =
            std::max(both_.body.time_constant_s, both_.box ? both_.box->body.time_constant_s : 0);
        constexpr double settled_taus = 40;
        const double end_s = std::min(lasts_s, settled_taus * longest_tau_s);
        const auto rise_K = [&](double seconds) { return after(from, level, seconds).sum_K(); };
        double low_s = 0, high_s = end_s;
        for (int i = 0; i < 80; ++i) {
            const double a_s = low_s + (high_s - low_s) / 3, b_s = high_s - (high_s - low_s) / 3;
            (rise_K(a_s) < rise_K(b_s) ? low_s : high_s) = rise_K(a_s) < rise_K(b_s) ? a_s : b_s;
        }
        double top_s = rise_K(end_s) > rise_K(high_s) ? end_s : high_s;
        if (rise_K(top_s) < limit_K) return never_s;
        double cool_s = 0;
        for (int i = 0; i < 80; ++i) {
            const double middle_s = (cool_s + top_s) / 2;
            (rise_K(middle_s) < limit_K ? cool_s : top_s) = middle_s;
        }
        return top_s;
    }

  private:
    const BodyInBox& both_;
    double lasts_s_ = 0;
};

}  // namespace

std::size_t BodyInBox::hottest_level() const {
    std::size_t hottest = 0;
    const auto settled_K = [&](std::size_t i) {
        return rises.levels[i].loss_W + (box ? box->rises.levels[i].loss_W : 0);
    };
    for (std::size_t i = 0; i < rises.levels.size(); ++i)
        if (settled_K(i) > settled_K(hottest)) hottest = i;
    return hottest;
}

double BodyInBox::first_reach_s(double limit_degC) const {
    const double limit_K = limit_degC - around_degC;
    if (rises.levels.empty()) return never_s;
    if (limit_K <= 0) return 0;
    const Together together(*this);
    const double first_s = together.reach_s({}, limit_K);
    if (first_s != never_s || !rises.repeats || !(together.lasts_s() > 0)) return first_s;
    // From cold every run begins hotter than the one before.
    const double most = longest_s / together.lasts_s();
    const auto reach_s = [&](double count) { return together.reach_s(together.at_cycle(count), limit_K); };
    double cool = 0, hot = 1;
    while (reach_s(hot) == never_s) {
        if (hot >= most) return never_s;
        cool = hot;
        hot = std::min(2 * hot, most);
    }
    while (hot - cool > 1) {
        const double middle = std::floor((hot + cool) / 2);
        if (middle <= cool || middle >= hot) break;
        (reach_s(middle) == never_s ? cool : hot) = middle;
    }
    return hot * together.lasts_s() + reach_s(hot);
}

double BodyInBox::held_s(double limit_degC) const {
    if (rises.levels.empty()) return never_s;
    return Together(*this).reach_in_level_s({}, hottest_level(), never_s, limit_degC - around_degC);
}

std::optional<double> BodyInBox::held_warm_s(double limit_degC) const {
    if (rises.levels.size() < 2) return std::nullopt;
    const std::size_t worst = hottest_level();
    const Together together(*this);
    Together::State state;
    if (rises.repeats) {
        const DutyPeak settled = periodic_peak(body, rises.levels);
        const DutyPeak box_settled = box ? periodic_peak(box->body, box->rises.levels) : DutyPeak{};
        if (!settled.settles || (box && !box_settled.settles)) return 0;
        state = {settled.start_K, box ? box_settled.start_K : 0};
        for (std::size_t i = 0; i < worst; ++i) state = together.after(state, i, rises.levels[i].duration_s);
    } else {
        state = together.after({}, rises.levels.size() - 1, never_s);
    }
    return together.reach_in_level_s(state, worst, never_s, limit_degC - around_degC);
}

double BodyInBox::lasting(double limit_degC) const {
    if (rises.levels.empty()) return never_s;
    const std::size_t worst = hottest_level();
    const double body_K = rises.levels[worst].loss_W, box_K = box ? box->rises.levels[worst].loss_W : 0;
    const double room_K = std::max(0.0, limit_degC - around_degC);
    if (body_K + box_K <= 0) return never_s;
    if (room_K >= body_K + box_K) return std::sqrt(room_K / (body_K + box_K));
    constexpr double vents_exponent = 2.0 / 3;
    double low = 0, high = 1;
    for (int i = 0; i < 80; ++i) {
        const double share = (low + high) / 2;
        (body_K * share + box_K * std::pow(share, vents_exponent) < room_K ? low : high) = share;
    }
    return low;
}

const std::optional<BoxCourse>& BoxCourses::of(LocationId location) {
    if (!location) return none_;
    std::optional<std::optional<BoxCourse>>& box = known_[location.index()];
    if (!box) box = box_course(circuit_, facts_, course_, location, facts_.within(location, course_.mode).hi);
    return *box;
}

WarmedAir air_around(const Facts& facts, PartId part, ModeId mode) {
    const LocationId place = facts.harness().part(part).location;
    const double air_degC = facts.ambient(part, mode).hi;
    return {place, air_degC, place ? facts.around(place, mode).hi : air_degC};
}

BodyInBox body_in_box(BoxCourses& boxes, const WarmedAir& air, const ThermalBody& body,
                      const LossCourse& rises) {
    BodyInBox both{body, rises, {}, air.hottest_degC, air.hottest_degC};
    if (air.cold_degC >= air.hottest_degC) return both;
    both.box = boxes.of(air.place);
    if (!both.box) return both;
    both.around_degC = air.cold_degC;
    // The place may be hotter at another corner of the mode; its air counts as that.
    const double own_K = course_peak(both.box->body, both.box->rises).rise_K;
    const double hottest_K = both.air_degC - both.around_degC;
    if (own_K > 0 && hottest_K > own_K)
        for (LossLevel& level : both.box->rises.levels) level.loss_W *= hottest_K / own_K;
    return both;
}

BodyInBox body_in_box(const Circuit& circuit, const Facts& facts, const Course& course, PartId part,
                      const ThermalBody& body, const LossCourse& rises) {
    BoxCourses boxes(circuit, facts, course);
    return body_in_box(boxes, air_around(facts, part, course.mode), body, rises);
}

}  // namespace loomward
