// Parts that get voltage whatever is open or closed, and those that never do.
#include <catch2/catch.hpp>

#include "checker/rules/rule_example.hpp"
#include "tests/checker/checking.hpp"

using namespace loomward;
using namespace loomward::testing;

namespace {

const std::string sw =
    "part hand is switch { 80 V dc, carries 5 A, breaks 2 A at 60 V dc }\nswitch S10 is hand\nswitch S11 is "
    "hand\nswitch S12 is hand\n"
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

TEST_CASE("only what joins its two ends counts as open for a buzzer, not what feeds it") {
    // S8 with S12 in a row, and S9, across H8; S10 and S11 in its supply.
    const std::string buzzer =
        "load H8 { 48 V, 5 W, works 30..60 V }\nload H9 { 48 V, 5 W, works 30..60 V }\nsplice X8\nsplice X9\n"
        "route X1 (W30 1 mm2, 0.3 m) H9 (W31 1 mm2, 0.3 m) S10 (W32 1 mm2, 0.3 m) X8\n"
        "route X8 (W33 1 mm2, 0.3 m) H8 (W34 1 mm2, 0.3 m) X9\n"
        "route X9 (W35 1 mm2, 0.3 m) S11 (W36 1 mm2, 0.3 m) Q1.P-\n"
        "route X8 (W37 1 mm2, 0.3 m) S8 (W38 1 mm2, 0.3 m) S12 (W39 1 mm2, 0.3 m) X9\n"
        "route X8 (W40 1 mm2, 0.3 m) S9 (W41 1 mm2, 0.3 m) X9\n";
    CHECK_FALSE(finding_of(with(buzzer), "floating"));
}
