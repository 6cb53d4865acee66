// What holds for some of what a file does not know only: for the owner to find out, nothing to buy for. What
// hangs on estimates alone ("about 2 m") is not of these, for nobody knows it better.
#pragma once
#include <set>
#include <string>
#include <utility>
#include <vector>

#include "checker/mend/candidates.hpp"
#include "checker/mend/trials.hpp"

namespace loomward {

class OpenFindings {
  public:
    explicit OpenFindings(const Results& found);  // a whole check

    bool has(const FindingKey& key) const { return keys_.contains(key); }
    // The file leaves something open on which a finding hangs.
    bool any() const { return any_; }
    // Errors but these that were not there before, or are noticeably worse than they were.
    std::vector<FindingKey> errors_made(const Trial& before, const Trial& after) const;
    // Of a trial, without these.
    Score score(const Trial& trial) const;
    // Leaves these to the owner as well, if none of them is certain in a whole check, or ever was; false: one
    // is.
    bool leave(const std::vector<FindingKey>& keys, const Results& whole);
    void leave(const FindingKey& key) { keys_.insert(key); }
    // Leaves all to the owner that hang on something open in a whole check of a plan.
    void leave_what_is_open(const Results& whole);
    // Those that are certain errors in a whole check are no longer left; false: none is.
    bool forget_what_is_certain(const Results& whole);

  private:
    void sort_out(const Results& whole, std::set<FindingKey>& open, std::set<FindingKey>& certain) const;

    std::set<FindingKey> keys_, certain_;
    bool any_ = false;
    std::set<std::pair<std::string, std::string>> estimated_;  // subject and name of values
};

// Errors and warnings of these phases that nobody accepted and that are not left to the owner, in the order
// in which they are worked on.
std::vector<const Finding*> findings_up_to(Phase phase, const Results& results, const OpenFindings& open);

}  // namespace loomward
