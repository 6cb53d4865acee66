// Panels that hold each other down, two chargers on one roof, and leads that keep what panels give.
#include <catch2/catch.hpp>

#include <fmt/format.h>

#include "tests/checker/checking.hpp"

namespace panel_matching_test {

using namespace loomward;
using namespace loomward::testing;

namespace {

std::string roof(const std::string& rest) {
    return "loom 1\nharness \"roof\" { ambient 25..30 degC, insulation xlpe 90 degC }\n"
           "pack B1 { voltage 11..14.4 V, resistance 10 mohm, capacity 100 Ah, discharge 80 A, charge 60 A "
           "}\n"
           "fuse F1 { 60 A, 32 V dc, breaks 5 kA at 32 V dc, curve iso8820-5 }\n"
           "part tracker is charger { output 14.2 V 20 A, reverse blocked, panel-input 15..150 V }\n"
           "charger G2 is tracker\n"
           "route B1.+ (W1 16 mm2, 0.15 m, red) F1 (W2 16 mm2, 0.5 m, red) G2.+\n"
           "route G2.- (W3 16 mm2, 0.6 m, black) B1.-\n" +
           rest + "mode sunny { others at rest, G2 delivers 15 A }\n";
}

std::string panel(int number, double open_V, double short_A) {
    return fmt::format("panel V{} {{ open-circuit-voltage {} V, short-circuit-current {} A }}\n", number,
                       open_V, short_A);
}

std::string beside(double second_V) {
    return roof(panel(1, 40, 9) + panel(2, second_V, 9) +
                "stud X1\nstud X2\n"
                "route V1.+ (W10 6 mm2, 1 m) X1\nroute V2.+ (W11 6 mm2, 1 m) X1 (W12 6 mm2, 1 m) G2.in+\n"
                "route V1.- (W13 6 mm2, 1 m) X2\nroute V2.- (W14 6 mm2, 1 m) X2 (W15 6 mm2, 1 m) G2.in-\n");
}

std::string in_line(double second_A, const std::string& more = "") {
    return roof(
        panel(1, 40, 9) + panel(2, 40, second_A) + more +
        "splice X3\nroute V1.+ (W10 6 mm2, 1 m) G2.in+\nroute V1.- (W11 6 mm2, 1 m) X3 (W12 6 mm2, 1 m) "
        "V2.+\nroute V2.- (W13 6 mm2, 1 m) G2.in-\n");
}

const Finding* told(const std::string& text, std::string_view rule, std::string_view subject = {}) {
    static Results results;
    results = check_text(text);
    return finding_of(results, rule, subject);
}

}  // namespace

TEST_CASE("strings side by side that differ by more than a tenth in voltage are told, the lower by name") {
    CHECK_FALSE(told(beside(36.01), "unlike-panels"));
    const Finding* found = told(beside(35.99), "unlike-panels", "V2");
    REQUIRE(found);
    CHECK(found->severity == Severity::note);
    CHECK(figure(*found, "voltage") == Approx(35.99));
    CHECK(figure(*found, "other") == Approx(40));
    CHECK(told(beside(44.5), "unlike-panels", "V1"));
}

TEST_CASE("two short panels in line beside one long one are alike, and so are panels with bypass diodes") {
    const std::string mixed = panel(1, 40, 9) + panel(2, 20, 9) + panel(3, 20, 9) +
                              "diode D1 { 200 V, 12 A }\n"
                              "route V1.+ (W10 6 mm2, 1 m) G2.in+\nroute V2.+ (W11 6 mm2, 1 m) G2.in+\n"
                              "route V2.- (W12 6 mm2, 1 m) V3.+\nroute V3.- (W13 6 mm2, 1 m) G2.in-\n"
                              "route V1.- (W14 6 mm2, 1 m) G2.in-\nroute V3.- (W15 6 mm2, 1 m) D1.A\nroute "
                              "D1.K (W16 6 mm2, 1 m) V3.+\n";
    CHECK_FALSE(told(roof(mixed), "unlike-panels"));
}

TEST_CASE("panels in line whose currents differ by more than a tenth are told, unless the point is tapped") {
    CHECK_FALSE(told(in_line(8.11), "unlike-panels"));
    const Finding* found = told(in_line(8.09), "unlike-panels", "V2");
    REQUIRE(found);
    CHECK(figure(*found, "current") == Approx(8.09));
    CHECK(told(in_line(10.1), "unlike-panels", "V1"));
    const std::string tap = "load E1 { 48 V, 10 W }\nroute X3 (W20 1 mm2, 1 m) E1 (W21 1 mm2, 1 m) G2.in-\n";
    CHECK_FALSE(told(in_line(5, tap), "unlike-panels"));
}

TEST_CASE("one roof on the inputs of two chargers is told, each with its own is not") {
    const auto two = [](const std::string& second) {
        return roof(
            panel(1, 40, 9) + panel(2, 40, 9) +
            "charger G3 is tracker\nfuse F2 { 30 A, 32 V dc, breaks 5 kA at 32 V dc, curve iso8820-5 }\n"
            "route B1.+ (W5 10 mm2, 0.15 m, red) F2 (W6 10 mm2, 0.5 m, red) G3.+\n"
            "route G3.- (W7 10 mm2, 0.6 m, black) B1.-\n"
            "route V1.+ (W10 6 mm2, 1 m) G2.in+\nroute V1.- (W11 6 mm2, 1 m) G2.in-\n" +
            second);
    };
    const std::string own = "route V2.+ (W12 6 mm2, 1 m) G3.in+\nroute V2.- (W13 6 mm2, 1 m) G3.in-\n";
    const std::string shared =
        "route V2.+ (W12 6 mm2, 1 m) G2.in+ (W14 6 mm2, 1 m) G3.in+\n"
        "route V2.- (W13 6 mm2, 1 m) G2.in- (W15 6 mm2, 1 m) G3.in-\n";
    CHECK_FALSE(told(two(own), "shared-panels"));
    CHECK(told(two(shared), "shared-panels", "G2"));
}

TEST_CASE("leads that keep more than a twentieth of what panels give at their best are told") {
    // 2 x 10 m of 4 mm2: 20 m x 4.95 mohm/m (IEC 60228, class 5, 20 degC) x (1 + 0.00393 x 70) at 90 degC =
    // 0.1262 ohm; x (0.93 x 9 A)^2 = 8.84 W, of 0.82 x 0.93 x 40 V x 9 A = 274.5 W: 3.2 %. With 24 m: 7.7 %.
    const auto with_leads = [](double each_m) {
        return roof(panel(1, 40, 9) + fmt::format("route V1.+ (W10 4 mm2, {0} m) G2.in+\n"
                                                  "route V1.- (W11 4 mm2, {0} m) G2.in-\n",
                                                  each_m));
    };
    CHECK_FALSE(told(with_leads(10), "panel-loss"));
    const Finding* found = told(with_leads(24), "panel-loss", "G2");
    REQUIRE(found);
    CHECK(figure(*found, "given") == Approx(274.5).epsilon(0.001));
    CHECK(figure(*found, "lost") == Approx(8.84 * 2.4).epsilon(0.005));
}

}  // namespace panel_matching_test
