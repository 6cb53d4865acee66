// Two packs on one charger: what of its current goes where the other takes none, and a diode turned round.
#include <fmt/format.h>

#include "tests/checker/told.hpp"

namespace charger_shares_test {

using namespace loomward;
using namespace loomward::testing;

namespace {

struct Gate {
    std::string first = "X5 (W11 10 mm2, 0.2 m) D1 (W12 10 mm2, 0.2 m) F1.out";
    std::string second = "X5 (W13 10 mm2, 0.2 m) D2 (W14 10 mm2, 0.2 m) F2.out";
    double diode_A = 60;  // of D1
    double gives_A = 40;
    std::string more = {};
};
// A lock gate with two batteries on one charger, each through a diode of its own; S2 leads to the second.
Results gate(const Gate& made) {
    return check_text(fmt::format(R"(loom 1
harness "Lock gate" {{ ambient 0..35 degC, insulation xlpe 90 degC }}
part bank is pack {{ voltage 10.5..14.4 V, resistance 6 mohm, capacity 80 Ah, discharge 80 A, charge 60 A }}
pack B1 is bank
pack B2 is bank
charger G1 {{ output 14.8 V 40 A, reverse blocked }}
fuse F1 {{ 70 A, 58 V dc, breaks 4 kA at 58 V dc, curve iso8820-5 }}
fuse F2 {{ 70 A, 58 V dc, breaks 4 kA at 58 V dc, curve iso8820-5 }}
diode D1 {{ {} A, 60 V, drop 0.5 V }}
diode D2 {{ 60 A, 60 V, drop 0.5 V }}
switch S2 {{ 60 V dc, carries 100 A, makes 100 A, breaks 100 A at 60 V dc }}
busbar X2 {{ studs 6, carries 200 A }}
stud X5 {{ carries 100 A }}
load H1 {{ 12 V, 2 A, acts-as current, works 9..16 V }}
load H2 {{ 12 V, 2 A, acts-as current, works 9..16 V }}
route G1.+ (W10 10 mm2, 0.3 m) X5
route {}
route {}
route F1.in (W15 10 mm2, 0.1 m) B1.+
route F2.in (W16 10 mm2, 0.1 m) S2 (W17 10 mm2, 0.1 m) B2.+
route B1.- (W18 10 mm2, 0.2 m) X2.1
route B2.- (W19 10 mm2, 0.2 m) X2.2
route G1.- (W20 10 mm2, 0.2 m) X2.3
route F1.out (W21 10 mm2, 0.1 m) H1 (W22 10 mm2, 0.1 m) X2.4
route F2.out (W23 10 mm2, 0.1 m) H2 (W24 10 mm2, 0.1 m) X2.5
{}
mode off {{ others at rest }}
mode fill {{ S2 closed, G1 delivers {} A, others at rest }}
)",
                                  made.diode_A, made.first, made.second, made.more, made.gives_A));
}

}  // namespace

TEST_CASE("a diode to one of two packs is held to all that the charger gives") {
    const Results weak = gate({.diode_A = 39.9});
    const Finding* finding = finding_of(weak, "below-charger", "D1");
    REQUIRE(finding);
    CHECK(finding->severity == Severity::warning);
    CHECK(finding->message == "diode D1 carries less than charger G1 gives");
    CHECK(figure(*finding, "current") == Approx(40).epsilon(1e-3));
    CHECK_FALSE(finding_of(gate({.diode_A = 40.1}), "below-charger"));
    // What it is set to counts, not what it could give.
    CHECK_FALSE(finding_of(gate({.diode_A = 30, .gives_A = 25}), "below-charger"));
}

TEST_CASE("of several chargers the one that gives the most of what a diode may carry is told") {
    const auto second = [](const std::string& amperes) {
        return gate({.diode_A = 39.9,
                     .more = "charger G2 { output 14.8 V 60 A, reverse blocked }\n"
                             "route G2.+ (W31 10 mm2, 0.2 m) X5\nroute G2.- (W32 10 mm2, 0.2 m) X2.6\n"
                             "mode shore { S2 closed, G2 delivers " +
                             amperes + " A, others at rest }"});
    };
    const auto by = [](const Results& results) {
        const Finding* finding = finding_of(results, "below-charger", "D1");
        return finding ? finding->message : "";
    };
    CHECK(by(second("45")) == "diode D1 carries less than charger G2 gives");
    CHECK(by(second("39.95")) == "diode D1 carries less than charger G1 gives");
    CHECK(by(second("35")) == "diode D1 carries less than charger G1 gives");
}

TEST_CASE("a contact to one of two packs is held to what the charger gives, with what would pass") {
    const auto contact = [](const std::string& carries) {
        return gate({.first = "X5 (W11 10 mm2, 0.2 m) S1 (direct) D1 (W12 10 mm2, 0.2 m) F1.out",
                     .more = "switch S1 { 60 V dc, rest closed, carries " + carries +
                             ", makes 100 A, breaks 100 A at 60 V dc }"});
    };
    const Results weak = contact("39.9 A");
    const Finding* finding = finding_of(weak, "below-charger", "S1");
    REQUIRE(finding);
    REQUIRE(finding->cures.size() == 1);
    CHECK(finding->cures.front().value == Approx(40).epsilon(1e-3));
    CHECK_FALSE(finding_of(contact("40.1 A"), "below-charger"));
}

TEST_CASE("a second way to the pack takes a share: what lies beside it is not held to all of the current") {
    CHECK_FALSE(finding_of(gate({.diode_A = 30,
                                 .more = "diode D3 { 30 A, 60 V, drop 0.5 V }\nroute X5 (W31 10 mm2, 0.2 m) "
                                         "D3 (W32 10 mm2, 0.2 m) F1.out"}),
                           "below-charger"));
}

TEST_CASE("what a mode overloads by itself is told once, by the rule of its part") {
    const Results alone = gate({.diode_A = 30, .more = "mode alone { G1 delivers 40 A, others at rest }"});
    CHECK(finding_of(alone, "overloaded-diode", "D1"));
    CHECK_FALSE(finding_of(alone, "below-charger"));
}

TEST_CASE("a diode turned round leaves its pack without charge, and is named") {
    CHECK_FALSE(finding_of(gate({}), "uncharged-pack"));
    const Results turned = gate({.second = "X5 (W13 10 mm2, 0.2 m) D2.K>A (W14 10 mm2, 0.2 m) F2.out"});
    const Finding* finding = finding_of(turned, "uncharged-pack", "B2");
    REQUIRE(finding);
    CHECK(finding->severity == Severity::warning);
    CHECK(finding->message ==
          "pack B2 is charged in no mode: diode D2 lies against the current of charger G1");
    CHECK_FALSE(finding_of(turned, "uncharged-pack", "B1"));
    // Charged by something else in some mode.
    CHECK_FALSE(finding_of(gate({.second = "X5 (W13 10 mm2, 0.2 m) D2.K>A (W14 10 mm2, 0.2 m) F2.out",
                                 .more = "charger G2 { output 14.8 V 5 A, reverse blocked }\n"
                                         "route G2.+ (W31 10 mm2, 0.2 m) F2.out\n"
                                         "route G2.- (W32 10 mm2, 0.2 m) X2.6\n"
                                         "mode shore { S2 closed, G2 delivers 5 A, others at rest }"}),
                           "uncharged-pack"));
}

TEST_CASE("two packs side by side behind one management: the cells of one are seen") {
    const auto raft = [](bool own) {
        return check_text(fmt::format(R"(loom 1
harness "Raft" {{ ambient 0..35 degC, insulation xlpe 90 degC }}
part bank is pack {{ cells 7s4p, cell-voltage 3.0..4.2 V, cell-resistance 2 mohm, cell-capacity 5 Ah, discharge 40 A, charge 10 A }}
pack B1 is bank
pack B2 is bank
part guard is bms {{ side low, ports common, discharge 60 A, charge 30 A, trips 120 A after 1 s, resistance 1 mohm }}
bms Q1 is guard
bms Q2 is guard
fuse F1 {{ 40 A, 58 V dc, breaks 4 kA at 58 V dc, curve iso8820-5 }}
fuse F2 {{ 40 A, 58 V dc, breaks 4 kA at 58 V dc, curve iso8820-5 }}
load H1 {{ 24 V, 2 A, acts-as current, works 18..32 V }}
busbar X1 {{ studs 4, carries 100 A }}
busbar X2 {{ studs 4, carries 100 A }}
route B1.+ (W1 10 mm2, 0.1 m) F1 (W2 10 mm2, 0.2 m) X1.1
route B2.+ (W3 10 mm2, 0.1 m) F2 (W4 10 mm2, 0.2 m) X1.2
route B1.- (W5 10 mm2, 0.1 m) Q1 (W6 10 mm2, 0.2 m) X2.1
route B2.- (W7 10 mm2, 0.1 m) {}
route X1.3 (W9 1 mm2, 0.2 m) H1 (W10 1 mm2, 0.2 m) X2.3
mode off {{ others at rest }}
)",
                                      own ? "Q2 (W8 10 mm2, 0.2 m) X2.2" : "Q1.B-"));
    };
    const Results shared = raft(false);
    const Finding* finding = finding_of(shared, "unwatched-cells", "B2");
    REQUIRE(finding);
    CHECK(finding->severity == Severity::note);
    CHECK(finding->message == "pack B2 lies beside pack B1 behind one battery management");
    CHECK_FALSE(finding_of(raft(true), "unwatched-cells"));
}

}  // namespace charger_shares_test
