// Zones as a graph whose edges are devices, hung on one root that stands for every source. Which end of a
// device lies before the other, seen from the sources?
#pragma once
#include <cstdint>
#include <utility>
#include <vector>

namespace loomward {

// For each device (a pair of zones): the zone through which every way from a source to the device must pass,
// if it is one of the device's own two ends; then the device leads away from that zone and never into it.
// `no_zone`: neither end is, so that it may lead either way (a loop, or sources on both sides).
// Zones are below `zone_count`; O(zones + devices), no recursion. Unreached devices get `no_zone`.
inline constexpr std::uint32_t no_zone = 0xFFFFFFFF;
std::vector<std::uint32_t> zones_before(std::uint32_t zone_count,
                                        const std::vector<std::uint32_t>& source_zones,
                                        const std::vector<std::pair<std::uint32_t, std::uint32_t>>& devices);

}  // namespace loomward
