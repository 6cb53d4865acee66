// A fuse of unknown current leaves open what it guards, and nothing else.
#include <catch2/catch.hpp>

#include "tests/checker/checking.hpp"

namespace unknown_guard_test {

using namespace loomward;
using namespace loomward::testing;

namespace {

// A charge lead on the pack post without a fuse, a branch behind a fuse that does not say its current, and a
// wire of that branch of the given size.
Results barge(const std::string& lamp_fuse, const std::string& lamp_mm2) {
    return check_text(
        "loom 1\nharness \"clay barge\" { ambient 0..35 degC, insulation xlpe 90 degC }\n"
        "pack B1 { voltage 22..28.8 V, resistance 8..14 mohm, capacity 70 Ah, discharge 120 A, charge 20 A "
        "}\n"
        "fuse F1 { 60 A, 80 V dc, breaks 10 kA at 80 V dc, curve iso8820-5 }\n"
        "fuse F2 { " +
        lamp_fuse +
        "80 V dc, breaks 10 kA at 80 V dc, curve iso8820-5 }\nstud X1\n"
        "switch S1 { 48 V dc, carries 120 A, makes 200 A, breaks 100 A at 32 V dc }\n"
        "load M1 { 24 V, 30 A, acts-as current, works 16..30 V }\n"
        "load E1 { 24 V, 4 A, acts-as current, works 16..30 V }\n"
        "load E2 { 24 V, 4 A, acts-as current, works 16..30 V }\n"
        "route B1.+ (W1 16 mm2, 0.1 m) F1 (W2 16 mm2, 0.2 m) S1 (W3 16 mm2, 0.3 m) M1 (W4 16 mm2, 0.3 m) "
        "B1.-\n"
        "route B1.+ (W5 2.5 mm2, 0.9 m) E1 (W6 2.5 mm2, 0.3 m) B1.-\n"
        "route F1.out (direct) F2 (W7 " +
        lamp_mm2 + ", 0.5 m) E2 (W8 " + lamp_mm2 +
        ", 0.5 m) B1.-\nmode off { others at rest }\nmode haul { S1 closed, others at rest }\n");
}

}  // namespace

TEST_CASE("an unguarded wire stays certain whatever another fuse is rated") {
    const Results results = barge("", "2.5 mm2");
    const Finding* wire = finding_of(results, "unprotected-wire", "W5");
    REQUIRE(wire);
    CHECK_FALSE(wire->possible);
    CHECK(wire->hangs_on.empty());
}

TEST_CASE("what the unknown fuse alone guards stays open") {
    // Behind F1 of 60 A alone 1 mm2 would burn; a small F2 would guard it.
    const Results results = barge("", "1 mm2");
    const Finding* wire = finding_of(results, "oversized-fuse", "W7");
    REQUIRE(wire);
    CHECK(wire->possible);
    REQUIRE(!wire->hangs_on.empty());
    CHECK(wire->hangs_on.front().subject == "F2");
    // Stated, it is one or the other.
    CHECK_FALSE(finding_of(barge("10 A, ", "1 mm2"), "oversized-fuse", "W7"));
    const Results large = barge("60 A, ", "1 mm2");
    const Finding* certain = finding_of(large, "oversized-fuse", "W7");
    REQUIRE(certain);
    CHECK_FALSE(certain->possible);
}

}  // namespace unknown_guard_test
