// What each change of a plan is good for, seen by leaving it out and by a step less of it; and what is told
// of the harness before and after.
#pragma once
#include <memory>
#include <vector>

#include "checker/mend/mend.hpp"
#include "checker/mend/open_findings.hpp"
#include "checker/mend/trials.hpp"

namespace loomward {

// What clears most first. `now` is what the plan gives.
std::vector<MadeChange> made_changes(const Plan& plan, const Trial& now, Trials& trials,
                                     const OpenFindings& open);

// What the two checks say; the plan itself is yet to come.
Mended told_of(const Results& found, std::shared_ptr<const Results> whole);

// Of the errors and warnings that nobody accepted: those that ask for a value; those that hold for some of
// what is open only.
FindingCounts counts_of_asked(const Results& results);
FindingCounts counts_of_possible(const Results& results);

}  // namespace loomward
