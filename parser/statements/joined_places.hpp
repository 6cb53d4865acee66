// Lines that join two places without a route: "S1.2 -> L1".
#pragma once
#include <set>
#include <string>
#include <string_view>

#include "parser/names/reading.hpp"

namespace loomward {

// The names that the statements of parts declare.
std::set<std::string_view> declared_names(const Statements& statements);

// What to write for a statement that begins with no word of the language but joins two places, by an arrow or
// just one behind the other; empty where it does neither.
std::string joined_places_help(const Statement& statement, const std::set<std::string_view>& declared);

}  // namespace loomward
