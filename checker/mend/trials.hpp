// Plans as they were seen when they were checked: each is checked once, two at a time where several are asked
// for together.
#pragma once
#include <cstddef>
#include <map>
#include <memory>
#include <string>
#include <utility>
#include <vector>

#include "checker/mend/change.hpp"
#include "checker/mend/functions.hpp"
#include "checker/mend/in_a_row.hpp"
#include "checker/mend/mend.hpp"

namespace loomward {

using FindingKey = std::pair<std::string, std::string>;  // rule and subject
inline FindingKey key_of(const Finding& finding) {
    return {finding.rule, finding.subject};
}

struct Score {
    std::size_t unsolved = 0, errors = 0, warnings = 0;
    auto operator<=>(const Score&) const = default;
};

struct Trial {
    Results results;
    Functions functions;
    Score score;
    std::size_t asks = 0;  // of the errors those that ask for a value
    std::map<FindingKey, Severity> told;
    std::map<FindingKey, double> ratios;  // how far beyond its limit
    InARow above;                         // devices that are rated above what stands before them
};
using Seen = std::shared_ptr<const Trial>;
Seen seen(Results results);

class Trials {
  public:
    // All outlive it. `nothing` is what the text gives as it stands.
    Trials(const std::string& text, const Harness& found, const ExamineText& examine, std::size_t most,
           Seen nothing);

    bool knows(const Plan& plan) const { return plan.empty() || known_.contains(signature_of(plan)); }
    // nullptr: the text cannot be changed so, has mistakes then, or all checks are spent.
    Seen of(const Plan& plan);
    // The same for several, so that `of` knows them.
    void prepare(const std::vector<Plan>& plans);
    std::size_t checks() const { return checks_; }
    bool spent() const { return checks_ >= most_; }

  private:
    const std::string& text_;
    const Harness& found_;
    const ExamineText& examine_;
    std::size_t most_ = 0, checks_ = 0;
    Seen nothing_;
    std::map<std::string, Seen> known_;  // by signature
};

}  // namespace loomward
