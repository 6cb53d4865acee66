// What is found in modes that the program made for a text without any (checker/currents/own_modes.hpp), told
// as what it is worth.
#pragma once
#include <vector>

#include "checker/currents/own_modes.hpp"
#include "checker/results.hpp"
#include "checker/taken_values.hpp"

namespace loomward {

// Nobody said that all of it is on at once. In a mode of the program's own that has everything on, an error
// about a current that is the sum of several consumers becomes a warning, and says so in its working; what
// one consumer alone brings about, or several that no switch tells apart, stays an error: they are there to
// be switched on. Phase currents are warnings too: a phase limit is for moments, and how long a drive is held
// at it only a mode says; its supply limit may be met for as long as a hill is, so that one counts. A mode
// that cannot be solved, and a drive that nothing feeds in it, are no fault of the text: notes. What is
// found at rest stays as it is: a harness does stand at rest.
void judge_own_modes(const Completion& completion, Results& results);

// Lines for the assumption list: that no modes are stated, which ones are judged instead, and what had to be
// left at rest in them. Nothing where the text has modes.
void say_own_modes(const Harness& harness, const std::vector<LeftAtRest>& left,
                   std::vector<Assumption>& assumptions);

}  // namespace loomward
