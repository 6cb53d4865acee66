// A body in a box that is warmed by what is in it: the box above the air around it, the body above the air in
// the box, both from cold. Two bodies of one course whose rises add up.
#pragma once
#include <optional>
#include <vector>

#include "checker/circuit/circuit.hpp"
#include "checker/currents/profile.hpp"
#include "checker/heat/box_course.hpp"
#include "checker/heat/how_long.hpp"
#include "checker/parts/facts.hpp"

namespace loomward {

// The body in the air of its place.
struct BodyInBox {
    ThermalBody body;
    LossCourse rises;              // of the body, settled, level by level
    std::optional<BoxCourse> box;  // nullopt: its place stays as warm as it is
    double air_degC = 0;           // of its place, hottest
    double around_degC = 0;        // from which both begin

    // Seconds from the start of the course, from cold, until it is first as hot as the limit; infinite:
    // never. Found to 1e-6 of itself. Where its hottest air and its own hottest moment do not come together,
    // it may never be as hot as both added up.
    double first_reach_s(double limit_degC) const;
    // How long its hottest level may be held from cold; infinite: for good.
    double held_s(double limit_degC) const;
    // ... from where the rest of the course leaves both: of one that repeats where its settled cycle comes to
    // that level, of another one settled at the level that stays. nullopt: of one level there is no rest.
    std::optional<double> held_warm_s(double limit_degC) const;
    // The share of all currents of the course at which it never gets there. What warms the box is taken to go
    // with the current, above it with its square, and the box to rise with the power 2/3 of that: vents
    // (ASHRAE), the least of all ways.
    double lasting(double limit_degC) const;

  private:
    std::size_t hottest_level() const;
};

// The boxes over one course, each worked out once.
class BoxCourses {
  public:
    BoxCourses(const Circuit& circuit, const Facts& facts, const Course& course)
        : circuit_(circuit), facts_(facts), course_(course), known_(facts.harness().locations.size()) {}
    // nullopt: none, or it does not say how its heat leaves, or nobody knows.
    const std::optional<BoxCourse>& of(LocationId location);

  private:
    const Circuit& circuit_;
    const Facts& facts_;
    const Course& course_;
    std::vector<std::optional<std::optional<BoxCourse>>> known_;
    std::optional<BoxCourse> none_;
};

// The air around a body: how hot it gets, how warm it is while the box is cold, and the box that warms it.
struct WarmedAir {
    LocationId place;  // invalid: none
    double hottest_degC = 0;
    double cold_degC = 0;  // no higher
};
WarmedAir air_around(const Facts& facts, PartId part, ModeId mode);

// The air gets as hot as its place does at any corner of the mode.
BodyInBox body_in_box(BoxCourses& boxes, const WarmedAir& air, const ThermalBody& body,
                      const LossCourse& rises);
BodyInBox body_in_box(const Circuit& circuit, const Facts& facts, const Course& course, PartId part,
                      const ThermalBody& body, const LossCourse& rises);

}  // namespace loomward
