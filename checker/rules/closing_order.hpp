// Of several contacts in line that one mode closes: which of them closes onto what they feed.
#pragma once
#include "checker/currents/witness.hpp"
#include "checker/rules/rule.hpp"

namespace loomward {

// Whether `other` may be taken as the contact that closes last, so that `contact` closes without current.
// Both lie on `path`. Plugs are mated first. Of two that a hand closes the one nearer to what they feed is
// last, as isolators are before switches (common practice, no source); where a coil closes one of them,
// either may be.
bool closes_last(const RuleInput& input, const CurrentPath& path, EdgeId contact, EdgeId other);

}  // namespace loomward
