// Diodes across windings: rated for the current that goes on through them.
#include "tests/checker/told.hpp"

namespace freewheel_diode_test {

using namespace loomward;
using namespace loomward::testing;

namespace {

// A hoist brake Y1 of 2 A behind a push button S1, fed 48 V; `diodes` lie across it.
std::string hoist(const std::string& diodes, const std::string& brake = "48 V, 2 A, acts-as current") {
    return "loom 1\nharness \"Hay hoist\" { ambient 0..35 degC, insulation xlpe 90 degC }\n"
           "pack B1 { voltage 42..58 V, resistance 20..30 mohm, capacity 20 Ah, discharge 40 A, charge 10 A "
           "}\n"
           "fuse F1 { 20 A, 80 V dc, breaks 6 kA at 80 V dc, curve iso8820-5 }\n"
           "switch S1 { 80 V dc, carries 20 A, makes 20 A, breaks 20 A at 60 V dc }\n"
           "busbar X1 { studs 6, carries 40 A }\nbusbar X2 { studs 8, carries 40 A }\n"
           "part wheel is diode { 2 A, 200 V, drop 0.8 V }\n"
           "load Y1 \"brake\" { " +
           brake +
           ", works 30..60 V }\n"
           "route B1.+ (W1 4 mm2, 0.1 m, red) F1 (W2 4 mm2, 0.3 m, red) X1.1\n"
           "route B1.- (W3 4 mm2, 0.3 m, black) X2.1\n"
           "route X1.2 (W4 2.5 mm2, 1 m, red) S1 (W5 2.5 mm2, 1 m, red) Y1 (W6 2.5 mm2, 1 m, black) X2.2\n" +
           diodes + "mode off { others at rest }\nmode lift { S1 closed, others at rest }\n";
}
std::string diode(const std::string& name, const std::string& rated) {
    return "diode " + name + " is wheel { " + rated + " A }\nroute Y1.- (Wa" + name + " 1 mm2, 0.1 m) " +
           name + " (Wb" + name + " 1 mm2, 0.1 m) Y1.+\n";
}
std::optional<Severity> gravest(const std::string& text, std::string_view subject) {
    return gravest_of(check_text(text), "freewheel-diode", subject);
}

}  // namespace

TEST_CASE("a diode across a load is rated for the load's current, to one part in a thousand") {
    const Told small = told(hoist(diode("D1", "1.998")), "freewheel-diode", "D1");
    REQUIRE(small);
    CHECK(small.finding->severity == Severity::warning);
    CHECK(small.finding->message ==
          "diode D1 is rated for less than load Y1 drives through it when switched off");
    CHECK(small.finding->beside == "2 A; rated 1.998 A");
    CHECK(figure(*small.finding, "current") == Approx(2));
    CHECK(figure(*small.finding, "limit") == Approx(1.998));
    CHECK_FALSE(gravest(hoist(diode("D1", "2.002")), "D1"));
    // A load of constant power draws most as the pack runs empty: 100 W / 42 V.
    CHECK(gravest(hoist(diode("D1", "2.2"), "48 V, 100 W, acts-as power"), "D1") == Severity::warning);
}

TEST_CASE("diodes side by side share, and what lies side by side adds up") {
    CHECK_FALSE(gravest(hoist(diode("D1", "1.1") + diode("D2", "1")), "D1"));
    CHECK(gravest(hoist(diode("D1", "0.9") + diode("D2", "1")), "D1") == Severity::warning);
    const std::string second =
        "load Y2 { 48 V, 1 A, acts-as current }\n"
        "route Y1.+ (W20 1 mm2, 0.2 m, red) Y2 (W21 1 mm2, 0.2 m, black) Y1.-\n";
    const Told both = told(hoist(second + diode("D1", "2.5")), "freewheel-diode", "D1");
    REQUIRE(both);
    CHECK(figure(*both.finding, "current") == Approx(3));
    CHECK_FALSE(gravest(hoist(second + diode("D1", "3.01")), "D1"));
}

TEST_CASE("a diode over a resistor carries as much at first, one across a coil what the coil draws") {
    CHECK(gravest(hoist("diode D1 is wheel { 1 A }\nresistor R1 { 10 ohm, 5 W }\n"
                        "route Y1.- (W20 1 mm2, 0.1 m) D1 (W21 1 mm2, 0.1 m) R1 (W22 1 mm2, 0.1 m) Y1.+\n"),
                  "D1") == Severity::warning);
    const auto coil = [](const std::string& rated) {
        return hoist(
            "contactor K1 { carries 40 A, makes 60 A, breaks 40 A at 60 V dc, coil 48 V 1 A, coil-works "
            "36..60 V\n  suppression none }\n"
            "diode D1 is wheel { " +
            rated +
            " A }\nswitch S2 { 80 V dc, carries 20 A, makes 20 A, breaks 20 A at 60 V dc }\n"
            "load M1 { 48 V, 5 A, acts-as current }\n"
            "route X1.3 (W20 2.5 mm2, 1 m) S2 (W21 2.5 mm2, 1 m) K1.A1\n"
            "route K1.A2 (W22 2.5 mm2, 1 m) X2.3\n"
            "route K1.A2 (W23 1 mm2, 0.1 m) D1 (W24 1 mm2, 0.1 m) K1.A1\n"
            "route X1.4 (W25 2.5 mm2, 1 m) K1 (W26 2.5 mm2, 1 m) M1 (W27 2.5 mm2, 1 m) X2.4\n"
            "mode run { S2 closed, K1 closed, others at rest }\n");
    };
    // 48 ohm at 58 V: 1.2 A.
    CHECK(gravest(coil("1.15"), "D1") == Severity::warning);
    CHECK_FALSE(gravest(coil("1.25"), "D1"));
}

TEST_CASE("diodes that take nothing on are left to their own rules") {
    // In line, across a supply with a capacitor, and across a load that can be fed either way.
    CHECK_FALSE(gravest(replaced(hoist("diode D1 is wheel { 2.1 A }\n"), "red) Y1 (W6",
                                 "red) D1 (W7 2.5 mm2, 0.1 m, red) Y1 (W6"),
                        "D1"));
    CHECK_FALSE(gravest(hoist("capacitor C1 { 1 mF, 80 V }\n"
                              "route Y1.+ (W20 1 mm2, 0.1 m) C1 (W21 1 mm2, 0.1 m) Y1.-\n" +
                              diode("D1", "0.5")),
                        "D1"));
}

TEST_CASE("a rating that nobody knows is asked for") {
    const Results open =
        check_text(hoist("diode D1 is wheel { unknown A }\nroute Y1.- (W20 1 mm2, 0.1 m) D1 (W21 1 "
                         "mm2, 0.1 m) Y1.+\n"));
    const Finding* missing = finding_of(open, "missing-data", "D1");
    REQUIRE(missing);
    CHECK(missing->severity == Severity::error);
    CHECK_FALSE(finding_of(open, "freewheel-diode"));
}

namespace {

// Two valves on a driver A1, fed from X1; `lines` is what else there is.
std::string valves(const std::string& valve, const std::string& lines) {
    return "loom 1\nharness \"Hay hoist\" { ambient 0..35 degC, insulation xlpe 90 degC }\n"
           "pack B1 { voltage 21..29 V, resistance 20..30 mohm, capacity 20 Ah, discharge 40 A, charge 10 A "
           "}\n"
           "fuse F1 { 10 A, 80 V dc, breaks 6 kA at 80 V dc, curve iso8820-3 }\n"
           "busbar X1 { studs 6, carries 40 A }\nbusbar X2 { studs 8, carries 40 A }\n"
           "device A1 { pin sup supply 20 mA, pin gnd return, pin one low-side 2 A, pin two low-side 2 A }\n"
           "part valve is load { 24 V, 0.8 A, acts-as current" +
           valve +
           " }\nload Y1 is valve\nload Y2 is valve\ndiode D1 { 3 A, 100 V, drop 0.8 V }\n"
           "route B1.+ (W1 4 mm2, 0.1 m, red) F1 (W2 4 mm2, 0.3 m, red) X1.1\n"
           "route B1.- (W3 4 mm2, 0.3 m, black) X2.1\n"
           "route X1.2 (W4 1 mm2, 1 m, red) A1.sup\nroute A1.gnd (W5 1 mm2, 1 m, black) X2.2\n"
           "route X1.3 (W6 1 mm2, 1 m) Y1 (W7 1 mm2, 1 m) A1.one\n" +
           lines + "mode off { others at rest }\nmode on { A1.one A1.two on, others at rest }\n";
}
const std::string second = "route X1.4 (W8 1 mm2, 1 m) Y2 (W9 1 mm2, 1 m) A1.two\n";
std::string across(const std::string& load) {
    return "route " + load + ".- (W20 1 mm2, 0.1 m) D1 (W21 1 mm2, 0.1 m) " + load + ".+\n";
}
std::optional<Severity> bare(const std::string& text, std::string_view subject = "Y1") {
    return gravest_of(check_text(text), "no-freewheel", subject);
}

}  // namespace

TEST_CASE("a winding that a driver switches and no diode lies across is a note") {
    const Told note = told(valves(", task holds", ""), "no-freewheel", "Y1");
    REQUIRE(note);
    CHECK(note.finding->severity == Severity::note);
    CHECK(note.finding->message == "nothing takes the current of load Y1 on when A1.one lets go");
    CHECK_FALSE(bare(valves(", task holds", across("Y1"))));
    CHECK(bare(valves(", stall 3 A", "")) == Severity::note);
    // A lamp, for all that one knows.
    CHECK_FALSE(bare(valves("", second)));
}

TEST_CASE("a diode across one of two loads alike says that the other has a winding too") {
    CHECK(bare(valves("", second + across("Y2"))) == Severity::note);
    CHECK_FALSE(bare(valves("", second + across("Y2")), "Y2"));
    // Of one type, behind a switch: still a winding. Of another, behind a switch: nothing says so.
    const std::string by_hand =
        "switch S9 { 80 V dc, carries 5 A, breaks 2 A at 60 V dc, rest closed }\n"
        "route X1.4 (W8 1 mm2, 1 m) S9 (W10 1 mm2, 1 m) Y2 (W9 1 mm2, 1 m) X2.4\n";
    CHECK(bare(valves("", by_hand + across("Y2"))) == Severity::note);
    CHECK_FALSE(bare(replaced(valves("", by_hand + across("Y2")), "load Y2 is valve",
                              "load Y2 { 24 V, 0.8 A, acts-as current }")));
}

TEST_CASE("a diode that a contact parts from its load takes nothing on") {
    const auto ends = [](const std::string& minus, const std::string& plus) {
        return "diode D1 is wheel\nroute " + minus + " (W20 1 mm2, 0.1 m) D1 (W21 1 mm2, 0.1 m) " + plus +
               "\n";
    };
    const Told before = told(hoist(ends("Y1.-", "S1.in")), "no-freewheel", "D1");
    REQUIRE(before);
    CHECK(before.finding->severity == Severity::note);
    CHECK(before.finding->message == "diode D1 lies across the feed of load Y1 and not across it");
    CHECK_FALSE(bare(hoist(ends("Y1.-", "Y1.+")), "D1"));
    // In the minus as well; one across the bars is there for no load.
    CHECK(bare(replaced(hoist(ends("X2.3", "Y1.+")), "Y1 (W6 2.5 mm2, 1 m, black)",
                        "Y1 (W6 2.5 mm2, 1 m, black) S2 (W7 2.5 mm2, 1 m, black)")
                   .append("switch S2 { 80 V dc, carries 20 A, breaks 20 A at 60 V dc, rest closed }\n"),
               "D1") == Severity::note);
    CHECK_FALSE(bare(hoist(ends("X2.3", "X1.3")), "D1"));
}

}  // namespace freewheel_diode_test
