// Which packs are taken for lithium.
#pragma once
#include <string>

#include "checker/parts/facts.hpp"

namespace loomward {

// Why a pack is taken for lithium, by the voltage of a full cell or of all of them; empty where it is not,
// and where its name or label says lead. Notes what it takes for granted.
std::string taken_for_lithium(const Facts& facts, PartId pack);

// Whether its cells are stated to be lithium: by their voltage, or by its name or label.
bool says_lithium(const Facts& facts, PartId pack);

}  // namespace loomward
