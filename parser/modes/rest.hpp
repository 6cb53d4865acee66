// How parts stand that nobody has touched.
#pragma once
#include "parser/harness.hpp"

namespace loomward {

// A load with a switch of its own, which is off unless a mode says otherwise.
bool rests_off(const Harness& harness, const Part& part);
// How this part stands at rest: as its kind does, but a switch may say `rest closed`, a load `rest off`.
Posture rest_posture(const Harness& harness, const Part& part);

}  // namespace loomward
