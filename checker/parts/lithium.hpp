// Which cells a pack has, and which packs are taken for lithium.
#pragma once
#include <optional>
#include <string>

#include "checker/parts/facts.hpp"
#include "checker/tables/limits.hpp"

namespace loomward {

// Why a pack is taken for lithium, by the voltage of a full cell or of all of them; empty where it is not,
// and where its name or label says lead. Notes what it takes for granted.
std::string taken_for_lithium(const Facts& facts, PartId pack);

// The cells of the table whose nominal voltage is nearest to this, of those that the name or label of the pack
// leaves; nullopt: none is near.
std::optional<CellChemistry> likely_cells(const Part& pack, double nominal_V);

// Whether its cells are stated to be lithium: by their voltage, or by its name or label.
bool says_lithium(const Facts& facts, PartId pack);

}  // namespace loomward
