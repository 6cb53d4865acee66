// The boxes of a harness, for tests.
#pragma once
#include "tests/checker/checking.hpp"

namespace loomward::testing {

// The box of a mode, the first one where there are several; fails the test without one.
inline const WarmBox& box_in(const Results& results, std::string_view mode) {
    for (const WarmBox& box : results.boxes)
        if (results.judged->modes[box.mode.index()].name == mode) return box;
    FAIL("no box in mode " << mode);
    return results.boxes.front();
}

}  // namespace loomward::testing
