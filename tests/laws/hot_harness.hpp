// The random harnesses with heat in them: a box that half of the parts are in, losses, bodies by every way
// they can be told, packs that warm, bundles in the box.
#pragma once
#include <cstdint>

#include "tests/laws/random_harness.hpp"

namespace laws {

RandomHarness hot_harness(std::uint64_t seed);

}  // namespace laws
