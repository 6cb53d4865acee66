#include "checker/heat/contact.hpp"

#include <cmath>

namespace loomward {

namespace {

constexpr double m2_per_mm2 = 1e-6;

double growth_W_mK(const HeatedWire& wire) {
    return wire.current_A * wire.current_A *
           (at_temperature(wire.ohm_per_m, 21, wire.aluminium) - wire.ohm_per_m);
}

}  // namespace

double contact_curve_A(double rated_A, double rated_at_degC, double limit_degC, double ambient_degC,
                       double policy) {
    return policy * derated_A(rated_A, rated_at_degC, limit_degC, ambient_degC);
}

ContactHeat contact_heat(const HeatedContact& contact, const HeatedWire& wire, const Air& air,
                         const HeatAssumptions& assumptions) {
    ContactHeat heat;
    heat.contact_degC = heat.wire_degC = air.air_degC;
    if (wire.current_A == 0) return heat;
    const SteadyHeat far = steady_heat({{wire}, {}}, air, assumptions);
    if (!far.settles) return {false, 0, 0, 0, 0};
    const double given_W_mK = far.lost_W_per_m / (far.hottest_degC - air.air_degC) - growth_W_mK(wire);
    if (given_W_mK <= 0) return {false, 0, 0, 0, 0};
    const double along_Wm_K = (wire.aluminium ? 237.0 : 390.0) * wire.metal_mm2 * m2_per_mm2;
    heat.wire_degC = far.hottest_degC;
    heat.decay_m = std::sqrt(along_Wm_K / given_W_mK);
    heat.taken_W_per_K = std::sqrt(given_W_mK * along_Wm_K) * std::tanh(contact.wire_m / heat.decay_m);
    const double wires_W_K = contact.wires * heat.taken_W_per_K;
    const double lost_W = wire.current_A * wire.current_A * contact.ohm;
    const double rise_K =
        (lost_W + wires_W_K * (far.hottest_degC - air.air_degC)) / (wires_W_K + contact.own_W_per_K);
    heat.contact_degC = air.air_degC + rise_K;
    return heat;
}

}  // namespace loomward
