// What once passed without a word because something could not be looked at, or was looked at in a case that
// was not the worst.
#include <catch2/catch.hpp>

#include <algorithm>
#include <string>

#include "tests/checker/checking.hpp"

namespace silence_test {

using namespace loomward;
using namespace loomward::testing;

namespace {

bool tells(const Results& results, std::string_view rule, std::string_view subject,
           Severity at_least = Severity::error) {
    return std::any_of(results.findings.begin(), results.findings.end(), [&](const Finding& finding) {
        return finding.rule == rule && finding.subject == subject && finding.severity <= at_least;
    });
}

// Two controllers on one bar, which a resistor charges before S1 closes.
std::string tandem(const std::string& first, const std::string& second, const std::string& before) {
    return R"(loom 1
harness "Tandem sledge" { ambient 10..30 degC, insulation pvc 70 degC }
pack B1 { voltage 44..58 V, resistance 5..8 mohm, capacity 200 Ah, discharge 200 A, charge 60 A }
fuse F1 { 125 A, 80 V dc, breaks 20 kA at 80 V dc, curve iso8820-5 }
switch S1 { 80 V dc, carries 200 A, makes 200 A, breaks 200 A at 60 V dc }
switch S2 { 80 V dc, carries 20 A, makes 20 A, breaks 20 A at 60 V dc }
resistor R1 { 100 ohm, 50 W, pulse 2 kJ }
stud X0
stud X1
stud X2
route B1.+ (W1 50 mm2, 0.1 m) F1 (W2 50 mm2, 0.1 m) X0 (W3 50 mm2, 0.1 m) S1 (W4 50 mm2, 0.1 m) X1
route X0 (W5 50 mm2, 0.1 m) S2 (W6 50 mm2, 0.1 m) R1 (W7 50 mm2, 0.1 m) X1
route X2 (W8 50 mm2, 0.1 m) B1.-
controller U1 { input 30..60 V, capacitance )" +
           first + R"(, supply-limit 1 A, phase-peak 3 A, regen none, spare U V W }
controller U2 { input 30..60 V, capacitance )" +
           second + R"(, supply-limit 1 A, phase-peak 3 A, regen none, spare U V W }
route X1 (W9 50 mm2, 0.6 m) U1.+
route U1.- (W10 50 mm2, 0.5 m) X2
route X1 (W11 50 mm2, 0.7 m) U2.+
route U2.- (W12 50 mm2, 0.5 m) X2
mode off { others at rest }
mode pre { S2 closed, others at rest }
mode on { like pre, )" +
           before + R"(S1 closed }
)";
}

// Two packs that plugs put in line or side by side.
std::string two_plugs(const std::string& fuse) {
    return R"(loom 1
harness "Ridge plough" { ambient 10..30 degC, insulation pvc 90 degC }
part bank is pack { voltage 20..29 V, resistance 5..8 mohm, capacity 100 Ah, discharge 100 A, charge 40 A }
pack B1 is bank
pack B2 is bank
fuse F1 { )" +
           fuse + R"( }
connector J1 "in line" { mate P1, contacts 1, carries 150 A, 100 V }
connector J2 "side by side" { mate P2, contacts 1 2, carries 150 A, 100 V }
load E1 { 48 V, 100 W, works 18..60 V }
switch S1 { 80 V dc, carries 150 A, makes 300 A, breaks 150 A at 80 V dc }
stud X1
stud X2
stud X3
stud X4
route B1.+ (W1 35 mm2, 0.1 m) F1 (W2 35 mm2, 0.2 m) X1
route B1.- (W3 35 mm2, 0.2 m) X2
route B2.+ (W4 35 mm2, 0.2 m) X3
route B2.- (W5 35 mm2, 0.2 m) X4
route X2 (W6 35 mm2, 0.2 m) J1.1
route P1.1 (W7 35 mm2, 0.2 m) X3
route X1 (W8 35 mm2, 0.2 m) J2.1
route P2.1 (W9 35 mm2, 0.2 m) X3
route X2 (W10 35 mm2, 0.2 m) J2.2
route P2.2 (W11 35 mm2, 0.2 m) X4
route X1 (W12 4 mm2, 0.2 m) S1 (W13 4 mm2, 0.2 m) E1 (W14 4 mm2, 0.2 m) X4
mode off { J1 J2 unmated, others at rest }
mode line { J1 mated, J2 unmated, S1 closed }
mode beside { J2 mated, J1 unmated, S1 closed }
)";
}

}  // namespace

TEST_CASE("of two capacitors on one bar neither counts as charged because the other feeds it") {
    // Without `after` the resistor had a moment: 100 ohm x 20 mF are 2 s.
    CHECK(tells(check_text(tandem("20 mF", "1 uF", "")), "no-precharge", "S1"));
    const Results both = check_text(tandem("10 mF", "10 mF", ""));
    CHECK((tells(both, "no-precharge", "S1") || tells(both, "slow-precharge", "S1")));
    const Results waited = check_text(tandem("10 mF", "10 mF", "after pre 20 s, "));
    CHECK_FALSE((tells(waited, "no-precharge", "S1") || tells(waited, "slow-precharge", "S1")));
    // 100 ohm x 20 uF is over in the moment.
    CHECK_FALSE(tells(check_text(tandem("10 uF", "10 uF", "")), "no-precharge", "S1"));
}

TEST_CASE("a bleed of a megohm round the main switch precharges nothing, where nobody states a mode") {
    const auto with = [](const std::string& ohm) {
        return check_text(R"(loom 1
harness "Goose cart" { ambient 10..30 degC, insulation pvc 70 degC }
pack B1 { voltage 44..58 V, resistance 5..8 mohm, capacity 100 Ah, discharge 100 A, charge 40 A }
fuse F1 { 60 A, 80 V dc, breaks 20 kA at 80 V dc, curve iso8820-5 }
switch S1 { 80 V dc, carries 100 A, makes 100 A, breaks 100 A at 80 V dc }
controller U1 { input 30..60 V, capacitance 6 mF, supply-limit 30 A, regen none, spare U V W }
resistor R1 { )" + ohm + R"(, 50 W, pulse 60 J }
stud X1
stud X2
route B1.+ (W1 25 mm2, 0.1 m) F1 (W2 25 mm2, 0.1 m) X1 (W3 25 mm2, 0.1 m) S1 (W4 25 mm2, 0.1 m) X2
route X2 (W5 25 mm2, 0.5 m) U1.+
route U1.- (W6 25 mm2, 0.5 m) B1.-
route X1 (W7 25 mm2, 0.1 m) R1 (W8 25 mm2, 0.1 m) X2
)");
    };
    CHECK(tells(with("1 Mohm"), "no-precharge", "S1"));
    CHECK_FALSE(tells(with("220 ohm"), "no-precharge", "S1"));
}

TEST_CASE("battery management that closes onto empty capacitors is a contact like any other") {
    const auto with = [](const std::string& microfarad) {
        return check_text(R"(loom 1
harness "Ferry hut" { ambient 10..30 degC, insulation pvc 70 degC }
pack B1 { voltage 44..58 V, resistance 5..8 mohm, capacity 200 Ah, discharge 200 A, charge 60 A }
fuse F1 { 200 A, 80 V dc, breaks 20 kA at 80 V dc, curve iso8820-5 }
bms Q1 { side high, ports common, resistance 1 mohm, discharge 200 A, charge 60 A, trips 400 A after 200 us }
controller U1 { input 40..60 V, capacitance )" +
                          microfarad + R"( uF, supply-limit 60 A, regen none, spare U V W }
route B1.+ (W1 50 mm2, 0.1 m) F1 (W2 50 mm2, 0.3 m) Q1.B+>P+ (W3 50 mm2, 0.4 m) U1.+
route U1.- (W4 50 mm2, 0.5 m) B1.-
mode off { Q1 open, others at rest }
mode on { Q1 closed, U1 draws 20 A, after off 1 h }
)");
    };
    CHECK(tells(with("12000"), "charging-surge", "Q1"));
    CHECK_FALSE(tells(with("2"), "charging-surge", "Q1"));
}

TEST_CASE("a mode of the program's own that cannot be followed is an error as well") {
    std::string text = R"(loom 1
harness "Lamp barge" { ambient 10..30 degC, insulation pvc 70 degC }
pack B1 { voltage 60..84 V, resistance 5..8 mohm, capacity 100 Ah, discharge 100 A, charge 40 A }
fuse F1 { 60 A, 125 V dc, breaks 20 kA at 125 V dc, curve ul248-14 }
switch S1 { 125 V dc, carries 100 A, makes 5 kA, breaks 100 A at 100 V dc }
busbar X1 { studs 70, carries 100 A }
busbar X2 { studs 70, carries 100 A }
route B1.+ (W1 25 mm2, 0.1 m) F1 (W2 25 mm2, 0.1 m) S1 (W3 25 mm2, 0.1 m) X1.70
route X2.70 (W4 25 mm2, 0.1 m) B1.-
)";
    for (int i = 1; i <= 60; ++i) {
        const std::string n = std::to_string(i);
        text += "capacitor C" + n + " { 100 uF, 100 V }\nroute X1." + n + " (WA" + n + " 4 mm2, 0.1 m) C" +
                n + " (WB" + n + " 4 mm2, 0.1 m) X2." + n + "\n";
    }
    const Results results = check_text(text);
    CHECK(std::any_of(results.findings.begin(), results.findings.end(), [](const Finding& finding) {
        return finding.rule == "not-solved" && finding.severity == Severity::error;
    }));
}

TEST_CASE("packs that plugs put in line or side by side are judged both ways") {
    // All plugs in at once would short a pack; in line they have 58 V, side by side 29 V.
    const auto told = [](const std::string& fuse, std::string_view rule) {
        return tells(check_text(two_plugs(fuse)), rule, "F1");
    };
    CHECK(told("100 A, 80 V dc, breaks 1 kA at 80 V dc, curve iso8820-5", "fuse-breaking-capacity"));
    CHECK_FALSE(told("100 A, 80 V dc, breaks 20 kA at 80 V dc, curve iso8820-5", "fuse-breaking-capacity"));
    CHECK(told("100 A, 32 V dc, breaks 20 kA at 32 V dc, curve iso8820-5", "fuse-voltage"));
    CHECK_FALSE(told("100 A, 80 V dc, breaks 20 kA at 80 V dc, curve iso8820-5", "fuse-voltage"));
}

TEST_CASE("the last of many plugs is looked at like the first") {
    // A dozen places where a small bank stands in turn, and one of a strong one; each mode mates one of them.
    const auto docks = [](const std::string& breaks) {
        std::string text = R"(loom 1
harness "Dock row" { ambient 10..30 degC, insulation pvc 90 degC }
part small is pack { voltage 22..28.8 V, resistance 60 mohm, capacity 10 Ah, discharge 40 A, charge 10 A }
pack B99 { voltage 22..28.8 V, resistance 4 mohm, capacity 200 Ah, discharge 200 A, charge 40 A }
fuse F1 { 30 A, 58 V dc, breaks )" +
                           breaks + R"( at 58 V dc, curve iso8820-5 }
switch S1 { 60 V dc, carries 60 A, makes 100 A, breaks 60 A at 60 V dc }
load E1 { 24 V, 100 W, works 18..32 V }
busbar X1 { studs 20, carries 100 A }
busbar X2 { studs 20, carries 100 A }
route X1.20 (W1 10 mm2, 0.1 m) F1 (W2 10 mm2, 0.3 m) S1 (W3 10 mm2, 0.3 m) E1 (W4 10 mm2, 0.3 m) X2.20
)";
        std::string all, modes;
        for (int i = 1; i <= 12; ++i) {
            const std::string n = std::to_string(i), pack = i == 12 ? "B99" : "B" + n;
            if (i < 12) text += "pack " + pack + " is small\n";
            text += "connector J" + n + " { mate P" + n + ", contacts + -, carries 60 A, 60 V }\n";
            text += "route " + pack + ".+ (WA" + n + " 10 mm2, 0.1 m) J" + n + ".+\nroute P" + n + ".+ (WB" +
                    n + " 10 mm2, 0.1 m) X1." + n + "\n";
            text += "route " + pack + ".- (WC" + n + " 10 mm2, 0.1 m) J" + n + ".-\nroute P" + n + ".- (WD" +
                    n + " 10 mm2, 0.1 m) X2." + n + "\n";
            all += " J" + n;
        }
        for (int i = 1; i <= 12; ++i) {
            std::string others;
            for (int k = 1; k <= 12; ++k)
                if (k != i) others += " J" + std::to_string(k);
            modes += "mode dock-" + std::to_string(i) + " { S1 closed, J" + std::to_string(i) + " mated," +
                     others + " unmated, others at rest }\n";
        }
        return text + "mode off {" + all + " unmated, others at rest }\n" + modes;
    };
    CHECK(tells(check_text(docks("2 kA")), "fuse-breaking-capacity", "F1"));
    CHECK_FALSE(tells(check_text(docks("20 kA")), "fuse-breaking-capacity", "F1"));
}

TEST_CASE("a short of one pack of a string that passes no fuse burns what it passes") {
    // The fuse stands in the middle of the string; W4 and W7 lie in one bundle.
    const auto string = [](const std::string& size) {
        return check_text(R"(loom 1
harness "Reed harvester" { ambient 10..30 degC, insulation pvc 70 degC }
part half is pack { voltage 22..29 V, resistance 8..10 mohm, capacity 100 Ah, discharge 100 A, charge 40 A }
pack B1 is half
pack B2 is half
fuse F1 { 60 A, 80 V dc, breaks 20 kA at 80 V dc, curve iso8820-5 }
switch S1 { 80 V dc, carries 100 A, makes 300 A, breaks 100 A at 80 V dc }
load E1 { 48 V, 500 W, works 40..60 V }
stud X1
bundle L1 { ambient 10..30 degC }
route B1.- (W1 16 mm2, 0.3 m) X1
route B1.+ (W2 16 mm2, 0.1 m) F1 (W3 )" +
                          size + R"(, 0.9 m, in L1) B2.-
route B2.+ (W4 )" + size + R"(, 0.9 m, in L1) S1 (W5 16 mm2, 0.3 m) E1 (W6 16 mm2, 0.3 m) X1
mode off { others at rest }
mode on { S1 closed, others at rest }
)");
    };
    const auto told = [&](const std::string& size) {
        const Results results = string(size);
        return std::any_of(results.findings.begin(), results.findings.end(), [](const Finding& finding) {
            return finding.severity == Severity::error && finding.rule == "insufficient-fault-current";
        });
    };
    CHECK(told("16 mm2"));
}

TEST_CASE("what stands behind resistors does not hang on their names") {
    const auto with = [](const std::string& name, const std::string& volts) {
        return check_text(R"(loom 1
harness "Ram pump" { ambient 0..35 degC, insulation pvc 90 degC }
pack B1 { voltage 60..84 V, resistance 80 mohm, capacity 24 Ah, discharge 60 A, charge 15 A }
fuse F1 { 3 A, 160 V dc, breaks 20 kA at 160 V dc, curve iec60269-gg }
switch S1 { 125 V dc, carries 10 A, makes 15 A, breaks 8 A at 100 V dc }
resistor R1 { 47 ohm, 50 W, pulse 150 J }
capacitor C1 { 20 mF, )" + volts +
                          R"(, bleed 680 ohm }
resistor )" + name + R"( { 5 ohm, 50 W, pulse 150 J }
relay K1 { contacts change-over, 125 V dc, carries 20 A, makes 30 A, breaks 10 A at 100 V dc
  coil 72 V 20 mA, coil-works 50..90 V, suppression diode }
switch S2 { 125 V dc, carries 10 A, makes 15 A, breaks 8 A at 100 V dc }
route B1.+ (W1 1.5 mm2, 0.1 m) F1 (W2 1.5 mm2, 0.3 m) S1 (W3 1.5 mm2, 0.3 m) R1 (W4 1.5 mm2, 0.3 m) K1.nc
route K1.com (W5 1.5 mm2, 0.3 m) C1 (W6 1.5 mm2, 0.3 m) B1.-
route K1.no (W7 1.5 mm2, 0.3 m) )" +
                          name + R"( (W8 1.5 mm2, 0.3 m) B1.-
route F1.out (W9 1.5 mm2, 0.3 m) S2 (W10 1.5 mm2, 0.3 m) K1.A1
route K1.A2 (W11 1.5 mm2, 0.3 m) B1.-
mode off { others at rest }
mode on { others at rest, S1 closed }
mode fire { like on, after on 20 s, S2 closed, K1 energised }
)");
    };
    for (const char* const name : {"A2", "R2", "Z2"}) {
        INFO(name);
        CHECK(tells(with(name, "63 V"), "contact-voltage", "C1"));
        CHECK_FALSE(tells(with(name, "100 V"), "contact-voltage", "C1"));
    }
}

TEST_CASE("an alternator that has no pack left is told though a small converter hangs on it") {
    const auto with = [](const std::string& mode, const std::string& more) {
        return check_text(R"(loom 1
harness "Lock gate" { ambient 0..35 degC, insulation pvc 90 degC }
pack B1 { voltage 22..28.8 V, resistance 10 mohm, capacity 100 Ah, discharge 80 A, charge 60 A }
fuse F1 { 80 A, 58 V dc, breaks 10 kA at 58 V dc, curve iso8820-5 }
switch S1 { 60 V dc, carries 100 A, makes 300 A, breaks 100 A at 60 V dc }
busbar X1 { studs 6, carries 100 A }
busbar X2 { studs 6, carries 100 A }
charger G1 "alternator" { output 28.8 V 40 A, reverse blocked }
converter D1 { input 18..36 V, output 12.5 V 5 A, efficiency 88 %, negative common, capacitance 1 uF, spare out- }
load E1 { 12 V, 20 W, works 9..15 V }
route B1.+ (W1 25 mm2, 0.1 m) F1 (W2 25 mm2, 0.3 m) S1 (W3 25 mm2, 0.3 m) X1.1
route B1.- (W4 25 mm2, 0.4 m) X2.1
route G1.+ (W5 10 mm2, 0.3 m) X1.2
route G1.- (W6 10 mm2, 0.3 m) X2.2
route X1.3 (W7 10 mm2, 0.3 m) D1.in+
route D1.in- (W8 10 mm2, 0.3 m) X2.3
route D1.out+ (W9 1.5 mm2, 1 m) E1 (W10 1.5 mm2, 1 m) X2.4
)" + more + "mode off { others at rest }\nmode under-way { " +
                          mode + ", G1 delivers 20 A, others at rest }\n");
    };
    CHECK(tells(with("S1 open, D1 E1 on", ""), "no-pack-to-charge", "G1", Severity::warning));
    CHECK_FALSE(tells(with("S1 closed, D1 E1 on", ""), "no-pack-to-charge", "G1", Severity::note));
    // An adapter that no contact joins to a pack is a supply of its own.
    const std::string adapter =
        "charger G2 \"mains adapter\" { output 24 V 5 A, reverse blocked }\n"
        "load E2 { 24 V, 20 W, works 20..30 V }\n"
        "route G2.+ (W20 1.5 mm2, 1 m) E2 (W21 1.5 mm2, 1 m) G2.-\n";
    const Results results = with("S1 closed, G2 delivers limit", adapter);
    CHECK_FALSE(tells(results, "no-pack-to-charge", "G2", Severity::warning));
    CHECK(tells(results, "no-pack-to-charge", "G2", Severity::note));
}

TEST_CASE("a relay that opens while the charger's plug is in may stay in, one that closes may not") {
    const auto with = [](const std::string& contacts) {
        return check_text(R"(loom 1
harness "Plug lock" { ambient 0..35 degC, insulation pvc 90 degC }
pack B1 { voltage 22..28.8 V, resistance 10 mohm, capacity 100 Ah, discharge 80 A, charge 60 A }
fuse F1 { 80 A, 58 V dc, breaks 10 kA at 58 V dc, curve iso8820-5 }
fuse F2 { 2 A, 125 V dc, breaks 10 kA at 125 V dc, curve ul248-14 }
fuse F3 { 2 A, 125 V dc, breaks 10 kA at 125 V dc, curve ul248-14 }
switch S1 { 60 V dc, carries 100 A, makes 300 A, breaks 100 A at 60 V dc }
busbar X1 { studs 6, carries 100 A }
busbar X2 { studs 6, carries 100 A }
charger G1 { output 28.8 V 20 A, reverse blocked }
relay K3 { contacts )" + contacts +
                          R"(, 60 V dc, carries 10 A, makes 10 A, breaks 10 A at 60 V dc
  coil 24 V 50 mA, coil-works 16..32 V, suppression diode }
load E1 { 24 V, 20 W, works 18..32 V }
route B1.+ (W1 25 mm2, 0.1 m) F1 (W2 25 mm2, 0.3 m) S1 (W3 25 mm2, 0.3 m) X1.1
route B1.- (W4 25 mm2, 0.4 m) X2.1
route X1.2 (W5 10 mm2, 0.3 m) G1.+
route G1.- (W6 10 mm2, 0.3 m) X2.2
route X1.4 (direct) F2 (W7 1 mm2, 0.3 m) K3.A1
route K3.A2 (W8 1 mm2, 0.3 m) X2.3
route X1.3 (direct) F3 (W9 1 mm2, 0.3 m) K3.in
route K3.out (W10 1 mm2, 0.3 m) E1 (W11 1 mm2, 0.3 m) X2.4
mode off { others at rest }
mode charge { S1 closed, K3 energised, G1 delivers 1 A, others at rest }
)");
    };
    CHECK_FALSE(tells(with("nc"), "held-coil", "K3", Severity::warning));
    CHECK(tells(with("no"), "held-coil", "K3", Severity::warning));
}

}  // namespace silence_test
