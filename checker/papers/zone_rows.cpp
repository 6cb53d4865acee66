#include "checker/papers/zone_rows.hpp"

#include <cmath>

namespace loomward {
namespace {

constexpr double conventional = 1.45;  // IEC 60364-4-43 433.1: I2 <= 1.45 Iz

}  // namespace

std::vector<ZoneRow> zone_rows(const Results& results, const std::vector<WireShorts>& shorts) {
    std::vector<ZoneRow> rows;
    for (const ProtectionZone& zone : results.zones) {
        ZoneRow row;
        row.at_most_A = zone.current_A;
        if (zone.weakest && zone.weakest_ampacity_A > 0) {
            row.allowed_A = conventional * zone.weakest_ampacity_A;
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
