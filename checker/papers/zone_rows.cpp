#include "checker/papers/zone_rows.hpp"
#include "checker/tables/overload.hpp"

#include <cmath>

namespace loomward {
std::vector<ZoneRow> zone_rows(const Results& results, const std::vector<WireShorts>& shorts) {
    std::vector<ZoneRow> rows;
    for (const ProtectionZone& zone : results.zones) {
        ZoneRow row;
        row.at_most_A = zone.current_A;
        if (zone.weakest && zone.weakest_ampacity_A > 0) {
            row.allowed_A = most_i2_over_iz * zone.weakest_ampacity_A;
            if (std::isfinite(zone.current_A)) row.share = zone.current_A / *row.allowed_A;
        }
        for (const WireId wire : zone.wires)
            if (const auto& hottest = shorts[wire.index()].hottest;
                hottest && hottest->heat_over_limit > row.heat_over_limit) {
                row.hottest = wire;
                row.heat_over_limit = hottest->heat_over_limit;
            }
        rows.push_back(row);
    }
    return rows;
}

}  // namespace loomward
