// Ratings, curves, settings and an ambient that stay open are judged as what they do worst; here, as what
// they do best.
#pragma once
#include <memory>

#include "parser/harness.hpp"

namespace loomward {

// The harness with every device of which it is not known when it opens as one that opens as soon as it may:
// of unknown rated current at next to nothing, of unknown curve at its rated current, of unknown trip at what
// it carries for good, of unknown regeneration at none. Null where there is none.
std::shared_ptr<const Harness> with_smallest_devices(const std::shared_ptr<const Harness>& harness);

// The harness at one end of an ambient of the harness that nobody knows (parts/open_ambient.hpp). Null where
// it is known.
std::shared_ptr<const Harness> with_ambient_at(const std::shared_ptr<const Harness>& harness, bool hot);

}  // namespace loomward
