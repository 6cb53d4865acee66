// An invented harness of any size, the same for the same numbers: a glasshouse train of many trolleys. Groups
// of eight trolleys have a pack each; plus runs through the group along plugs and bars, minus through the
// whole train, with a second lead from trolley to trolley (a loop each). A trolley has 20 wires: its part of
// the trunk, a fuse block, lamps in parallel, a lamp behind a plug, a pump, a lamp with a switch.
#pragma once
#include <cstddef>
#include <cstdint>
#include <string>

namespace loomward::bench {

struct GeneratedHarness {
    std::string loom;
    std::string json;  // the same harness: parts, wires with their two ends, bundles, modes
    std::size_t wires = 0;
    std::size_t parts = 0;
};

// At least `wires` wires, whole trolleys only.
GeneratedHarness generate_harness(std::size_t wires, std::uint32_t seed);

}  // namespace loomward::bench
