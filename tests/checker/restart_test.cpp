// Drives that start again by themselves when a stop is put back, and stops that leave them charged.
#include "tests/checker/told.hpp"

namespace restart_test {

using namespace loomward;
using namespace loomward::testing;

namespace {

// A conveyor with a self-holding relay K3 behind the start push S3; `hold` is where its own contact is fed
// from, `stop` how the stop says what it is.
std::string conveyor(std::string_view hold, std::string_view stop = "rest closed, stop",
                     std::string_view run = "S3 open, K3 energised") {
    return R"(loom 1
harness "Hay conveyor" { ambient 0..35 degC, insulation xlpe 90 degC }
pack B1 { voltage 30..42 V, resistance 20..30 mohm, capacity 32 Ah, discharge 80 A, charge 20 A }
fuse F1 { 60 A, 80 V dc, breaks 8 kA at 80 V dc, curve iso8820-5 }
fuse F2 { 3 A, 125 V dc, breaks 10 kA at 125 V dc, curve ul248-14 }
switch S1 { 60 V dc, carries 100 A, makes 200 A, breaks 100 A at 60 V dc }
contactor K1 { carries 80 A, makes 200 A, breaks 100 A at 60 V dc, coil 36 V 200 mA, coil-works 25..45 V
  suppression diode }
part button is switch { 60 V dc, carries 6 A, breaks 2 A at 60 V dc }
switch S2 "stop" is button { )" +
           std::string(stop) + R"( }
switch S3 "start" is button
relay K3 { contacts no no, 60 V dc, carries 8 A, makes 8 A, breaks 2 A at 60 V dc, coil 36 V 20 mA
  coil-works 25..45 V, suppression diode }
load M1 "belt" { 36 V, 30 A, acts-as current, works 27..43 V, task drives }
busbar X1 { studs 6, carries 150 A }
busbar X2 { studs 9, carries 150 A }
terminal-block X4 { 60 V, ways 6, carries 10 A, takes 0.5..2.5 mm2, bridge 1 2 3 4 5 6 }
terminal-block X5 { 60 V, ways 6, carries 10 A, takes 0.5..2.5 mm2, bridge 1 2 3 4 5 6 }
route B1.+ (W1 16 mm2, 0.1 m, red) F1 (W2 16 mm2, 0.3 m, red) S1 (W3 16 mm2, 0.4 m, red) X1.1
route B1.- (W4 16 mm2, 0.4 m, black) X2.1
route X1.2 (W5 16 mm2, 0.8 m, red) K1 (W6 16 mm2, 0.6 m, red) M1 (W8 16 mm2, 1 m, black) X2.2
route X1.3 (direct) F2 (W9 1 mm2, 1 m, red) X4.1
route X4.2 (W10 1 mm2, 1 m) S2 (W11 1 mm2, 1 m) X5.1
route X5.2 (W12 1 mm2, 1 m) S3 (W13 1 mm2, 1 m) K3.A1
route )" + std::string(hold) +
           R"( (W14 1 mm2, 0.3 m) K3.1.in
route K3.1.out (W15 1 mm2, 0.3 m) K3.A1
route K3.A2 (W16 1 mm2, 0.5 m) X2.3
route X5.4 (W17 1 mm2, 0.3 m) K3.2.in
route K3.2.out (W18 1 mm2, 1 m) K1.A1
route K1.A2 (W19 1 mm2, 0.5 m) X2.4
mode parked { others at rest }
mode starting { S1 S2 S3 closed, K3 energised, K1 closed, others at rest, M1 off }
mode run { S1 S2 closed, )" +
           std::string(run) + ", K1 closed, others at rest }\n";
}

}  // namespace

TEST_CASE("a relay that holds itself past the stop starts the drive again when that is put back") {
    const Told again = told(conveyor("X4.3"), "starts-again", "S2");
    REQUIRE(again);
    CHECK(again.finding->severity == Severity::warning);
    CHECK(again.finding->message == "load M1 starts again by itself when switch S2 is put back");
    CHECK(again.finding->beside == "relay K3 holds on while it is open");
    // Fed from behind the stop it lets go with it.
    CHECK_FALSE(told(conveyor("X5.3"), "starts-again"));
    // Only of what is a stop.
    CHECK_FALSE(told(conveyor("X4.3", "rest closed, stop no"), "starts-again"));
}

TEST_CASE("a switch that stays where it is put holds nothing: whoever closes it wants it on") {
    // With the start switch left on, the relay pulls in again by that.
    CHECK_FALSE(told(conveyor("X5.3", "rest closed, stop", "S3 closed, K3 energised"), "starts-again"));
    CHECK_FALSE(told(conveyor("X4.3", "rest closed, stop", "S3 closed, K3 energised"), "starts-again"));
}

}  // namespace restart_test
