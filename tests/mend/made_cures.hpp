// The figures that a finding says would pass, made changes of the text.
#pragma once
#include <algorithm>
#include <map>

#include "checker/mend/change.hpp"
#include "checker/results.hpp"

namespace loomward::cures_made {

using namespace literals;

// What the test writes is printed with four digits: on the side that passes.
inline Change change_of(const Cure& cure) {
    Change change;
    const bool size = cure.what == "(area)"_attr, length = cure.what == "(length)"_attr;
    change.key = {size     ? Verb::size
                  : length ? Verb::length
                           : Verb::rating,
                  cure.where, cure.what, cure.dimension};
    change.value = cure.value * (cure.at_least ? 1.001 : 0.999);
    change.upper = cure.at_least;
    if (cure.what == "supply-limit"_attr) {
        change.key.verb = Verb::setting;
        change.text = "supply-limit " + to_text(change.value, Dimension::current, 4);
    }
    return change;
}

inline std::map<std::uint8_t, Plan> ways_of(const Finding& finding) {
    std::map<std::uint8_t, Plan> ways;
    for (const Cure& cure : finding.cures) {
        const Change change = change_of(cure);
        ways[cure.way].emplace(change.key, change);
    }
    return ways;
}

inline bool told(const Results& results, const Finding& before) {
    return std::any_of(results.findings.begin(), results.findings.end(), [&](const Finding& finding) {
        return finding.rule == before.rule && finding.subject == before.subject &&
               finding.severity <= before.severity;
    });
}

}  // namespace loomward::cures_made
