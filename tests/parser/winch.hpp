// A sound harness whose lines the tests replace one at a time.
#pragma once
#include <string>
#include <string_view>

#include "tests/parser/resolve_support.hpp"

namespace loomward {

inline constexpr std::string_view winch = R"(loom 1
use "shelf.loom"
harness "Slip winch" { ambient 5..35 degC }
part lead10 is wire { 10 mm2, insulation silicone 180 degC }
part corner is assembly {
  port plus
  port minus
  load E1 { 12 V, 5 W }
  route plus (W1 1 mm2, 0.5 m) E1 (W2 1 mm2, 0.5 m) minus
}
pack B1 { voltage 20..29 V, resistance 12 mohm, capacity 60 Ah, discharge 120 A, charge 30 A }
fuse F1 { 100 A, 58 V dc, breaks 2 kA, curve iso8820-5 }
switch S1 { 48 V dc, carries 120 A, breaks 100 A at 48 V dc }
connector J1 { mate P1, half socket, contacts 2, carries 120 A, 60 V, takes 10..16 mm2, rated-at 30 degC, limit 105 degC }
relay K2 { contacts change-over, carries 10 A, breaks 2 A at 30 V dc, coil 24 V 40 mA, suppression diode }
resistor R1 { 47 ohm, 25 W }
controller U1 { input 18..32 V, capacitance 1 mF, supply-limit 80 A, regen none, pin main low-side 1 A }
load H1 { 24 V, 21 W }
cable C1 { cores red black, 0.5 mm2, 1.2 m }
assembly T1 is corner
route B1.+ (W1 16 mm2, 0.2 m, red) F1 (W2 16 mm2, 0.3 m, red) S1 (W3 16 mm2, 0.8 m, red, in L1) J1.1 (W4 16 mm2, 0.2 m, red) U1.+
route B1.- (W5 16 mm2, 0.9 m, black) J1.2 (W6 16 mm2, 0.2 m, black) U1.-
route F1.out (W7 1 mm2, 0.3 m, red) H1 (W8 1 mm2, 0.3 m, black) B1.-
bundle L1 { wrap taped, length 0.6 m }
mode parked { others at rest }
mode drive { S1 closed, K2 released, U1 draws 45 A, U1.main on }
accept unprotected-wire on W5 because "short lead"
)";

struct Replacement {
    int line;
    std::string_view text;      // may be several lines
    std::string_view mistakes;  // all of them
};

inline std::string winch_with(int line, std::string_view text) {
    std::string result(winch);
    std::size_t start = 0;
    for (int i = 1; i < line; ++i) start = result.find('\n', start) + 1;
    return result.replace(start, result.find('\n', start) - start, text);
}

inline MemoryFiles winch_shelf() {
    return MemoryFiles(
        {{"shelf.loom", "loom 1\npart bolt-fuse is fuse { 58 V dc, breaks 2 kA, curve iso8820-5 }\n"}});
}

inline std::string mistakes_with(const Replacement& row) {
    return mistakes_of(read_test(winch_with(row.line, row.text), winch_shelf()));
}

}  // namespace loomward
