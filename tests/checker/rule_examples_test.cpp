// Every rule is triggered by its own example, and not by the harness it changes.
#include <catch2/catch.hpp>

#include <algorithm>

#include "checker/rules/rule_example.hpp"
#include "tests/checker/checking.hpp"

namespace rule_examples_test {

using namespace loomward;
using testing::check_text;

TEST_CASE("the example harness passes every rule: nothing is found at error or warning level") {
    const Results results = check_text(std::string(example_harness));
    for (const Finding& finding : results.findings) {
        INFO(finding.rule << " " << finding.subject << ": " << finding.beside);
        CHECK(finding.severity == Severity::note);
    }
    CHECK(results.findings.size() <= 2);
}

TEST_CASE("every rule finds the mistake of its example, and only with the mistake in it") {
    const Results sound = check_text(std::string(example_harness));
    std::size_t without_example = 0;
    for (const RuleInfo& rule : rule_list()) {
        INFO(rule.name);
        if (rule.example.empty()) {
            ++without_example;
            continue;
        }
        std::string text(example_harness);
        const std::size_t place = text.find(rule.instead_of);
        REQUIRE(place != std::string::npos);
        text.replace(place, rule.instead_of.size(), rule.example);
        const Results broken = check_text(text);
        const auto of_rule = [&](const Finding& finding) { return finding.rule == rule.name; };
        CHECK(std::any_of(broken.findings.begin(), broken.findings.end(), of_rule));
        CHECK(std::none_of(sound.findings.begin(), sound.findings.end(), of_rule));
    }
    // Only equations that do not settle cannot be asked for.
    CHECK(without_example == 1);
}

TEST_CASE("every rule says what it looks for, by which formula, from which source and within which limits") {
    for (const RuleInfo& rule : rule_list()) {
        INFO(rule.name);
        CHECK(!rule.looks_for.empty());
        CHECK(!rule.formula.empty());
        CHECK(!rule.source.empty());
        CHECK(!rule.limits.empty());
    }
}

}  // namespace rule_examples_test
