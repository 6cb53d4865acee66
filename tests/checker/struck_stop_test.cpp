// A stop that rests closed in the way of a coil: struck alone it has to let go, on whichever side of the coil
// it lies, also where no mode strikes it.
#include <catch2/catch.hpp>

#include <fmt/format.h>

#include "tests/checker/checking.hpp"

namespace struck_stop_test {

using namespace loomward;
using namespace loomward::testing;

namespace {

// A saw whose coil of 48 V, 160 ohm is switched by S3 in its plus and stopped by S4 in its minus.
Results saw(const std::string& more, const std::string& stop = "rest closed") {
    return check_text(R"(loom 1
harness "Slab saw" { ambient 0..35 degC, insulation xlpe 90 degC }
pack B1 { voltage 44..57.6 V, resistance 8..20 mohm, capacity 120 Ah, discharge 100 A, charge 30 A }
fuse F1 { 60 A, 80 V dc, breaks 8 kA at 80 V dc, curve iso8820-5 }
fuse F2 { 2 A, 125 V dc, breaks 10 kA at 125 V dc, curve ul248-14 }
switch S1 { 80 V dc, carries 60 A, makes 300 A, breaks 60 A at 60 V dc }
switch S3 { 80 V dc, carries 3 A, breaks 1 A at 60 V dc }
switch S4 { 80 V dc, carries 3 A, breaks 1 A at 60 V dc, )" +
                      stop + R"( }
switch S5 { 80 V dc, carries 3 A, breaks 1 A at 60 V dc }
contactor K1 { carries 60 A, makes 300 A, breaks 60 A at 80 V dc, coil 48 V 300 mA, coil-works 36..62 V
  suppression zener }
load M1 { 48 V, 30 A, acts-as current }
busbar X2 { studs 8, carries 100 A }
stud X1
route B1.+ (W1 25 mm2, 0.1 m, red) F1 (W2 25 mm2, 0.1 m, red) S1 (W3 25 mm2, 0.3 m, red) X1
route X1 (W4 25 mm2, 0.3 m, red) K1 (W5 25 mm2, 0.3 m, red) M1 (W6 25 mm2, 0.3 m, black) X2.1
route B1.- (W7 25 mm2, 0.1 m, black) X2.2
route X1 (W8 1 mm2, 0.1 m, red) F2 (W9 1 mm2, 0.3 m, red) S3 (W10 1 mm2, 0.3 m, red) K1.A1
route K1.A2 (W11 1 mm2, 0.3 m, blue) S4 (W12 1 mm2, 0.3 m, black) X2.3
)" + more + "mode off { others at rest }\nmode cut { S1 S3 closed, K1 closed, others at rest }\n");
}
std::string round_it(double ohm) {
    return fmt::format(
        "resistor R4 {{ {} ohm, 25 W, pulse 200 J }}\n"
        "route K1.A2 (W13 1 mm2, 0.3 m, white) R4 (W14 1 mm2, 0.3 m, black) X2.4\n",
        ohm);
}

}  // namespace

TEST_CASE(
    "a stop in the minus of a coil that a resistor leads round does not let go, though no mode strikes it") {
    const Results held = saw(round_it(60));
    const Finding* finding = finding_of(held, "held-coil", "K1");
    REQUIRE(finding);
    CHECK(finding->severity == Severity::error);
    CHECK(finding->message.find("when S4 opens") != std::string::npos);
    // 57.6 V x 160 / (160 + R): 4.8 V, a tenth of the coil's, at 1760 ohm.
    CHECK(gravest_of(saw(round_it(1740)), "held-coil", "K1") == Severity::warning);
    CHECK_FALSE(finding_of(saw(round_it(1780)), "held-coil"));
    CHECK_FALSE(finding_of(saw(""), "held-coil"));
}

TEST_CASE("what leads round a stop over a contact that is closed for it is meant to") {
    const std::string over =
        "route K1.A2 (W13 1 mm2, 0.3 m, white) S5 (W14 1 mm2, 0.3 m, black) X2.4\n"
        "mode override { S1 S3 S5 closed, K1 closed, others at rest }\n";
    CHECK_FALSE(finding_of(saw(over), "held-coil"));
}

}  // namespace struck_stop_test
