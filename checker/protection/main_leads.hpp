// The leads of the packs themselves: from a minus to where the ways of its loads meet.
#pragma once
#include <vector>

#include "checker/protection/home_network.hpp"

namespace loomward {

// A vertex in the forest of returns: each piece of the minus side under the source's minus that it leads to.
struct ReturnPlace {
    static constexpr std::uint32_t none = 0xFFFFFFFF;
    std::uint32_t by = none;  // the conductor towards the root
    std::uint32_t root = none;
    std::vector<std::uint32_t> fed;      // zones that stand for all that loads of the branch are fed from
    std::vector<std::uint32_t> between;  // pieces between two loads that feed it; here only
    std::vector<std::uint32_t> sources;  // ties of the branch
    double limited_A = 0;                // what resistors let into the branch
    bool strange = false;                // fed otherwise than from zones without a limit
    std::uint32_t users = 0;             // that may draw much, in the branch
};

// A short between what a first device feeds and the place where the returns of its loads meet comes home
// through all of it.
struct MainLead {
    std::uint32_t zone = 0;           // vertex behind the device
    std::uint32_t end = 0;            // vertex where the returns meet
    std::vector<std::uint32_t> ties;  // from the pack's minus to there
};

// From a pack's minus along the only way on which anything hangs, to where ways meet, a bar at the latest,
// for each zone that the first devices behind its plus feed. Where several leads begin at the minus, one that
// ends at a bar counts for the zones all of whose loads come home over that bar. `places` and `users_here` by
// vertex; `chafed` by zone.
std::vector<MainLead> main_leads(const Circuit& circuit, const HomeNetwork& home,
                                 const std::vector<FlowBound>& chafed, const std::vector<ReturnPlace>& places,
                                 const std::vector<bool>& users_here);

}  // namespace loomward
