// The smallest set of changes after which a harness passes, found by trying them: every plan is written into
// the text, read and checked again. Says nothing that was not seen. Nothing is bought for what holds only for
// some of what the file does not know: that is found out first.
#pragma once
#include <functional>
#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "checker/mend/change.hpp"
#include "checker/mend/in_a_row.hpp"

namespace loomward {

// A text to its results; nullopt: it has mistakes. Gives the same for the same text, on any thread.
using ExamineText = std::function<std::optional<Results>(const std::string& text)>;

struct MendOptions {
    std::size_t most_checks = 600;  // then the best so far is given, and says so
    // Plans are tried with this one where there is one: quicker, if it leaves out what few plans turn on.
    ExamineText tried_with = {};
};

// One change of the plan, with what it is good for.
struct MadeChange {
    Change change;
    std::vector<std::string> clears;  // "overloaded-wire W3": come back without it
    bool smaller_tried = false;  // false: one step smaller is what is there, or it is no step of a ladder
    std::string smaller;         // one step smaller: what comes back; empty: nothing did
};

struct LeftFinding {
    Finding finding;
    bool tried = false;  // something was tried and did not help; else no change is known for it
};

struct FindingCounts {
    std::size_t errors = 0, warnings = 0;
};

struct Mended {
    std::vector<MadeChange> changes;  // what clears most first
    std::string text;                 // with all of them
    std::size_t errors_before = 0, warnings_before = 0, errors_after = 0, warnings_after = 0;
    // Of these, those that ask for a value and tell of nothing that is wrong, and those that hold for some of
    // what the file leaves open only.
    FindingCounts asked_before, asked_after, possible_before, possible_after;
    std::size_t modes = 0, modes_solved = 0;
    std::vector<LeftFinding> left;  // errors and warnings that the plan leaves
    // Devices that the plan leaves rated above what stands before them, where they were not.
    InARow above;
    bool slower = false;       // settings were lowered for what could be bought
    bool ended_early = false;  // by most_checks
    std::size_t checks = 0;
    std::shared_ptr<const Results> results;  // of the text with all of them
};

// How many changes a person would count: figures of one part are one part bought, and what a lowered setting
// takes with it in a mode is part of it.
std::size_t count_of_changes(const Mended& mended);

// `text` gave `found`; what is told of the plan in the end is what `examine` finds. Never lets a function go:
// what a mode feeds has at least 85 % of its current or power afterwards, but for what is fed wrongly now and
// for controllers whose setting is lowered.
Mended mend(const std::string& text, const Results& found, const ExamineText& examine,
            const MendOptions& options = {});

}  // namespace loomward
