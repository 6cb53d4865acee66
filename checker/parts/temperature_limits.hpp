// Limits that hold at a temperature: `discharge-at` and `charge-at` of packs and BMS, `supply-at` of
// controllers.
#pragma once
#include <optional>
#include <string>

#include "checker/parts/facts.hpp"

namespace loomward {

// The least current that is stated between two ambients, and the ambient where that is.
struct TemperatureLimit {
    double current_A = 0;
    double ambient_degC = 0;
    std::string working;  // "52 A at 45 degC: between 80 A at 40 degC and 24 A at 50 degC"
};

// Pairs of temperature and current, in any order: straight between neighbours; beyond the first and the last
// as there, and the working says so. `ambient` coldest to hottest, degC. nullopt where nothing is stated.
std::optional<TemperatureLimit> temperature_limit(const Facts& facts, PartId part, Attr name,
                                                  const Quantity& ambient);

}  // namespace loomward
