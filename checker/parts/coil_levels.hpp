// At which share of its rated voltage a coil holds, pulls, or has surely let go.
#pragma once

namespace loomward {

// One that is in lets go below the first, one that is out comes in above the second; between them it stays as
// it is. Common practice, no source.
inline constexpr double coil_lets_go = 0.3, coil_pulls_in = 0.85;

// Below it a coil is at rest, whatever it is: IEC 60947-4-1 8.2.1.2 (memory).
inline constexpr double coil_at_rest = 0.1;

}  // namespace loomward
