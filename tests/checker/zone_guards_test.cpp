// Which devices guard a wire: those that lead into its zone from a source, never those behind it.
#include <catch2/catch.hpp>
#include <random>

#include "checker/zone_blocks.hpp"

using namespace loomward;

namespace {

using Devices = std::vector<std::pair<std::uint32_t, std::uint32_t>>;

// Obviously right and slow: is `there` reached from a source if it may not be passed on the way to `here`?
bool reaches_without(std::uint32_t zones, const std::vector<std::uint32_t>& sources, const Devices& devices,
                     std::uint32_t here, std::uint32_t there) {
    std::vector<bool> seen(zones, false);
    std::vector<std::uint32_t> queue;
    for (const std::uint32_t source : sources)
        if (source != there && !seen[source]) seen[source] = true, queue.push_back(source);
    for (std::size_t head = 0; head < queue.size(); ++head)
        for (const auto& [a, b] : devices)
            for (const auto& [from, to] : {std::pair(a, b), std::pair(b, a)})
                if (from == queue[head] && to != there && !seen[to]) seen[to] = true, queue.push_back(to);
    return seen[here];
}

}  // namespace

TEST_CASE("a fuse behind a zone leads out of it, never into it") {
    CHECK(zones_before(3, {0}, {{0, 1}, {1, 2}}) == std::vector<std::uint32_t>{0, 1});
}

TEST_CASE("a fuse between a pack and a charger guards what lies at either side") {
    CHECK(zones_before(3, {0, 2}, {{0, 1}, {1, 2}}) == std::vector<std::uint32_t>{no_zone, no_zone});
}

TEST_CASE("two fuses side by side both lead the same way") {
    CHECK(zones_before(2, {0}, {{0, 1}, {0, 1}}) == std::vector<std::uint32_t>{0, 0});
}

TEST_CASE("in a ring the far device leads either way, the near ones away from the source") {
    CHECK(zones_before(4, {0}, {{0, 1}, {0, 2}, {1, 2}, {2, 3}}) ==
          std::vector<std::uint32_t>{0, 0, no_zone, 2});
}

TEST_CASE("what no source reaches has no order") {
    CHECK(zones_before(4, {0}, {{2, 3}, {1, 1}}) == std::vector<std::uint32_t>{no_zone, no_zone});
}

TEST_CASE("on random zones the answer is that of trying every way") {
    std::mt19937 random(11);
    for (int round = 0; round < 300; ++round) {
        const std::uint32_t zones = 2 + static_cast<std::uint32_t>(random() % 8);
        const auto any = [&] { return static_cast<std::uint32_t>(random() % zones); };
        std::vector<std::uint32_t> sources = {any()};
        if (random() % 2) sources.push_back(any());
        Devices devices;
        for (std::uint32_t i = 0; i < zones + random() % 4; ++i) devices.emplace_back(any(), any());
        const std::vector<std::uint32_t> before = zones_before(zones, sources, devices);
        for (std::size_t i = 0; i < devices.size(); ++i) {
            const auto [a, b] = devices[i];
            if (a == b) continue;
            const bool a_first = reaches_without(zones, sources, devices, a, b);
            const bool b_first = reaches_without(zones, sources, devices, b, a);
            const std::uint32_t expected = a_first == b_first ? no_zone : a_first ? a : b;
            INFO("round " << round << ", device " << a << " to " << b);
            CHECK(before[i] == expected);
        }
    }
}
