// A time-current chart as SVG, of what checker/papers/device_curves made.
#pragma once
#include <string>
#include <vector>

#include "checker/papers/device_curves.hpp"
#include "render/html/html.hpp"

namespace loomward {

// Both axes logarithmic; currents to the right, times upwards. Colours are those of the page.
// Nothing where the curve has no band.
Html curve_chart(const DeviceCurve& curve, const Harness& harness);

}  // namespace loomward
