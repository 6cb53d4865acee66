// The kinds of mistakes that a text can have, for `explain` and its page: each with what to write instead.
#pragma once
#include <span>
#include <string_view>

namespace loomward {

// One kind of mistake. `wrong` and `right` are lines behind `mistake_frame`, or a whole file where they begin
// with "loom"; empty where nothing short shows it.
struct MistakeInfo {
    std::string_view id;     // as messages name it: "decimal-comma"
    std::string_view means;  // what is wrong, and what to do; whole sentences
    std::string_view wrong;
    std::string_view right;
};

// By id.
std::span<const MistakeInfo> mistake_table();
const MistakeInfo* find_mistake(std::string_view id);  // nullptr: there is none

// What the examples stand behind.
inline constexpr std::string_view mistake_frame =
    "loom 1\n"
    "harness \"Bench\"\n"
    "pack B1 { voltage 40..54.6 V }\n"
    "fuse F1\n"
    "switch S1\n"
    "load E1\n";

}  // namespace loomward
