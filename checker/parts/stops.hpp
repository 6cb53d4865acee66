// Which parts are there to stop what drives.
#pragma once
#include "parser/harness.hpp"

namespace loomward {

// Meant to stop what drives: as `stop` says, or where nothing is said a part that is closed until it is
// struck.
inline bool is_stop(const Harness& harness, const Part& part) {
    using namespace literals;
    const std::string_view said = harness.value(part.attributes, "stop"_attr).text;
    if (!said.empty()) return said == "yes";
    return harness.value(part.attributes, "rest"_attr).text == "closed";
}

}  // namespace loomward
