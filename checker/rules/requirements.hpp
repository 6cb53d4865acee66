// What a rating that nobody knows has to be, by what flows and stands there in the modes that are judged: the
// least that would pass, to hold against the label.
#pragma once
#include <optional>
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

    // Puts into `finding`, which asks for the value, what it has to be; nothing where nothing says what.
    void tell(const OpenValue& value, Finding& finding) const;

  private:
    struct Met;
    std::string words_of(const OpenValue& value) const;
    std::optional<RequiredFigure> figure_of(const OpenValue& value) const;
    Met met_by(PartId part) const;
    std::optional<RequiredFigure> current(PartId part, const Met& met) const;
    std::optional<RequiredFigure> making(PartId part) const;
    std::string sizes(PartId part) const;
    std::string fed_with(PartId part) const;

    const RuleInput& input_;
    std::vector<Course> courses_;
    Potentials potentials_;
    std::vector<std::uint64_t> rows_;  // by EdgeId: circuit/in_series.hpp
};

}  // namespace loomward
