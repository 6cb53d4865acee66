// Texts of many shapes for properties that must hold of any text: every construct of level 1 is in them.
#pragma once
#include <algorithm>
#include <filesystem>
#include <fstream>
#include <sstream>
#include <string>
#include <vector>

namespace loomward {

inline const std::string orchard_platform = R"(loom 1
use "shelf.loom"
harness "Orchard platform, \"two-man\"" { revision "A", ambient -5..40 degC }

# ---- supply, nominal 48 V ------------------------------------
part strip-fuse is fuse { 80 V dc, breaks 2.5 kA, curve iso8820-5 }
part mast-lamp is assembly {
  port plus
  port minus
  load H1 { 48 V, 20 W }   # a lamp
  switch S1 { 80 V dc, carries 2 A, breaks none }
  route plus (W1 1 mm2, 0.3 m, red) S1 (W2 1 mm2, 0.2 m, red) H1 (W3 1 mm2, 0.5 m, black) minus
  bundle L1 { wrap taped, length 0.2 m }
}
pack B1 {
  cells 14s8p, cell-voltage 3.0..4.2 V, cell-resistance about 18 mohm
  cell-capacity 5 Ah   # each

  discharge 80 A, charge 20 A
}
fuse F1 "main fuse" is strip-fuse { 100 A, torque 9 Nm }
connector J1 { mate P1, half socket, contacts 2, carries 120 A, 90 V, takes 10..16 mm2 }
controller U1 {
  input 30..60 V, supply-limit 40 % of phase-limit
  pin key supply 60 mA
}
stud X1
assembly T1 is mast-lamp { W1 { 1.4 m }, W2 { 0.4 m }, L1 { length 0.9 m } }

route B1.+ (W1 16 mm2, 0.15 m, red) F1 (W2 2/0 AWG, 1 ft, red, in L1 L2)
    J1.1 (W3 16 mm2, 0.20 m, red) U1.+
route U1.- (W4 16 mm2, 0.2 m,
            black) P1.2 (W5 is lead16, 0.9 m) B1.-
route F1.out (direct) X1

bundle L1 { wrap taped, length 0.6 m }
mode parked { others at rest }
mode climb {
  like parked
  U1 draws limit for 30 s then 20 A for 90 s repeating, T1.S1 closed
}
policy { voltage-drop 3 % }
accept unprotected-wire on W1 because "0.15 m, in its own sleeve"
)";

inline const std::string one_line_each = R"(loom 1
load H1 { 12 V, 5 W }
load H2 { 12 V, acts-as resistor }
switch S1 { 24 V dc, carries 6 A, breaks 6 A at 24 V dc }
device A1 { pin 5v supply 8 mA, pin gnd return, note "thumb \\ hand" }
selector S2 { terminals com 1 2, position off, position both 1 2 com }
cable C1 { cores red black, 0.25 mm2, 1.8 m }
route S1.out (C1.red) A1.5v
route A1.gnd (C1.black) H1.- (W9 1 mm2, 0.2 m, green-yellow) H2.-
)";

inline std::vector<std::string> sample_texts() {
    std::vector<std::string> all = {orchard_platform, one_line_each};
    std::vector<std::filesystem::path> files;
    for (const auto& entry : std::filesystem::recursive_directory_iterator(LOOMWARD_SOURCE_DIR "/examples"))
        if (entry.path().extension() == ".loom") files.push_back(entry.path());
    std::sort(files.begin(), files.end());
    for (const auto& path : files) {
        std::stringstream text;
        text << std::ifstream(path).rdbuf();
        all.push_back(text.str());
    }
    return all;
}

}  // namespace loomward
