// Figures of cells that rules compare with. Voltages in V.
#pragma once
#include <span>
#include <string_view>

#include "checker/tables/sources.hpp"

namespace loomward {

// One lithium or lead cell.
struct CellChemistry {
    std::string_view name;
    double nominal_V, full_V;
    double lowest_V;  // damage below; 0: no figure
    SourceId source;
};
std::span<const CellChemistry> cell_chemistries();

}  // namespace loomward
