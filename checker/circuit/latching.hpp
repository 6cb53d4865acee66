// Contactors that stay as they were put when their coil loses its supply: nothing that counts on a coil being
// dead may count on them.
#pragma once
#include "parser/harness.hpp"

namespace loomward {

inline bool is_latching(const Harness& harness, PartId part) {
    using namespace literals;
    return harness.value(harness.part(part).attributes, "latching"_attr).text == "yes";
}

}  // namespace loomward
