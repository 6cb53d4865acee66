// Shorts in small machines: each hazard is told, its mended twin is quiet.
#include <catch2/catch.hpp>

#include "tests/checker/checking.hpp"

namespace short_hazards_test {

using namespace loomward;
using namespace loomward::testing;

namespace {

// A 36 V pump cart: pack, battery management, 50 A strip fuse, isolator, two bars, a lamp.
const std::string cart = R"(loom 1
harness "Pump cart" { ambient 0..40 degC, insulation pvc 90 degC }
pack B1 {
  cells 10s8p, cell-voltage 3.0..4.2 V, cell-resistance 20..30 mohm, cell-capacity 3 Ah
  discharge 70 A, charge 20 A
}
bms Q1 {
  side low, ports common, discharge 70 A, charge 20 A, trips 140 A after 1 s, charge-trips 30 A after 2 s
  resistance 1 mohm
}
fuse F1 { 50 A, 80 V dc, breaks 4 kA at 80 V dc, curve iso8820-5 }
switch S1 { 80 V dc, carries 100 A, makes 80 A, breaks 80 A at 60 V dc, resistance 0.3 mohm }
busbar X1 { studs 5, carries 100 A }
busbar X2 { studs 5, carries 100 A }
fuse F2 { 2 A, 125 V dc, breaks 10 kA at 125 V dc, curve ul248-14, clears 20 A2s }
switch S2 { 72 V dc, carries 6 A, makes 10 A, breaks 2 A at 60 V dc }
load E1 "lamp" { 36 V, 20 W, acts-as power, works 24..45 V }
route B1.+ (W1 16 mm2, 0.12 m, red) F1 (W2 16 mm2, 0.3 m, red) S1 (W3 16 mm2, 0.3 m, red) X1.1
route B1.- (W4 16 mm2, 0.12 m, black) Q1 (W5 16 mm2, 0.4 m, black) X2.1
route X1.2 (W6 1 mm2, 0.1 m, red) F2 (W7 1 mm2, 2 m, red) S2 (W8 1 mm2, 2 m, white) E1 (W9 1 mm2, 3.5 m, black) X2.2
mode off { others at rest }
mode on { S1 S2 closed, others at rest }
)";

std::vector<std::string> told(const Results& results) {
    std::vector<std::string> list = found(results, Severity::error);
    for (std::string& warning : found(results, Severity::warning)) list.push_back(std::move(warning));
    return list;
}
bool tells(const Results& results, const std::string& finding) {
    const std::vector<std::string> list = told(results);
    return std::find(list.begin(), list.end(), finding) != list.end();
}
void is_quiet(const std::string& text) {
    const std::vector<std::string> list = told(check_text(text));
    CAPTURE(list);
    CHECK(list.empty());
}

}  // namespace

TEST_CASE("the pump cart is in order") {
    is_quiet(cart);
}

TEST_CASE("a charger, a second branch and a drive metres away make no shorts with the battery post") {
    is_quiet(cart +
             "charger G1 { output 42 V 8 A, reverse blocked }\n"
             "fuse F3 { 15 A, 125 V dc, breaks 10 kA at 125 V dc, curve ul248-14, clears 900 A2s }\n"
             "switch S3 { 80 V dc, carries 20 A, makes 60 A, breaks 20 A at 60 V dc }\n"
             "route X1.3 (W20 4 mm2, 0.1 m, red) F3 (W21 4 mm2, 2.5 m, red) S3 (W22 4 mm2, 0.1 m, red) G1.+\n"
             "route X2.3 (W23 4 mm2, 2.5 m, black) G1.-\n"
             "mode charge { S1 S3 closed, G1 delivers 8 A, others at rest }\n");
}

TEST_CASE("a thin return beside a thick feed of another fuse burns, whichever is written first") {
    const std::string heater =
        "bundle L1 { wrap taped, length 1 m }\n"
        "fuse F6 { 40 A, 80 V dc, breaks 4 kA at 80 V dc, curve iso8820-5 }\n"
        "load E3 \"heater\" { 36 V, 700 W, acts-as power, works 24..45 V }\n"
        "switch S6 { 80 V dc, carries 60 A, makes 60 A, breaks 60 A at 60 V dc }\n";
    const std::string feed =
        "route X1.4 (W45 10 mm2, 0.1 m, red) F6 (W46 10 mm2, 0.4 m, red) S6 (W47 10 mm2, 1.5 m, red, in L1) "
        "E3 "
        "(W48 10 mm2, 1.5 m, black, in L1) X2.4\n";
    const std::string probe =
        "load E4 \"warner\" { 36 V, 1 W, acts-as power, works 20..45 V }\n"
        "fuse F7 { 1 A, 125 V dc, breaks 10 kA at 125 V dc, curve ul248-14, clears 5 A2s }\n"
        "route X1.5 (W50 0.25 mm2, 0.1 m, red) F7 (W51 0.25 mm2, 4 m, red) E4 (W52 0.25 mm2, 4 m, black, in "
        "L1) X2.5\n";
    const std::string mode = "mode heat { S1 S6 closed, others at rest }\n";
    const Results one = check_text(cart + heater + feed + probe + mode);
    const Results other = check_text(cart + heater + probe + feed + mode);
    CHECK(tells(one, "slow-clearing W52"));
    CHECK(told(one) == told(other));
    // Apart from the bundle nothing touches it.
    CHECK_FALSE(
        tells(check_text(cart + heater + feed + replaced(probe, "4 m, black, in L1", "4 m, black") + mode),
              "slow-clearing W52"));
}

TEST_CASE("a fuse without a figure for its let-through is one note, and a slow one of its own points burns") {
    const auto with = [](const std::string& fuse) {
        return cart + "fuse F3 { " + fuse +
               " }\nload E2 { 36 V, 100 W, acts-as power, works 24..45 V }\n"
               "switch S3 { 80 V dc, carries 20 A, makes 60 A, breaks 20 A at 60 V dc }\n"
               "route X1.3 (W20 2.5 mm2, 0.1 m, red) F3 (W21 2.5 mm2, 1 m, red) S3 (W22 2.5 mm2, 1 m, red) "
               "E2 "
               "(W23 2.5 mm2, 2 m, black) X2.3\n"
               "mode work { S1 S3 closed, others at rest }\n";
    };
    const auto notes = [](const Results& results) {
        std::size_t count = 0;
        for (const Finding& finding : results.findings) count += finding.rule == "unknown-let-through";
        return count;
    };
    // 15 A without a figure: 480 In2 by its last gate, 108 kA2s; 2.5 mm2 stands some 80.
    const std::string unstated = with("15 A, 125 V dc, breaks 10 kA at 125 V dc, curve ul248-14");
    is_quiet(unstated);
    const Results open = check_text(unstated);
    CHECK(notes(open) == 1);
    // At 0 degC it takes 0.2 % a kelvin more current: 108 kA2s x 1.046 squared.
    CHECK(finding_of(open, "unknown-let-through", "F3")
              ->working.back()
              .ends_with("the last gate carried on would be 118 kA2s"));
    const std::string stated =
        with("15 A, 125 V dc, breaks 10 kA at 125 V dc, curve ul248-14, clears 900 A2s");
    is_quiet(stated);
    CHECK(notes(check_text(stated)) == 0);
    // Full-range fuses between the sizes of the table.
    is_quiet(with("12 A, 125 V dc, breaks 10 kA at 125 V dc, curve iec60269-gg"));
    CHECK(notes(check_text(with("12 A, 125 V dc, breaks 10 kA at 125 V dc, curve iec60269-gg"))) == 0);
    // Its own points say that it is slow.
    CHECK(tells(
        check_text(with("15 A, 125 V dc, breaks 10 kA at 125 V dc, point 30 A 100 s, point 300 A 20 s")),
        "slow-clearing W21"));
}

TEST_CASE("a larger fuse of the family with a stated let-through speaks for the smaller one") {
    const std::string two =
        cart +
        "fuse F3 { 15 A, 125 V dc, breaks 10 kA at 125 V dc, curve ul248-14 }\n"
        "load E2 { 36 V, 100 W, acts-as power, works 24..45 V }\n"
        "switch S3 { 80 V dc, carries 20 A, makes 60 A, breaks 20 A at 60 V dc }\n"
        "route X1.3 (W20 2.5 mm2, 0.1 m, red) F3 (W21 2.5 mm2, 1 m, red) S3 (W22 2.5 mm2, 1 m, red) E2 "
        "(W23 2.5 mm2, 2 m, black) X2.3\n"
        "fuse F4 { 20 A, 125 V dc, breaks 10 kA at 125 V dc, curve ul248-14, clears 1500 A2s }\n"
        "load E3 { 36 V, 100 W, acts-as power, works 24..45 V }\n"
        "route X1.4 (W30 4 mm2, 0.1 m, red) F4 (W31 4 mm2, 1 m, red) E3 (W33 4 mm2, 1 m, black) X2.4\n"
        "mode work { S1 S3 closed, others at rest }\n";
    const Results results = check_text(two);
    for (const Finding& finding : results.findings) CHECK(finding.rule != "unknown-let-through");
    CHECK(std::any_of(results.assumptions.begin(), results.assumptions.end(), [](const Assumption& each) {
        return each.what == "joule integral of a fuse that states none";
    }));
}

TEST_CASE("a bond and a strap that are too thin for the fuse before them burn in a fault to the frame") {
    const auto bonded = [](const std::string& area) {
        return cart + "frame X9 { serves bond }\nroute X2.5 (W30 " + area + " mm2, 0.5 m, green-yellow) X9\n";
    };
    const Results thin = check_text(bonded("0.75"));
    CHECK(tells(thin, "slow-clearing W30"));
    is_quiet(bonded("16"));
}

TEST_CASE("a capacitor that holds enough burns a thin wire that has no fuse") {
    const auto held = [](const std::string& farad, const std::string& lead) {
        return cart + "capacitor C1 { " + farad +
               ", 50 V }\n"
               "fuse F3 { 30 A, 80 V dc, breaks 4 kA at 80 V dc, curve iso8820-5 }\n"
               "resistor R3 { 10 ohm, 300 W, pulse 20 kJ }\n"
               "switch S3 { 80 V dc, carries 100 A, makes 80 A, breaks 80 A at 60 V dc, resistance 0.3 mohm "
               "}\n"
               "load E2 { 36 V, 20 W, acts-as power, works 15..45 V }\n"
               "route X1.3 (W20 6 mm2, 0.1 m, red) F3 (W21 6 mm2, 0.2 m, red) R3 (W22 6 mm2, 0.5 m, red) C1 "
               "(W23 "
               "6 mm2, 0.5 m, black) X2.3\n" +
               lead + "mode door { S1 S3 closed, others at rest }\n";
    };
    const std::string bare =
        "route C1.+ (W24 1 mm2, 3 m, red) S3 (W25 1 mm2, 1 m, red) E2 (W26 1 mm2, 3 m, black) C1.-\n";
    CHECK(tells(check_text(held("6 F", bare)), "unprotected-wire W24"));
    // Half a joule for each kA2s: what a small one holds is gone before the wire is warm.
    CHECK_FALSE(tells(check_text(held("10 mF", bare)), "unprotected-wire W24"));
    // What lies across a load elsewhere, or bleeds the bars, takes none of its voltage.
    for (const std::string across : {"diode D9 { 20 A, 200 V, drop 0.6 V }\nroute X2.5 (W40 6 mm2, 0.1 m, "
                                     "black) D9 (W41 6 mm2, 0.1 m, red) X1.5\n",
                                     "resistor R9 { 10 kohm, 5 W }\nroute X1.5 (W40 6 mm2, 0.1 m, red) R9 "
                                     "(W41 6 mm2, 0.1 m, black) X2.5\n"}) {
        INFO(across);
        const auto burns = [&](const std::string& more) {
            return gravest_of(check_text(held("6 F", bare + more)), "insufficient-fault-current", "W24");
        };
        CHECK(burns("") == Severity::error);
        CHECK(burns(across) == Severity::error);
    }
    const std::string fused =
        "fuse F9 { 30 A, 80 V dc, breaks 50 kA at 80 V dc, curve iso8820-5 }\n"
        "route C1.+ (W24 6 mm2, 0.15 m, red) F9 (W29 6 mm2, 3 m, red) S3 (W25 6 mm2, 1 m, red) E2 (W26 6 "
        "mm2, 3 m, "
        "black) C1.-\n";
    is_quiet(held("6 F", fused));
}

TEST_CASE("an accepted wire takes no other wire of its branch with it") {
    const std::string thin =
        cart +
        "load E2 { 36 V, 60 W, acts-as power, works 24..45 V }\n"
        "switch S3 { 72 V dc, carries 6 A, makes 10 A, breaks 2 A at 60 V dc }\n"
        "route X1.3 (W20 1.5 mm2, 0.3 m, red) S3 (W21 2.5 mm2, 3 m, red) E2 (W22 2.5 mm2, 3 m, black) X2.3\n"
        "mode heat { S1 S3 closed, others at rest }\n";
    const auto names = [](const Results& results, std::string_view wire) {
        return std::any_of(results.findings.begin(), results.findings.end(), [&](const Finding& finding) {
            return finding.severity == Severity::error && !finding.accepted &&
                   finding.rule == "oversized-fuse" && finding.message.find(wire) != std::string::npos;
        });
    };
    const Results open = check_text(thin);
    CHECK(names(open, "W20"));
    CHECK(names(open, "W21"));
    const Results accepted = check_text(thin + "accept oversized-fuse on W20 because \"double sleeve\"\n");
    CHECK_FALSE(names(accepted, "W20"));
    CHECK(names(accepted, "W21"));
    CHECK(names(accepted, "W22"));
    // ... nor does one that is not the weakest go unheard.
    const Results other = check_text(thin + "accept oversized-fuse on W22 because \"double sleeve\"\n");
    CHECK(names(other, "W20"));
    CHECK_FALSE(names(other, "W22"));
}

TEST_CASE("a blocked motor behind a plug or switch that is too small for what it draws then is told") {
    const auto winch = [](const std::string& plug, const std::string& fuse) {
        return cart + "connector J1 { mate P1, half socket, contacts + -, carries " + plug +
               ", 100 V, contact-resistance 0.5 mohm, takes 2.5..6 mm2, rated-at 30 degC, limit 105 degC }\n"
               "fuse F3 { " +
               fuse +
               ", 80 V dc, breaks 4 kA at 80 V dc, curve iso8820-5 }\n"
               "switch S3 { 80 V dc, carries 60 A, makes 60 A, breaks 60 A at 60 V dc }\n"
               "load E2 \"winch\" { 36 V, 5 A, acts-as current, works 24..45 V, stall 28 A }\n"
               "route X1.3 (W20 6 mm2, 0.1 m, red) F3 (W21 6 mm2, 0.5 m, red) S3 (W22 6 mm2, 0.5 m, red) "
               "J1.+ "
               "(W23 6 mm2, 1 m, red) E2 (W24 6 mm2, 1 m, black) P1.- (W25 6 mm2, 1 m, black) X2.3\n"
               "mode pull { S1 S3 closed, others at rest }\n";
    };
    CHECK(tells(check_text(winch("8 A", "30 A")), "blocked-load E2"));
    is_quiet(winch("40 A", "30 A"));
}

TEST_CASE("a blocked motor behind a protector that carries less and does not trip at that is told") {
    const auto winch = [](const std::string& protector) {
        return check_text(
            cart + "protector F4 { " + protector +
            ", 60 V dc, trips 500 A after 1 ms, breaks 5 kA at 60 V dc, resistance 2 mohm, reset hand }\n"
            "fuse F3 { 30 A, 80 V dc, breaks 4 kA at 80 V dc, curve iso8820-5 }\n"
            "switch S3 { 80 V dc, carries 60 A, makes 60 A, breaks 60 A at 60 V dc }\n"
            "load E2 \"winch\" { 36 V, 5 A, acts-as current, works 24..45 V, stall 28 A }\n"
            "route X1.3 (W20 6 mm2, 0.1 m, red) F3 (W21 6 mm2, 0.5 m, red) F4 (W25 6 mm2, 0.1 m, red) S3 "
            "(W22 6 mm2, 0.5 m, red) E2 (W24 6 mm2, 1 m, black) X2.3\n"
            "mode pull { S1 S3 closed, others at rest }\n");
    };
    CHECK(tells(winch("20 A"), "blocked-load E2"));
    CHECK_FALSE(tells(winch("29 A"), "blocked-load E2"));
}

TEST_CASE("a contact that withstands what a blocked motor draws until a device opens is in order") {
    const auto winch = [](const std::string& withstands) {
        return check_text(cart +
                          "fuse F3 { 30 A, 80 V dc, breaks 4 kA at 80 V dc, curve iso8820-5 }\n"
                          "switch S3 { 80 V dc, carries 15 A, makes 60 A, breaks 60 A at 60 V dc" +
                          withstands +
                          " }\n"
                          "load E2 \"winch\" { 36 V, 5 A, acts-as current, works 24..45 V, stall 60 A }\n"
                          "route X1.3 (W20 6 mm2, 0.1 m, red) F3 (W21 6 mm2, 0.5 m, red) S3 (W22 6 mm2, 0.5 "
                          "m, red) E2 (W24 6 mm2, 1 m, black) X2.3\n"
                          "mode pull { S1 S3 closed, others at rest }\n");
    };
    CHECK(tells(winch(""), "blocked-load E2"));
    CHECK_FALSE(tells(winch(", withstands 62 A for 200 s"), "blocked-load E2"));
    CHECK(tells(winch(", withstands 62 A for 10 s"), "blocked-load E2"));
    CHECK(tells(winch(", withstands 58 A for 200 s"), "blocked-load E2"));
}

}  // namespace short_hazards_test
