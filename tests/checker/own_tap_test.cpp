// A short tap to a fuse of its own that is itself too large for the tap: held to that fuse, not to what lies
// before it, whatever hangs behind.
#include <catch2/catch.hpp>

#include "tests/checker/told.hpp"

namespace own_tap_test {

using namespace loomward;
using namespace loomward::testing;

namespace {

Told mill(const std::string& tap, const std::string& rated, const std::string& behind) {
    return told(
        "loom 1\nharness \"Oil mill\" { ambient 5..30 degC, insulation pvc 70 degC }\n"
        "pack B1 { voltage 23..28 V, resistance 8 mohm, capacity 200 Ah, discharge 200 A, charge 60 A }\n"
        "fuse F1 { 150 A, 80 V dc, breaks 20 kA at 80 V dc, curve iso8820-5 }\nfuse F2 { " +
            rated +
            ", 80 V dc, breaks 20 kA at 80 V dc, curve iso8820-5 }\n"
            "busbar X1 { studs 4, carries 200 A }\n"
            "load E1 { 24 V, 100 A, acts-as current, works 18..32 V }\n" +
            behind + "\nroute B1.+ (W1 50 mm2, 0.1 m, red) F1 (W2 50 mm2, 0.3 m, red) X1.1\n" +
            "route X1.2 (W3 50 mm2, 1 m, red) E1 (W4 50 mm2, 1 m, black) B1.-\n"
            "route X1.3 (W5 " +
            tap + ", red) F2 (W6 16 mm2, 1 m, red) P9.+\nroute P9.- (W7 16 mm2, 1 m, black) B1.-\n",
        "oversized-fuse");
}
const std::string charger = "charger P9 { output 28 V 20 A, reverse blocked }",
                  lamp = "load P9 { 24 V, 20 A, acts-as current, works 18..32 V }";

}  // namespace

TEST_CASE("a short tap is held to its own fuse before a charger as before a load") {
    for (const std::string& behind : {charger, lamp}) {
        INFO(behind);
        CHECK_FALSE(mill("6 mm2, 0.15 m", "30 A", behind));
        const Told large = mill("4 mm2, 0.15 m", "60 A", behind);
        REQUIRE(large);
        CHECK(large.finding->subject == "W5");
        CHECK(figure(*large.finding, "operating") == Approx(1.35 * 60));
        CHECK(large.finding->help.find("a rated current of") == 0);
        // Longer than the policy leaves, it is held to what lies before it.
        const Told longer = mill("4 mm2, 0.5 m", "30 A", behind);
        REQUIRE(longer);
        CHECK(figure(*longer.finding, "operating") > 150);
    }
}

}  // namespace own_tap_test
