// The resolved harness as text, for tests: one line a thing, in the harness's own order.
#pragma once
#include <string>
#include <string_view>

#include "parser/harness.hpp"

namespace loomward {

// "part", "wire", "joint", "tie", "cable", "bundle", "mode", "accept" choose the lines; empty: all of these.
// "harness" and "location", and "own mode", the modes that the program made, are printed only where they are
// asked for.
std::string print_model(const Harness& harness, std::string_view only = {});

}  // namespace loomward
