// Parts that get voltage whatever is open or closed, and those that never do.
#include <catch2/catch.hpp>

#include "checker/rules/rule_example.hpp"
#include "tests/checker/checking.hpp"

using namespace loomward;
using namespace loomward::testing;

namespace {

const std::string sw =
    "switch S8 { 80 V dc, carries 5 A, breaks 2 A at 60 V dc }\n"
    "switch S9 { 80 V dc, carries 5 A, breaks 2 A at 60 V dc }\n";
Results with(const std::string& more) {
    return check_text(std::string(example_harness) + sw + more);
}

}  // namespace

TEST_CASE("a load whose poles lead to one pole of the supply, one of them by a switch, is never fed") {
    const Results plus = with(
        "load H8 { 48 V, 5 W, works 30..60 V }\n"
        "route X1 (W30 1 mm2, 0.3 m) S8 (W31 1 mm2, 0.3 m) H8 (W32 1 mm2, 0.3 m) X1\n");
    const Finding* finding = finding_of(plus, "floating", "H8");
    REQUIRE(finding);
    CHECK(finding->severity == Severity::error);
    CHECK(finding->beside ==
          "H8.+ and H8.- lead to one pole when the contacts between them are closed, and nowhere when not");
    const Results minus = with(
        "load H8 { 48 V, 5 W, works 30..60 V }\n"
        "route Q1.P- (W30 1 mm2, 0.3 m) S8 (W31 1 mm2, 0.3 m) H8 (W32 1 mm2, 0.3 m) Q1.P-\n");
    CHECK(finding_of(minus, "floating", "H8"));
}

TEST_CASE("a buzzer across switches is fed while they are open, one of them or two side by side") {
    const std::string buzzer =
        "load H8 { 48 V, 5 W, works 30..60 V }\nload H9 { 48 V, 5 W, works 30..60 V }\n"
        "splice X8\nroute X1 (W30 1 mm2, 0.3 m) H9 (W31 1 mm2, 0.3 m) X8\n"
        "route X8 (W32 1 mm2, 0.3 m) H8 (W33 1 mm2, 0.3 m) Q1.P-\n"
        "route X8 (W34 1 mm2, 0.3 m) S8 (W35 1 mm2, 0.3 m) Q1.P-\n";
    CHECK_FALSE(finding_of(with(buzzer), "floating"));
    CHECK_FALSE(
        finding_of(with(buzzer + "route X8 (W36 1 mm2, 0.3 m) S9 (W37 1 mm2, 0.3 m) Q1.P-\n"), "floating"));
}
