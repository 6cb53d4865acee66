// The whole report of a check.
#include <catch2/catch.hpp>

#include "render/text/text.hpp"
#include "tests/render/hand_made.hpp"

namespace text_results_test {

using namespace loomward;
using Catch::Contains;
using Catch::EndsWith;
using Catch::StartsWith;

namespace {

Finding small_finding(Severity severity) {
    Finding finding;
    finding.rule = "floating";
    finding.severity = severity;
    finding.message = "nothing joins F3";
    return finding;
}

std::string report(const Results& results, bool assumptions = false) {
    return results_text(results, "yard.loom", {false, assumptions});
}

}  // namespace

TEST_CASE("the last line is a verdict that counts and reserves") {
    Results results = hand_made::results();
    CHECK(report(results) ==
          "yard.loom: no errors, no warnings, no notes; 1 wire, 1 mode, no assumed values; checked under the "
          "stated assumptions, not a licence: see local codes\n");

    results.findings = {small_finding(Severity::error), small_finding(Severity::error),
                        small_finding(Severity::warning), small_finding(Severity::note)};
    results.assumptions = {{"resistance of a wire end", "0.1 mohm", "no source", {"W7", "W8"}}};
    results.unknown_values = 3;
    CHECK_THAT(
        report(results),
        EndsWith("\nyard.loom: 2 errors, 1 warning, 1 note; 1 wire, 1 mode, 2 assumed values, 3 not known; "
                 "checked under the stated assumptions, not a licence: see local codes\n"));
}

TEST_CASE("only what could hide an error bars switching on") {
    Results results = hand_made::results();
    Finding question = small_finding(Severity::error);
    question.rule = "missing-data";
    question.possible = true;
    results.findings = {question};
    CHECK_THAT(
        report(results),
        StartsWith(
            "DO NOT SWITCH ON YET: no error is certain, 1 open value could hide one; find it out first"));
    results.findings.front().severity = Severity::warning;
    CHECK_THAT(report(results), !Contains("DO NOT SWITCH ON"));
}

TEST_CASE("no report calls a harness safe") {
    Results results = hand_made::results();
    CHECK_THAT(report(results), !Contains("safe") && !Contains("OK") && !Contains("passed"));
}

TEST_CASE("findings stand in order, an empty line after each") {
    Results results = hand_made::results();
    results.findings = {small_finding(Severity::warning), small_finding(Severity::error)};
    // The gravest first, unless they are wanted as the file has them.
    CHECK_THAT(report(results),
               Contains("error: nothing joins F3 [floating]\n      flag:   2 on the sheet\n\n"
                        "warning: nothing joins F3 [floating]\n      flag:   1 on the sheet\n\n"));
    ReportOptions by_line;
    by_line.by_line = true;
    CHECK_THAT(results_text(results, "yard.loom", by_line),
               Contains("warning: nothing joins F3 [floating]\n      flag:   1 on the sheet\n\n"
                        "error: nothing joins F3 [floating]\n      flag:   2 on the sheet\n\n"));
}

TEST_CASE("an accepted finding takes one line with its reason and does not count") {
    Results results = hand_made::results();
    results.findings = {small_finding(Severity::error)};
    results.findings[0].where = hand_made::span_of(hand_made::sources_of(results), "F3");
    results.findings[0].accepted = 0;
    const std::string text = report(results);
    CHECK_THAT(text,
               Catch::StartsWith("accepted (found, not counted, the reason is yours):\n"
                                 "  yard.loom:3:6: nothing joins F3 [floating] because \"spare way\"\n\n"));
    CHECK_THAT(text, Contains("yard.loom: no errors, no warnings, no notes, 1 accepted;"));
}

TEST_CASE("assumptions are summed up, the most used first, and listed in full on request") {
    Results results = hand_made::results();
    for (int i = 0; i < 9; ++i)
        results.assumptions.push_back(
            {"assumption " + std::to_string(i), std::to_string(i) + " mohm", "no source", {"W7"}});
    results.assumptions[4].used_by = {"W7", "W8", "H1"};
    const std::string text = report(results);
    CHECK_THAT(text, Contains("assumed (11 values, because the file does not say):\n"
                              "    3 x  assumption 4  4 mohm  no source\n"
                              "    1 x  assumption 0  0 mohm  no source\n"));
    CHECK_THAT(text, Contains("    3 more of other kinds; all of them, and who uses them: --assumptions\n"));
    CHECK_THAT(text, !Contains("assumption 8") && !Contains("H1"));

    const std::string full = report(results, true);
    CHECK_THAT(full, Contains("    3 x  assumption 4  4 mohm  no source\n         W7 W8 H1\n"));
    for (int i = 0; i < 9; ++i) CHECK_THAT(full, Contains("assumption " + std::to_string(i) + " "));
    CHECK_THAT(full, !Contains("more of other kinds"));
}

TEST_CASE("what was not looked at and what is unknown is said") {
    Results results = hand_made::results();
    results.not_checked = {"short circuits", "precharge"};
    results.unknown_values = 1;
    CHECK_THAT(
        report(results),
        Contains(
            "not checked: short circuits; precharge\n\n"
            "yard.loom: no errors, no warnings, no notes; 1 wire, 1 mode, no assumed values, 1 not known; "));
}

TEST_CASE("a mode without numbers is not counted as looked at") {
    Results results = hand_made::results();
    results.points[0].status = SolveStatus::not_converged;
    CHECK_THAT(report(results), Contains("; 1 wire, only 0 of 1 mode solved, "));
    results.points.clear();
    CHECK_THAT(report(results), Contains("; 1 wire, only 0 of 1 mode solved, "));
}

TEST_CASE("a rule is explained, its example laid out as written") {
    const RuleInfo rule{"some-rule",         "something wrong",
                        "I <= Iz",           "a standard, clause 1",
                        "not above 90 degC", "fuse F1 { 10 A }\n  and so on\n",
                        "fuse F1 { 5 A }"};
    CHECK(rule_text(rule, false) ==
          "some-rule\n\n"
          "looks for   something wrong\n"
          "formula     I <= Iz\n"
          "source      a standard, clause 1\n"
          "limits      not above 90 degC\n"
          "\nexample\n"
          "    fuse F1 { 10 A }\n"
          "      and so on\n"
          "\nmended  (the harness around both: docs/rules.md)\n"
          "    fuse F1 { 5 A }\n");
    CHECK(rules_text({rule, rule}, false) == "some-rule  something wrong\nsome-rule  something wrong\n");
}

}  // namespace text_results_test
