// How long bodies stand a course: what every kind of part has in common, and the bodies of devices and motors
// and the air in boxes.
#pragma once
#include <functional>
#include <vector>

#include "checker/heat/body_in_box.hpp"
#include "checker/heat/endurance.hpp"
#include "checker/heat/how_long.hpp"

namespace loomward {

using Amps = std::function<double(const OperatingPoint&)>;

// Fills in all that follows from a body, its losses and its limit above its ambient: peak, worst level, how
// long that may be held, when it gives out. Not what may be held for good.
void follow_body(HeldPart& part, const Course& course, const ThermalBody& body, const LossCourse& losses,
                 double limit_K, const Amps& current);

// The same with the box that warms it on its own way, as cold as the body when the course begins. `rises` in
// K.
void follow_in_box(HeldPart& part, BoxCourses& boxes, const WarmedAir& air, const ThermalBody& body,
                   const LossCourse& rises);

// Controllers, converters, chargers, inverters that say where they cut out or give less, and motors that say
// what their winding stands, as far as it is known how they warm.
void add_held_bodies(const Circuit& circuit, const Facts& facts, const Course& course, BoxCourses& boxes,
                     std::vector<HeldPart>& found);
// Locations that say how their heat leaves and how warm they may get inside.
void add_held_boxes(const Circuit& circuit, const Facts& facts, const Course& course,
                    std::vector<HeldPart>& found);

}  // namespace loomward
