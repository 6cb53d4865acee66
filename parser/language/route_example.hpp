// What to write for two places that somebody joins with an arrow, a dot or a word.
#pragma once
#include <string>
#include <string_view>

namespace loomward {

// "a wire between two places is written in a route: route S1.2 (W7) L1; its size, length and colour follow
// its name in the brackets": no figure of ours is offered for one of theirs. `wire`: its name; empty: one
// that stands nowhere in `text`, the file.
std::string route_help(std::string_view from, std::string_view to, std::string_view wire,
                       std::string_view text);

// Whether a sign or word only stands between two places: "->", "--", "=>", ".", "to".
bool joins_places(std::string_view sign);

}  // namespace loomward
