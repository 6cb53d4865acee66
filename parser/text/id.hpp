// Dense ids, one type a kind of thing, so that a part cannot be looked up among the wires.
#pragma once
#include <compare>
#include <cstddef>
#include <cstdint>
#include <limits>

namespace loomward {

// An index into the one vector that owns things of this kind. A default-made id names nothing.
template <class Tag>
struct Id {
    static constexpr std::uint32_t none = std::numeric_limits<std::uint32_t>::max();
    std::uint32_t value = none;

    constexpr Id() = default;
    explicit constexpr Id(std::size_t index) : value(static_cast<std::uint32_t>(index)) {}
    constexpr bool valid() const { return value != none; }
    explicit constexpr operator bool() const { return valid(); }
    constexpr std::size_t index() const { return value; }
    friend constexpr auto operator<=>(Id, Id) = default;
};

using FileId = Id<struct FileTag>;
using PartId = Id<struct PartTag>;
using TerminalId = Id<struct TerminalTag>;
using WireId = Id<struct WireTag>;
using BundleId = Id<struct BundleTag>;
using LocationId = Id<struct LocationTag>;
using StretchId = Id<struct StretchTag>;
using CableId = Id<struct CableTag>;
using ModeId = Id<struct ModeTag>;
using NodeId = Id<struct NodeTag>;
using EdgeId = Id<struct EdgeTag>;

}  // namespace loomward
