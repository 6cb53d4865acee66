// What open values and estimates decide.
#include "checker/papers/estimate_ends.hpp"

#include <algorithm>

#include "checker/find_out.hpp"
#include "render/papers/report.hpp"
#include "tests/papers/papers_support.hpp"

namespace estimate_ends_test {

using namespace loomward;
using namespace loomward::testing;

namespace {

// A pump on a fuse of 15 A, which should carry 10.1 A at 40 degC (70 % of 14.5 A).
std::string pump(const std::string& current, const std::string& feed = "4 mm2, 0.3 m") {
    return "loom 1\n"
           "harness \"Barrow\" { ambient 0..40 degC }\n"
           "part blade is fuse { 15 A, 32 V dc, breaks 5 kA at 32 V dc, curve iso8820-3 }\n"
           "pack B1 { voltage 11..14 V, resistance 9..16 mohm, capacity 24 Ah, discharge 30 A, charge 7 A }\n"
           "fuse F1 is blade\n"
           "switch S1 { carries 20 A, 32 V dc, breaks 20 A at 32 V dc }\n"
           "load M1 { 12 V, " +
           current +
           ", acts-as current }\n"
           "route B1.+ (W1 4 mm2, 0.1 m, red) F1 (W2 4 mm2, 0.2 m, red) S1 (W3 " +
           feed +
           ", red) M1 (W4 4 mm2, 0.3 m, black) B1.-\n"
           "mode on { S1 closed, M1 on, others at rest }\n";
}

std::vector<std::string> rules_of(const Made& made, const std::vector<std::size_t>& findings) {
    std::vector<std::string> rules;
    for (const std::size_t i : findings) rules.push_back(made.results.findings[i].rule);
    return rules;
}

std::string page_of(const Made& made) {
    return report_html({made.path, "0.0.0", &made.results, &made.papers, nullptr});
}

}  // namespace

TEST_CASE("an estimate decides what its low end would clear, and nothing where both ends are alike") {
    const Made deciding = papers_of_text("barrow.loom", pump("about 10.5 A"));
    REQUIRE(deciding.papers.estimates.size() == 1);
    const EstimateEnds& ends = deciding.papers.estimates[0];
    CHECK(ends.name == "current");
    CHECK(ends.of == std::vector<std::string>{"M1"});
    CHECK(ends.tried);
    CHECK(ends.taken.lo == Approx(9.45));
    CHECK(ends.taken.hi == Approx(11.55));
    CHECK(rules_of(deciding, ends.not_at_low) == std::vector<std::string>{"overloaded-fuse"});
    CHECK(ends.not_at_high.empty());
    // The same by hand, with the ends stated.
    const auto overloaded = [](const Made& made) {
        return std::any_of(made.results.findings.begin(), made.results.findings.end(),
                           [](const Finding& each) { return each.rule == "overloaded-fuse"; });
    };
    CHECK(overloaded(deciding));
    CHECK_FALSE(overloaded(papers_of_text("barrow.loom", pump("9.45 A"))));
    CHECK(overloaded(papers_of_text("barrow.loom", pump("11.55 A"))));
    const std::string page = page_of(deciding);
    CHECK(page.find(" not told at <span class=\"nw\">9.45 A</span>") != std::string::npos);

    for (const char* current : {"about 5 A", "about 11.8 A"}) {
        const Made alike = papers_of_text("barrow.loom", pump(current));
        REQUIRE(alike.papers.estimates.size() == 1);
        CHECK(alike.papers.estimates[0].not_at_low.empty());
        CHECK(alike.papers.estimates[0].not_at_high.empty());
        CHECK(page_of(alike).find("nothing between its ends, alone") != std::string::npos);
    }
    CHECK(papers_of_text("barrow.loom", pump("10.5 A")).papers.estimates.empty());
}

TEST_CASE("an estimate in a part type is one of all parts of it; too many are said to be not followed") {
    std::string text = pump("5 A");
    text.replace(text.find("breaks 5 kA at 32 V dc, curve"), 0, "resistance about 5 mohm, ");
    const Made typed = papers_of_text("barrow.loom", text + "fuse F2 is blade\n");
    REQUIRE(typed.papers.estimates.size() == 1);
    CHECK(typed.papers.estimates[0].of == std::vector<std::string>{"F1", "F2"});

    std::string many = pump("5 A"), route = "route B1.+ ";
    for (std::size_t i = 0; i < most_tried_estimates + 2; ++i) {
        many += "splice X" + std::to_string(i) + "\n";
        route += "(A" + std::to_string(i) + " 1 mm2, about 0.2 m, red) X" + std::to_string(i) + " ";
    }
    const Made all = papers_of_text("barrow.loom", many + route + "\n");
    CHECK(all.papers.estimates.size() == most_tried_estimates + 2);
    CHECK(std::count_if(all.papers.estimates.begin(), all.papers.estimates.end(),
                        [](const EstimateEnds& each) { return each.tried; }) == most_tried_estimates);
    CHECK(page_of(all).find("2 of them not followed") != std::string::npos);
}

TEST_CASE("an open value is told the possible findings that hang on it, and where each turns") {
    const Made open = papers_of_text("barrow.loom", pump("10 A", "1 mm2, unknown m"));
    const std::vector<ToFindOut> groups = what_to_find_out(open.results);
    REQUIRE(groups.size() == 1);
    CHECK(groups[0].first.name == "length");
    CHECK(groups[0].could_hide == 1);
    const auto drop = std::find_if(
        groups[0].findings.begin(), groups[0].findings.end(),
        [&](const Decided& each) { return open.results.findings[each.finding].rule == "voltage-drop"; });
    REQUIRE(drop != groups[0].findings.end());
    CHECK(drop->subject == "W3");
    REQUIRE(drop->turns);
    CHECK(drop->turns->above);
    // Within the turn's ends it is told at one and not at the other.
    const Severity told = open.results.findings[drop->finding].severity;
    const auto lossy = [&](double length_m) {
        const Made made =
            papers_of_text("barrow.loom", pump("10 A", "1 mm2, " + to_text(length_m, Dimension::length, 6)));
        return std::any_of(
            made.results.findings.begin(), made.results.findings.end(),
            [&](const Finding& each) { return each.rule == "voltage-drop" && each.severity <= told; });
    };
    CHECK_FALSE(lossy(drop->turns->at.lo * 0.99));
    CHECK(lossy(drop->turns->at.hi * 1.01));
    CHECK(page_of(open).find("told <span class=\"nw\">above ") != std::string::npos);
}

}  // namespace estimate_ends_test
