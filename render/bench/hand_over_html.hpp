// The customer's sheet as a page that prints: switching off, fuses for the lid, what it is, the drawing.
#pragma once
#include <string>

#include "checker/bench/hand_over.hpp"

namespace loomward {

// Not for one that is refused.
std::string hand_over_html(const HandOver& made, const Results& results, const std::string& path,
                           const std::string& version, const std::string& sha256);

}  // namespace loomward
