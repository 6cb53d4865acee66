// A guard with very many short circuits to open: the one that matters is neither the largest nor the
// smallest.
#include <fmt/format.h>

#include "tests/failures/trying.hpp"

namespace many_shorts_test {

using namespace loomward;
using namespace loomward::testing;

namespace {

// Thick short leads, thick long ones, and a pair of thin ones whose short lies between.
std::string lock_house(int loads, double thin_mm2) {
    std::string text = R"(loom 1
harness "Lock house" { ambient 5..30 degC, insulation pvc 70 degC }
pack B1 { voltage 22..29 V, resistance 15..24 mohm, capacity 180 Ah, discharge 190 A, charge 25 A }
fuse F0 { 100 A, 80 V dc, breaks 6 kA at 80 V dc, curve iso8820-5 }
fuse F1 { 10 A, 80 V dc, breaks 6 kA at 80 V dc, curve iso8820-3 }
switch S1 { 60 V dc, carries 210 A, makes 210 A, breaks 210 A at 60 V dc }
stud X1
stud X2
route B1.+ (W1 50 mm2, 0.1 m, red) F0 (W2 50 mm2, 0.1 m, red) S1 (W3 50 mm2, 0.1 m, red) F1 (W4 50 mm2, 0.1 m, red) X1
route X2 (W5 50 mm2, 0.1 m, black) B1.-
)";
    for (int i = 0; i < loads; ++i)
        text += fmt::format(
            "load L{0} {{ 24 V, 2 W, acts-as current }}\nroute X1 (WA{0} 25 mm2, 0.1 m, red) L{0} (WB{0} 25 "
            "mm2, 0.1 "
            "m, black) X2\nload M{0} {{ 24 V, 2 W, acts-as current }}\nroute X1 (WC{0} 25 mm2, 180 m, red) "
            "M{0} "
            "(WD{0} 25 mm2, 180 m, black) X2\n",
            i);
    return text +
           fmt::format(
               "load E1 {{ 24 V, 2 W, acts-as current }}\nroute X1 (WT {0} mm2, 2 m, red) E1 (WU {0} mm2, 2 "
               "m, black) X2\nmode off {{ others at rest }}\nmode on {{ S1 closed, others at rest }}\n",
               thin_mm2);
}

}  // namespace

TEST_CASE("a thin lead behind a bridged fuse burns, however many other shorts the fuse would open") {
    for (const int loads : {1, 9}) {
        INFO(loads);
        const FailureReport report = tried_in_full(harness_of("test.loom", lock_house(loads, 1)));
        const TriedFailure& bridged = failure(report, "F1 is bridged");
        CHECK(bridged.level == Severity::warning);
        CHECK(bridged.then.starts_with("WT WU burn, the first after "));
        const FailureReport thick = tried_in_full(harness_of("test.loom", lock_house(loads, 35)));
        CHECK(failure(thick, "F1 is bridged").then == "no wire burns for it");
    }
}

TEST_CASE("where single failures are not counted for the size of a harness, that is said") {
    const Results results = check_text(lock_house(1, 1));
    CHECK_FALSE(count_unstoppable(results).left_out);
    CHECK(count_unstoppable(results, 10).left_out);
}

}  // namespace many_shorts_test
