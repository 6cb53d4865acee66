// What lies in line with loads and coils that no mode turns on.
#include <fmt/format.h>

#include "tests/checker/told.hpp"

namespace in_no_mode_test {

using namespace loomward;
using namespace loomward::testing;

namespace {

// A smokehouse with a heater that no mode of its own turns on; `way` is how it is wired.
std::string smokehouse(const std::string& way, const std::string& modes = {}) {
    return R"(loom 1
harness "Smokehouse" { ambient 0..35 degC, insulation xlpe 90 degC }
pack B1 { voltage 21..28.8 V, resistance 8..20 mohm, capacity 90 Ah, discharge 100 A, charge 30 A }
fuse F1 { 60 A, 58 V dc, breaks 8 kA at 58 V dc, curve iso8820-5 }
fuse F2 { 30 A, 58 V dc, breaks 8 kA at 58 V dc, curve iso8820-3 }
part rocker is switch { 60 V dc, carries 30 A, makes 60 A, breaks 30 A at 32 V dc }
switch S1 is rocker
load H1 { 24 V, 20 A, acts-as current, works 18..30 V }
load E1 { 24 V, 1 A, acts-as current, works 18..30 V }
busbar X1 { studs 6, carries 60 A }
busbar X2 { studs 6, carries 60 A }
route B1.+ (W1 16 mm2, 0.1 m, red) F1 (W2 16 mm2, 0.2 m, red) X1.1
route B1.- (W3 16 mm2, 0.2 m, black) X2.1
route X1.2 (W4 6 mm2, 0.1 m, red) F2 (W5 6 mm2, 0.2 m, red) S1 (W6 6 mm2, 0.2 m, red) E1 (W7 6 mm2, 0.2 m, black) X2.2
)" + way + R"(
mode off { others at rest }
mode lit { S1 closed, others at rest }
)" + modes;
}
std::string over_switch(double carries_A) {
    return fmt::format(
        "fuse F3 {{ 30 A, 58 V dc, breaks 8 kA at 58 V dc, curve iso8820-3 }}\n"
        "switch S2 {{ 60 V dc, carries {} A, makes 60 A, breaks 30 A at 32 V dc }}\n"
        "route X1.3 (W8 6 mm2, 0.1 m) F3 (W9 6 mm2, 0.1 m) S2 (W10 6 mm2, 0.1 m) H1 (W11 6 mm2, 0.1 m) "
        "X2.3\n",
        carries_A);
}

}  // namespace

TEST_CASE("a switch before a load that no mode turns on is held to what the load says that it draws") {
    const Told weak = told(smokehouse(over_switch(19.9)), "in-no-mode", "S2");
    REQUIRE(weak);
    CHECK(weak.finding->severity == Severity::error);
    CHECK(weak.finding->message == "switch S2 carries less than load H1 draws, and no mode turns that on");
    CHECK(figure(*weak.finding, "current") == Approx(20));
    CHECK_FALSE(told(smokehouse(over_switch(20.1)), "in-no-mode"));
    // What a mode makes flow is judged by what flows there.
    const std::string heats = "mode heat { S2 closed, others at rest }\n",
                      less = "mode heat { S2 closed, H1 draws 12 A, others at rest }\n";
    CHECK_FALSE(told(smokehouse(over_switch(19.9), heats), "in-no-mode"));
    CHECK(told(smokehouse(over_switch(19.9), heats), "overloaded-contact", "S2"));
    CHECK_FALSE(told(smokehouse(over_switch(19.9), less), "in-no-mode"));
}

TEST_CASE(
    "a wire, a fuse and a converter in line with it are held to it as well; what another way feeds ends it") {
    const auto by = [](const std::string& fuse, const std::string& size) {
        return smokehouse("fuse F3 { " + fuse +
                          ", 58 V dc, breaks 8 kA at 58 V dc, curve iso8820-3 }\nswitch S2 is rocker\n"
                          "route X1.3 (W8 6 mm2, 0.1 m) F3 (W9 " +
                          size + ", 0.1 m) S2 (W10 6 mm2, 0.1 m) H1 (W11 6 mm2, 0.1 m) X2.3\n");
    };
    CHECK_FALSE(told(by("20 A", "6 mm2"), "in-no-mode"));
    CHECK(told(by("15 A", "6 mm2"), "in-no-mode", "F3"));
    CHECK(told(by("20 A", "0.75 mm2"), "in-no-mode", "W9"));
    const auto converted = [](const std::string& gives) {
        return smokehouse(fmt::format(
            "fuse F3 {{ 30 A, 58 V dc, breaks 8 kA at 58 V dc, curve iso8820-3 }}\n"
            "converter D1 {{ input 18..32 V, output {}, efficiency 90 %, negative common, reverse "
            "blocked, "
            "spare out- }}\nswitch S2 is rocker\n"
            "route X1.3 (W8 6 mm2, 0.1 m) F3 (W9 6 mm2, 0.1 m) D1.in+\nroute D1.in- (W10 6 mm2, 0.1 m) X2.4\n"
            "route D1.out+ (W12 6 mm2, 0.1 m) S2 (W13 6 mm2, 0.1 m) H1 (W11 6 mm2, 0.1 m) X2.3\n",
            gives));
    };
    CHECK(told(converted("24 V 19 A"), "in-no-mode", "D1"));
    CHECK_FALSE(told(converted("24 V 21 A"), "in-no-mode"));
    // Of which nobody knows what it gives: the modes may turn on what hangs behind it.
    CHECK_FALSE(told(converted("unknown V 19 A"), "in-no-mode"));
    // A load beside it takes nothing away; a second way to the point where it branches off does.
    const auto shared = [](const std::string& second) {
        return smokehouse(
            "switch S2 { 60 V dc, carries 15 A, makes 60 A, breaks 30 A at 32 V dc }\n"
            "load E2 { 24 V, 1 A, acts-as current, works 18..30 V }\nsplice X5 { carries 30 A }\n"
            "route X1.3 (W8 6 mm2, 0.1 m) S2 (W9 6 mm2, 0.1 m) X5 (W10 6 mm2, 0.1 m) H1 (W11 6 "
            "mm2, 0.1 m) X2.3\nroute X5 (W12 6 mm2, 0.1 m) E2 (W13 6 mm2, 0.1 m) X2.4\n" +
            second);
    };
    CHECK(told(shared(""), "in-no-mode", "S2"));
    CHECK_FALSE(told(shared("switch S3 is rocker\nroute X1.4 (W14 6 mm2, 0.1 m) S3 (W15 6 mm2, 0.1 m) X5\n"),
                     "in-no-mode"));
}

TEST_CASE("a driver pin below the coil that no mode has it switch is told") {
    const auto pin = [](const std::string& limit) {
        return smokehouse(
            "device U1 { pin plus supply 18..30 V 50 mA, pin minus return, pin flap low-side " + limit +
            " }\nrelay K1 { contacts no, 60 V dc, carries 8 A, makes 8 A, breaks 2 A at 32 V dc\n"
            "  coil 24 V 200 mA, coil-works 15..30 V, suppression diode }\n"
            "route S1.out (W20 1 mm2, 0.2 m) U1.plus\nroute U1.minus (W21 1 mm2, 0.2 m) X2.4\n"
            "route S1.out (W22 1 mm2, 0.2 m) K1.A1\nroute K1.A2 (W23 1 mm2, 0.2 m) U1.flap\n");
    };
    CHECK(told(pin("150 mA"), "in-no-mode"));
    CHECK_FALSE(told(pin("500 mA"), "in-no-mode"));
}

}  // namespace in_no_mode_test
