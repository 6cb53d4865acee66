// A blocked motor behind a fuse of which nobody knows the curve: it opens, and how soon hangs on that.
#include <catch2/catch.hpp>

#include "tests/checker/told.hpp"

namespace unknown_curve_test {

using namespace loomward;
using namespace loomward::testing;

namespace {

Told hoist(const std::string& rule, const std::string& curve, const std::string& stall,
           const std::string& carries = "150 A", const std::string& breaks = "500 A",
           const std::string& device = "fuse F1 { 150 A, 80 V dc, breaks 20 kA at 80 V dc") {
    return told(
        "loom 1\nharness \"Hay hoist\" { ambient 5..30 degC, insulation xlpe 90 degC }\n"
        "pack B1 { voltage 44..56 V, resistance 20 mohm, capacity 100 Ah, discharge 200 A, charge 20 A }\n" +
            device + curve +
            " }\nfuse F2 { 2 A, 125 V dc, breaks 20 kA at 125 V dc, curve ul248-14, clears 20 A2s }\n"
            "switch S1 { 80 V dc, carries 6 A, makes 6 A, breaks 2 A at 60 V dc }\n"
            "contactor K1 { carries " +
            carries + ", makes 500 A, breaks " + breaks +
            " at 80 V dc, coil 48 V 200 mA, coil-works 20..60 V, suppression diode }\n"
            "load M1 { 48 V, 90 A, acts-as current, works 30..60 V, stall " +
            stall +
            " }\n"
            "route B1.+ (W1 95 mm2, 0.1 m, red) F1 (W2 95 mm2, 0.3 m, red) K1 (W3 95 mm2, 1 m, red) M1 "
            "(W4 95 mm2, 1 m, black) B1.-\n"
            "route F1.out (W5 1 mm2, 0.1 m, red) F2 (W6 1 mm2, 0.5 m, red) S1 (W7 1 mm2, 0.5 m, red) K1.A1\n"
            "route K1.A2 (W8 1 mm2, 0.5 m, black) B1.-\n"
            "mode off { others at rest }\nmode lift { S1 closed, K1 closed, M1 on }\n",
        rule);
}
bool has(const std::string& text, std::string_view part) {
    return text.find(part) != std::string::npos;
}

}  // namespace

TEST_CASE("what a fuse of unknown curve lets a blocked motor draw has an end, and hangs on its curve") {
    CHECK_FALSE(hoist("blocked-load", ", curve iso8820-5", "350 A"));
    const Told open = hoist("blocked-load", "", "350 A");
    REQUIRE(open);
    CHECK(open.finding->possible);
    REQUIRE(open.finding->hangs_on.size() == 1);
    CHECK(open.finding->hangs_on.front().subject == "F1");
    CHECK(open.finding->hangs_on.front().name == "curve");
    CHECK(has(open.finding->message, "stands until fuse F1 opens"));
    // The slowest is gG: of 150 A between 240 A for two hours and the 950 A that open 160 A in 5 s (IEC
    // 60269-1 Table 3), log-log: 7200 s x (5 / 7200)^(ln(350 / 240) / ln(950 / 240)) = 980 s, and 1181 s
    // where it stands 3.6 % more, at 5 degC.
    CHECK(has(open.finding->beside, "for up to 19.6 min"));
    CHECK(has(open.finding->working.back(), "IEC 60269-1 Table 3"));
    // So it is not said either that nothing ends it.
    const Finding* note = finding_of(open.results, "nuisance-trip", "M1");
    REQUIRE(note);
    CHECK(has(note->message, "fuse F1 opens it"));
    // As slow as class T, it is told for certain of that.
    const Told slow = hoist("blocked-load", ", curve ul248-15", "350 A");
    REQUIRE(slow);
    CHECK_FALSE(slow.finding->possible);
}

TEST_CASE("where no family opens, or the quickest is too slow, nothing hangs on the curve") {
    // 140 A hold any fuse of 150 A.
    const Told held = hoist("blocked-load", "", "140 A", "100 A");
    REQUIRE(held);
    CHECK_FALSE(held.finding->possible);
    CHECK(has(held.finding->message, "no device opens"));
    const Finding* note = finding_of(held.results, "nuisance-trip", "M1");
    REQUIRE(note);
    CHECK(has(note->message, "no device on its way is sure to open"));
    // Seconds are too long for a contact of 50 A at 350 A.
    const Told weak = hoist("blocked-load", "", "350 A", "50 A");
    REQUIRE(weak);
    CHECK_FALSE(weak.finding->possible);
    CHECK_FALSE(has(weak.finding->message, "no device opens"));
}

TEST_CASE("a fuse of unknown curve that some families open and others hold is told as that") {
    // 1.4 x: strip fuses open within half an hour, gG at 1.6 x.
    const Told may = hoist("blocked-load", "", "210 A", "150 A");
    REQUIRE(may);
    CHECK(has(may.finding->beside, "nobody knows for how long"));
    CHECK(has(may.finding->working.back(), "it may not open"));
}

TEST_CASE("a breaker of unknown curve may take the two hours of an industrial one") {
    const Told open = hoist("blocked-load", ", reset hand", "350 A", "150 A", "500 A",
                            "breaker F1 { 150 A, 80 V dc, breaks 20 kA at 80 V dc");
    REQUIRE(open);
    CHECK(has(open.finding->beside, "up to 120 min"));
}

TEST_CASE("a contact breaks a blocked motor now and then where a fuse opens it by any curve") {
    CHECK_FALSE(hoist("breaking-current", "", "350 A", "150 A", "120 A"));
    const Told weak = hoist("breaking-current", "", "350 A", "150 A", "110 A");
    REQUIRE(weak);
    CHECK(weak.finding->possible);
    CHECK(weak.finding->hangs_on.front().name == "curve");
    CHECK(has(weak.finding->working.back(), "nobody knows its curve"));
    // 1.3 x its rating no family is sure to open.
    const Told held = hoist("breaking-current", "", "200 A", "150 A", "190 A");
    REQUIRE(held);
    CHECK_FALSE(held.finding->possible);
}

}  // namespace unknown_curve_test
