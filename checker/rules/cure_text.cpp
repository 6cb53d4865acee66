#include "checker/rules/cure_text.hpp"

#include <algorithm>
#include <cmath>

#include "checker/parts/printed_figures.hpp"
#include "checker/tables/ampacity.hpp"

namespace loomward {

double rounded_to_pass(const Cure& cure) {
    if (cure.value <= 0) return cure.value;
    return cure.at_least ? rounded_up(cure.value) : rounded_down(cure.value);
}

std::string cure_text(const Cure& cure, std::string_view subject) {
    std::string name(info(cure.what).name);
    if (name.starts_with('(')) name = name.substr(1, name.size() - 2);
    std::replace(name.begin(), name.end(), '-', ' ');
    // Of a wire its figure says what it is; sizes are those that are sold, gauges too.
    if (cure.wire) name.clear();
    const std::string figure = cure.dimension == Dimension::area
                                   ? size_text(cure.value)
                                   : to_text(rounded_to_pass(cure), cure.dimension);
    return (cure.where == subject ? "" : cure.where + ": ") + (name.empty() ? "" : name + " ") + figure +
           (cure.at_least ? " or more" : " or less");
}

}  // namespace loomward
