// What is found in modes that the program made for a text without any (checker/currents/own_modes.hpp), told
// as what it is worth.
#pragma once
#include <functional>
#include <memory>
#include <span>
#include <vector>

#include "checker/currents/own_modes.hpp"
#include "checker/results.hpp"
#include "checker/taken_values.hpp"

namespace loomward {

// What a check finds of a changed harness in one of its modes.
using CheckMode = std::function<std::vector<Finding>(const std::shared_ptr<const Harness>&, ModeId)>;

// Nobody said that all of it is on at once. In a mode of the program's own that has everything on, an error
// about a current that is the sum of several consumers becomes a warning, and says so in its working; what
// one consumer alone brings about, or several that no switch tells apart, stays an error: they are there to
// be switched on; nor does a source that drives another need any of them. What is judged by volts or watts
// is checked anew with just that on. Phase currents are warnings too: a phase limit is for moments, and how long a drive is held
// at it only a mode says; its supply limit may be met for as long as a hill is, so that one counts. A mode
// that cannot be solved, and a drive that nothing feeds in it, are no fault of the text: notes. What is
// found at rest stays as it is: a harness does stand at rest.
// Returned: the places of what became a warning because several are on.
std::vector<std::size_t> judge_own_modes(const Completion& completion, Results& results,
                                         const CheckMode& check_mode);

// A thing is told of once, in the mode in which it is worst; where that is one of several at once
// (`lowered`), and another mode overloads the same thing by itself, say the charger, the error of that mode
// takes its place. `alone`: the findings with no other mode looked at, judged to their end.
void take_graver_modes(std::span<const std::size_t> lowered, Results& results,
                       const std::function<std::vector<Finding>(ModeId)>& alone);

// Lines for the assumption list: that no modes are stated, which ones are judged instead, and what had to be
// left at rest in them. Nothing where the text has modes.
void say_own_modes(const Harness& harness, const std::vector<LeftAtRest>& left,
                   std::vector<Assumption>& assumptions);

}  // namespace loomward
