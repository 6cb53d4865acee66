// Modes that have a controller at work whose key is dead.
#include <catch2/catch.hpp>

#include "tests/checker/checking.hpp"

namespace dead_keys_test {

using namespace loomward;
using namespace loomward::testing;

namespace {

Results ferry(const std::string& modes, const std::string& pins = "pin key supply 20 mA",
              const std::string& more = "") {
    return check_text(R"(loom 1
harness "Rope ferry" { ambient 0..35 degC, insulation xlpe 90 degC }
pack B1 { voltage 40..54 V, resistance 20..30 mohm, capacity 60 Ah, discharge 80 A, charge 20 A }
fuse F1 { 60 A, 80 V dc, breaks 8 kA at 80 V dc, curve iso8820-5 }
fuse F2 { 2 A, 125 V dc, breaks 10 kA at 125 V dc, curve ul248-14 }
switch S1 { 60 V dc, carries 100 A, makes 200 A, breaks 100 A at 60 V dc }
switch S2 "key" { 60 V dc, carries 6 A, breaks 2 A at 60 V dc }
controller U1 { input 30..60 V, capacitance 1 mF, supply-limit 40 A, phase-peak 80 A, regen 10 A
  )" + pins + R"( }
motor M1 { leads 3, carries 90 A }
busbar X1 { studs 4, carries 150 A }
busbar X2 { studs 4, carries 150 A }
route B1.+ (W1 16 mm2, 0.1 m, red) F1 (W2 16 mm2, 0.3 m, red) S1 (W3 16 mm2, 0.4 m, red) X1.1
route B1.- (W4 16 mm2, 0.4 m, black) X2.1
route X1.2 (W5 16 mm2, 0.4 m, red) U1.+
route U1.- (W6 16 mm2, 0.4 m, black) X2.2
route X1.3 (direct) F2 (W7 1 mm2, 0.5 m, red) S2 (W8 1 mm2, 0.5 m, red) U1.key
route U1.U (W9 10 mm2, 0.5 m) M1.U
route U1.V (W10 10 mm2, 0.5 m) M1.V
route U1.W (W11 10 mm2, 0.5 m) M1.W
)" + more + "mode moored { others at rest }\n" +
                      modes);
}

}  // namespace

TEST_CASE("a mode that draws with the key open has forgotten it") {
    const Results results = ferry(
        "mode cross { S1 closed, U1 draws 20 A, U1 phases 30 A, others at rest }\n"
        "mode fast { like cross, U1 draws limit }\n"
        "mode keyed { like cross, S2 closed }\n");
    const Finding* told = finding_of(results, "dead-key");
    REQUIRE(told);
    CHECK(told->severity == Severity::warning);
    CHECK(told->subject == "U1");
    CHECK(told->message == "mode cross has controller U1 at work with U1.key dead");
    CHECK(told->working.back() == "the same in mode fast");
}

TEST_CASE(
    "a mode with the key closed, one that draws nothing, and one that says how much is none are sound") {
    CHECK_FALSE(finding_of(
        ferry("mode cross { S1 S2 closed, U1 draws 20 A, U1 phases 30 A, others at rest }\n"), "dead-key"));
    CHECK_FALSE(finding_of(ferry("mode ready { S1 closed, others at rest }\n"), "dead-key"));
    CHECK_FALSE(finding_of(ferry("mode idle { S1 closed, U1 draws 0 A, others at rest }\n"), "dead-key"));
}

TEST_CASE("a motor that is driven gives back with the key off; one live supply pin is enough") {
    CHECK_FALSE(finding_of(ferry("mode sink { S1 closed, U1 returns 5 A, U1 phases 10 A, others at rest }\n"),
                           "dead-key"));
    const std::string cross = "mode cross { S1 closed, U1 draws 20 A, U1 phases 30 A, others at rest }\n";
    CHECK_FALSE(finding_of(ferry(cross, "pin key supply 20 mA, pin aux supply 20 mA",
                                 "route F2.out (W20 1 mm2, 0.5 m) U1.aux\n"),
                           "dead-key"));
    // A controller without a supply of its own is told as that.
    const Results open = ferry("mode cross { U1 draws 20 A, U1 phases 30 A, others at rest }\n");
    CHECK_FALSE(finding_of(open, "dead-key"));
    CHECK(finding_of(open, "mode-contradicts"));
}

}  // namespace dead_keys_test
