// What a converter gives comes back to its own minus: what other currents do to a minus bar that it shares is
// no loss of its loads, and what they do between that bar and its minus is.
#include <catch2/catch.hpp>

#include <fmt/format.h>

#include "tests/checker/told.hpp"

namespace shared_minus_test {

using namespace loomward;
using namespace loomward::testing;

namespace {

// A weir keeper's hut: a heater lifts the minus bar by 0.7 V, a lamp hangs on a converter beside it.
Told weir(const std::string& lamp_return, const std::string& converter_home,
          const std::string& output = "12.5 V 10 A", const std::string& lamp = "12 V, 2 A") {
    return told(
        "loom 1\nharness \"Weir hut\" { ambient 5..30 degC, insulation xlpe 90 degC }\n"
        "pack B1 { voltage 23..28 V, resistance 8 mohm, capacity 200 Ah, discharge 200 A, charge 20 A }\n"
        "fuse F1 { 150 A, 80 V dc, breaks 20 kA at 80 V dc, curve iso8820-5 }\n"
        "fuse F2 { 10 A, 80 V dc, breaks 20 kA at 80 V dc, curve iso8820-3 }\n"
        "fuse F3 { 5 A, 80 V dc, breaks 20 kA at 80 V dc, curve iso8820-3 }\n"
        "switch S1 { 80 V dc, carries 200 A, makes 200 A, breaks 200 A at 32 V dc }\n"
        "busbar X1 { studs 4, carries 200 A }\nbusbar X2 { studs 5, carries 200 A }\n"
        "load E1 \"heater\" { 24 V, 100 A, acts-as current, works 18..32 V }\n"
        "converter D1 { input 18..32 V, output " +
            output +
            ", efficiency 90 %, negative common, reverse blocked, spare out- }\nload E2 \"lamp\" { " + lamp +
            ", acts-as current }\n"
            "route B1.+ (W1 50 mm2, 0.1 m, red) F1 (W2 50 mm2, 0.3 m, red) S1 (W3 50 mm2, 0.3 m, red) X1.1\n"
            "route X2.1 (W4 25 mm2, 8 m, black) B1.-\n"
            "route X1.2 (W5 50 mm2, 1 m, red) E1 (W6 50 mm2, 1 m, black) X2.2\n"
            "route X1.3 (W7 4 mm2, 0.1 m, red) F2 (W8 4 mm2, 0.5 m, red) D1.in+\nroute D1.in- (W9 4 mm2, 0.5 "
            "m, black) " +
            converter_home + "\nroute D1.out+ (W10 2.5 mm2, 0.1 m, red) F3 (W11 2.5 mm2, 0.5 m, red) E2 (" +
            lamp_return + ", black) X2.4\nmode on { S1 closed, E1 on, E2 on }\n",
        "voltage-drop", "E2");
}
const std::string thick = "W12 2.5 mm2, 0.5 m", thin = "W12 0.5 mm2, 8 m", at_bar = "X2.3";

std::string way_back(const Finding& finding) {
    std::string path;
    bool behind = false;
    for (const Step& step : finding.witness) {
        if (behind) path += " " + step.name;
        behind = behind || step.name == "E2";
    }
    return path;
}

}  // namespace

TEST_CASE("a minus bar that others lift under a converter and its load alike is no loss of the load") {
    CHECK_FALSE(weir(thick, at_bar));
    const Told lost = weir(thin, at_bar);
    REQUIRE(lost);
    // 2 A through 16 m there and back of what it is told of: some 0.6 V, of 12.5 V and not of what the bar
    // adds.
    CHECK(lost.finding->working.front().find("12.5 V at the source") == 0);
    CHECK(way_back(*lost.finding) == " W12 W9 D1.in-");
}

TEST_CASE("what others lift the bar of a load above the minus of its converter is lost to it") {
    const Told lifted = weir(thick, "B1.-");
    REQUIRE(lifted);
    CHECK(figure(*lifted.finding, "drop") > 5);
    CHECK(way_back(*lifted.finding) == " W12 W4 W9 D1.in-");
}

TEST_CASE("a converter that draws more than it gives is come back to against what it draws") {
    const Told raised = weir("W12 0.5 mm2, 25 m", at_bar, "48 V 4 A", "48 V, 2 A");
    REQUIRE(raised);
    CHECK(way_back(*raised.finding) == " W12 W9 D1.in-");
    CHECK_FALSE(weir(thick, at_bar, "48 V 4 A", "48 V, 2 A"));
}

}  // namespace shared_minus_test
