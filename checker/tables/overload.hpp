// What holds a device against the conductor that it guards.
#pragma once

namespace loomward {

// The current that surely opens the device, I2, may be so many times what the conductor carries for long, Iz:
// IEC 60364-4-43 433.1.
inline constexpr double most_i2_over_iz = 1.45;

}  // namespace loomward
