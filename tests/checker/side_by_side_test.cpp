// Contacts side by side: the last to part breaks all that they carry together.
#include <catch2/catch.hpp>

#include <fmt/format.h>

#include "tests/checker/checking.hpp"

namespace side_by_side_test {

using namespace loomward;
using namespace loomward::testing;

namespace {

// A peat cutter that draws 34 A; `contacts` lie between the studs X5 and X6.
Results cutter(const std::string& contacts, const std::string& closed) {
    return check_text(
        "loom 1\nharness \"Peat cutter\" { ambient 0..35 degC, insulation xlpe 90 degC }\n"
        "pack B1 { voltage 44..57.6 V, resistance 8..20 mohm, capacity 120 Ah, discharge 100 A, charge 30 A "
        "}\n"
        "fuse F1 { 50 A, 80 V dc, breaks 8 kA at 80 V dc, curve iso8820-5 }\n"
        "load E1 { 48 V, 34 A, acts-as current }\nstud X5\nstud X6\n"
        "route B1.+ (W1 10 mm2, 0.1 m, red) F1 (W2 10 mm2, 0.3 m, red) X5\n"
        "route X6 (W3 10 mm2, 0.3 m, red) E1 (W4 10 mm2, 0.3 m, black) B1.-\n" +
        contacts + "mode off { others at rest }\nmode on { others at rest, " + closed + " closed }\n");
}
std::string two_poles(const std::string& breaks) {
    return "switch S2 { 80 V dc, poles 2, carries 40 A, makes 100 A, breaks " + breaks +
           (breaks == "unknown" ? "" : " at 60 V dc") +
           " }\n"
           "route X5 (W5 10 mm2, 0.1 m, red) S2.1.in\nroute S2.1.out (W6 10 mm2, 0.1 m, red) X6\n"
           "route X5 (W7 10 mm2, 0.1 m, red) S2.2.in\nroute S2.2.out (W8 10 mm2, 0.1 m, red) X6\n";
}

}  // namespace

TEST_CASE("one of two poles side by side has to break all that both carry") {
    const Results weak = cutter(two_poles("33.97 A"), "S2");
    const Finding* finding = finding_of(weak, "breaking-current", "S2");
    REQUIRE(finding);
    CHECK(finding->severity == Severity::warning);
    CHECK(finding->working.front() == "34 A = 17 A + 17 A");
    CHECK_FALSE(finding_of(cutter(two_poles("34.03 A"), "S2"), "breaking-current"));
}

TEST_CASE("of two switches side by side one that breaks all of it is enough") {
    const auto both = [](const std::string& first, const std::string& second) {
        return cutter("switch S1 { 80 V dc, carries 40 A, makes 100 A, breaks " + first +
                          " at 60 V dc }\nswitch S2 { 80 V dc, carries 40 A, makes 100 A, breaks " + second +
                          " at 60 V dc }\nroute X5 (W5 10 mm2, 0.1 m, red) S1 (W6 10 mm2, 0.1 m, red) X6\n"
                          "route X5 (W7 10 mm2, 0.1 m, red) S2 (W8 10 mm2, 0.1 m, red) X6\n",
                      "S1 S2");
    };
    const Results weak = both("20 A", "33.97 A");
    const Finding* finding = finding_of(weak, "breaking-current", "S2");
    REQUIRE(finding);
    CHECK(finding->message == "none of S1, S2 can break what they carry side by side");
    CHECK_FALSE(finding_of(both("20 A", "34.03 A"), "breaking-current"));
}

TEST_CASE(
    "a wire beside a contact takes its current, and two that no mode has closed together do not add up") {
    CHECK_FALSE(finding_of(cutter("switch S2 { 80 V dc, carries 40 A, makes 100 A, breaks 20 A at 60 V dc }\n"
                                  "route X5 (W5 10 mm2, 0.1 m, red) S2 (W6 10 mm2, 0.1 m, red) X6\n"
                                  "route X5 (W7 10 mm2, 0.1 m, red) X6\n",
                                  "S2"),
                           "breaking-current"));
    CHECK_FALSE(
        finding_of(cutter("switch S1 { 80 V dc, carries 40 A, makes 100 A, breaks 34.03 A at 60 V dc }\n"
                          "switch S2 { 80 V dc, carries 40 A, makes 100 A, breaks 34.03 A at 60 V dc }\n"
                          "route X5 (W5 10 mm2, 0.1 m, red) S1 (W6 10 mm2, 0.1 m, red) X6\n"
                          "route X5 (W7 10 mm2, 0.1 m, red) S2 (W8 10 mm2, 0.1 m, red) X6\n",
                          "S1"),
                   "breaking-current"));
}

TEST_CASE("what a contact side by side has to break is asked for where nobody says what it does") {
    const Results asks = cutter(two_poles("unknown"), "S2");
    const Finding* finding = finding_of(asks, "missing-data", "S2");
    REQUIRE(finding);
    CHECK(finding->requirement == "break 34 A at 57.6 V dc");
}

TEST_CASE("fuses at the two throws of a change-over contact never lie side by side, at two makes they do") {
    const auto fed_by = [](const std::string& contacts, const std::string& ends) {
        return cutter(
            "relay K1 { contacts " + contacts +
                ", 80 V dc, carries 50 A, makes 100 A, breaks 60 A at 60 V dc, coil 48 V 80 mA\n"
                "  coil-works 30..60 V, suppression diode }\n"
                "fuse F2 { 40 A, 80 V dc, breaks 8 kA at 80 V dc, curve iso8820-5 }\n"
                "fuse F3 { 40 A, 80 V dc, breaks 8 kA at 80 V dc, curve iso8820-5 }\n"
                "fuse F4 { 1 A, 125 V dc, breaks 10 kA at 125 V dc, curve ul248-14 }\n"
                "switch S1 { 80 V dc, carries 3 A, breaks 1 A at 60 V dc }\n"
                "route X5 (W10 1 mm2, 0.1 m, red) F4 (W11 1 mm2, 0.1 m, red) S1 (W12 1 mm2, 0.1 m, red) "
                "K1.A1\nroute K1.A2 (W13 1 mm2, 0.1 m, black) B1.-\n" +
                ends,
            "S1");
    };
    CHECK_FALSE(finding_of(fed_by("change-over",
                                  "route X5 (W5 10 mm2, 0.1 m, red) F2 (W6 10 mm2, 0.1 m, red) K1.no\n"
                                  "route X5 (W7 10 mm2, 0.1 m, red) F3 (W8 10 mm2, 0.1 m, red) K1.nc\n"
                                  "route K1.com (W9 10 mm2, 0.1 m, red) X6\n"),
                           "parallel-devices"));
    CHECK(finding_of(fed_by("no no",
                            "route X5 (W5 10 mm2, 0.1 m, red) F2 (W6 10 mm2, 0.1 m, red) K1.1.in\n"
                            "route K1.1.out (W9 10 mm2, 0.1 m, red) X6\n"
                            "route X5 (W7 10 mm2, 0.1 m, red) F3 (W8 10 mm2, 0.1 m, red) K1.2.in\n"
                            "route K1.2.out (W14 10 mm2, 0.1 m, red) X6\n"),
                     "parallel-devices", "F2"));
}

}  // namespace side_by_side_test
