#include "checker/currents/device_duty.hpp"

#include <algorithm>
#include <cmath>

namespace loomward {
namespace {

std::string lasts_text(double value) {
    return std::isfinite(value) ? to_text(value, Dimension::time) : "good";
}

class DutyWalk {
  public:
    DutyWalk(const Course& course, EdgeId device, const Band& band, DutyEdge which, int sign)
        : course_(course),
          device_(device),
          band_(band),
          which_(which),
          sign_(sign),
          cools_(which == DutyEdge::fast && !band.electronic) {}

    Duty run() {
        const double first = once();
        if (duty_.operates || !course_.points.front().repeats) return std::move(duty_);
        // Where it is cold again after a rest, the second time round is like every later one. Where it rests
        // too short for that, it settles; where it never rests, it comes nearer each time.
        double before = first, now = once();
        if (!duty_.operates && !rested_ && now > first) {
            duty_.operates = true;
            duty_.working.push_back("and so on, without a rest, until it is there");
        }
        for (int round = 0; round < most_rounds && !duty_.operates && now > before * (1 + settled); ++round) {
            before = now;
            now = once();
        }
        return std::move(duty_);
    }

  private:
    static constexpr int most_rounds = 1000;
    static constexpr double settled = 1e-6;
    static constexpr double cold = 0.01;  // of the way: not worth a line

    double once() {
        if (share_ > cold && rested_)
            duty_.working = {"of the rounds before " + to_text(share_, Dimension::none) +
                             " of the way is left"};
        for (const OperatingPoint& point : course_.points) {
            if (duty_.operates) break;
            step(point);
        }
        return share_;
    }

    void step(const OperatingPoint& point) {
        const double now_A = counted_A(point, device_, sign_);
        if (now_A < band_.holds_A) return rest(point.duration_s);
        const double open_s = edge_time_s(band_, which_, now_A);
        if (!std::isfinite(open_s)) {
            if (band_.electronic) rest(point.duration_s);  // below its threshold it begins anew
            return;
        }
        share_ += point.duration_s / open_s;
        // As a conductor that is at its end after that time, and would hold what it holds for good:
        // (I / Ih)^2 (1 - exp(-t / tau)) = 1.
        const double held = std::min(band_.holds_A / now_A, most_held);
        time_constant_s_ = std::max(time_constant_s_, -open_s / std::log1p(-held * held));
        const std::string way = std::isfinite(share_) ? to_text(share_, Dimension::none) : "all";
        duty_.working.push_back(to_text(now_A, Dimension::current) + " for " + lasts_text(point.duration_s) +
                                (which_ == DutyEdge::fast ? ", may open after " : ", is open after ") +
                                lasts_text(open_s) + ": " + way + " of the way");
        duty_.share = std::max(duty_.share, share_);
        duty_.point = &point;
        duty_.operates = share_ >= 1;
    }

    void rest(double lasts_s) {
        rested_ = true;
        share_ *= cools_ && time_constant_s_ > 0 ? std::exp(-lasts_s / time_constant_s_) : 0;
        if (share_ <= cold) {
            duty_.working.clear();
            if (share_ <= cold * cold) share_ = 0, time_constant_s_ = 0;
            return;
        }
        duty_.working.push_back("cools for " + lasts_text(lasts_s) + ", with a time constant of " +
                                lasts_text(time_constant_s_) + ": " + to_text(share_, Dimension::none) +
                                " of the way is left");
    }

    static constexpr double most_held = 0.999;

    const Course& course_;
    EdgeId device_;
    const Band& band_;
    DutyEdge which_;
    int sign_;
    const bool cools_;  // as it warms; else it starts afresh after every rest
    double share_ = 0;
    double time_constant_s_ = 0;  // the slowest of the levels since it was cold
    bool rested_ = false;
    Duty duty_;
};

}  // namespace

double edge_time_s(const Band& band, DutyEdge which, double current_A) {
    if (which == DutyEdge::slow) return band.slow_s(current_A);
    const double fast_s = band.fast_s(current_A).value_or(never_s);
    return band.fast_untold(current_A) ? std::min(fast_s, band.slow_s(current_A) / edges_apart) : fast_s;
}

double counted_A(const OperatingPoint& point, EdgeId device, int sign) {
    const double along_A = point.edge_A[device.index()];
    return sign == 0 ? std::abs(along_A) : std::max(0.0, sign * along_A);
}

Duty follow_duty(const Course& course, EdgeId device, const Band& band, DutyEdge which, int sign) {
    return DutyWalk(course, device, band, which, sign).run();
}

}  // namespace loomward
