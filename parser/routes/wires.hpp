// Wires, cores and direct joints between the stops of a route. Internal to parser/.
#pragma once
#include <string>

#include "parser/names/reading.hpp"

namespace loomward {

enum class LinkKind : std::uint8_t { none, wire, direct, broken };

// What stands between two stops. A wire is in Scope::wires already; its ends are set by the route.
struct Link {
    LinkKind kind = LinkKind::none;
    WireId wire;
    Span where;             // the brackets and what is in them
    std::string_view name;  // "W6", "direct"
};

Link read_link(Reading& reading, Scope& scope, const FileText& file, const Token& wire);

// Fills the fields of a wire whose node this is if it is one of the usual, plain ones and right; false:
// nothing is said, and what `wire` holds means nothing.
bool read_plain_wire(const Reading& reading, const Scope& scope, const FileText& file, std::uint32_t node,
                     Wire& wire);
// Fills the fields of a wire from its attributes, puts the rest into the stores, and looks up its bundles.
void describe_wire(Reading& reading, const Scope& scope, Wire& wire, const AttributeList& attributes);
// The same on top of what the wire says already: an override.
void change_wire_fields(Reading& reading, const Scope& scope, Wire& wire, const AttributeList& attributes);
// Looks up at most two bundles of the scope.
void find_bundles(Reading& reading, const Scope& scope, std::span<const Value> names, BundleId (&bundles)[2]);
// "green-yellow" -> two colours; none where it is no colour.
void take_colours(std::string_view text, Colour& first, Colour& second);

}  // namespace loomward
