#include "checker/parts/temperature_limits.hpp"

#include <algorithm>
#include <vector>

namespace loomward {
namespace {

struct Stated {
    double at_degC = 0;
    double current_A = 0;
};

std::string text_of(const Stated& stated) {
    return to_text(stated.current_A, Dimension::current) + " at " +
           to_text(stated.at_degC, Dimension::temperature);
}

// Where a temperature is an estimate, which end of it is taken.
enum class End : std::uint8_t { low, high };

// Rising in temperature; of two at the same temperature the smaller current.
std::vector<Stated> stated_pairs(const Harness& harness, PartId part, Attr name, End end) {
    std::vector<Stated> pairs;
    for (const Attribute& attribute : harness.attributes_of(harness.part(part).attributes)) {
        if (attribute.name != name) continue;
        const auto values = harness.values_of(attribute);
        if (values[0].known == Knowledge::unknown || values[1].known == Knowledge::unknown) continue;
        if (values[0].known == Knowledge::about) {
            pairs.push_back({end == End::low ? values[0].lo : values[0].hi, values[1].lo});
            continue;
        }
        // Where a temperature has a spread, the limit holds all over it.
        pairs.push_back({values[0].lo, values[1].lo});
        if (values[0].hi > values[0].lo) pairs.push_back({values[0].hi, values[1].lo});
    }
    std::sort(pairs.begin(), pairs.end(), [](const Stated& a, const Stated& b) {
        return a.at_degC != b.at_degC ? a.at_degC < b.at_degC : a.current_A < b.current_A;
    });
    pairs.erase(std::unique(pairs.begin(), pairs.end(),
                            [](const Stated& a, const Stated& b) { return a.at_degC == b.at_degC; }),
                pairs.end());
    return pairs;
}

TemperatureLimit limit_at(const std::vector<Stated>& pairs, double ambient_degC) {
    const auto next =
        std::lower_bound(pairs.begin(), pairs.end(), ambient_degC,
                         [](const Stated& each, double wanted_degC) { return each.at_degC < wanted_degC; });
    if (next != pairs.end() && next->at_degC == ambient_degC)
        return {next->current_A, ambient_degC, text_of(*next) + ", as stated"};
    const auto here = [&](double current_A) { return text_of({ambient_degC, current_A}); };
    if (next == pairs.begin())
        return {next->current_A, ambient_degC,
                here(next->current_A) + ": as at " + to_text(next->at_degC, Dimension::temperature) +
                    ", the coldest that is stated"};
    const Stated& before = *(next - 1);
    if (next == pairs.end())
        return {before.current_A, ambient_degC,
                here(before.current_A) + ": as at " + to_text(before.at_degC, Dimension::temperature) +
                    ", the hottest that is stated"};
    const double share = (ambient_degC - before.at_degC) / (next->at_degC - before.at_degC);
    const double current_A = before.current_A + share * (next->current_A - before.current_A);
    return {current_A, ambient_degC,
            here(current_A) + ": between " + text_of(before) + " and " + text_of(*next)};
}

}  // namespace

std::optional<TemperatureLimit> temperature_limit(const Facts& facts, PartId part, Attr name,
                                                  const Quantity& ambient) {
    std::optional<TemperatureLimit> least;
    for (const End end : {End::low, End::high}) {
        const std::vector<Stated> pairs = stated_pairs(facts.harness(), part, name, end);
        const auto consider = [&](double degC) {
            TemperatureLimit here = limit_at(pairs, degC);
            if (!least || here.current_A < least->current_A) least = std::move(here);
        };
        if (pairs.empty()) return std::nullopt;
        // Straight between neighbours: the least is at an end of the range or at a pair within it.
        consider(ambient.hi);
        consider(ambient.lo);
        for (const Stated& pair : pairs)
            if (pair.at_degC > ambient.lo && pair.at_degC < ambient.hi) consider(pair.at_degC);
    }
    return least;
}

}  // namespace loomward
