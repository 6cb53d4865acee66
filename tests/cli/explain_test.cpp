// `loomward explain`, help and version.
#include <catch2/catch.hpp>

#include "checker/results.hpp"
#include "tests/cli/program.hpp"

namespace explain_test {

using Catch::Contains;
using Catch::StartsWith;
using program::Ending;
using program::Folder;
using program::run;

TEST_CASE("every rule is listed, and explained with source and example") {
    const Folder folder;
    const Ending list = run(folder, {"explain"});
    CHECK(list.code == 0);
    const std::vector<loomward::RuleInfo> rules = loomward::rule_list();
    REQUIRE(!rules.empty());
    for (const loomward::RuleInfo& rule : rules) {
        const std::string name(rule.name);
        CHECK_THAT(list.out, Contains(name + " "));
        const Ending one = run(folder, {"explain", name});
        CHECK(one.code == 0);
        CHECK(one.trouble.empty());
        CHECK_THAT(one.out, StartsWith(name + "\n\n") && Contains("\nlooks for "));
        CHECK_THAT(one.out, Contains("\nsource "));
        // Equations that do not settle cannot be had for the asking.
        if (rule.name != "not-solved") CHECK_THAT(one.out, Contains("\nexample\n") && Contains("\nmended "));
    }
}

TEST_CASE("the mistakes of a text are listed and explained too") {
    const Folder folder;
    CHECK_THAT(run(folder, {"explain"}).out, Contains("\nmistakes    about-range after-quote bad-column "));
    const Ending one = run(folder, {"explain", "decimal-comma"});
    CHECK(one.code == 0);
    CHECK(one.out ==
          "decimal-comma\n\n"
          "means       The decimal sign is a point; a comma parts attributes.\n\n"
          "wrong\n    fuse F2 { 7,5 A }\n\n"
          "right\n    fuse F2 { 7.5 A }\n");
    // The name of a rule and of a mistake: both are told.
    CHECK_THAT(run(folder, {"explain", "open-ended"}).out, Contains("\nlooks for ") && Contains("\nmeans "));
    CHECK(run(folder, {"explain", "decimal-coma"}).trouble ==
          "loomward: there is no rule named 'decimal-coma'; there is a mistake 'decimal-comma'\n");
}

TEST_CASE("a misspelt rule is answered with the one that was meant") {
    const Folder folder;
    const std::string name(loomward::rule_list().at(0).name);
    const Ending ending = run(folder, {"explain", name + "s"});
    CHECK(ending.code == 2);
    CHECK(ending.out.empty());
    CHECK(ending.trouble ==
          "loomward: there is no rule named '" + name + "s'; there is a rule '" + name + "'\n");
}

TEST_CASE("version and help end with 0 and go to standard output") {
    const Folder folder;
    const Ending version = run(folder, {"--version"});
    CHECK(version.code == 0);
    CHECK_THAT(version.out, Catch::Matches("loomward [0-9]+\\.[0-9]+\\.[0-9]+\n"));
    const Ending help = run(folder, {"--help"});
    CHECK(help.code == 0);
    CHECK_THAT(help.out, Contains("check") && Contains("draw") && Contains("format") && Contains("explain") &&
                             Contains("Examples:") && Contains("Exit status: 0 nothing at error level"));
    CHECK_THAT(help.out, Contains("None of them says that a harness is safe"));
    for (const std::string command : {"check", "draw", "zones", "format", "explain"}) {
        const Ending one = run(folder, {command, "--help"});
        CHECK(one.code == 0);
        CHECK_THAT(one.out, Contains("Usage: loomward " + command) && Contains("Examples:"));
        CHECK(one.trouble.empty());
    }
}

}  // namespace explain_test
