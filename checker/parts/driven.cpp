#include "checker/parts/driven.hpp"

#include "checker/parts/positions.hpp"

namespace loomward {

std::vector<Drive::Ways> driven(const Circuit& circuit, std::span<const EdgeId> edges, DriveThrough through,
                                DriveBy by) {
    std::vector<Drive::Ways> ways(edges.size());
    if (edges.empty()) return ways;
    const Positions positions(circuit);
    for (std::size_t number = 0; number < positions.count(); ++number) {
        const Drive drive(circuit, positions.open(number));
        const auto here = drive.across(edges, through, by);
        for (std::size_t i = 0; i < edges.size(); ++i) {
            ways[i].along = ways[i].along || here[i].along;
            ways[i].against = ways[i].against || here[i].against;
        }
    }
    return ways;
}

}  // namespace loomward
