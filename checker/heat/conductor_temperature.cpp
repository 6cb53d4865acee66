#include "checker/heat/conductor_temperature.hpp"

#include <algorithm>
#include <boost/math/tools/toms748_solve.hpp>
#include <cmath>
#include <cstdint>
#include <limits>
#include <numbers>
#include <numeric>
#include <stdexcept>

namespace loomward {

namespace {

constexpr double pi = std::numbers::pi;
constexpr double m_per_mm = 1e-3;

double square(double value) {
    return value * value;
}

// Where a function that changes its sign between two places crosses zero, to `bits`.
template <typename Function>
double crossing(const Function& function, double low, double high, double at_low, double at_high,
                unsigned bits) {
    if (at_low == 0) return low;
    if (at_high == 0) return high;
    std::uintmax_t steps = 200;
    const auto found = boost::math::tools::toms748_solve(
        function, low, high, at_low, at_high, boost::math::tools::eps_tolerance<double>(bits), steps);
    return (found.first + found.second) / 2;
}

// K m/W of a solid ring; any unit of length.
double ring_K_m_W(double inner, double outer, double conductivity_W_mK) {
    return std::log(outer / inner) / (2 * pi * conductivity_W_mK);
}

// Conductivity across round fibres in a matrix, both isotropic: Maxwell's formula in two dimensions.
double mixed_W_mK(double matrix_W_mK, double fibre_W_mK, double fibres) {
    const double contrast = (fibre_W_mK - matrix_W_mK) / (fibre_W_mK + matrix_W_mK);
    return matrix_W_mK * (1 + fibres * contrast) / (1 - fibres * contrast);
}

// One bundle's geometry and losses, and the heat balance for a temperature of its outside.
class Balance {
  public:
    Balance(const HeatedBundle& bundle, const Air& air, const HeatAssumptions& assumptions)
        : bundle_(bundle), air_(air), assumptions_(assumptions), order_(bundle.wires.size()) {
        std::iota(order_.begin(), order_.end(), std::size_t{0});
        std::stable_sort(order_.begin(), order_.end(), [&](std::size_t a, std::size_t b) {
            return density(bundle.wires[a]) < density(bundle.wires[b]);
        });
        body_m_ = body_mm(bundle, assumptions) * m_per_mm;
        outside_m_ = body_m_;
        for (const HeatLayer& layer : bundle.layers)
            outside_m_ += 2 * m_per_mm * (layer.gap_mm + layer.wall_mm);
        wire_degC.resize(bundle.wires.size(), air.air_degC);
    }

    // What is given away with this outside, less what is lost inside at the temperatures that go with it,
    // W/m; below 0 where the outside is too cold.
    double left_over(double surface_degC) {
        given_W_m = given_W_per_m(outside_m_, surface_degC, assumptions_.emissivity, air_);
        const double skin_degC = under_layers(surface_degC);
        return bundle_.wires.size() == 1 ? at_core(0, skin_degC, given_W_m, 0) : through_body(skin_degC);
    }

    double given_W_m = 0;
    std::vector<double> wire_degC;

  private:
    static double loss_at_20(const HeatedWire& wire) { return square(wire.current_A) * wire.ohm_per_m; }
    static double density(const HeatedWire& wire) { return loss_at_20(wire) / square(wire.outer_mm); }
    static double loss(const HeatedWire& wire, double degC) {
        return std::max(0.0, at_temperature(loss_at_20(wire), degC, wire.aluminium));
    }

    double under_layers(double degC) const {
        double outer_m = outside_m_;
        for (auto layer = bundle_.layers.rbegin(); layer != bundle_.layers.rend(); ++layer) {
            const double inner_m = outer_m - 2 * m_per_mm * layer->wall_mm;
            if (layer->wall_mm > 0) degC += given_W_m * ring_K_m_W(inner_m, outer_m, layer->wall_W_mK);
            outer_m = inner_m - 2 * m_per_mm * layer->gap_mm;
            if (layer->gap_mm > 0) degC = across_gap(outer_m, inner_m, degC);
        }
        return degC;
    }

    // Air conducts better the hotter it is, so still air as cold as the tube bounds the body's temperature.
    double across_gap(double body_m, double tube_m, double tube_degC) const {
        if (given_W_m <= 0) return tube_degC;
        const double still_W_mK = dry_air(tube_degC, air_.altitude_m).conductivity_W_mK;
        const double most_degC = tube_degC + given_W_m * ring_K_m_W(body_m, tube_m, still_W_mK);
        const auto missing = [&](double degC) {
            return across_gap_W_per_m(body_m, tube_m, degC, tube_degC, assumptions_.emissivity,
                                      air_.altitude_m) -
                   given_W_m;
        };
        const double at_most = missing(most_degC);
        return at_most <= 0 ? most_degC : crossing(missing, tube_degC, most_degC, -given_W_m, at_most, 40);
    }

    // The innermost wire has to lose all that is left to be lost.
    double at_core(std::size_t wire, double around_degC, double left_W_m, double body_K_m_W) {
        const HeatedWire& core = bundle_.wires[wire];
        const double insulation_K_m_W =
            ring_K_m_W(core.conductor_mm, core.outer_mm, assumptions_.insulation_W_mK);
        wire_degC[wire] = around_degC + left_W_m * std::max(insulation_K_m_W, body_K_m_W);
        return left_W_m - loss(core, wire_degC[wire]);
    }

    // What radiation from wire to wire adds to the air between them: 4 s T^3 e/(2 - e) over the mean chord of
    // the voids, which is pi times their area over their edge (geometry).
    double across_voids_W_mK(double degC, double outer_mm) const {
        const double voids = (1 - assumptions_.bundle_fill) / assumptions_.bundle_fill;
        const double chord_m = pi / 4 * outer_mm * m_per_mm * voids;
        const double both = assumptions_.emissivity / (2 - assumptions_.emissivity);
        constexpr double step_K = 0.5;
        return chord_m * both * (radiated_W_m2(1, degC + step_K, degC - step_K) / (2 * step_K));
    }

    double body_W_mK(double degC) const {
        double metal = 0;
        double whole = 0;
        for (const HeatedWire& wire : bundle_.wires) {
            metal += square(wire.conductor_mm);
            whole += square(wire.outer_mm);
        }
        const auto wires = static_cast<double>(bundle_.wires.size());
        const double metal_part = assumptions_.bundle_fill * metal / whole;
        const double air_part = (1 - assumptions_.bundle_fill) / (1 - metal_part);
        const double voids_W_mK = dry_air(degC, air_.altitude_m).conductivity_W_mK +
                                  across_voids_W_mK(degC, std::sqrt(whole / wires));
        const double between = mixed_W_mK(assumptions_.insulation_W_mK, voids_W_mK, air_part);
        return between * (1 + metal_part) / (1 - metal_part);  // metal conducts without limit beside it
    }

    // From the outside in, ring by ring, each ring one wire, as hot as the ring's inner edge.
    double through_body(double degC) {
        const double conductivity_W_mK = body_W_mK(degC);
        double left_W_m = given_W_m;
        double outer_m2 = square(body_m_);
        for (std::size_t i = 0; i + 1 < order_.size(); ++i) {
            if (left_W_m <= 0) return left_W_m - cold_loss(i);
            const HeatedWire& wire = bundle_.wires[order_[i]];
            const double inner_m2 = outer_m2 - square(wire.outer_mm * m_per_mm) / assumptions_.bundle_fill;
            const double ring = ring_K_m_W(std::sqrt(inner_m2), std::sqrt(outer_m2), conductivity_W_mK);
            // Of its own heat a ring carries through itself only a part, spread evenly over its area.
            const double own = ring * outer_m2 / (outer_m2 - inner_m2) - 1 / (4 * pi * conductivity_W_mK);
            const double slope = loss_at_20(wire) * (wire.aluminium ? 0.00403 : 0.00393);
            const double lost_W_m = loss(wire, degC + left_W_m * ring) / (1 + slope * own);
            degC += left_W_m * ring - lost_W_m * own;
            wire_degC[order_[i]] = degC;
            left_W_m -= lost_W_m;
            outer_m2 = inner_m2;
        }
        return at_core(order_.back(), degC, left_W_m, 1 / (4 * pi * conductivity_W_mK));
    }

    double cold_loss(std::size_t first) const {
        double sum = 0;
        for (std::size_t i = first; i < order_.size(); ++i) sum += loss_at_20(bundle_.wires[order_[i]]);
        return sum;
    }

    const HeatedBundle& bundle_;
    const Air& air_;
    const HeatAssumptions& assumptions_;
    std::vector<std::size_t> order_;  // from the outside in
    double body_m_ = 0;
    double outside_m_ = 0;
};

SteadyHeat no_steady_state(std::size_t wires, double ceiling_degC) {
    SteadyHeat heat;
    heat.settles = false;
    heat.hottest_degC = heat.surface_degC = ceiling_degC;
    heat.wire_degC.assign(wires, ceiling_degC);
    return heat;
}

bool carries(const HeatedWire& wire) {
    return wire.current_A != 0;
}

}  // namespace

HeatedWire heated_wire(double area_mm2, double current_A, Wall wall, bool aluminium,
                       const HeatAssumptions& assumptions) {
    HeatedWire wire;
    wire.ohm_per_m = resistance_ohm_per_m(area_mm2, aluminium);
    wire.conductor_mm = assumptions.stranding * std::sqrt(4 * area_mm2 / pi);
    wire.outer_mm = wire.conductor_mm + 2 * insulation_mm(area_mm2, wall);
    wire.current_A = current_A;
    wire.aluminium = aluminium;
    wire.metal_mm2 = area_mm2;
    return wire;
}

double body_mm(const HeatedBundle& bundle, const HeatAssumptions& assumptions) {
    if (bundle.wires.size() == 1) return bundle.wires.front().outer_mm;
    double sum = 0;
    for (const HeatedWire& wire : bundle.wires) sum += square(wire.outer_mm);
    return std::sqrt(sum / assumptions.bundle_fill);
}

std::optional<HeatLayer> layer_of(Wrap wrap, double body_mm, const HeatAssumptions& assumptions) {
    const double plastic_W_mK = assumptions.insulation_W_mK;
    switch (wrap) {
        case Wrap::open:
            return std::nullopt;
        case Wrap::taped:
            return HeatLayer{0, assumptions.tape_mm, plastic_W_mK};
        case Wrap::sleeved:
            return HeatLayer{assumptions.sleeve_gap_mm, assumptions.sleeve_mm, plastic_W_mK};
        case Wrap::conduit: {
            const double bore_mm = body_mm * std::sqrt(assumptions.bundle_fill / assumptions.conduit_fill);
            return HeatLayer{(bore_mm - body_mm) / 2, assumptions.conduit_mm, plastic_W_mK};
        }
        case Wrap::foamed:
            return HeatLayer{0, assumptions.foam_mm, assumptions.foam_W_mK};
    }
    return std::nullopt;
}

SteadyHeat steady_heat(const HeatedBundle& bundle, const Air& air, const HeatAssumptions& assumptions) {
    const std::size_t wires = bundle.wires.size();
    if (air.air_degC >= assumptions.ceiling_degC) return no_steady_state(wires, assumptions.ceiling_degC);
    SteadyHeat heat;
    if (std::none_of(bundle.wires.begin(), bundle.wires.end(), carries)) {
        heat.hottest_degC = heat.surface_degC = air.air_degC;
        heat.wire_degC.assign(wires, air.air_degC);
        return heat;
    }
    Balance balance(bundle, air, assumptions);
    const double cold = balance.left_over(air.air_degC);
    const double hot = balance.left_over(assumptions.ceiling_degC);
    if (hot < 0) return no_steady_state(wires, assumptions.ceiling_degC);
    heat.surface_degC = crossing([&](double degC) { return balance.left_over(degC); }, air.air_degC,
                                 assumptions.ceiling_degC, cold, hot, 40);
    balance.left_over(heat.surface_degC);
    const auto hottest = std::max_element(balance.wire_degC.begin(), balance.wire_degC.end());
    if (*hottest > assumptions.ceiling_degC) return no_steady_state(wires, assumptions.ceiling_degC);
    heat.hottest_degC = *hottest;
    heat.hottest_wire = static_cast<std::size_t>(hottest - balance.wire_degC.begin());
    heat.lost_W_per_m = balance.given_W_m;
    heat.wire_degC = std::move(balance.wire_degC);
    return heat;
}

double lasting_factor(const HeatedBundle& bundle, double limit_degC, const Air& air,
                      const HeatAssumptions& assumptions) {
    if (limit_degC > assumptions.ceiling_degC)
        throw std::domain_error("a limit above what temperatures are followed to");
    if (std::none_of(bundle.wires.begin(), bundle.wires.end(), carries))
        return std::numeric_limits<double>::infinity();
    if (air.air_degC >= limit_degC) return 0;
    HeatedBundle scaled = bundle;
    const auto over_limit = [&](double factor) {
        for (std::size_t i = 0; i < bundle.wires.size(); ++i)
            scaled.wires[i].current_A = bundle.wires[i].current_A * factor;
        const SteadyHeat heat = steady_heat(scaled, air, assumptions);
        return heat.settles ? heat.hottest_degC - limit_degC : assumptions.ceiling_degC - limit_degC + 1;
    };
    double low = 1, at_low = over_limit(low);
    while (at_low > 0) at_low = over_limit(low /= 2);
    double high = 2 * low, at_high = over_limit(high);
    while (at_high < 0) {
        low = high, at_low = at_high;
        at_high = over_limit(high *= 2);
    }
    return crossing(over_limit, low, high, at_low, at_high, 30);
}

double lasting_A(HeatedWire wire, double limit_degC, const Air& air, const HeatAssumptions& assumptions) {
    wire.current_A = 1;
    return lasting_factor({{wire}, {}}, limit_degC, air, assumptions);
}

}  // namespace loomward
