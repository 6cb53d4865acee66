// What is taken for a time that nobody states.
#pragma once

namespace loomward {

// How long what a mode without `after` takes over had lasted when its own lines close, s: no longer than a
// quick hand or relay takes from one to the next (common practice, no source). What contacts alone feed is
// charged by then, what a precharge resistor feeds is not.
constexpr double unstated_s = 0.05;

}  // namespace loomward
