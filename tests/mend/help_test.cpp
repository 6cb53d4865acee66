// What a finding says in words and what it says in figures is one thing, in the help and in the digest.
#include <catch2/catch.hpp>

#include <algorithm>
#include <cmath>
#include <string>
#include <vector>

#include "checker/answers/digest.hpp"
#include "checker/rules/cure_text.hpp"
#include "checker/rules/cures.hpp"
#include "checker/rules/rule_example.hpp"
#include "render/text/text_digest.hpp"
#include "tests/checker/checking.hpp"

namespace help_test {

using namespace loomward;
using namespace loomward::literals;
using testing::check_text;

namespace {

std::string text_with(std::string_view instead_of, std::string_view example) {
    std::string text(example_harness);
    text.replace(text.find(instead_of), instead_of.size(), example);
    return text;
}

// Figures of a dimension in the first way that a help line names.
std::vector<double> figures_in(const std::string& help, Dimension dimension) {
    const std::string way =
        help.substr(0, std::min({help.find("; "), help.find(", or "), help.find(", if ")}));
    std::vector<double> figures;
    for (std::size_t at = 0; at < way.size(); at = std::min(way.find(' ', at), way.size() - 1) + 1) {
        const auto quantity = quantity_from_text(std::string_view(way).substr(at));
        if (quantity && quantity->dimension == dimension) figures.push_back(quantity->lo);
    }
    return figures;
}

std::size_t hold_to_cures(const Results& results) {
    std::size_t compared = 0;
    for (const Finding& finding : results.findings)
        for (const Cure& cure : finding.cures) {
            const std::vector<double> figures = figures_in(finding.help, cure.dimension);
            // Of two ways the help may name the other first; a length is said from the source on.
            const bool other_way =
                std::any_of(finding.cures.begin(), finding.cures.end(), [&](const Cure& other) {
                    return other.way != cure.way && other.dimension == cure.dimension &&
                           other.what != cure.what;
                });
            if (figures.empty() || other_way || cure.dimension == Dimension::length) continue;
            ++compared;
            INFO(finding.rule << " " << finding.subject << ": help '" << finding.help << "', cure "
                              << cure_text(cure, finding.subject));
            // Printed with three digits.
            if (cure.at_least)
                CHECK(*std::max_element(figures.begin(), figures.end()) >= 0.994 * cure.value);
            else
                CHECK(*std::min_element(figures.begin(), figures.end()) <= 1.006 * cure.value);
        }
    return compared;
}

}  // namespace

TEST_CASE("no help prints a figure that a cure of the same finding contradicts") {
    std::size_t compared = 0;
    for (const RuleInfo& rule : rule_list())
        if (!rule.example.empty())
            compared += hold_to_cures(check_text(text_with(rule.instead_of, rule.example)));
    compared += hold_to_cures(check_text(
        text_with("discharge 60 A, charge 15 A", "discharge 20 A, peak 30 A for 10 s, charge 15 A")));
    CHECK(compared > 20);
}

TEST_CASE("a help line takes over the figure that passes all that looks at the rating") {
    std::vector<Finding> findings(2);
    for (const double amperes : {36.2, 40.6}) {
        Finding& finding = findings[amperes < 40 ? 0 : 1];
        finding.help = "a pack with discharge " + to_text(std::ceil(amperes), Dimension::current) +
                       " or more would pass, or a lower setting";
        Cure cure;
        cure.what = "discharge"_attr;
        cure.where = "B1";
        cure.value = amperes;
        cure.dimension = Dimension::current;
        finding.cures = {cure};
    }
    bring_together(findings);
    for (const Finding& finding : findings)
        CHECK(finding.help == "a pack with discharge 41 A or more would pass, or a lower setting");
}

TEST_CASE("cures in words are rounded to the side that passes") {
    Cure cure;
    cure.where = "J1";
    cure.what = "carries"_attr;
    cure.value = 40.123;
    cure.dimension = Dimension::current;
    CHECK(cure_text(cure, "J1") == "carries 40.2 A or more");
    cure.at_least = false;
    CHECK(cure_text(cure, "W7") == "J1: carries 40.1 A or less");
    cure.value = 40;
    CHECK(cure_text(cure, "J1") == "carries 40 A or less");
}

TEST_CASE("the digest says what would pass with the strictest figure of the cause") {
    const Results results = check_text(text_with("carries 80 A, 90 V", "carries 20 A, 90 V"));
    const Finding* finding = testing::finding_of(results, "overloaded-contact");
    REQUIRE(finding);
    REQUIRE_FALSE(finding->cures.empty());
    const std::string digest = digest_text(results, digest_of(results), false, false);
    INFO(digest);
    CHECK(digest.find(cure_text(finding->cures.front(), "J1")) != std::string::npos);
}

}  // namespace help_test
