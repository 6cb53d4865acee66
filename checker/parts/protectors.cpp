#include "checker/parts/protectors.hpp"

namespace loomward {

using namespace literals;

bool opens_in_a_short(const Facts& facts, PartId part) {
    return facts.harness().part(part).kind != Kind::protector ||
           facts.quantity(part, "breaks"_attr).has_value();
}

}  // namespace loomward
