// Whether the file accepts a finding before it is made: for what is judged otherwise then.
#pragma once
#include <algorithm>
#include <string_view>

#include "parser/harness.hpp"

namespace loomward {

inline bool is_accepted(const Harness& harness, std::string_view rule, PartId part, ModeId mode) {
    return std::any_of(harness.acceptances.begin(), harness.acceptances.end(), [&](const Acceptance& line) {
        return line.rule == rule && line.part == part && (!line.mode || line.mode == mode);
    });
}

}  // namespace loomward
