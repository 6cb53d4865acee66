// Witness paths go once round: out of the source, through what carries the current, back to the source.
#include <catch2/catch.hpp>

#include "checker/rules/rule_example.hpp"
#include "tests/checker/checking.hpp"

namespace witness_test {

using namespace loomward;
using namespace loomward::testing;

namespace {

std::string path_of(const Results& results, std::string_view rule) {
    std::string path;
    for (const Finding& finding : results.findings)
        if (finding.rule == rule)
            for (const Step& step : finding.witness) path += (path.empty() ? "" : " > ") + step.name;
    return path;
}

}  // namespace

TEST_CASE("the path of a pack's current names every step once, from plus to minus") {
    const Results results = check_text(
        replaced(std::string(example_harness), "discharge 60 A, charge 15 A", "discharge 20 A, charge 15 A"));
    CHECK(path_of(results, "overdrawn-pack") ==
          "B1.+ > W1 > F1 > W2 > K1 > W3 > J1.1 > W4 > U1 > W7 > J1.2 > W6 > Q1 > W5 > B1.-");
}

TEST_CASE(
    "the path of a wire's current is the same loop, and that of a branch leaves it where the branch does") {
    const Results wire = check_text(
        replaced(std::string(example_harness), "(W2 16 mm2, 0.2 m, red)", "(W2 2.5 mm2, 0.2 m, red)"));
    CHECK(path_of(wire, "overloaded-wire") ==
          "B1.+ > W1 > F1 > W2 > K1 > W3 > J1.1 > W4 > U1 > W7 > J1.2 > W6 > Q1 > W5 > B1.-");
    const Results way = check_text(
        replaced(std::string(example_harness), "(W1 16 mm2, 0.15 m, red)", "(W1 16 mm2, 0.9 m, red)"));
    CHECK(path_of(way, "unprotected-wire") == "B1.+ > W1 > F1.in");
}

}  // namespace witness_test
