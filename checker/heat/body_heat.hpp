// How hot the body of a controller, converter, charger or inverter gets, and the winding of a motor: one body
// of one temperature, in a course.
//
// A settled rise above the air around it, level by level, by what is known: losses times a stated thermal
// resistance, or a measured rise; the hotter of both. Without either an estimate by its size and mounting.
#pragma once
#include <optional>
#include <string>
#include <vector>

#include "checker/circuit/circuit.hpp"
#include "checker/currents/profile.hpp"
#include "checker/heat/enclosure.hpp"
#include "checker/heat/how_long.hpp"
#include "checker/parts/facts.hpp"

namespace loomward {

// How much hotter than the air a body gets by its outside alone: no better than the first, no worse than the
// second, K.
struct MountedRise {
    double high_K = 0, low_K = 0;
};
// Stood off: all six faces in the open (checker/heat/enclosure.hpp), good to a quarter (Power Electronics
// Handbook, secondary). Bedded: 0.3 to 0.6 of that (derived from a second path beside the case; common
// practice, no source), and the quarter. Without `bedded` nobody knows which, so that it is either.
// `loss_W` 0 or above. What would be hotter than 400 degC counts as that.
MountedRise mounted_rise(const Enclosure& body, std::optional<bool> bedded, double loss_W, double air_degC);

// A measured point: how much hotter at what current after what time.
struct MeasuredRise {
    double settled_K = 0;  // with the slow end of its time constant
    double at_A = 0;
    std::string text;  // "35 K at 30 A after 1 h"

    // Settled: in proportion to the current below the measured one, by its square above.
    double with(double current_A) const;
};

// One part in one course.
struct BodyRise {
    double rise_K = 0;     // at its hottest, warmed quickly and with the hottest of what is known
    double if_slow_K = 0;  // ... slowly and with the coolest
    DutyPeak peak;         // of `rise_K`
    ThermalBody body;      // of 1 K/W: with `rises` as its losses it follows its rise
    LossCourse rises;      // settled rise of each level, K
    double settled_K = 0;  // of the level at which it is hottest
    double loss_W = 0;     // what it would lose to be as hot by its path; 0: it goes by a measured point
    double current_A = 0;  // then
    double lasting(double limit_K) const;  // the share of its currents at which it never gets there
    std::vector<std::string> working;
};

class BodyHeat {
  public:
    BodyHeat(const Circuit& circuit, const Facts& facts, PartId part);

    bool warms() const { return warms_; }  // a kind that is judged, wired
    bool is_told() const { return path_ || measured_ || mounted_; }
    bool is_estimate() const { return !path_ && !measured_ && mounted_; }
    // A mounting without the size that it needs.
    bool lacks_size() const { return lacks_size_; }
    // A motor with a path, and nothing that says what it loses.
    bool lacks_losses() const;
    // What it draws, of a converter what it gives, or the current in the leads of a motor, A.
    double current_A(const OperatingPoint& point) const;
    EdgeId edge() const { return edge_; }  // that it is fed by
    const std::optional<MeasuredRise>& measured() const { return measured_; }
    const WarmUp& warm_up() const { return warm_up_; }
    // Where it is over its limit, and where nothing says: what it may get to, of a motor `limit`, else
    // `cuts-out-at`.
    std::optional<double> limit_degC() const;
    // Puts what is taken on the assumption list. Of a course without points: nothing.
    BodyRise in(const Course& course, double air_degC) const;

  private:
    double settled_K(const OperatingPoint& point, double air_degC, bool hot, BodyRise* told) const;
    double lost_W(const OperatingPoint& point) const;

    const Circuit& circuit_;
    const Facts& facts_;
    PartId part_;
    bool warms_ = false, lacks_size_ = false;
    EdgeId edge_, measured_at_;
    WarmUp warm_up_;
    std::optional<Quantity> path_;
    std::optional<MeasuredRise> measured_;
    struct Mounted {
        Enclosure outside;
        std::optional<bool> bedded;
        std::string text;  // "150 mm x 80 mm x 40 mm, bare, stood off"
    };
    std::optional<Mounted> mounted_;
};

}  // namespace loomward
