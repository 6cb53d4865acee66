// Where a search stands: the plan so far with what it gives, and whether another may take its place.
#pragma once
#include <string>

#include "checker/mend/candidates.hpp"
#include "checker/mend/mend.hpp"
#include "checker/mend/open_findings.hpp"
#include "checker/mend/trials.hpp"
#include "checker/mend/whole_checks.hpp"

namespace loomward {

// What is offered when all before it is spent.
enum class Pass : std::uint8_t {
    strict,    // a plan may make no error, be it only possible
    tolerant,  // what is only possible may come of it
    slower     // settings are lowered for what could be bought
};

class Standing {
  protected:
    // All outlive it. `found` is the whole check of the text.
    Standing(const std::string& text, const Results& found, const ExamineText& examine,
             const MendOptions& options);

    // An error is left that asks for no value: those no change answers.
    bool is_wrong() const;
    Score score(const Seen& of) const { return open_.score(*of); }
    bool spent() const { return trials_.spent(); }
    Seen trial(const Plan& plan) { return trials_.of(plan); }
    // Two devices in a row of which the wrong one opens first.
    InARow raised(const Seen& after) const { return raised_above(now_->above, after->above); }
    // It can be made, and no function is lost.
    bool lawful(const Plan& plan, const Seen& after) const;
    // What uncovers something may bring errors to light; what is bought may make none. A device is rated
    // above the one before it only where nothing else is left.
    bool may_be_taken(const Plan& plan, const Seen& after, Phase phase);
    // Whether the errors that a plan makes are all only possible; then they are the owner's to look into.
    bool only_may_be(const Plan& plan, const Seen& after);
    // An error that holds for some of what is open only now, and none is certain that was not.
    bool is_no_longer_certain(const Plan& plan, const FindingKey& key);
    // What is left to the owner may not become certain again.
    bool stays_open(const Plan& plan);
    // Nothing is worse and no function lost: then a change, or a step of it, was not needed.
    bool as_good(const Plan& plan, const Seen& after) const;
    void take(Plan plan, Seen after);

    const std::string& text_;
    const Results& found_;
    const Harness& harness_;
    WholeChecks whole_;
    OpenFindings open_;
    Seen start_, now_;
    Trials trials_;
    Plan plan_;
    Pass pass_ = Pass::strict;
};

}  // namespace loomward
