// What a rating that nobody knows has to be, by what flows and stands there in the modes that are judged: the
// least that would pass, to hold against the label.
#pragma once
#include <string>
#include <vector>

#include "checker/currents/profile.hpp"
#include "checker/parts/open_values.hpp"
#include "checker/rules/rule.hpp"
#include "checker/rules/rule_support.hpp"

namespace loomward {

class Requirements {
  public:
    explicit Requirements(const RuleInput& input);

    // "break 3.1 kA at 14.6 V dc", "be 20 or 25 A"; empty: nothing says what.
    std::string of(const OpenValue& value) const;

  private:
    struct Met;
    Met met_by(PartId part) const;
    std::string current(PartId part, const Met& met) const;
    std::string making(PartId part) const;
    std::string sizes(PartId part) const;
    std::string fed_with(PartId part) const;

    const RuleInput& input_;
    std::vector<Course> courses_;
    Potentials potentials_;
    std::vector<std::uint64_t> rows_;  // by EdgeId: circuit/in_series.hpp
};

}  // namespace loomward
