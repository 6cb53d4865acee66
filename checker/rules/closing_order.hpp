// Of several contacts in line that one mode closes: which of them closes onto what they feed.
#pragma once
#include <optional>

#include "checker/currents/witness.hpp"
#include "checker/follow/follow.hpp"
#include "checker/rules/rule.hpp"

namespace loomward {

class ClosingOrder {
  public:
    // `input` outlives it.
    explicit ClosingOrder(const RuleInput& input) : input_(input) {}

    // Whether `other` may be taken as the contact that closes last, so that `contact` closes without current.
    // Both lie on `path`. Plugs are mated first. Of two that a hand closes the one nearer to what they feed
    // is last, as isolators are before switches (common practice, no source). A contact whose coil is fed
    // through the other one in this mode is last itself; else, where a coil closes one of them, either may
    // be.
    bool closes_last(ModeId mode, const CurrentPath& path, EdgeId contact, EdgeId other);
    // The same, and what a coil closes comes after what a hand does, as machines are started: for currents
    // that weld at the first time.
    bool closes_last_as_usual(ModeId mode, const CurrentPath& path, EdgeId contact, EdgeId other);

  private:
    bool is_pulled_through(ModeId mode, PartId contact, PartId other);

    const RuleInput& input_;
    std::optional<Follower> follower_;  // made where somebody asks
};

}  // namespace loomward
