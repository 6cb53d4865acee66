// Loads whose driver pin a diode leads past.
#include <fmt/format.h>

#include "tests/checker/told.hpp"

namespace past_driver_test {

using namespace loomward;
using namespace loomward::testing;

namespace {

// A turntable whose catch Y1 hangs on a driver pin of U1; `diode` is how D1 lies.
std::string turntable(const std::string& diode, const std::string& more = {}) {
    return R"(loom 1
harness "Turntable" { ambient 0..35 degC, insulation xlpe 90 degC }
pack B1 { voltage 21..28.8 V, resistance 8..20 mohm, capacity 60 Ah, discharge 100 A, charge 30 A }
fuse F1 { 10 A, 58 V dc, breaks 8 kA at 58 V dc, curve iso8820-3 }
switch S1 { 60 V dc, carries 20 A, makes 40 A, breaks 20 A at 60 V dc }
switch S2 { 60 V dc, carries 20 A, makes 40 A, breaks 20 A at 60 V dc }
load Y1 "catch" { 24 V, 1 A, acts-as current, works 18..30 V }
device U1 { pin plus supply 18..30 V 50 mA, pin minus return, pin catch low-side 2 A, pin lamp high-side 2 A }
diode D1 { 3 A, 100 V, drop 0.7 V }
busbar X1 { studs 6, carries 60 A }
busbar X2 { studs 6, carries 60 A }
route B1.+ (W1 4 mm2, 0.1 m, red) F1 (W2 4 mm2, 0.2 m, red) S1 (W3 4 mm2, 0.2 m, red) X1.1
route B1.- (W4 4 mm2, 0.2 m, black) X2.1
route X1.2 (W5 1 mm2, 0.3 m, red) U1.plus
route U1.minus (W6 1 mm2, 0.3 m, black) X2.2
route X1.3 (W7 1 mm2, 0.3 m, red) Y1 (W8 1 mm2, 0.3 m, blue) U1.catch
)" + diode +
           more +
           R"(
mode off { others at rest }
mode on { S1 closed, others at rest }
mode turn { S1 closed, U1.catch on, others at rest }
)";
}
const std::string across = "route Y1.- (direct) D1 (direct) Y1.+\n",
                  to_minus = "route Y1.- (direct) D1 (W10 1 mm2, 0.3 m, black) X2.3\n";

}  // namespace

TEST_CASE(
    "a diode from a low-side pin to the minus keeps the load on: it is told in the mode that has the pin "
    "off") {
    CHECK_FALSE(told(turntable(across), "past-driver"));
    const Told past = told(turntable(to_minus), "past-driver", "Y1");
    REQUIRE(past);
    CHECK(past.finding->severity == Severity::warning);
    CHECK(past.finding->message == "load Y1 runs though driver pin U1.catch is off");
    CHECK(past.finding->beside == "diode D1 leads past the pin: it is on whenever it is fed");
    CHECK(past.finding->working == std::vector<std::string>{"1 A in mode on, where U1.catch is off"});
    CHECK(figure(*past.finding, "current") == Approx(1));
    // The other way round nothing flows.
    CHECK_FALSE(
        told(turntable("route Y1.- (direct) D1.K>A (W10 1 mm2, 0.3 m, black) X2.3\n"), "past-driver"));
}

TEST_CASE("a switch beside a driver pin is meant, and so is a diode from a switch") {
    CHECK_FALSE(told(turntable(across,
                               "route Y1.- (W10 1 mm2, 0.3 m) S2 (W11 1 mm2, 0.3 m) X2.3\n"
                               "mode by-hand { S1 S2 closed, others at rest }\n"),
                     "past-driver"));
    CHECK_FALSE(told(turntable("route Y1.- (direct) D1 (W10 1 mm2, 0.3 m) S2 (W11 1 mm2, 0.3 m) X2.3\n",
                               "mode by-hand { S1 S2 closed, others at rest }\n"),
                     "past-driver"));
}

TEST_CASE("a diode from the plus onto a high-side pin keeps what hangs on it on") {
    const auto lamp = [](const std::string& diode) {
        return turntable(across,
                         "load H1 { 24 V, 10 W, works 18..30 V }\ndiode D2 { 3 A, 100 V, drop 0.7 V }\n"
                         "route U1.lamp (W12 1 mm2, 0.3 m) H1 (W13 1 mm2, 0.3 m) X2.4\n"
                         "fuse F2 { 3 A, 58 V dc, breaks 8 kA at 58 V dc, curve iso8820-3 }\n"
                         "route F1.out (direct) F2 (W14 1 mm2, 0.3 m) " +
                             diode);
    };
    const Told past = told(lamp("D2 (direct) H1.+\n"), "past-driver", "H1");
    REQUIRE(past);
    CHECK(past.finding->message == "load H1 runs though driver pin U1.lamp is off");
    CHECK_FALSE(told(lamp("D2.K>A (direct) H1.+\n"), "past-driver"));
}

}  // namespace past_driver_test
