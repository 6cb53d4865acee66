// What has to stay apart from a pack above 60 V: a frame that bonds, the other side of an isolated converter.
#include <fmt/format.h>

#include "tests/checker/told.hpp"

namespace isolation_test {

using namespace loomward;
using namespace loomward::testing;

namespace {

// A winch on a slipway: a pack of so many cells, a converter for its lamp, a frame; `more` lies beside them.
Results winch(int cells, const std::string& more, const std::string& sides = "isolated",
              const std::string& serves = "bond") {
    return check_text(fmt::format(R"(loom 1
harness "Slipway winch" {{ ambient 0..35 degC, insulation xlpe 90 degC }}
pack B1 {{ cells {0}s4p, cell-voltage 3.0..4.0 V, cell-resistance 2 mohm, cell-capacity 5 Ah, discharge 60 A, charge 10 A }}
fuse F1 {{ 20 A, 160 V dc, breaks 20 kA at 160 V dc, curve iec60269-gg, rated-at 23 degC }}
switch S1 {{ 160 V dc, carries 30 A, makes 30 A, breaks 30 A at 160 V dc }}
converter D1 {{ input 15..120 V, output 12 V 3 A, efficiency 90 %, negative {1}, reverse blocked }}
load H1 {{ 12 V, 1 A, acts-as current, works 9..15 V }}
frame X9 "slipway" {{ serves {2} }}
device A1 {{ pin supply supply 12 V 5 mA, pin minus return, pin earth signal }}
route B1.+ (W1 4 mm2, 0.1 m, red) F1 (W2 4 mm2, 0.3 m, red) S1 (W3 4 mm2, 0.3 m, red) D1.in+
route D1.in- (W4 4 mm2, 0.3 m, black) B1.-
route D1.out+ (W5 1 mm2, 0.3 m, red) H1 (W6 1 mm2, 0.3 m, black) D1.out-
{3}
mode off {{ others at rest }}
mode on {{ S1 closed, others at rest }}
)",
                                  cells, sides, serves, more));
}
const std::string bonded = "route B1.- (W7 4 mm2, 0.3 m, green-yellow) X9\n";
const std::string tied = "route D1.out- (W8 4 mm2, 0.3 m, black) B1.-\n";

}  // namespace

TEST_CASE("a pack above 60 V that is joined to a bond is told, with the way to follow; one of 60 V is not") {
    const Results high = winch(20, bonded);  // 80 V
    const Finding* finding = finding_of(high, "bonded-pack", "X9");
    REQUIRE(finding);
    CHECK(finding->severity == Severity::note);
    CHECK(finding->message == "frame X9 serves as bond and is joined to a pack");
    CHECK(figure(*finding, "voltage") == Approx(80));
    CHECK(figure(*finding, "limit") == Approx(60));
    REQUIRE(finding->witness.size() >= 3);
    CHECK(finding->witness[1].name == "W7");
    CHECK_FALSE(finding_of(winch(15, bonded), "bonded-pack"));  // 60 V
    CHECK(finding_of(winch(16, bonded), "bonded-pack"));        // 64 V
}

TEST_CASE("a bond that joins no pole, and a frame that serves as return, are none of it") {
    CHECK_FALSE(finding_of(winch(20, ""), "bonded-pack"));
    CHECK_FALSE(finding_of(winch(20, bonded, "isolated", "return"), "bonded-pack"));
    CHECK_FALSE(finding_of(winch(20, "route D1.out- (W7 1 mm2, 0.3 m, green-yellow) X9\n"), "bonded-pack"));
}

TEST_CASE(
    "a bond behind a switch counts in the mode that closes it, and a resistor to the frame is no bond") {
    const std::string through_load_side = "route S1.out (W7 4 mm2, 0.3 m, green-yellow) X9\n";
    const Results joined = winch(20, through_load_side);
    const Finding* finding = finding_of(joined, "bonded-pack", "X9");
    REQUIRE(finding);
    CHECK(finding->mode == ModeId(1));
    CHECK_FALSE(finding_of(
        winch(20, "resistor R1 { 100 kohm, 1 W }\nroute B1.- (W7 1 mm2, 0.3 m) R1 (W8 1 mm2, 0.3 m) X9\n"),
        "bonded-pack"));
}

TEST_CASE(
    "the sides of an isolated converter that a conductor joins are told above 60 V, whichever pole it is") {
    for (const char* lead : {"route D1.out- (W8 4 mm2, 0.3 m, black) B1.-\n",
                             "route D1.out+ (W8 4 mm2, 0.3 m, black) D1.in-\n"}) {
        const Results high = winch(20, lead);
        const Finding* finding = finding_of(high, "joined-sides", "D1");
        REQUIRE(finding);
        CHECK(finding->severity == Severity::note);
        CHECK(figure(*finding, "voltage") >= 80 * 0.999);
    }
    CHECK_FALSE(finding_of(winch(20, ""), "joined-sides"));
    CHECK_FALSE(finding_of(winch(15, tied), "joined-sides"));
    CHECK_FALSE(finding_of(winch(20, "", "common"), "joined-sides"));
}

TEST_CASE("a converter that levels two packs of a string stands between them on purpose") {
    const Results level = check_text(R"(loom 1
harness "Raft" { ambient 0..35 degC, insulation xlpe 90 degC }
part bank is pack { voltage 36..50 V, resistance 20 mohm, capacity 20 Ah, discharge 40 A, charge 10 A }
pack B1 is bank
pack B2 is bank
part link is fuse { 40 A, 160 V dc, breaks 20 kA at 160 V dc, curve iec60269-gg, rated-at 23 degC }
fuse F1 is link
fuse F2 is link
fuse F3 is link
load E1 { 96 V, 1 kW, acts-as power, works 60..120 V }
converter D1 { input 30..60 V, output 50 V 5 A, efficiency 90 %, negative isolated, reverse blocked }
route B2.+ (W1 10 mm2, 0.2 m) F1 (W2 10 mm2, 0.2 m) E1.+
route B2.- (W3 10 mm2, 0.2 m) B1.+
route B1.- (W4 10 mm2, 0.2 m) E1.-
route B1.+ (W5 10 mm2, 0.2 m) F2 (W6 10 mm2, 0.2 m) D1.in+
route D1.in- (W7 10 mm2, 0.2 m) B1.-
route B2.+ (W8 10 mm2, 0.2 m) F3 (W9 10 mm2, 0.2 m) D1.out+
route D1.out- (W10 10 mm2, 0.2 m) B2.-
mode heat { others at rest }
)");
    CHECK_FALSE(finding_of(level, "joined-sides"));
}

}  // namespace isolation_test
