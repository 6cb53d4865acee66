// docs/rules.md is made from the rules themselves.
#include <fmt/format.h>

#include <catch2/catch.hpp>

#include "checker/results.hpp"
#include "checker/rules/rule_example.hpp"
#include "tests/approved.hpp"

namespace rules_page_test {

using namespace loomward;

namespace {

std::string without_line_end(std::string_view text) {
    while (!text.empty() && text.back() == '\n') text.remove_suffix(1);
    return std::string(text);
}

std::string section(const RuleInfo& rule) {
    std::string text = fmt::format("\n## {}\n\nLooks for: {}\n\n", rule.name, rule.looks_for);
    if (!rule.formula.empty()) text += fmt::format("- **Formula:** {}\n", rule.formula);
    text += fmt::format("- **Source:** {}\n", rule.source);
    if (!rule.limits.empty()) text += fmt::format("- **Limits:** {}\n", rule.limits);
    if (rule.example.empty()) return text;
    return text + fmt::format("\nFound with\n\n```loom\n{}\n```\n\nand not with\n\n```loom\n{}\n```\n",
                              without_line_end(rule.example), without_line_end(rule.instead_of));
}

std::string page() {
    std::string text = fmt::format(
        "# Rules\n\nEvery rule that `loomward check` knows. This page is made from the program; `loomward "
        "explain RULE` "
        "shows the same.\n\nThe examples are changes to this harness, which passes every rule. The tests run "
        "each of "
        "them:\n\n```loom\n{}```\n",
        example_harness);
    for (const RuleInfo& rule : rule_list()) text += section(rule);
    return text;
}

}  // namespace

TEST_CASE("the page of rules says what the program says") {
    CHECK(approved::compare_with("docs/rules.md", page()) == page());
}

TEST_CASE("every rule says what it looks for, by which source, and shows it") {
    const std::vector<RuleInfo> rules = rule_list();
    REQUIRE(!rules.empty());
    for (std::size_t i = 0; i < rules.size(); ++i) {
        CAPTURE(rules[i].name);
        CHECK(!rules[i].looks_for.empty());
        CHECK(!rules[i].source.empty());
        CHECK((!rules[i].example.empty() || rules[i].name == "not-solved"));
        if (i > 0) CHECK(rules[i - 1].name < rules[i].name);
    }
}

}  // namespace rules_page_test
