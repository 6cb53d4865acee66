// A cure in words.
#pragma once
#include <string>
#include <string_view>

#include "checker/rules/finding.hpp"

namespace loomward {

// The figure with three digits, rounded to the side that passes.
double rounded_to_pass(const Cure& cure);

// "carries 60 A or more", "25 mm2 or more", "F5: rated current 6 A or less". The thing is named where it is
// not `subject`.
std::string cure_text(const Cure& cure, std::string_view subject);

}  // namespace loomward
