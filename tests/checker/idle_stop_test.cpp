// Stops: whether striking one takes the power from what drives, in every mode in which it runs.
#include <catch2/catch.hpp>

#include "tests/checker/checking.hpp"

namespace idle_stop_test {

using namespace loomward;
using namespace loomward::testing;

namespace {

// A hedge cutter: the lever S2 and the guard switch S3; `coil` is how they lie, `more` what else there is.
Results cutter(const std::string& coil, const std::string& more = "", const std::string& latching = "") {
    return check_text(R"(loom 1
harness "Hedge cutter" { ambient 0..35 degC, insulation xlpe 90 degC }
pack B1 { voltage 30..42 V, resistance 20..30 mohm, capacity 32 Ah, discharge 80 A, charge 20 A }
fuse F1 { 60 A, 80 V dc, breaks 8 kA at 80 V dc, curve iso8820-5 }
fuse F2 { 2 A, 125 V dc, breaks 10 kA at 125 V dc, curve ul248-14 }
switch S1 { 60 V dc, carries 100 A, makes 200 A, breaks 100 A at 60 V dc }
contactor K1 { carries 80 A, makes 200 A, breaks 100 A at 60 V dc, coil 36 V 200 mA, coil-works 25..45 V
  suppression diode)" +
                      latching +
                      R"( }
switch S2 "lever" { 60 V dc, carries 6 A, breaks 2 A at 60 V dc, stop yes }
switch S3 { 60 V dc, carries 6 A, breaks 2 A at 60 V dc }
load M1 "blade" { 36 V, 30 A, acts-as current, works 27..43 V, task drives }
busbar X1 { studs 4, carries 150 A }
busbar X2 { studs 6, carries 150 A }
route B1.+ (W1 16 mm2, 0.1 m, red) F1 (W2 16 mm2, 0.3 m, red) S1 (W3 16 mm2, 0.4 m, red) X1.1
route B1.- (W4 16 mm2, 0.4 m, black) X2.1
route X1.2 (W5 16 mm2, 0.8 m, red) K1 (W6 16 mm2, 0.6 m, red) M1 (W7 16 mm2, 1 m, black) X2.2
route X1.3 (direct) F2.in
route K1.A2 (W8 1 mm2, 0.5 m, black) X2.3
)" + coil + more + R"(
mode parked { others at rest }
mode cutting { S1 S2 S3 closed, K1 closed, others at rest }
)");
}
const std::string in_line =
    "route F2.out (W9 1 mm2, 1 m, red) S2 (W10 1 mm2, 1 m, orange) S3 (W11 1 mm2, 1 m, orange) K1.A1\n";
const std::string bypassed =
    "route F2.out (W9 1 mm2, 1 m, red) S2 (W10 1 mm2, 1 m, orange) K1.A1\n"
    "route S2.in (W11 1 mm2, 1 m, orange) S3 (W12 1 mm2, 1 m, orange) S2.out\n";

}  // namespace

TEST_CASE("a stop that a closed switch lies beside stops nothing") {
    CHECK_FALSE(finding_of(cutter(in_line), "idle-stop"));
    const Results idle = cutter(bypassed);
    const Finding* finding = finding_of(idle, "idle-stop", "S2");
    REQUIRE(finding);
    CHECK(finding->severity == Severity::error);
    CHECK(finding->message == "switch S2 stops nothing");
    CHECK(finding->beside == "contactor K1 stays closed when it opens");
}

TEST_CASE("a switch that rests closed and is called a stop counts as one, until it says that it is none") {
    const auto called = [](const std::string& label, const std::string& rest) {
        return cutter(
            "route F2.out (W9 1 mm2, 1 m, red) S3 (W10 1 mm2, 1 m, orange) K1.A1\n"
            "route F2.out (W11 1 mm2, 1 m, red) S2 (W12 1 mm2, 1 m, red) S4 (W13 1 mm2, 1 m, red) H1 "
            "(W14 1 mm2, 1 m, black) X2.4\n"
            "route X1.4 (W15 1 mm2, 1 m, red) H1.+\n",
            "switch S4 \"" + label + "\" { 60 V dc, carries 6 A, breaks 2 A at 60 V dc" + rest +
                " }\nload H1 { 36 V, 10 W, works 27..43 V }\n"
                "mode lit { S1 S2 S3 S4 closed, K1 closed, others at rest }\n");
    };
    const Results idle = called("stop knob", ", rest closed");
    const Finding* finding = finding_of(idle, "idle-stop", "S4");
    REQUIRE(finding);
    CHECK(finding->severity == Severity::error);
    CHECK(finding->source ==
          "IEC 60204-1 9.2.2 (memory); taken for a stop: it rests closed and is called one (`stop no` if it "
          "is none)");
    CHECK_FALSE(finding_of(called("stop knob", ", rest closed, stop no"), "idle-stop", "S4"));
    CHECK_FALSE(finding_of(called("stop knob", ""), "idle-stop", "S4"));
    CHECK_FALSE(finding_of(called("horn", ", rest closed"), "idle-stop", "S4"));
    // The contact of a stop lamp, and what stops at the end of a way, is none.
    CHECK_FALSE(finding_of(called("stop lamp contact", ", rest closed"), "idle-stop", "S4"));
    CHECK_FALSE(finding_of(called("end stop, gate up", ", rest closed"), "idle-stop", "S4"));
    // An emergency stop is one by its name, however it says that it rests.
    CHECK(finding_of(called("emergency stop", ""), "idle-stop", "S4"));
    CHECK(finding_of(called("emergency off", ", rest closed"), "idle-stop", "S4"));
    CHECK_FALSE(finding_of(called("emergency light", ""), "idle-stop", "S4"));
}

TEST_CASE("a stop in the lead of a latching coil stops nothing") {
    CHECK(gravest_of(cutter(in_line, "", ", latching"), "idle-stop", "S2") == Severity::error);
}

TEST_CASE("a stop that opens one of two contactors lets the other drive run on") {
    const std::string second =
        "contactor K2 { carries 80 A, makes 200 A, breaks 100 A at 60 V dc, coil 36 V 200 mA, coil-works "
        "25..45 V\n"
        "  suppression diode }\n"
        "load M2 \"fan\" { 36 V, 10 A, acts-as current, works 27..43 V, task drives }\n"
        "route X1.4 (W20 16 mm2, 0.8 m, red) K2 (W21 16 mm2, 0.6 m, red) M2 (W22 16 mm2, 1 m, black) X2.4\n"
        "route K2.A2 (W23 1 mm2, 0.5 m, black) X2.5\n";
    const std::string both = "mode both { S1 S2 S3 closed, K1 K2 closed, others at rest }\n";
    const Results left = cutter(in_line, second + "route S2.in (W24 1 mm2, 0.5 m, red) K2.A1\n" + both);
    const Finding* finding = finding_of(left, "idle-stop", "S2");
    REQUIRE(finding);
    CHECK(finding->severity == Severity::error);
    CHECK(finding->message == "switch S2 stops load M1 and lets load M2 run on");
    CHECK_FALSE(finding_of(cutter(in_line, second + "route S2.out (W24 1 mm2, 0.5 m, red) K2.A1\n" + both),
                           "idle-stop"));
    // In another mode than that in which the stop first takes a drive as well.
    CHECK(finding_of(
        cutter(in_line, "mode one { S1 S2 S3 closed, K1 closed, others at rest }\n" + second +
                            "route S2.in (W24 1 mm2, 0.5 m, red) S5 (W25 1 mm2, 0.5 m, red) K2.A1\n"
                            "switch S5 { 60 V dc, carries 6 A, breaks 2 A at 60 V dc }\n"
                            "mode both { like one, S5 closed, K2 closed }\n"),
        "idle-stop", "S2"));
    // By a stall alone it is what its name says: a pump of water may run on, one of oil lifts.
    const auto pump = [&](const std::string& name) {
        std::string text = second + "route S2.in (W24 1 mm2, 0.5 m, red) K2.A1\n" + both;
        text.replace(text.find("\"fan\""), 5, "\"" + name + "\"");
        const std::string task = "task drives";
        return cutter(in_line, text.replace(text.find(task), task.size(), "stall 30 A"));
    };
    CHECK_FALSE(finding_of(pump("bilge pump"), "idle-stop"));
    CHECK_FALSE(finding_of(pump("cooling water pump"), "idle-stop"));
    CHECK(finding_of(pump("oil pump"), "idle-stop"));
    CHECK(finding_of(pump("winch with fan"), "idle-stop"));
    CHECK_FALSE(finding_of(pump("fan of the winch"), "idle-stop"));
    // What moves and hurts is known by its name, where nothing is said of it.
    const auto named = [&](const std::string& name) {
        std::string text = second + "route S2.in (W24 1 mm2, 0.5 m, red) K2.A1\n" + both;
        text.replace(text.find("\"fan\""), 5, "\"" + name + "\"");
        const std::string task = ", task drives";
        return cutter(in_line, text.erase(text.find(task), task.size()));
    };
    CHECK(finding_of(named("blade of the side"), "idle-stop", "S2"));
    CHECK(finding_of(named("hydraulic pump"), "idle-stop", "S2"));
    CHECK_FALSE(finding_of(named("blade light"), "idle-stop"));
    CHECK(finding_of(named("winch, light duty"), "idle-stop", "S2"));
    CHECK(finding_of(named("light winch"), "idle-stop", "S2"));
    CHECK_FALSE(finding_of(named("lamp of the winch"), "idle-stop"));
    CHECK_FALSE(finding_of(named("hydraulic oil thermometer"), "idle-stop"));
    CHECK_FALSE(finding_of(named("heater"), "idle-stop"));
    // Of what runs in other modes only it is said, less gravely.
    const Results apart =
        cutter(in_line, second +
                            "route S2.in (W24 1 mm2, 0.5 m, red) S5 (W25 1 mm2, 0.5 m, red) K2.A1\n"
                            "switch S5 { 60 V dc, carries 6 A, breaks 2 A at 60 V dc }\n"
                            "mode other { S1 S2 S5 closed, S3 open, K2 closed, others at rest }\n");
    finding = finding_of(apart, "idle-stop", "S2");
    REQUIRE(finding);
    CHECK(finding->severity == Severity::warning);
    CHECK(finding->message == "switch S2 stops load M1 and lets load M2 run on");
    // A stop of its own is as good.
    CHECK_FALSE(finding_of(
        cutter(in_line, second + "switch S4 { 60 V dc, carries 6 A, breaks 2 A at 60 V dc, stop yes }\n"
                                 "route S2.in (W24 1 mm2, 0.5 m, red) S4 (W25 1 mm2, 0.5 m, red) K2.A1\n"
                                 "mode both { S1 S2 S3 S4 closed, K1 K2 closed, others at rest }\n"),
        "idle-stop"));
}

TEST_CASE("a stop that takes the power from one drive and only the key from another is told of that one") {
    const auto machine = [](const std::string& second_coil) {
        return check_text(R"(loom 1
harness "Bank mower" { ambient 0..35 degC, insulation xlpe 90 degC }
pack B1 { voltage 40..57 V, resistance 20..30 mohm, capacity 60 Ah, discharge 120 A, charge 30 A }
fuse F1 { 100 A, 80 V dc, breaks 10 kA at 80 V dc, curve iec60269-gg }
fuse F2 { 5 A, 125 V dc, breaks 10 kA at 125 V dc, curve ul248-14 }
part drive-contactor is contactor { 80 V dc, carries 150 A, makes 6 kA, breaks 250 A at 80 V dc, coil 48 V 200 mA
  coil-works 34..60 V, suppression varistor }
contactor K1 is drive-contactor
contactor K2 is drive-contactor
controller U1 { input 30..60 V, capacitance 20 uF, phase-peak 200 A, supply-limit 40 A, regen none, spare U V W
  pin key supply 50 mA }
controller U2 { input 30..60 V, capacitance 20 uF, phase-peak 200 A, supply-limit 40 A, regen none, spare U V W
  pin key supply 50 mA }
switch S2 "stop" { 80 V dc, carries 6 A, breaks 2 A at 80 V dc, stop, hand }
busbar X1 { studs 6, carries 200 A }
busbar X2 { studs 8, carries 200 A }
route B1.+ (W1 35 mm2, 0.1 m) F1 (W2 35 mm2, 0.3 m) X1.1
route B1.- (W3 35 mm2, 0.3 m) X2.1
route X1.2 (W4 35 mm2, 0.3 m) K1 (W5 35 mm2, 0.3 m) U1.+
route X1.3 (W6 35 mm2, 0.3 m) K2 (W7 35 mm2, 0.3 m) U2.+
route U1.- (W8 35 mm2, 0.3 m) X2.2
route U2.- (W9 35 mm2, 0.3 m) X2.3
route X1.4 (direct) F2 (W10 1 mm2, 1 m) S2 (W11 1 mm2, 1 m) K1.A1
route K1.A2 (W12 1 mm2, 1 m) X2.4
route )" + second_coil + R"( (W13 1 mm2, 1 m) K2.A1
route K2.A2 (W14 1 mm2, 1 m) X2.5
route S2.out (W15 1 mm2, 1 m) U1.key
route S2.out (W16 1 mm2, 1 m) U2.key
mode parked { others at rest }
mode mowing { S2 closed, K1 K2 closed, U1 U2 draws 30 A, others at rest }
)");
    };
    const Results results = machine("F2.out");
    const Finding* finding = finding_of(results, "idle-stop", "S2");
    REQUIRE(finding);
    CHECK(finding->severity == Severity::error);
    CHECK(finding->message == "switch S2 only asks controller U2 to stop, and leaves it its supply");
    CHECK(finding->beside == "contactor K2 stays closed when it opens");
    CHECK_FALSE(finding_of(machine("S2.out"), "idle-stop"));
}

namespace {

// A tug with a controller; `coil` is how key S1 and stop S2 lie, `driver` where the coil goes to.
Results tug(const std::string& coil, const std::string& driver) {
    return check_text(R"(loom 1
harness "Barge tug" { ambient 0..35 degC, insulation xlpe 90 degC }
pack B1 { voltage 60..84 V, resistance 20..30 mohm, capacity 30 Ah, discharge 120 A, charge 30 A }
fuse F1 { 125 A, 125 V dc, breaks 20 kA at 125 V dc, curve iec60269-gg }
fuse F2 { 5 A, 125 V dc, breaks 10 kA at 125 V dc, curve ul248-14 }
contactor K1 { 120 V dc, carries 150 A, makes 6 kA, breaks 250 A at 120 V dc, coil 72 V 200 mA
  coil-works 50..90 V, suppression varistor }
controller U1 { input 45..95 V, capacitance 20 uF, phase-peak 300 A, supply-limit 60 A, regen none, spare U V W
  pin key supply 50 mA, pin main low-side 1 A }
switch S1 { 125 V dc, carries 6 A, breaks 2 A at 125 V dc }
switch S2 { 125 V dc, carries 6 A, breaks 2 A at 125 V dc, stop yes }
busbar X1 { studs 3, carries 200 A }
busbar X2 { studs 4, carries 200 A }
route B1.+ (W1 35 mm2, 0.1 m, red) F1 (W2 35 mm2, 0.3 m, red) X1.1
route B1.- (W3 35 mm2, 0.3 m, black) X2.1
route X1.2 (W5 35 mm2, 0.3 m, red) K1 (W6 35 mm2, 0.8 m, red) U1.+
route U1.- (W7 35 mm2, 1 m, black) X2.2
route X1.3 (direct) F2 (W11 1 mm2, 0.8 m, red) S1 (W12 1 mm2, 0.3 m, orange) S2 (W13 1 mm2, 0.8 m, orange) U1.key
)" + coil + "route K1.A2 (W14 1 mm2, 0.4 m, blue) " +
                      driver + R"(
mode parked { others at rest }
mode tow { S1 S2 closed, K1 closed, U1.main on, U1 draws limit, others at rest }
)");
}
const std::string ahead = "route S1.out (W15 1 mm2, 0.8 m, orange) K1.A1\n",
                  behind = "route S2.out (W15 1 mm2, 0.8 m, orange) K1.A1\n";

}  // namespace

TEST_CASE("a stop that takes only the key from a controller asks it to stop") {
    const Results asks = tug(ahead, "X2.3");
    const Finding* finding = finding_of(asks, "idle-stop", "S2");
    REQUIRE(finding);
    CHECK(finding->severity == Severity::error);
    CHECK(finding->message == "switch S2 only asks controller U1 to stop, and leaves it its supply");
    CHECK_FALSE(finding_of(tug(behind, "X2.3"), "idle-stop"));
}

TEST_CASE("a stop that needs a driver pin to let go of the coil is no better than that") {
    const Results electronic = tug(ahead, "U1.main");
    const Finding* finding = finding_of(electronic, "idle-stop", "S2");
    REQUIRE(finding);
    CHECK(finding->severity == Severity::warning);
    CHECK(finding->message ==
          "switch S2 takes the power from controller U1 only if electronics let go of a coil");
    CHECK_FALSE(finding_of(tug(behind, "U1.main"), "idle-stop"));
}

TEST_CASE("a stop in the feed of one of two packs does not stop what the other feeds") {
    const auto lift = [](const std::string& first, const std::string& load) {
        return check_text(R"(loom 1
harness "Lift" { ambient 0..35 degC, insulation xlpe 90 degC }
part brick is pack { voltage 44..58 V, resistance 20..30 mohm, capacity 30 Ah, discharge 90 A, charge 30 A }
pack B1 is brick
pack B2 is brick
part strip is fuse { 80 A, 80 V dc, breaks 10 kA at 80 V dc, curve iec60269-gg }
fuse F1 is strip
fuse F2 is strip
part cutout is switch { 80 V dc, carries 160 A, makes 800 A, breaks 160 A at 80 V dc }
switch S1 is cutout
switch S2 is cutout
switch S3 { 80 V dc, carries 160 A, makes 800 A, breaks 160 A at 80 V dc, stop yes }
load M1 { 48 V, 60 A, acts-as current, works 40..60 V }
busbar X1 { studs 4, carries 200 A }
busbar X2 { studs 4, carries 200 A }
route B1.+ (W1 25 mm2, 0.1 m, red) F1 (W2 25 mm2, 0.3 m, red) S1 (W3 25 mm2, 0.3 m, red) )" +
                          first + R"(
route B2.+ (W4 25 mm2, 0.1 m, red) F2 (W5 25 mm2, 0.3 m, red) S2 (W6 25 mm2, 0.3 m, red) X1.2
route B1.- (W7 25 mm2, 0.5 m, black) X2.1
route B2.- (W8 25 mm2, 0.5 m, black) X2.2
route X1.3 (W9 50 mm2, 1 m, red) )" +
                          load +
                          R"(M1 (W10 50 mm2, 1 m, black) X2.3
mode off { others at rest }
mode both { S1 S2 S3 closed, others at rest }
mode left { S1 S3 closed, others at rest }
)");
    };
    const Results half = lift("S3 (W11 25 mm2, 0.3 m, red) X1.1", "");
    const Finding* finding = finding_of(half, "idle-stop", "S3");
    REQUIRE(finding);
    CHECK(finding->severity == Severity::error);
    CHECK(finding->message == "switch S3 stops load M1 in mode left and not in mode both");
    CHECK_FALSE(finding_of(lift("X1.1", "S3 (W11 50 mm2, 0.5 m, red) "), "idle-stop"));
}

TEST_CASE("a fan that says what it draws blocked is no drive that a stop must stop") {
    const auto beside = [](const std::string& load) {
        return cutter(in_line,
                      "load M2 " + load +
                          "\nswitch S7 { 60 V dc, carries 6 A, breaks 4 A at 60 V dc }\n"
                          "route F2.out (W30 1 mm2, 0.5 m, red) S7 (W31 1 mm2, 0.5 m, red) M2 (W32 1 "
                          "mm2, 0.5 m, black) X2.4\n"
                          "mode cooled { S1 S2 S3 S7 closed, K1 closed, others at rest }\n");
    };
    const std::string draws = "{ 36 V, 0.5 A, acts-as current, works 27..43 V, stall 1.5 A";
    CHECK_FALSE(finding_of(beside("\"cooling fan\" " + draws + " }"), "idle-stop"));
    CHECK(finding_of(beside("\"feed roller\" " + draws + " }"), "idle-stop"));
    // A fanfare is no fan; and a task goes before the name.
    CHECK(finding_of(beside("\"fanfare drum\" " + draws + " }"), "idle-stop"));
    CHECK(finding_of(beside("\"fan\" " + draws + ", task drives }"), "idle-stop"));
}

}  // namespace idle_stop_test
