#include "checker/heat/wire_air.hpp"

#include <algorithm>
#include <limits>

namespace loomward {

Air air_at_wires(const Facts& facts, std::span<const WireId> wires, ModeId mode) {
    Air air{-273, facts.altitude_m(), wires.empty() ? 0 : std::numeric_limits<double>::infinity()};
    for (const WireId wire : wires) {
        air.air_degC = std::max(air.air_degC, facts.ambient(wire, mode).hi);
        air.speed_m_s = std::min(air.speed_m_s, facts.air_speed_m_s(wire));
    }
    return air;
}

}  // namespace loomward
