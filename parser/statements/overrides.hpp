// What an assembly statement changes in its copies: "T2 is rear-corner { W1 { 1.4 m } }". Internal to
// parser/.
#pragma once
#include <string_view>
#include <vector>

#include "parser/names/reading.hpp"

namespace loomward {

// True if an element of an assembly's block is `name { ... }` and no attribute.
bool is_override(const FileText& file, std::uint32_t element);
// Applies every override to the parts and bundles that were stamped already; gives the wires as they are to
// be stamped.
std::vector<Wire> apply_overrides(Reading& reading, Scope& scope, const Instance& instance);
// "T1." or "A1.17."
std::string_view copy_prefix(Reading& reading, const Instance& instance, std::uint32_t copy);

}  // namespace loomward
