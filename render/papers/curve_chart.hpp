// Time-current charts as SVG, of what checker/papers/device_curves made.
#pragma once
#include <map>
#include <string>
#include <vector>

#include "checker/papers/device_curves.hpp"
#include "render/html/html.hpp"

namespace loomward {

struct ChartPoint {
    double x = 0, y = 0;
};
// The same line with no more points than the eye needs: what lies within a twentieth of a unit of the
// straight line between two that stay is left out (the rule of Douglas and Peucker, 1973; memory).
std::vector<ChartPoint> straightened(const std::vector<ChartPoint>& points);

// The charts of one page. What several of them have in common (the scale of times, scales of currents, bands
// of alike devices) stands in the first one, and the others refer to it.
class CurveCharts {
  public:
    // Both axes logarithmic; currents to the right, times upwards. Colours are those of the page.
    // Nothing where the curve has no band.
    Html add(const DeviceCurve& curve, const Harness& harness);

    // A piece of a chart, at its first call; later ones a reference to it.
    std::string once(std::string piece);

  private:
    std::map<std::string, std::size_t> pieces_;
};

}  // namespace loomward
