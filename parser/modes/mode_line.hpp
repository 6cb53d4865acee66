// One line of a mode while it is read. Internal to parser/.
#pragma once
#include <vector>

#include "parser/modes/modes.hpp"

namespace loomward {

struct ModeLines::Line {
    Span where;
    Token verb;
    Token position;  // after `at`
    bool rest = false;
    Posture posture = Posture::none;
    Profile profile;                  // levels empty: no profile
    std::int32_t profile_index = -1;  // where it was put in the mode, once
    std::vector<Target> targets;      // of the subject at hand
    bool group = false;               // the subject is an assembly or a range of copies
};

}  // namespace loomward
