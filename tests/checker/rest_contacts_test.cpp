// Relays of the other rest state: what they feed while everything rests, and what stays live behind them.
#include <catch2/catch.hpp>

#include "tests/checker/checking.hpp"

namespace rest_contacts_test {

using namespace loomward;
using namespace loomward::testing;

namespace {

const std::string worked = "mode haul { S1 S2 S3 closed, K1 closed, K2 energised, others at rest }\n";

// A log carriage: S1 the isolator, S2 the key that works K1, M1 the drum; K2 a relay with `contacts` that S3
// works, and `behind` what hangs on it.
Results carriage(const std::string& contacts, const std::string& behind, const std::string& more = "",
                 const std::string& modes = worked) {
    return check_text(R"(loom 1
harness "Log carriage" { ambient 0..35 degC, insulation xlpe 90 degC }
pack B1 { voltage 30..42 V, resistance 20..30 mohm, capacity 32 Ah, discharge 80 A, charge 20 A }
fuse F1 { 60 A, 80 V dc, breaks 8 kA at 80 V dc, curve iso8820-5 }
part small is fuse { 10 A, 125 V dc, breaks 10 kA at 125 V dc, curve ul248-14 }
fuse F2 is small
fuse F3 is small
switch S1 { 60 V dc, carries 100 A, makes 200 A, breaks 100 A at 60 V dc }
part button is switch { 60 V dc, carries 6 A, breaks 2 A at 60 V dc }
switch S2 is button
switch S3 is button
contactor K1 { carries 80 A, makes 200 A, breaks 100 A at 60 V dc, coil 36 V 200 mA, coil-works 25..45 V
  suppression diode }
relay K2 { contacts )" +
                      contacts +
                      R"(, 60 V dc, carries 12 A, makes 20 A, breaks 12 A at 60 V dc, coil 36 V 20 mA
  coil-works 25..45 V, suppression diode }
load M1 "drum" { 36 V, 30 A, acts-as current, works 27..43 V, task drives }
busbar X1 { studs 8, carries 150 A }
busbar X2 { studs 9, carries 150 A }
busbar X3 { studs 6, carries 150 A }
route B1.+ (W1 16 mm2, 0.1 m, red) F1 (W2 16 mm2, 0.3 m, red) S1 (W3 16 mm2, 0.4 m, red) X1.1
route B1.- (W4 16 mm2, 0.4 m, black) X2.1
route X1.2 (W5 16 mm2, 0.8 m, red) K1 (W6 16 mm2, 0.6 m, red) X3.1
route X3.2 (W7 16 mm2, 0.6 m, red) M1 (W8 16 mm2, 1 m, black) X2.2
route X1.3 (direct) F2 (W9 1 mm2, 1 m, red) S2 (W10 1 mm2, 1 m, orange) K1.A1
route K1.A2 (W11 1 mm2, 0.5 m, black) X2.3
route F2.out (W12 1 mm2, 1 m, red) S3 (W13 1 mm2, 1 m, orange) K2.A1
route K2.A2 (W14 1 mm2, 0.5 m, black) X2.4
)" + behind + R"(
mode parked { others at rest }
mode awake { S1 closed, others at rest }
mode coast { S1 S2 closed, K1 closed, M1 off, others at rest }
)" + modes + more);
}

std::string behind_relay(const std::string& part, const std::string& name) {
    return part + "\nroute X1.4 (direct) F3 (W20 1.5 mm2, 0.5 m, red) K2 (W21 1.5 mm2, 0.5 m, red) " + name +
           " (W22 1.5 mm2, 0.5 m, black) X2.5\n";
}
const std::string brake = behind_relay("load Y1 \"drum brake\" { 36 V, 0.5 A, task holds }", "Y1");
const std::string shedder = behind_relay("resistor R1 { 12 ohm, 200 W, pulse 5 kJ }", "R1");
const std::string fan =
    behind_relay("load M2 \"fan\" { 36 V, 0.5 A, acts-as current, works 27..43 V }", "M2");

}  // namespace

TEST_CASE("a brake on a contact that rests closed is told as one that is driven against, and once") {
    const Results results = carriage("nc", brake);
    CHECK_FALSE(finding_of(results, "fed-at-rest"));
    CHECK(finding_of(results, "driven-against-brake", "Y1"));
    CHECK_FALSE(finding_of(carriage("no", brake), "driven-against-brake"));
}

TEST_CASE("a relay that rests closed lets a resistor empty the pack") {
    const Results results = carriage("nc", shedder);
    const Finding* told = finding_of(results, "fed-at-rest", "K2");
    REQUIRE(told);
    CHECK(told->severity == Severity::warning);
    CHECK(told->message == "resistor R1 is fed while relay K2 rests, and dead when it pulls in");
    // 42 V over 12 ohm (Ohm's law), less what the pack and the leads lose.
    CHECK(figure(*told, "power") == Approx(42.0 * 42 / 12).epsilon(0.03));
    CHECK_FALSE(finding_of(carriage("no", shedder), "fed-at-rest"));
    // So little is a lamp's: 2.7 kohm take 0.65 W.
    CHECK_FALSE(
        finding_of(carriage("nc", behind_relay("resistor R1 { 2.7 kohm, 2 W }", "R1")), "fed-at-rest"));
    // Behind the contactor nothing is fed at rest: a bleed.
    CHECK_FALSE(finding_of(
        carriage("nc",
                 "resistor R1 { 120 ohm, 50 W }\nroute X3.3 (direct) F3 (W20 1.5 mm2, 0.5 m) K2 (W21 "
                 "1.5 mm2, 0.5 m) R1 (W22 1.5 mm2, 0.5 m) X2.5\n"),
        "fed-at-rest"));
}

TEST_CASE(
    "a resistor is told from one watt on, and where nine tenths of its current are gone when the relay pulls "
    "in") {
    const auto empties = [](const std::string& resistor, const std::string& round = "") {
        const Results results =
            carriage("nc", behind_relay("resistor R1 { " + resistor + ", 5 W }", "R1") + round);
        return finding_of(results, "fed-at-rest", "K2") != nullptr;
    };
    // 42 V squared over 1764 ohm is 1 W.
    CHECK(empties("1760 ohm"));
    CHECK_FALSE(empties("1768 ohm"));
    // Round the contact: a tenth of the current stays over 9 times the resistance, less what the drum pulls
    // the supply down by, some 2 %.
    const auto round = [](const std::string& ohm) {
        return "resistor R2 { " + ohm + ", 5 W }\nroute X1.5 (direct) R2 (direct) R1.in\n";
    };
    CHECK(empties("1 kohm", round("9.02 kohm")));
    CHECK_FALSE(empties("1 kohm", round("8.65 kohm")));
}

TEST_CASE("of several resistors behind one relay one is told, and the others beside it") {
    const Results results = carriage("nc", shedder +
                                               "resistor R2 { 100 ohm, 50 W, pulse 1 kJ }\n"
                                               "route R1.in (direct) R2 (direct) X2.6\n");
    const Finding* told = finding_of(results, "fed-at-rest", "K2");
    REQUIRE(told);
    CHECK(told->working.back() == "the same of resistor R2");
    CHECK(std::count_if(results.findings.begin(), results.findings.end(),
                        [](const Finding& finding) { return finding.rule == "fed-at-rest"; }) == 1);
}

TEST_CASE("a load is dead where something works also where that is only what a mode has draw") {
    const std::string lamp = fan +
                             "load E1 \"lamp\" { 36 V, 5 A, acts-as current, works 27..43 V }\n"
                             "route X1.5 (W25 2.5 mm2, 0.5 m) E1 (W26 2.5 mm2, 0.5 m) X2.6\n";
    const auto noted = [&](const std::string& line) {
        return gravest_of(carriage("nc", lamp, "",
                                   "mode work { S1 S3 closed, K2 energised, " + line + "others at rest }\n"),
                          "fed-at-rest", "K2");
    };
    CHECK(noted("E1 draws 4 A, ") == Severity::note);
    CHECK_FALSE(noted(""));
}

TEST_CASE("a load on a contact that rests closed is noted; on one throw of two it is not") {
    CHECK(gravest_of(carriage("nc", fan), "fed-at-rest", "K2") == Severity::note);
    CHECK_FALSE(finding_of(carriage("no", fan), "fed-at-rest"));
    // A relay that pulls in where nothing runs takes the load off on purpose.
    CHECK_FALSE(
        finding_of(carriage("nc", fan, "", "mode shed { S1 S3 closed, K2 energised, others at rest }\n"),
                   "fed-at-rest"));
    const std::string pair =
        "load M2 \"fan\" { 36 V, 0.5 A, acts-as current, works 27..43 V }\n"
        "load E1 \"lamp\" { 36 V, 0.2 A, acts-as current, works 27..43 V }\n"
        "route X1.4 (direct) F3 (W20 1.5 mm2, 0.5 m) K2.com\n"
        "route K2.nc (W21 1.5 mm2, 0.5 m) M2 (W22 1.5 mm2, 0.5 m) X2.5\n";
    const std::string other = "route K2.no (W23 1.5 mm2, 0.5 m) E1 (W24 1.5 mm2, 0.5 m) X2.6\n";
    CHECK(gravest_of(carriage("change-over", pair), "fed-at-rest", "K2") == Severity::note);
    CHECK_FALSE(finding_of(carriage("change-over", pair + other), "fed-at-rest"));
}

TEST_CASE("a precharge over a contact that rests closed leaves the drive live with its contactor open") {
    const std::string drive =
        "controller U1 { input 25..45 V, capacitance 3 mF, supply-limit 20 A, phase-peak 60 A, regen none }\n"
        "motor M3 { leads 3, carries 60 A }\nroute X3.4 (W30 10 mm2, 0.3 m, red) U1.+\n"
        "route U1.- (W31 10 mm2, 0.3 m, black) X2.7\nroute U1.U (W32 6 mm2, 0.3 m) M3.U\n"
        "route U1.V (W33 6 mm2, 0.3 m) M3.V\nroute U1.W (W34 6 mm2, 0.3 m) M3.W\n"
        "resistor R7 { 33 ohm, 20 W, pulse 60 J }\n"
        "route X1.4 (direct) F3 (W35 1.5 mm2, 0.5 m, red) R7 (W36 1.5 mm2, 0.5 m, red) K2 (W37 1.5 mm2, 0.5 "
        "m, "
        "red) X3.5\n";
    const Results results = carriage("nc", drive);
    const Finding* told = finding_of(results, "live-when-off", "K1");
    REQUIRE(told);
    CHECK(told->severity == Severity::warning);
    CHECK(told->message == "controller U1 stays live when contactor K1 opens");
    CHECK(told->beside.find("resistor R7 and relay K2, which rests closed") != std::string::npos);
    CHECK_FALSE(finding_of(carriage("no", drive), "live-when-off", "K1"));
    // Energised wherever the contactor is in, it falls off with the key all the same.
    const Results held =
        carriage("nc", drive, "mode go { S1 S2 S3 closed, K1 closed, K2 energised, others at rest }\n");
    CHECK(finding_of(held, "live-when-off", "K1"));
}

}  // namespace rest_contacts_test
