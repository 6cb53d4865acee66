// One small harness that passes every rule. A rule's example is a change to it that triggers the rule, so
// that the example and its mended twin are both at hand; the tests run each of them.
#pragma once
#include <string_view>

namespace loomward {

inline constexpr std::string_view example_harness = R"(loom 1
harness "Workshop hoist" { ambient 0..40 degC, insulation pvc 90 degC }
pack B1 {
  cells 13s6p, cell-voltage 3.0..4.2 V, cell-resistance 20 mohm, cell-capacity 3 Ah
  discharge 60 A, charge 15 A
}
bms Q1 { side low, ports common, discharge 70 A, charge 20 A, trips 120 A after 1 s, resistance 1 mohm }
fuse F1 { 60 A, 80 V dc, breaks 2.5 kA at 80 V dc, curve iso8820-5 }
contactor K1 {
  carries 100 A, makes 60 A, breaks 100 A at 60 V dc
  coil 48 V 200 mA, coil-works 30..60 V, suppression diode
}
connector J1 {
  mate P1, half socket, contacts 2, carries 80 A, 90 V, takes 10..16 mm2, rated-at 30 degC, limit 105 degC
}
controller U1 { input 30..60 V, capacitance 3 mF, supply-limit 40 A, phase-peak 70 A, regen none }
motor M1 { leads 3, carries 90 A }
fuse F2 { 5 A, 80 V dc, breaks 2.5 kA at 80 V dc, curve iso8820-3 }
switch S1 { 80 V dc, carries 5 A, breaks 2 A at 60 V dc }
converter D1 { input 30..60 V, output 12 V 5 A, efficiency 88 %, negative common, reverse blocked }
fuse F3 { 5 A, 32 V dc, breaks 1 kA at 32 V dc, curve iso8820-3 }
load H1 { 12 V, 20 W, acts-as current, works 9..15 V }
load H2 { 48 V, 10 W, acts-as power, works 30..60 V }
splice X1
fuse F7 { 3 A, 80 V dc, breaks 2.5 kA at 80 V dc, curve iso8820-3 }
switch S7 "precharge" { 80 V dc, carries 5 A, breaks 2 A at 60 V dc }
resistor R7 { 68 ohm, 10 W, pulse 20 J }

route B1.+ (W1 16 mm2, 0.15 m, red) F1 (W2 16 mm2, 0.2 m, red) K1 (W3 16 mm2, 0.8 m, red) J1.1
route P1.1 (W4 16 mm2, 0.2 m, red) U1.+
route B1.- (W5 16 mm2, 0.1 m, black) Q1 (W6 16 mm2, 0.9 m, black) J1.2 (W7 16 mm2, 0.2 m, black) U1.-
route F1.out (W8 1 mm2, 0.15 m, red) F2 (W9 1 mm2, 0.5 m, red) S1 (W10 1 mm2, 1 m, red) X1
route X1 (W11 1 mm2, 0.4 m, orange) K1.A1
route K1.A2 (W12 1 mm2, 1 m, black) Q1.P-
route X1 (W13 1 mm2, 0.3 m, red) H2 (W14 1 mm2, 1 m, black) Q1.P-
route X1 (W15 1.5 mm2, 0.3 m, red) D1.in+
route D1.in- (W16 1.5 mm2, 0.5 m, black) Q1.P-
route D1.out+ (direct) F3 (W18 1 mm2, 2 m, yellow) H1 (W19 1 mm2, 2 m, black) D1.out-
route F1.out (direct) F7 (W24 1 mm2, 0.5 m, red) S7 (W23 1 mm2, 0.4 m, red) R7 (direct) K1.out
route U1.U (W20 10 mm2, 0.5 m, yellow) M1.U
route U1.V (W21 10 mm2, 0.5 m, green) M1.V
route U1.W (W22 10 mm2, 0.5 m, blue) M1.W

mode parked { others at rest }
mode ready { others at rest, S7 closed }
mode drive { others at rest, after ready 3 s, K1 S1 closed, U1 draws 35 A, U1 phases 60 A }
)";

}  // namespace loomward
