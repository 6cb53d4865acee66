// What conductors are insulated with.
#pragma once
#include <span>
#include <string_view>

namespace loomward {

// Insulation families, with the conductor temperature that their usual compounds allow.
struct InsulationFamily {
    std::string_view word;  // "pvc"
    double limit_degC = 0;
    std::string_view source;
};
std::span<const InsulationFamily> insulation_families();
const InsulationFamily* find_insulation(std::string_view word);

}  // namespace loomward
