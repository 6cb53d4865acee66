// Whether a figure is above a limit, or below one, as every rule asks it: what is printed with four digits as
// the very limit is not beyond it. A part that carries exactly its rating carries no more than that, however
// the last bits of a solution fell.
#pragma once
#include <cmath>

namespace loomward {

inline constexpr double printed_share = 1e-4;  // of the limit: less than the last of four digits

inline bool above(double value, double limit) {
    return value > limit + printed_share * std::abs(limit);
}
inline bool below(double value, double limit) {
    return value < limit - printed_share * std::abs(limit);
}

}  // namespace loomward
