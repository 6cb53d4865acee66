// What a name on the command line means as a place for a short.
#pragma once
#include <string>
#include <string_view>
#include <vector>

#include "checker/faults/fault.hpp"

namespace loomward {

// Every wire, part and terminal names places: all that it can touch, or with `against` each of the one's ends
// against each of the other's. Empty only where a name means nothing; `trouble` then says which.
std::vector<FaultPlace> named_places(const Circuit& circuit, const Touching& touching, std::string_view name,
                                     std::string_view against, std::string& trouble);

// The one of them to tell: where something burns or nothing ends it, else where something flows, else the
// first. Of equal ones the first.
FaultPlace worst_place(const FaultStudy& study, const std::vector<FaultPlace>& places,
                       std::span<const PartId> bridged = {});

}  // namespace loomward
