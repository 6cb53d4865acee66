// A stop that takes the power from what drives has to let fall what holds unfed.
#include "tests/checker/told.hpp"

namespace stop_brake_test {

using namespace loomward;
using namespace loomward::testing;

namespace {

// A slipway winch with a holding brake Y1; `feed` is how the brake is wired, `more` what else there is.
std::string slipway(const std::string& feed,
                    const std::string& brake = "\"brake\" { 36 V, 0.5 A, task holds }",
                    const std::string& more = {}, const std::string& also = {}) {
    return R"(loom 1
harness "Slipway winch" { ambient 0..35 degC, insulation xlpe 90 degC }
pack B1 { voltage 30..42 V, resistance 20..30 mohm, capacity 32 Ah, discharge 80 A, charge 20 A }
fuse F1 { 60 A, 80 V dc, breaks 8 kA at 80 V dc, curve iso8820-5 }
part small is fuse { 3 A, 125 V dc, breaks 10 kA at 125 V dc, curve ul248-14 }
fuse F2 is small
switch S1 { 60 V dc, carries 100 A, makes 200 A, breaks 100 A at 60 V dc }
contactor K1 { carries 80 A, makes 200 A, breaks 100 A at 60 V dc, coil 36 V 200 mA, coil-works 25..45 V
  suppression diode }
part button is switch { 60 V dc, carries 6 A, breaks 2 A at 60 V dc }
switch S2 "stop" is button { rest closed, stop }
load M1 "drum" { 36 V, 30 A, acts-as current, works 27..43 V, task drives }
load Y1 )" +
           brake + R"(
busbar X1 { studs 6, carries 150 A }
busbar X2 { studs 9, carries 150 A }
busbar X3 { studs 6, carries 150 A }
terminal-block X4 { 60 V, ways 5, carries 10 A, takes 0.5..2.5 mm2, bridge 1 2 3 4 5 }
terminal-block X5 { 60 V, ways 5, carries 10 A, takes 0.5..2.5 mm2, bridge 1 2 3 4 5 }
route B1.+ (W1 16 mm2, 0.1 m, red) F1 (W2 16 mm2, 0.3 m, red) S1 (W3 16 mm2, 0.4 m, red) X1.1
route B1.- (W4 16 mm2, 0.4 m, black) X2.1
route X1.2 (W5 16 mm2, 0.8 m, red) K1 (W6 16 mm2, 0.6 m, red) X3.1
route X3.2 (W7 16 mm2, 0.6 m, red) M1 (W8 16 mm2, 1 m, black) X2.2
route X1.3 (direct) F2 (W9 1 mm2, 1 m, red) X4.1
route X4.2 (W10 1 mm2, 1 m, orange) S2 (W11 1 mm2, 1 m, orange) X5.1
route X5.2 (W12 1 mm2, 1 m, orange) K1.A1
route K1.A2 (W13 1 mm2, 0.5 m, black) X2.3
)" + more + feed +
           R"(
mode parked { others at rest }
mode haul { S1 S2 closed, K1 closed, others at rest)" +
           also + " }\n";
}
std::string straight(const std::string& from) {
    return "route " + from + " (W20 1 mm2, 1 m, violet) Y1 (W21 1 mm2, 1 m, black) X2.4\n";
}
const std::string relay =
    "relay K2 { contacts no, 60 V dc, carries 8 A, makes 8 A, breaks 2 A at 60 V dc, coil 36 V 20 mA\n"
    "  coil-works 25..45 V, suppression diode }\nroute K2.A2 (W30 1 mm2, 0.5 m, black) X2.5\n";
std::string over_relay(const std::string& contact, const std::string& coil) {
    return "route " + contact +
           " (W20 1 mm2, 1 m) K2 (W22 1 mm2, 1 m) Y1 (W21 1 mm2, 1 m, black) X2.4\nroute " + coil +
           " (W23 1 mm2, 1 m) K2.A1\n";
}

std::optional<Severity> gravest(const std::string& text, std::string_view stop = "S2") {
    return gravest_of(check_text(text), "idle-stop", stop);
}

}  // namespace

TEST_CASE("a brake fed past the stop stays released when it is struck") {
    const Told left = told(slipway(straight("X4.3")), "idle-stop", "S2");
    REQUIRE(left);
    CHECK(left.finding->severity == Severity::warning);
    CHECK(left.finding->message == "switch S2 stops load M1 and leaves load Y1 released");
    CHECK(left.finding->beside == "load Y1 stays fed when it opens, and holds only unfed");
    // Behind the stop, or behind the contactor that it opens.
    CHECK_FALSE(gravest(slipway(straight("X5.3"))));
    CHECK_FALSE(gravest(slipway("fuse F3 is small\nroute X3.3 (direct) F3.in\n" + straight("F3.out"))));
}

TEST_CASE("a brake behind a relay falls if either the contact or the coil lies behind the stop") {
    const std::string energised = ", K2 energised", brake = "\"brake\" { 36 V, 0.5 A, task holds }";
    const auto fed = [&](const std::string& contact, const std::string& coil) {
        return gravest(slipway(over_relay(contact, coil), brake, relay, energised));
    };
    CHECK(fed("X4.3", "X4.4") == Severity::warning);
    CHECK_FALSE(fed("X5.3", "X4.4"));
    CHECK_FALSE(fed("X4.3", "X5.4"));
}

TEST_CASE("what holds is told by its task, or by its name, and no lamp is") {
    CHECK(gravest(slipway(straight("X4.3"), "\"drum brake\" { 36 V, 0.5 A }")) == Severity::warning);
    CHECK(gravest(slipway(straight("X4.3"), "\"pawl magnet\" { 36 V, 0.5 A, task holds }")) ==
          Severity::warning);
    CHECK_FALSE(gravest(slipway(straight("X4.3"), "\"brake lamp\" { 36 V, 0.5 A }")));
    CHECK_FALSE(gravest(slipway(straight("X4.3"), "\"fan\" { 36 V, 0.5 A }")));
    CHECK_FALSE(gravest(slipway(straight("X4.3"), "\"brake\" { 36 V, 0.5 A, task lights }")));
}

TEST_CASE("a brake switched off by something else in that mode is none that the stop leaves released") {
    const std::string own = "switch S5 is button\n";
    const std::string through =
        "route X4.3 (W20 1 mm2, 1 m) S5 (W22 1 mm2, 1 m) Y1 (W21 1 mm2, 1 m, black) X2.4\n";
    const std::string brake = "\"brake\" { 36 V, 0.5 A, task holds }";
    CHECK_FALSE(gravest(slipway(through, brake, own)));
    CHECK(gravest(slipway(through, brake, own, ", S5 closed")) == Severity::warning);
    // Released for pushing, with the drum at rest.
    CHECK_FALSE(
        gravest(slipway(through, brake, own) + "mode pushed { S1 S2 S5 closed, others at rest, M1 off }\n"));
}

TEST_CASE("where another stop or electronics let the brake fall it is a note") {
    const std::string second = "switch S3 \"guard's stop\" is button { rest closed, stop }\n";
    const std::string brake = "\"brake\" { 36 V, 0.5 A, task holds }";
    const std::string through =
        "route X4.3 (W20 1 mm2, 1 m) S3 (W22 1 mm2, 1 m) Y1 (W21 1 mm2, 1 m, black) X2.4\n";
    CHECK(gravest(slipway(through, brake, second, ", S3 closed")) == Severity::note);
    const std::string driver =
        "device A1 { pin supply supply 36 V 20 mA, pin minus return, pin brake low-side 2 A }\n"
        "route X4.4 (W31 1 mm2, 0.5 m) A1.supply\nroute A1.minus (W32 1 mm2, 0.5 m) X2.5\n";
    const std::string pin = "route X4.3 (W20 1 mm2, 1 m) Y1 (W21 1 mm2, 1 m) A1.brake\n";
    CHECK(gravest(slipway(pin, brake, driver, ", A1.brake on")) == Severity::note);
    // Fed behind the stop the device has nothing to hold the brake open with.
    CHECK_FALSE(gravest(slipway(pin, brake, replaced(driver, "X4.4", "X5.4"), ", A1.brake on")));
}

TEST_CASE("a brake that is fed where nothing drives and not where something does has the wrong contact") {
    const auto by = [](const std::string& contacts, const std::string& state,
                       const std::string& brake = "\"brake\" { 36 V, 0.5 A, task holds }") {
        const std::string of_relay = replaced(relay, "contacts no", "contacts " + contacts);
        return slipway(over_relay("X4.3", "X3.3"), brake, of_relay, ", K2 energised" + state) +
               "mode ready { S1 closed, S2 open, others at rest }\n";
    };
    const Told shut = told(by("nc", ""), "driven-against-brake", "Y1");
    REQUIRE(shut);
    CHECK(shut.finding->severity == Severity::warning);
    CHECK(shut.finding->message == "load Y1 is fed where nothing drives, and not where load M1 does");
    CHECK(shut.finding->beside == "it holds unfed: open in mode ready, shut in mode haul");
    CHECK_FALSE(told(by("no", ""), "driven-against-brake"));
    CHECK_FALSE(told(by("nc", "", "\"lamp\" { 36 V, 0.5 A }"), "driven-against-brake"));
    CHECK_FALSE(told(by("nc", "", "\"brake\" { 36 V, 0.5 A, task warns }"), "driven-against-brake"));
    // Fed in one mode that drives: the relay is there to let it fall.
    const std::string by_hand = slipway(over_relay("X4.3", "S5.out"), "\"brake\" { 36 V, 0.5 A, task holds }",
                                        replaced(relay, "contacts no", "contacts nc") +
                                            "switch S5 is button\nroute X3.3 (W25 1 mm2, 1 m) S5.in\n",
                                        ", S5 closed, K2 energised") +
                                "mode ready { S1 closed, S2 open, others at rest }\n";
    CHECK(told(by_hand, "driven-against-brake", "Y1"));
    CHECK_FALSE(
        told(by_hand + "mode crawl { S1 S2 closed, K1 closed, others at rest }\n", "driven-against-brake"));
}

TEST_CASE("a brake that is fed where nothing drives holds nothing there") {
    const std::string brake = "\"brake\" { 36 V, 0.5 A, task holds }";
    const std::string ready = "mode ready { S1 S2 closed, K1 closed, others at rest, M1 off }\n";
    const Told open = told(slipway(straight("X5.3")) + ready, "brake-open-at-rest", "Y1");
    REQUIRE(open);
    CHECK(open.finding->severity == Severity::warning);
    CHECK(open.finding->message == "load Y1 is fed in mode ready, where nothing drives");
    CHECK_FALSE(told(slipway(straight("X5.3")), "brake-open-at-rest"));
    CHECK_FALSE(told(slipway(straight("X5.3"), "\"lamp\" { 36 V, 0.5 A }") + ready, "brake-open-at-rest"));
    CHECK_FALSE(told(slipway(straight("X5.3"), "\"brake, lightweight\" { 36 V, 0.5 A, task warns }") + ready,
                     "brake-open-at-rest"));
    CHECK(told(slipway(straight("X5.3"), "\"brake, lightweight\" { 36 V, 0.5 A }") + ready,
               "brake-open-at-rest"));
    // Over the lever it falls with it; and let go by hand for pushing it is meant so.
    const std::string lever = "switch S5 \"lever\" is button\n";
    const std::string over =
        "route X5.3 (W20 1 mm2, 1 m) S5 (W22 1 mm2, 1 m) Y1 (W21 1 mm2, 1 m, black) X2.4\n";
    CHECK_FALSE(told(slipway(over, brake, lever, ", S5 closed") + ready, "brake-open-at-rest"));
    const std::string release =
        "switch S6 \"release\" is button\nroute S5.in (W24 1 mm2, 1 m) S6 (W25 1 mm2, "
        "1 m) S5.out\n";
    const std::string pushed = "mode pushed { S1 S2 S6 closed, K1 closed, others at rest, M1 off }\n";
    CHECK_FALSE(told(slipway(over, brake, lever + release, ", S5 closed") + pushed, "brake-open-at-rest"));
}

}  // namespace stop_brake_test
