// Random harnesses that somebody could have built: a pack, a main fuse and switch, two bars, branches with a
// fuse, a switch and a load, some with a connector, a converter, a drive behind a contactor, a charger. Sizes
// fit or are one or two steps off, so that most have findings. The same seed gives the same harness.
#pragma once
#include <cstdint>
#include <string>
#include <vector>

namespace laws {

// One wire, written as a route of its own.
struct WireText {
    std::string name, from, to;  // terminals
    std::string size, length, colour, bundle;
};

struct RandomHarness {
    std::string head;                // edition, harness, policy
    std::vector<std::string> parts;  // a statement each, locations and bundles with them
    std::vector<WireText> wires;
    std::vector<std::string> modes;

    std::string text() const;
};

std::string route_of(const WireText& wire);
RandomHarness random_harness(std::uint64_t seed);

}  // namespace laws
