// A cure passes: made in the text and checked again, its finding is gone, and nothing calls for a larger
// figure of the same thing. Tried on the example of every rule that gives cures.
#include <catch2/catch.hpp>

#include <algorithm>
#include <map>
#include <set>
#include <string>

#include "checker/mend/change.hpp"
#include "checker/rules/rule_example.hpp"
#include "tests/checker/checking.hpp"
#include "tests/mend/made_cures.hpp"

namespace cures_test {

using namespace loomward;
using namespace loomward::literals;
using testing::check_text;
using namespace loomward::cures_made;

namespace {

std::string text_with(std::string_view instead_of, std::string_view example) {
    std::string text(example_harness);
    text.replace(text.find(instead_of), instead_of.size(), example);
    return text;
}

void try_cures(const std::string& text, std::string_view rule, std::set<std::string>& cured) {
    const Results broken = check_text(text);
    for (const Finding& finding : broken.findings) {
        if (finding.rule != rule) continue;
        for (const auto& [way, plan] : ways_of(finding)) {
            const auto mended = applied(plan, text, *broken.harness);
            INFO(finding.rule << " " << finding.subject << ", way " << int(way) << ": " << finding.beside);
            REQUIRE(mended);
            INFO(*mended);
            const Results after = check_text(*mended);
            CHECK_FALSE(told(after, finding));
            for (const Finding& left : after.findings)
                for (const Cure& cure : left.cures)
                    if (cure.at_least && plan.contains(change_of(cure).key)) {
                        INFO(left.rule << " " << left.subject << " asks for " << cure.where);
                        CHECK(cure.value <= plan.at(change_of(cure).key).value);
                    }
            cured.insert(finding.rule);
        }
    }
}

}  // namespace

TEST_CASE("a cure that is made takes its finding away and calls for no more of the same") {
    std::set<std::string> cured;
    for (const RuleInfo& rule : rule_list())
        if (!rule.example.empty()) try_cures(text_with(rule.instead_of, rule.example), rule.name, cured);
    // The rules of the table; a rule that no longer gives cures is missed here.
    for (const std::string rule :
         {"overloaded-wire", "overloaded-contact", "overloaded-fuse", "setting-too-high", "unprotected-wire",
          "oversized-fuse", "fuse-voltage", "fuse-breaking-capacity", "contact-voltage", "size-mismatch",
          "overdrawn-pack", "overdrawn-bms", "making-current", "breaking-current"}) {
        INFO(rule);
        CHECK(cured.contains(rule));
    }
}

TEST_CASE("what a pack has to give is the figure for its levels as well as for long") {
    const std::string text =
        text_with("discharge 60 A, charge 15 A", "discharge 20 A, peak 30 A for 10 s, charge 15 A");
    const Results results = check_text(text);
    const Finding* finding = testing::finding_of(results, "overdrawn-pack", "B1");
    REQUIRE(finding);
    REQUIRE(finding->cures.size() == 1);
    CHECK(finding->cures.front().where == "B1");
    // Its setting may ask for more than a mode states, and asks for the same rating.
    const auto found_with = [&](double share) {
        Change change = change_of(finding->cures.front());
        change.value = finding->cures.front().value * share;
        const auto mended = applied({{change.key, change}}, text, *results.harness);
        REQUIRE(mended);
        const Results after = check_text(*mended);
        return told(after, *finding) || testing::finding_of(after, "setting-too-high", "U1");
    };
    CHECK_FALSE(found_with(1.001));
    CHECK(found_with(0.97));
}

TEST_CASE("findings about one rating ask for one figure, the strictest") {
    // Two contacts of one plug, unequally loaded.
    const Results results = check_text(text_with("carries 80 A, 90 V", "carries 20 A, 90 V"));
    std::set<double> asked;
    for (const Finding& finding : results.findings)
        for (const Cure& cure : finding.cures)
            if (cure.where == "J1" && cure.what == "carries"_attr) asked.insert(cure.value);
    CHECK(asked.size() == 1);
}

}  // namespace cures_test
