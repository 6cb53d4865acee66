// Plans by the whole check, which tells what is certain of them and what only possible. It costs most: few
// are looked at so, and each once.
#pragma once
#include <cstddef>
#include <map>
#include <optional>
#include <set>
#include <string>

#include "checker/mend/change.hpp"
#include "checker/mend/mend.hpp"
#include "checker/mend/trials.hpp"

namespace loomward {

// Keys of those that nobody accepted and that ask for nothing.
std::set<FindingKey> certain_errors(const Results& whole);

class WholeChecks {
  public:
    // All outlive it. `found` is what the text gives as it stands.
    WholeChecks(const std::string& text, const Results& found, const ExamineText& examine)
        : text_(text), found_(found), examine_(examine) {}

    // nullopt: the text cannot be changed so, or has mistakes then.
    std::optional<Results> of(const Plan& plan);
    // nullptr: the same, or all checks are spent.
    const std::set<FindingKey>* certain_with(const Plan& plan);
    std::size_t checks() const { return checks_; }
    bool spent() const { return checks_ >= most; }

  private:
    static constexpr std::size_t most = 80;
    const std::string& text_;
    const Results& found_;
    const ExamineText& examine_;
    std::size_t checks_ = 0;
    std::map<std::string, std::set<FindingKey>> certain_;  // by signature
};

}  // namespace loomward
