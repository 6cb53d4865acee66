// docs/watched.md is what the program says it watches; and what it says agrees with its rules and its
// ratings.
#include <catch2/catch.hpp>

#include <algorithm>

#include "checker/parts/ratings.hpp"
#include "checker/results.hpp"
#include "checker/rules/watched.hpp"
#include "render/text/text.hpp"
#include "tests/approved.hpp"

namespace watched_page_test {

using namespace loomward;

TEST_CASE("the page of what is watched says what the program says") {
    CHECK(approved::compare_with("docs/watched.md", watched_page()) == watched_page());
}

TEST_CASE("every rule has its place among what is watched, and no other name has one") {
    const std::vector<std::string_view> known = watching_rules();
    const std::vector<RuleInfo> rules = rule_list();
    for (const RuleInfo& rule : rules) {
        INFO("in checker/rules/watched.cpp a row is missing for " << rule.name);
        CHECK(std::binary_search(known.begin(), known.end(), rule.name));
    }
    for (const std::string_view name : known) {
        INFO("no rule is named " << name);
        CHECK(
            std::any_of(rules.begin(), rules.end(), [&](const RuleInfo& rule) { return rule.name == name; }));
    }
}

TEST_CASE("a hazard is watched only where it can arise") {
    for (std::size_t i = 0; i < hazard_count; ++i)
        for (const Kind kind : watched_kinds()) {
            const auto hazard = static_cast<Hazard>(i);
            INFO(info(hazard).name << " of a " << info(kind).word);
            if (!can_arise(hazard, kind)) CHECK(watching(hazard, kind).empty());
        }
}

TEST_CASE("what tells of a rating of a kind watches some hazard there") {
    const auto watches = [](Kind kind, std::string_view rule) {
        for (std::size_t i = 0; i < hazard_count; ++i)
            for (const std::string_view name : watching(static_cast<Hazard>(i), kind))
                if (name == rule) return true;
        return false;
    };
    for (const RatingRow& row : rating_table()) {
        const auto& columns = watched_kinds();
        if (std::find(columns.begin(), columns.end(), row.kind) == columns.end()) continue;
        const std::string_view first = row.rules.substr(0, row.rules.find(' '));
        if (first == "spare-wired") continue;
        INFO(info(row.kind).word << " " << info(row.attribute).name << ": " << first);
        CHECK(watches(row.kind, first));
    }
}

}  // namespace watched_page_test
