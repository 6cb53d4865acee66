// How long a protective device takes at a current: the band between its fast and its slow edge, from the
// gates of its family, the user's own points, or the thresholds of a BMS.
//
// The fast edge answers "could it open already?" (nuisance, who is first), the slow edge "is it open by now?"
// (damage). Between points a curve is straight in log-log and never rises with the current. Beyond its last
// point a fuse keeps its joule integral, the instantaneous release of a breaker its time; both are said in
// the assumption list.
//
// A last point of minutes promises nothing about a short circuit: heat that leaves the element in a minute
// has no time to in a hundredth of a second. From there on the slow edge is what devices of that rating
// usually do (for fuses the gates of class gG of the next larger size; with a stated joule integral a
// straight line in log-log from the last gate to it), and `promised` says no.
#pragma once
#include <limits>
#include <optional>
#include <string>
#include <vector>

#include "checker/parts/facts.hpp"
#include "checker/parts/no_end.hpp"

namespace loomward {

// Up to this time a stated operating integral is one of short circuits; IEC 60269-1 (memory).
inline constexpr double adiabatic_s = 0.1;

// One edge of a band.
struct EdgeCurve {
    struct Point {
        double current_A = 0;
        double time_s = 0;
    };
    std::vector<Point> points;   // rising in current, falling or level in time; empty: nothing is known
    bool keeps_integral = true;  // beyond the last point: I2t stays; else the time stays
    double integral_A2s = 0;     // above 0: stated, and counts where it is worse than the points

    // Between these two currents no row of the family speaks either: the integral of the first is carried on.
    double silent_from_A = 0, silent_to_A = 0;

    // Seconds at a current; infinite below the first point.
    double time_s(double current_A) const;
};

class Band {
  public:
    // Earliest time it may open, s; infinity where it holds for good; nullopt where nothing tells.
    std::optional<double> fast_s(double current_A) const;
    // Latest time it is open, s; infinity where it may never open.
    double slow_s(double current_A) const;

    // Whether the slow edge at this current is no longer what its source says, but its joule integral carried
    // on.
    bool carried_on(double current_A) const;
    // Whether the fast edge at this current is one of hours carried on, which says nothing of seconds.
    bool fast_untold(double current_A) const;
    // Whether anything is promised about this current at all. Where nothing is, slow_s says what such devices
    // usually do, and `unpromised_s` what the last gate carried on would make of it.
    bool promised(double current_A) const {
        return current_A <= promised_to_A || current_A >= promised_from_A;
    }
    double unpromised_s(double current_A) const;

    std::vector<EdgeCurve> fast;  // sheets of one family: whichever is quickest counts
    std::vector<EdgeCurve> slow;  // ... slowest
    bool own_points = false;      // stated point by point, not by a family
    bool electronic = false;      // a BMS: thresholds and delays, no band
    EdgeCurve usual;              // of the slow edge, beyond what is promised
    double promised_to_A = std::numeric_limits<double>::infinity();
    double promised_from_A = std::numeric_limits<double>::infinity();  // again, by a stated integral
    double holds_A = 0;  // conventional non-fusing current: loaded below it, it never opens
    std::string source;  // "ISO 8820-5 (memory)"
};

// What a fuse or breaker may carry for long at an ambient (rerating.hpp); never more than rated. nullopt
// where no rated current is known.
struct RatedAt {
    double current_A = 0;
    double stated_A = 0;
    double ambient_degC = 0;
    double stated_at_degC = 0;
    std::string formula = {};
    bool lowered() const { return current_A < stated_A; }
    // "76.5 A = 80 A x (1 - 0.2 %/K x 22 K), 45 degC against 23 degC"; only where it is lowered.
    std::string working() const;
};
std::optional<RatedAt> rated_at(const Facts& facts, PartId device, double ambient_degC);

// The band of a fuse, breaker or BMS between two ambients: the fast edge at the hottest, the slow one at the
// coldest. Fuses and breakers are re-rated away from the temperature their rating holds at (rerating.hpp).
// What is read goes on the assumption list. Returns a band with empty edges where rated current or thresholds
// are unknown.
Band band_of(const Facts& facts, PartId device, double coldest_degC, double hottest_degC);
// ... at the ambients of its own place.
Band band_of(const Facts& facts, PartId device);
// The thresholds at which a battery management opens while its pack is charged.
Band charge_band_of(const Facts& facts, PartId management);

}  // namespace loomward
