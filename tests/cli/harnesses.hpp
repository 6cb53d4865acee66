// Small harnesses for running the program on.
#pragma once
#include <string>

namespace harnesses {

// Nothing at error level.
inline const std::string barrow =
    "loom 1\n"
    "harness \"Orchard barrow\" { ambient 0..40 degC, insulation pvc 90 degC }\n"
    "pack B1 { voltage 40..58 V, resistance 30 mohm, capacity 20 Ah, discharge 30 A, charge 20 A }\n"
    "fuse F1 { 5 A, 80 V dc, breaks 2.5 kA at 80 V dc, curve iso8820-3 }\n"
    "switch S1 { 72 V dc, carries 20 A, breaks 16 A at 72 V dc }\n"
    "load H1 { 48 V, 50 W }\n"
    "route B1.+ (W1 1.5 mm2, 0.1 m, red) F1 (W2 1.5 mm2, 0.5 m, red) S1 (W3 1.5 mm2, 0.5 m, red)\n"
    "    H1 (W4 1.5 mm2, 0.9 m, black) B1.-\n"
    "mode off { others at rest }\n"
    "mode lit { S1 closed }\n";

inline std::string with(std::string text, const std::string& from, const std::string& to) {
    return text.replace(text.find(from), from.size(), to);
}

// Its load draws more than the fuse, and more than the wire may carry: errors.
inline const std::string weak_barrow = with(barrow, "50 W", "1500 W");

// One mistake in the text, at 6:20.
inline const std::string misspelt_barrow = with(barrow, "50 W }", "50 Watt }");

}  // namespace harnesses
