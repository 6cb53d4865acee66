// The table of ratings against the language, and each of its rows against a harness.
#include <algorithm>
#include <optional>
#include <set>

#include "tests/checker/checking.hpp"
#include "tests/checker/ratings_plants.hpp"

namespace ratings_test {

using namespace loomward;
using namespace loomward::testing;

namespace {

std::string place(Kind kind, Attr attribute) {
    return std::string(info(kind).word) + ": " + std::string(info(attribute).name);
}

bool has_row(Kind kind, Attr attribute) {
    return std::any_of(rating_table().begin(), rating_table().end(),
                       [&](const RatingRow& row) { return row.kind == kind && row.attribute == attribute; });
}

std::vector<planted::Limit> all_limits() {
    std::vector<planted::Limit> all;
    for (const auto& some : {planted::source_limits(), planted::contact_limits(), planted::wiring_limits(),
                             planted::load_limits(), planted::heat_limits()})
        all.insert(all.end(), some.begin(), some.end());
    return all;
}

// Its results; nothing, and a failed check, where the text has a mistake: the other plants go on.
std::optional<Results> results_of(const std::string& text) {
    NoFiles files;
    ReadResult read = read_harness_text("test.loom", text, files, {});
    for (const Diagnostic& mistake : read.mistakes) {
        const Position at = read.sources->position(mistake.where);
        INFO("line " << at.line << ":" << at.column << " " << mistake.message);
        CHECK(false);
    }
    if (!read.mistakes.empty()) return std::nullopt;
    return check(std::make_shared<const Harness>(std::move(*read.harness)));
}

bool speaks(const Results& results, const planted::Limit& limit) {
    return std::any_of(results.findings.begin(), results.findings.end(), [&](const Finding& finding) {
        return finding.rule == limit.rule && finding.subject == limit.subject &&
               (finding.severity != Severity::note || limit.rule == "mixed-metals");
    });
}

std::string said(const Results& results) {
    std::string text;
    for (const Finding& finding : results.findings)
        text += finding.rule + " " + finding.subject + ": " + finding.message + " (" + finding.beside + ")\n";
    return text;
}

bool names(std::string_view rules, std::string_view rule) {
    for (std::size_t at = 0; at < rules.size();) {
        const std::size_t end = std::min(rules.find(' ', at), rules.size());
        if (rules.substr(at, end - at) == rule) return true;
        at = end + 1;
    }
    return false;
}

}  // namespace

TEST_CASE(
    "every attribute of every kind limits something by a row of the table, or is said to limit nothing") {
    for (const KindInfo& kind : kind_table())
        for (const KindAttribute& row : kind.attributes) {
            const bool excused =
                std::any_of(limits_nothing().begin(), limits_nothing().end(), [&](const NoLimit& none) {
                    return none.attribute == row.attribute && (!none.kind || *none.kind == kind.kind);
                });
            INFO(place(kind.kind, row.attribute));
            CHECK(has_row(kind.kind, row.attribute) != excused);
        }
}

TEST_CASE("the table of ratings names only what the language has, once, and rules that there are") {
    std::set<std::pair<Kind, Attr>> seen;
    const std::vector<RuleInfo> rules = rule_list();
    for (const RatingRow& row : rating_table()) {
        INFO(place(row.kind, row.attribute));
        CHECK(find_attribute(row.kind, row.attribute) != nullptr);
        CHECK(seen.emplace(row.kind, row.attribute).second);
        CHECK(!held_text(row.held).empty());
        REQUIRE(!row.rules.empty());
        std::size_t known = 0;
        for (const RuleInfo& rule : rules)
            if (names(row.rules, rule.name)) ++known;
        CHECK(known == static_cast<std::size_t>(std::count(row.rules.begin(), row.rules.end(), ' ')) + 1);
    }
    for (const NoLimit& none : limits_nothing()) CHECK(!none.why.empty());
}

TEST_CASE("for every row of the table of ratings there is a harness that breaks it") {
    const std::vector<planted::Limit> limits = all_limits();
    for (const RatingRow& row : rating_table()) {
        INFO(place(row.kind, row.attribute));
        CHECK(std::any_of(limits.begin(), limits.end(), [&](const planted::Limit& limit) {
            return limit.kind == row.kind && limit.attribute == row.attribute && names(row.rules, limit.rule);
        }));
    }
}

TEST_CASE("a figure just inside a rating passes and one just outside is told") {
    for (const planted::Limit& limit : all_limits())
        for (const bool inside : {true, false}) {
            const std::string text = planted::with_figure(limit, inside ? limit.inside : limit.outside);
            INFO(place(limit.kind, limit.attribute)
                 << " by " << limit.rule << (inside ? ", inside" : ", outside"));
            INFO(text);
            const std::optional<Results> results = results_of(text);
            if (!results) continue;
            INFO(said(*results));
            CHECK(speaks(*results, limit) == !inside);
        }
}

}  // namespace ratings_test
