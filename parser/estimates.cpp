#include "parser/estimates.hpp"

#include <algorithm>
#include <array>
#include <cmath>

namespace loomward {

using namespace literals;

namespace {

constexpr std::size_t dimensions = static_cast<std::size_t>(Dimension::speed) + 1;
constexpr double most = 0.99;  // a resistance or a size that may be nothing at all is not an estimate

void spread(double& lo, double& hi, double share) {
    lo -= share * std::abs(lo);
    hi += share * std::abs(hi);
}

}  // namespace

double estimate_spread(const Harness& harness, Dimension dimension) {
    const Value stated = harness.value(harness.policy, "estimate-spread"_attr);
    if (stated.type == ValueType::quantity && stated.known != Knowledge::unknown)
        return std::clamp(stated.hi / 100, 0.0, most);
    switch (dimension) {
        case Dimension::length:
        case Dimension::current:
        case Dimension::power:
            return 0.10;
        case Dimension::voltage:
        case Dimension::percentage:
            return 0.05;
        case Dimension::resistance:
            return 0.25;
        default:
            break;
    }
    const KindAttribute* row = find_attribute(Kind::policy, "estimate-spread"_attr);
    const std::optional<Quantity> usual = row ? quantity_from_text(row->default_text) : std::nullopt;
    return usual ? usual->hi / 100 : 0;
}

void spread_estimates(Harness& harness) {
    std::array<double, dimensions> shares{};
    for (std::size_t i = 0; i < dimensions; ++i)
        shares[i] = estimate_spread(harness, static_cast<Dimension>(i));
    const auto share = [&](Dimension dimension) { return shares[static_cast<std::size_t>(dimension)]; };
    const auto spread_quantity = [&](Quantity& quantity) {
        if (quantity.known == Knowledge::about) spread(quantity.lo, quantity.hi, share(quantity.dimension));
    };
    // What the policy says of the spread is the spread, were it guessed itself.
    const Attribute* policy = harness.find(harness.policy, "estimate-spread"_attr);
    const Value* const says = policy ? &harness.value_store[policy->first] : nullptr;
    for (Value& value : harness.value_store)
        if (value.type == ValueType::quantity && value.known == Knowledge::about && &value != says)
            spread(value.lo, value.hi, share(value.dimension));
    for (Wire& wire : harness.wires) {
        spread_quantity(wire.area);
        spread_quantity(wire.length);
        if (wire.insulation_known == Knowledge::about)
            wire.insulation_limit_degC -=
                share(Dimension::temperature) * std::abs(wire.insulation_limit_degC);
    }
    for (Mode& mode : harness.modes)
        for (Profile& profile : mode.profiles)
            for (Level& level : profile.levels) {
                spread_quantity(level.amount);
                if (level.time) spread_quantity(*level.time);
            }
}

}  // namespace loomward
