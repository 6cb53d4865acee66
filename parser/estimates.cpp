#include "parser/estimates.hpp"

#include <algorithm>
#include <cmath>

namespace loomward {

using namespace literals;

namespace {

constexpr double most = 0.99;  // a resistance or a size that may be nothing at all is not an estimate

void spread(double& lo, double& hi, double share) {
    lo -= share * std::abs(lo);
    hi += share * std::abs(hi);
}

void spread(Quantity& quantity, double share) {
    if (quantity.known == Knowledge::about) spread(quantity.lo, quantity.hi, share);
}

}  // namespace

double estimate_spread(const Harness& harness) {
    const Value stated = harness.value(harness.policy, "estimate-spread"_attr);
    if (stated.type == ValueType::quantity && stated.known != Knowledge::unknown)
        return std::clamp(stated.hi / 100, 0.0, most);
    const KindAttribute* row = find_attribute(Kind::policy, "estimate-spread"_attr);
    const std::optional<Quantity> usual = row ? quantity_from_text(row->default_text) : std::nullopt;
    return usual ? usual->hi / 100 : 0;
}

void spread_estimates(Harness& harness) {
    const double share = estimate_spread(harness);
    for (Value& value : harness.value_store)
        if (value.type == ValueType::quantity && value.known == Knowledge::about)
            spread(value.lo, value.hi, share);
    for (Wire& wire : harness.wires) {
        spread(wire.area, share);
        spread(wire.length, share);
        if (wire.insulation_known == Knowledge::about)
            wire.insulation_limit_degC -= share * std::abs(wire.insulation_limit_degC);
    }
    for (Mode& mode : harness.modes)
        for (Profile& profile : mode.profiles)
            for (Level& level : profile.levels) spread(level.amount, share);
}

}  // namespace loomward
