// Texts with something else in place of what they had, and how grave a rule finds them.
#pragma once
#include <algorithm>
#include <optional>
#include <string>
#include <vector>

#include "tests/checker/told.hpp"

namespace loomward::testing {

struct Exchange {
    std::string was, is;
};

inline std::string with(std::string text, const std::vector<Exchange>& exchanges) {
    for (const Exchange& each : exchanges) {
        const std::size_t at = text.find(each.was);
        REQUIRE(at != std::string::npos);
        text.replace(at, each.was.size(), each.is);
    }
    return text;
}

// Severity by rule and subject; nullopt: not told.
inline std::optional<Severity> severity_in(const std::string& text, std::string_view rule,
                                           std::string_view subject) {
    const Results results = check_text(text);
    std::optional<Severity> gravest;
    for (const Finding& finding : results.findings)
        if (finding.rule == rule && (subject.empty() || finding.subject == subject))
            gravest = gravest ? std::min(*gravest, finding.severity) : finding.severity;
    return gravest;
}

}  // namespace loomward::testing
