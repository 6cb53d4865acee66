#include "checker/currents/device_duty.hpp"

#include <algorithm>
#include <cmath>

namespace loomward {
namespace {

std::string seconds(double value) {
    return std::isfinite(value) ? to_text(value, Dimension::time) : "good";
}

class DutyWalk {
  public:
    DutyWalk(const Course& course, EdgeId device, const Band& band, DutyEdge which)
        : course_(course), device_(device), band_(band), which_(which) {}

    Duty run() {
        const double first = once();
        if (duty_.operates || !course_.points.front().repeats) return std::move(duty_);
        // Where it rests, the second time round is like every later one. Where it never does, it comes nearer
        // each time.
        const double second = once();
        if (!duty_.operates && !rested_ && second > first) {
            duty_.operates = true;
            duty_.working.push_back("and so on, without a rest, until it is there");
        }
        return std::move(duty_);
    }

  private:
    double once() {
        for (const OperatingPoint& point : course_.points) {
            if (duty_.operates) break;
            step(point);
        }
        return share_;
    }

    void step(const OperatingPoint& point) {
        const double now_A = std::abs(point.edge_A[device_.index()]);
        if (now_A < band_.holds_A) {
            rested_ = true;
            share_ = 0;
            duty_.working.clear();
            return;
        }
        const double open_s = edge_time_s(band_, which_, now_A);
        if (!std::isfinite(open_s)) return;
        share_ += point.duration_s / open_s;
        const std::string way = std::isfinite(share_) ? to_text(share_, Dimension::none) : "all";
        duty_.working.push_back(to_text(now_A, Dimension::current) + " for " + seconds(point.duration_s) +
                                (which_ == DutyEdge::fast ? ", may open after " : ", is open after ") +
                                seconds(open_s) + ": " + way + " of the way");
        duty_.share = std::max(duty_.share, share_);
        duty_.point = &point;
        duty_.operates = share_ >= 1;
    }

    const Course& course_;
    EdgeId device_;
    const Band& band_;
    DutyEdge which_;
    double share_ = 0;
    bool rested_ = false;
    Duty duty_;
};

}  // namespace

double edge_time_s(const Band& band, DutyEdge which, double current_A) {
    return which == DutyEdge::fast ? band.fast_s(current_A).value_or(never_s) : band.slow_s(current_A);
}

Duty follow_duty(const Course& course, EdgeId device, const Band& band, DutyEdge which) {
    return DutyWalk(course, device, band, which).run();
}

}  // namespace loomward
