// Small harnesses of which single failures are errors, and others as close as possible of which they are
// none.
#pragma once
#include <string>

#include "tests/cli/harnesses.hpp"

namespace loomward::planted {

inline const std::string head =
    "loom 1\n"
    "harness \"Peat belt\" { ambient 0..40 degC, insulation pvc 90 degC }\n"
    "pack B1 { voltage 40..58 V, resistance 30 mohm, capacity 20 Ah, discharge 60 A, charge 20 A }\n"
    "fuse F1 { 40 A, 80 V dc, breaks 2.5 kA at 80 V dc, curve iso8820-5 }\n"
    "switch S1 \"isolator\" { 72 V dc, carries 60 A, breaks 60 A at 72 V dc }\n";

// A motor that runs as soon as a coil lets go: whatever opens on the way to the coil starts it.
inline const std::string lets_go =
    head +
    "relay K1 { contacts nc, carries 60 A, breaks 60 A at 60 V dc, coil 48 V 50 mA, suppression diode }\n"
    "load M1 \"belt\" { 48 V, 20 A, stall 60 A }\n"
    "fuse F2 { 2 A, 80 V dc, breaks 2.5 kA at 80 V dc, curve iso8820-3 }\n"
    "switch S2 \"hold\" { 72 V dc, carries 6 A, breaks 2 A at 72 V dc }\n"
    "connector J1 { mate P1, half socket, contacts 1, carries 7 A, 100 V, contact-resistance 5 mohm\n"
    "  takes 0.5..1.5 mm2, rated-at 30 degC, limit 105 degC }\n"
    "device A1 { pin feed supply 10 mA, pin hold high-side 1 A, pin gnd return }\n"
    "route B1.+ (W1 6 mm2, 0.1 m, red) F1 (W2 6 mm2, 0.5 m, red) S1 (W3 6 mm2, 0.5 m, red)\n"
    "    K1 (W4 6 mm2, 0.5 m, red) M1 (W5 6 mm2, 0.9 m, black) B1.-\n"
    "route F1.out (W6 1 mm2, 0.5 m, red) F2 (W7 1 mm2, 0.5 m, red) S2 (W8 1 mm2, 0.5 m, red) J1.1\n"
    "    (W9 1 mm2, 0.5 m, red) A1.feed\n"
    "route A1.hold (W10 1 mm2, 0.5 m, red) K1.A1\n"
    "route K1.A2 (W11 1 mm2, 0.5 m, black) B1.-\n"
    "route A1.gnd (W12 1 mm2, 0.5 m, black) B1.-\n"
    "mode off { J1 unmated, others at rest }\n"
    "mode held { S1 S2 closed, K1 energised, A1.hold on }\n"
    "mode run { S1 closed, S2 open, K1 released, A1.hold off }\n";

// The same with a contact that the coil closes: what opens stops the motor.
inline const std::string pulls_in =
    harnesses::with(harnesses::with(harnesses::with(lets_go, "contacts nc", "contacts no"),
                                    "mode held { S1 S2 closed, K1 energised, A1.hold on }",
                                    "mode held { S1 closed, S2 open, K1 released, A1.hold off }"),
                    "mode run { S1 closed, S2 open, K1 released, A1.hold off }",
                    "mode run { S1 S2 closed, K1 energised, A1.hold on }");

// A drive behind a contactor, with a key and a stop in the loop of its coil, and a holding brake.
inline const std::string hoist =
    head +
    "switch S2 \"key\" { 72 V dc, carries 6 A, breaks 2 A at 72 V dc }\n"
    "switch S3 \"stop\" { 72 V dc, carries 6 A, breaks 2 A at 72 V dc, rest closed }\n"
    "contactor K1 { carries 60 A, makes 60 A, breaks 60 A at 60 V dc, coil 48 V 50 mA, suppression diode }\n"
    "controller U1 { input 30..60 V, capacitance 1 mF, phase-peak 60 A, phase-limit 80 % of phase-peak\n"
    "  supply-limit 40 % of phase-limit, regen none, standby 20 mA, pin key supply 50 mA, pin main low-side "
    "1 A\n"
    "  pin brake low-side 1 A, pin 5v output 5 V 50 mA, pin gnd return, pin lever signal }\n"
    "motor M1 { leads 3, carries 60 A }\n"
    "load Y1 \"holding brake\" { 48 V, 0.5 A }\n"
    "device A1 \"lever\" { pin 5v supply 8 mA, pin gnd return, pin out signal }\n"
    "route B1.+ (W1 6 mm2, 0.1 m, red) F1 (W2 6 mm2, 0.5 m, red) S1 (W3 6 mm2, 0.5 m, red)\n"
    "    K1 (W4 6 mm2, 0.5 m, red) U1.+\n"
    "route U1.- (W5 6 mm2, 0.9 m, black) B1.-\n"
    "route S1.out (W6 1 mm2, 0.5 m, red) S2 (W7 1 mm2, 0.5 m, red) S3 (W8 1 mm2, 0.5 m, red) U1.key\n"
    "route S3.out (W9 1 mm2, 0.5 m, red) K1.A1\n"
    "route K1.A2 (W10 1 mm2, 0.5 m, black) U1.main\n"
    "route S3.out (W11 1 mm2, 0.5 m, red) Y1 (W12 1 mm2, 0.5 m, black) U1.brake\n"
    "route U1.5v (W13 1 mm2, 0.5 m, red) A1.5v\n"
    "route U1.gnd (W14 1 mm2, 0.5 m, black) A1.gnd\n"
    "route U1.lever (W15 1 mm2, 0.5 m, white) A1.out\n"
    "route U1.U (W16 6 mm2, 0.5 m, yellow) M1.U\n"
    "route U1.V (W17 6 mm2, 0.5 m, green) M1.V\n"
    "route U1.W (W18 6 mm2, 0.5 m, blue) M1.W\n"
    "mode off { others at rest }\n"
    "mode ready { S1 S2 S3 closed, K1 open, U1.main U1.brake off, U1 at rest }\n"
    "mode lift { S1 S2 S3 closed, K1 closed, U1.main U1.brake on, U1 draws 10 A }\n";

// The brake hangs before key and stop, and only the isolator ends it.
inline const std::string late = harnesses::with(hoist, "route S3.out (W11", "route S1.out (W11");
// ... which may not be pulled under load.
inline const std::string unheld =
    harnesses::with(late, "switch S1 \"isolator\" { 72 V dc, carries 60 A, breaks 60 A at 72 V dc }",
                    "switch S1 \"link\" { 72 V dc, carries 60 A, breaks none }");

// The brake hangs behind the contactor: unfed wherever nothing runs.
inline const std::string caught = harnesses::with(hoist, "route S3.out (W11", "route K1.out (W11");

// Nothing but a plug is there to stop it.
inline const std::string no_stop = harnesses::with(
    harnesses::with(
        harnesses::with(hoist, "switch S1 \"isolator\" { 72 V dc, carries 60 A, breaks 60 A at 72 V dc }",
                        "switch S1 \"link\" { 72 V dc, carries 60 A, breaks none }"),
        "S3 (W8 1 mm2, 0.5 m, red) U1.key\nroute S3.out (W9 1 mm2, 0.5 m, red) K1.A1\n",
        "S3 (W8 1 mm2, 0.5 m, red) U1.key\nroute S1.out (W9 1 mm2, 0.5 m, red) K1.A1\n"),
    "pin key supply 50 mA", "pin key signal");

// Five times as much voltage behind a converter that fails through, and a fuse that may not break it.
inline const std::string low_fuse =
    head +
    "converter D1 { input 30..60 V, output 12 V 10 A, efficiency 88 %, negative common, standby 5 mA }\n"
    "fuse F2 { 5 A, 32 V dc, breaks 1 kA at 32 V dc, curve iso8820-3 }\n"
    "load E1 \"lamp\" { 12 V, 10 W, works 9..16 V }\n"
    "route B1.+ (W1 6 mm2, 0.1 m, red) F1 (W2 6 mm2, 0.5 m, red) S1 (W3 6 mm2, 0.5 m, red) D1.in+\n"
    "route D1.in- (W4 6 mm2, 0.5 m, black) B1.-\n"
    "route D1.out+ (W5 1 mm2, 0.5 m, red) F2 (W6 1 mm2, 0.5 m, red) E1 (W7 1 mm2, 0.5 m, black) D1.out-\n"
    "mode off { others at rest }\n"
    "mode lit { S1 closed }\n";
inline const std::string high_fuse =
    harnesses::with(low_fuse, "5 A, 32 V dc, breaks 1 kA at 32 V dc", "5 A, 80 V dc, breaks 1 kA at 80 V dc");

// A lamp on a small battery, and a diode that lets what is above the traction voltage go there.
inline const std::string low_battery_fuse =
    head +
    "pack B2 { voltage 11..14 V, resistance 20 mohm, capacity 7 Ah, discharge 10 A, charge 5 A }\n"
    "fuse F2 { 5 A, 32 V dc, breaks 1 kA at 32 V dc, curve iso8820-3 }\n"
    "load E1 \"lamp\" { 12 V, 10 W, works 9..16 V }\n"
    "diode D2 { 20 A, 100 V, drop 0.7 V }\n"
    "route B1.+ (W1 6 mm2, 0.1 m, red) F1 (W2 6 mm2, 0.5 m, red) S1 (W3 6 mm2, 0.5 m, red) D2.K\n"
    "route D2.A (W4 1 mm2, 0.5 m, red) E1.+\n"
    "route B2.+ (W5 1 mm2, 0.1 m, red) F2 (W6 1 mm2, 0.5 m, red) E1 (W7 1 mm2, 0.5 m, black) B2.-\n"
    "route B1.- (W8 6 mm2, 0.5 m, black) B2.-\n"
    "mode off { others at rest }\n"
    "mode lit { S1 closed }\n";
inline const std::string high_battery_fuse = harnesses::with(
    low_battery_fuse, "5 A, 32 V dc, breaks 1 kA at 32 V dc", "5 A, 80 V dc, breaks 1 kA at 80 V dc");

// The coil that holds the motor back lives on a battery of its own.
inline const std::string own_battery = harnesses::with(
    harnesses::with(
        harnesses::with(lets_go, "fuse F2 {",
                        "pack B2 { voltage 40..58 V, resistance 60 mohm, capacity 2 Ah, discharge 5 A, "
                        "charge 2 A }\nfuse F2 {"),
        "route F1.out (W6", "route B2.+ (W6"),
    "route A1.gnd (W12", "route B2.- (W13 1 mm2, 0.5 m, black) B1.-\nroute A1.gnd (W12");
inline const std::string one_battery = harnesses::with(
    harnesses::with(
        harnesses::with(pulls_in, "fuse F2 {",
                        "pack B2 { voltage 40..58 V, resistance 60 mohm, capacity 2 Ah, discharge 5 A, "
                        "charge 2 A }\nfuse F2 {"),
        "route F1.out (W6", "route B2.+ (W6"),
    "route A1.gnd (W12", "route B2.- (W13 1 mm2, 0.5 m, black) B1.-\nroute A1.gnd (W12");

// A charger that goes on though one cell gives nothing, and one that ends before.
inline const std::string charges_on =
    "loom 1\n"
    "harness \"Charging trolley\" { ambient 0..40 degC, insulation pvc 90 degC }\n"
    "pack B1 { cells 13s4p, cell-voltage 3.0..4.2 V, cell-resistance 30 mohm, cell-capacity 3 Ah, discharge "
    "30 A\n"
    "  charge 8 A }\n"
    "fuse F1 { 10 A, 80 V dc, breaks 2.5 kA at 80 V dc, curve iso8820-3 }\n"
    "charger G1 { output 54.6 V 5 A, reverse blocked }\n"
    "route B1.+ (W1 1.5 mm2, 0.1 m, red) F1 (W2 1.5 mm2, 0.5 m, red) G1.+\n"
    "route G1.- (W3 1.5 mm2, 0.9 m, black) B1.-\n"
    "mode off { others at rest }\n"
    "mode charge { G1 delivers 5 A }\n";
inline const std::string ends_before = harnesses::with(charges_on, "output 54.6 V", "output 50.4 V");

}  // namespace loomward::planted
