// What is watched: hazards against kinds of part, with the rules that tell of each. What no rule looks at is
// said as plainly as what some rule does: whoever reads "no errors" closes the battery switch.
#pragma once
#include <cstdint>
#include <initializer_list>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "parser/harness.hpp"

namespace loomward {

enum class Hazard : std::uint8_t {
    burns,
    arcs,
    welds,
    bursts,
    too_high_voltage,
    wrong_way_round,
    cell_abused,
    cannot_be_switched_off,
    starts_by_itself,
    lost_drive,
    live_to_the_touch,
    wrong_data,
};
inline constexpr std::size_t hazard_count = static_cast<std::size_t>(Hazard::wrong_data) + 1;

struct HazardInfo {
    std::string_view name;   // "burns"
    std::string_view means;  // half a line
};
const HazardInfo& info(Hazard hazard);

// Kinds as bits.
using KindSet = std::uint64_t;
constexpr KindSet kinds(std::initializer_list<Kind> list) {
    KindSet set = 0;
    for (const Kind kind : list) set |= KindSet{1} << static_cast<unsigned>(kind);
    return set;
}
constexpr bool holds(KindSet set, Kind kind) {
    return (set >> static_cast<unsigned>(kind) & 1U) != 0;
}

// The kinds of part that have a column: all that may be placed, and wires.
std::span<const Kind> watched_kinds();
// Whether a hazard can arise at a kind at all.
bool can_arise(Hazard hazard, Kind kind);
// The rules that watch a hazard at a kind, by name; empty: it is not looked at.
std::vector<std::string_view> watching(Hazard hazard, Kind kind);
// Every rule that the table knows, by name.
std::vector<std::string_view> watching_rules();

// One line a hazard, of the kinds that this harness has and at which nothing looks at it:
// "starts by itself: controller, device".
std::vector<std::string> not_watched(const Harness& harness);

}  // namespace loomward
