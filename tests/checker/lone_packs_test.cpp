// Packs side by side behind managements of their own: what is left of them as one opens takes what it took.
#include <fmt/format.h>

#include "tests/checker/exchanged.hpp"

namespace lone_packs_test {

using namespace loomward;
using namespace loomward::testing;

namespace {

// So many packs of 30 A of charge, a controller that returns and a charger.
std::string barge(int packs, const std::string& regen, double charger_A, bool own_managements = true) {
    std::string text =
        "loom 1\nharness \"reed barge\" { ambient 5..30 degC, insulation xlpe 90 degC }\n"
        "part block is pack { cells 13s6p, cell-voltage 3.0..4.2 V, cell-resistance 20 mohm, cell-capacity "
        "10 Ah, "
        "discharge 80 A, charge 30 A }\n"
        "part watch is bms { side low, ports common, discharge 100 A, charge 40 A, trips 150 A after 1 s, "
        "resistance 1 mohm }\n"
        "busbar X1 { studs 9, carries 250 A }\nbusbar X2 { studs 9, carries 250 A }\n"
        "part bolt is fuse { 80 V dc, breaks 10 kA at 80 V dc, curve iso8820-5 }\n"
        "switch S1 { 80 V dc, carries 150 A, makes 300 A, breaks 150 A at 60 V dc }\n";
    for (int i = 1; i <= packs; ++i) {
        text += fmt::format(
            "pack B{0} is block\nfuse F{0} is bolt {{ 80 A }}\n"
            "route B{0}.+ (W{0}0 25 mm2, 0.1 m) F{0} (W{0}1 25 mm2, 0.3 m) X1.{0}\n",
            i);
        if (own_managements || i == 1)
            text += fmt::format(
                "bms Q{0} is watch\nroute B{0}.- (W{0}2 25 mm2, 0.1 m) Q{0} (W{0}3 25 mm2, 0.3 m) "
                "X2.{0}\n",
                i);
        else
            text += fmt::format("route B{0}.- (W{0}2 25 mm2, 0.1 m) B1.-\n", i);
    }
    return text +
           fmt::format(
               "controller U1 {{ input 30..60 V, capacitance 1 uF, supply-limit 60 A, phase-peak 120 A, "
               "regen {}, spare U V W }}\n"
               "charger G1 {{ output 54.6 V {} A, reverse blocked }}\nfuse F8 is bolt {{ 80 A }}\n"
               "route X1.8 (W80 25 mm2, 0.3 m) S1 (W81 25 mm2, 0.3 m) U1.+\nroute U1.- (W82 25 mm2, 0.3 m) "
               "X2.8\n"
               "route G1.+ (W83 25 mm2, 0.3 m) F8 (W84 25 mm2, 0.3 m) X1.9\n"
               "route G1.- (W85 25 mm2, 0.3 m) X2.9\n"
               "mode off {{ others at rest }}\nmode row {{ others at rest, S1 closed, U1 draws 40 A }}\n"
               "mode shore {{ others at rest, G1 delivers limit }}\n",
               regen, charger_A);
}

}  // namespace

TEST_CASE("of two packs each may be left with all that a drive returns") {
    for (const std::string_view pack : {"B1", "B2"}) {
        const Told found = told(barge(2, "31 A", 20), "charged-alone", pack);
        REQUIRE(found);
        CHECK(found.finding->severity == Severity::warning);
        CHECK(found.finding->beside == "31 A; may take 30 A");
        REQUIRE(found.finding->cures.size() == 1);
        CHECK(found.finding->cures.front().value == Approx(31));
    }
    CHECK_FALSE(told(barge(2, "29.9 A", 20), "charged-alone"));
    CHECK_FALSE(told(barge(2, "none", 20), "charged-alone"));
    // One management for both opens both.
    CHECK_FALSE(told(barge(2, "31 A", 20, false), "charged-alone"));
    CHECK_FALSE(told(barge(1, "29 A", 20), "charged-alone"));
}

TEST_CASE("of three the other two share, and a charger is noted only") {
    const Told found = told(barge(3, "61 A", 20), "charged-alone", "B2");
    REQUIRE(found);
    CHECK(found.finding->beside == "30.5 A; may take 30 A");
    CHECK_FALSE(told(barge(3, "59 A", 20), "charged-alone"));
    const Told noted = told(barge(2, "none", 50), "charged-alone", "B1");
    REQUIRE(noted);
    CHECK(noted.finding->severity == Severity::note);
    CHECK_FALSE(told(barge(2, "none", 30), "charged-alone"));
}

}  // namespace lone_packs_test
