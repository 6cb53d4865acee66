// How long a fuse or breaker whose curve nobody knows takes at an overload: whatever family it is of, it
// opens, and only how soon hangs on that.
#pragma once
#include <optional>
#include <string>

#include "checker/parts/facts.hpp"

namespace loomward {

// By the gates of every family of its kind that has such a rating; infinite where one need not open at all.
// Beyond the last gate of a family its time stays.
struct AnyCurve {
    double quickest_s = 0, slowest_s = 0;  // latest opening, by the quickest and by the slowest family
    std::string slowest_source;            // "UL 248-15 (memory)"
    bool opens() const;                    // of at least one family
};
// nullopt where its curve is known by a family or by points of its own, where its rated current is not, and
// for what is neither a fuse nor a breaker.
std::optional<AnyCurve> by_any_curve(const Facts& facts, PartId device, double current_A);

}  // namespace loomward
