#include "checker/parts/rerating.hpp"

#include <algorithm>

#include "checker/tables/sources.hpp"

namespace loomward {

using namespace literals;

namespace {

constexpr double fuse_per_K = 0.002, breaker_per_K = 0.006, release_per_K = 0.01;
constexpr double steeper_from_degC = 65, steeper_by_per_K = 0.003;
constexpr double least_share = 0.1;
constexpr double industrial_degC = 40;

bool is_blade(std::string_view family) {
    constexpr std::string_view blades[] = {"iso8820-3", "iso8820-3-e"};
    return std::find(std::begin(blades), std::end(blades), family) != std::end(blades);
}

bool is_miniature(std::string_view family) {
    return family.starts_with("iec60898");
}

std::string number(double value) {
    return to_text(value, Dimension::none);
}

}  // namespace

Rerating::Rerating(const Facts& facts, PartId device) : device_(device) {
    const Part& part = facts.harness().part(device);
    breaker_ = part.kind == Kind::breaker;
    blade_ = is_blade(facts.word(device, "curve"_attr));
    const auto at = facts.quantity(device, "rated-at"_attr);
    hot_from_degC_ = cold_from_degC_ = at.value_or(Quantity{23, 23}).hi;
    const bool stated = facts.harness().find(part.attributes, "rated-at"_attr) != nullptr;
    if (breaker_ && !stated && !is_miniature(facts.word(device, "curve"_attr)))
        cold_from_degC_ = industrial_degC;
}

double Rerating::left(double per_K, double from_degC, double degC) const {
    double share = 1 - per_K * (degC - from_degC);
    if (blade_) share -= steeper_by_per_K * std::max(0.0, degC - std::max(steeper_from_degC, from_degC));
    return std::max(least_share, share);
}

double Rerating::carries(double ambient_degC) const {
    return left(breaker_ ? breaker_per_K : fuse_per_K, hot_from_degC_, ambient_degC);
}
double Rerating::fast_edge(double hottest_degC) const {
    return left(breaker_ ? release_per_K : fuse_per_K, hot_from_degC_, hottest_degC);
}
double Rerating::slow_edge(double coldest_degC) const {
    return left(breaker_ ? release_per_K : fuse_per_K, cold_from_degC_, coldest_degC);
}

std::string Rerating::formula(double rated_A, double ambient_degC) const {
    std::string text = to_text(rated_A, Dimension::current) + " x (1 - " + (breaker_ ? "0.6" : "0.2") +
                       " %/K x " + number(ambient_degC - hot_from_degC_) + " K";
    const double steep_K = ambient_degC - std::max(steeper_from_degC, hot_from_degC_);
    if (blade_ && steep_K > 0) text += " - 0.3 %/K x " + number(steep_K) + " K above 65 degC";
    return text + ")";
}

void Rerating::assume(const Facts& facts) const {
    const std::string name(facts.harness().part(device_).name);
    if (breaker_) {
        facts.assume("rated current of a breaker away from the temperature it is rated at",
                     "0.6 % a kelvin, its band by up to 1 %",
                     "a manual, an application guide and a table of moulded-case breakers (secondary)", name);
        return;
    }
    facts.assume("rated current of a fuse away from the temperature it is rated at",
                 "0.2 % a kelvin of the fuse body", cite(SourceId::fuse_temperature), name);
}

}  // namespace loomward
