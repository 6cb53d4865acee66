// A board of bars on a lead-acid pack, with what people hang on it: a return that two branches share, a panel
// for upkeep, a charger behind a diode.
#include <algorithm>

#include "tests/checker/exchanged.hpp"

namespace small_board_test {

using namespace loomward;
using namespace loomward::testing;

namespace {

std::string board(const std::string& rest) {
    return "loom 1\nharness \"pond pump\" { ambient 0..40 degC, insulation pvc 90 degC }\n"
           "part blade is fuse { 58 V dc, breaks 4 kA at 58 V dc, curve iso8820-3 }\n"
           "part bolt is fuse { 58 V dc, breaks 5 kA at 58 V dc, curve iso8820-5 }\n"
           "pack B1 \"traction battery, lead-acid\" { voltage 20..29.2 V, resistance 10..16 mohm, capacity "
           "90 "
           "Ah, discharge 100 A, charge 30 A }\n"
           "fuse F1 \"main\" is bolt { 80 A }\n"
           "switch S1 \"isolator\" { 48 V dc, carries 150 A, makes 300 A, breaks 120 A at 32 V dc, "
           "resistance "
           "0.3 mohm }\n"
           "busbar XP { studs 8, carries 150 A }\nbusbar XM { studs 8, carries 150 A }\n"
           "route XM.1 (W4 25 mm2, 0.6 m) B1.-\n"
           "route B1.+ (W1 25 mm2, 0.15 m) F1 (W2 25 mm2, 0.4 m) S1 (W3 25 mm2, 0.4 m) XP.1\n"
           "policy { voltage-drop 20 % }\n" +
           rest;
}

// Two branches whose fuses lie so far from the bar, with one return of 3 m.
std::string shared_return(const std::string& to_fuse, const std::string& to_load) {
    const auto branch = [&](const std::string& n) {
        return "fuse F" + n + " is blade { 10 A }\nload E" + n +
               " { 24 V, 3 A, acts-as current, works 8..31 V }\nroute XP." + n + " (W" + n + "0 2.5 mm2, " +
               to_fuse + ") F" + n + " (W" + n + "1 2.5 mm2, " + to_load + ") E" + n + " (W" + n +
               "3 2.5 mm2, 0.3 m) X6\n";
    };
    return board("splice X6 { method crimp }\nroute X6 (W90 2.5 mm2, 3 m) XM.2\n" + branch("2") +
                 branch("3") + "mode off { others at rest }\nmode on { S1 closed }\n");
}

}  // namespace

TEST_CASE(
    "a fuse at the bar lies beside the near end of a shared return, one at its load beside the far end") {
    CHECK_FALSE(told(shared_return("0.1 m", "3 m"), "slow-clearing"));
    const Told far = told(shared_return("3 m", "0.1 m"), "slow-clearing");
    REQUIRE(far);
    CHECK(far.finding->severity == Severity::error);
}

TEST_CASE("a panel on a pack is a matter of its own rules, and no short circuit of any mode") {
    const std::string panel = board(
        "panel V1 { open-circuit-voltage 44 V, short-circuit-current 0.3 A, maximum-series-fuse 15 A }\n"
        "fuse F4 is blade { 2 A }\n"
        "route XP.2 (W20 1.5 mm2, 0.1 m) F4 (W21 1.5 mm2, 1 m) V1.+\nroute V1.- (W22 1.5 mm2, 1.2 m) XM.2\n"
        "mode off { others at rest }\nmode sunny { S1 closed, others at rest }\n");
    const Results results = check_text(panel);
    CHECK(finding_of(results, "panel-on-pack", "V1"));
    for (const std::string_view rule : {"overdrawn-pack", "overloaded-fuse", "overloaded-wire",
                                        "overloaded-contact", "breaking-current", "making-current"}) {
        INFO(rule);
        CHECK_FALSE(finding_of(results, rule));
    }
}

TEST_CASE("a pack that is called lead-acid is not taken for lithium by its full voltage") {
    const std::string text = board("mode off { others at rest }\n");
    CHECK_FALSE(told(text, "unwatched-cells"));
    // 29.2 V is 8 x 3.65 V.
    CHECK(told(with(text, {{"traction battery, lead-acid", "traction battery"}}), "unwatched-cells", "B1"));
}

TEST_CASE("a charger behind a diode that is turned round is not told to mate a plug") {
    const auto charged = [](const std::string& more, const std::string& anode_to) {
        return board(
            "charger G1 { output 28.8 V 10 A, reverse blocked }\ndiode D5 { 25 A, 100 V, drop 0.5 V }\n"
            "fuse F5 is blade { 15 A }\n" +
            more + "route G1.+ (W10 4 mm2, 0.5 m) D5." + (anode_to == "pack" ? "K" : "A") + "\nroute D5." +
            (anode_to == "pack" ? "A" : "K") +
            " (W11 4 mm2, 0.5 m) F5.out\nroute F5.in (W12 4 mm2, 0.1 m) XP.3\n"
            "route G1.- (W13 4 mm2, 0.8 m) XM.3\n"
            "mode off { others at rest }\nmode pedalling { S1 closed, G1 delivers 8 A, others at rest }\n");
    };
    const Told turned = told(charged("", "pack"), "no-pack-to-charge", "G1");
    REQUIRE(turned);
    CHECK(turned.finding->severity == Severity::warning);
    CHECK(turned.finding->help == "land its output on the side of the diode where the pack is");
    CHECK_FALSE(told(charged("", "charger"), "no-pack-to-charge", "G1"));
    // On the side of what it feeds it is a supply that the pack stands by for.
    const Told supply = told(charged("load E9 { 24 V, 2 A, acts-as current, works 18..31 V }\n"
                                     "route G1.+ (W14 4 mm2, 0.5 m) E9 (W15 4 mm2, 0.5 m) XM.4\n",
                                     "pack"),
                             "no-pack-to-charge", "G1");
    REQUIRE(supply);
    CHECK(supply.finding->severity == Severity::note);
}

}  // namespace small_board_test
