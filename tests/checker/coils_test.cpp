// Coils get the voltage they need where they have to hold, and their energy goes somewhere.
#include <catch2/catch.hpp>

#include "checker/rules/rule_example.hpp"
#include "tests/checker/checking.hpp"

namespace coils_test {

using namespace loomward;
using namespace loomward::testing;

namespace {

Results with(std::string_view from, std::string_view to) {
    return check_text(replaced(std::string(example_harness), from, to));
}

}  // namespace

TEST_CASE(
    "a coil is judged at the pack's lowest voltage and at its highest, by its own range or by 85..110 %") {
    // 13 cells: 39 V empty, 54.6 V full.
    CHECK(found(with("coil-works 30..60 V", "coil-works 45..60 V"), Severity::error) ==
          std::vector<std::string>{"coil-voltage K1"});
    CHECK(found(with("coil-works 30..60 V", "coil-works 30..50 V"), Severity::error) ==
          std::vector<std::string>{"coil-voltage K1"});
    // 48 V: 40.8..52.8 V.
    CHECK(found(with(", coil-works 30..60 V", ""), Severity::error) ==
          std::vector<std::string>{"coil-voltage K1"});
    CHECK(found(with("coil-works 30..60 V", "coil-works 36..56 V"), Severity::error).empty());
}

TEST_CASE("a coil without suppression is a warning, said or left out") {
    for (const std::string_view text : {"suppression none", "coil-works 30..60 V"}) {
        const bool left_out = text == "coil-works 30..60 V";
        const Results results =
            left_out ? with("coil-works 30..60 V, suppression diode", text) : with("suppression diode", text);
        CHECK(found(results, Severity::warning) == std::vector<std::string>{"coil-suppression K1"});
        CHECK(found(results, Severity::error).empty());
    }
}

TEST_CASE("a coil of which nobody says what suppresses it hangs on that, left out or said to be unknown") {
    for (const std::string_view text : {"coil-works 30..60 V", "coil-works 30..60 V, suppression unknown"}) {
        const Results results = with("coil-works 30..60 V, suppression diode", text);
        const Finding* finding = finding_of(results, "coil-suppression", "K1");
        REQUIRE(finding);
        CHECK(finding->possible);
        REQUIRE(finding->hangs_on.size() == 1);
        CHECK(finding->hangs_on.front().name == "suppression");
        CHECK(finding->hangs_on.front().subject == "K1");
    }
    const Results bare = with("suppression diode", "suppression none");
    REQUIRE(finding_of(bare, "coil-suppression", "K1"));
    CHECK_FALSE(finding_of(bare, "coil-suppression", "K1")->possible);
}

namespace {

// The example's coil with no suppression of its own, and this beside it. Its A1 hangs on X7, its A2 on X8.
Results with_part(const std::string& part, const std::string& routes) {
    std::string text = replaced(std::string(example_harness), "suppression diode", "suppression none");
    return check_text(text + part + routes);
}
bool unsuppressed(const Results& results) {
    for (const Finding& finding : results.findings)
        if (finding.rule == "coil-suppression" && finding.severity == Severity::warning) return true;
    return false;
}
const std::string diode = "diode V1 { 3 A, 200 V, drop 0.8 V }\n";

}  // namespace

TEST_CASE("a diode that lies across a coil the right way suppresses it, with a resistor in line or none") {
    CHECK_FALSE(
        unsuppressed(with_part(diode, "route K1.A2 (W80 1 mm2, 0.1 m) V1 (W81 1 mm2, 0.1 m) K1.A1\n")));
    CHECK_FALSE(unsuppressed(
        with_part(diode + "resistor R9 { 100 ohm, 5 W }\n",
                  "route K1.A2 (W80 1 mm2, 0.1 m) V1 (W81 1 mm2, 0.1 m) R9 (W82 1 mm2, 0.1 m) K1.A1\n")));
    CHECK_FALSE(unsuppressed(
        with_part(diode + "resistor R9 { 100 ohm, 5 W }\n",
                  "route K1.A2 (W80 1 mm2, 0.1 m) R9 (W81 1 mm2, 0.1 m) V1 (W82 1 mm2, 0.1 m) K1.A1\n")));
}

TEST_CASE("a diode elsewhere, the wrong way round, or behind a contact that opens suppresses nothing") {
    // Across the wrong way it shorts what switches the coil; to another point it catches nothing.
    CHECK(unsuppressed(with_part(diode, "route K1.A1 (W80 1 mm2, 0.1 m) V1 (W81 1 mm2, 0.1 m) K1.A2\n")));
    CHECK(unsuppressed(with_part(diode, "route K1.A2 (W80 1 mm2, 0.1 m) V1 (W81 1 mm2, 0.1 m) F1.out\n")));
    CHECK(unsuppressed(with_part(diode + "switch S9 { 80 V dc, carries 6 A, breaks 2 A at 60 V dc }\n"
                                         "mode shut { others at rest, S9 closed }\n",
                                 "route K1.A2 (W80 1 mm2, 0.1 m) V1 (W81 1 mm2, 0.1 m) S9 (W82 1 mm2, 0.1 "
                                 "m) K1.A1\n")));
}

}  // namespace coils_test
