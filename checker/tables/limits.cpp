#include "checker/tables/limits.hpp"

#include <array>

namespace loomward {

namespace {

using enum SourceId;

constexpr std::array<CellChemistry, 7> chemistries{{
    {"NMC", 3.6, 4.2, 2.5, cell_voltages},
    {"NCA", 3.6, 4.2, 2.5, cell_voltages},
    {"LCO", 3.6, 4.2, 2.5, cell_voltages},
    {"LMO", 3.7, 4.2, 2.5, cell_voltages},
    {"LFP", 3.2, 3.65, 2.0, cell_voltages},
    {"LTO", 2.4, 2.85, 1.5, cell_voltages},
    {"lead-acid", 2.0, 2.4, 0, lead_voltages},
}};

}  // namespace

std::span<const CellChemistry> cell_chemistries() {
    return chemistries;
}

}  // namespace loomward
