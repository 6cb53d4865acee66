// What is taken for a time that nobody states.
#pragma once

namespace loomward {

// How long what a mode without `after` takes over had lasted when its own lines close, s: no longer than a
// quick hand or relay takes from one to the next (common practice, no source). What contacts alone feed is
// charged by then, what a precharge resistor feeds is not.
constexpr double unstated_s = 0.05;

// How long the pack has been connected when a mode begins that does not say what it is entered from, s: as
// long as anybody waits before switching on (common practice, no source).
constexpr double connected_s = 60;

}  // namespace loomward
