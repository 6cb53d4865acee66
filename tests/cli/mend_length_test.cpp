// `loomward mend`: what wire to buy where nobody knows how long it is.
#include <catch2/catch.hpp>

#include "tests/cli/program.hpp"

namespace mend_length_test {

using Catch::Contains;
using program::Folder;
using program::run;

namespace {

// A 0.5 mm2 lead behind a fuse that is too large for it.
std::string tub(const std::string& lead) {
    return "loom 1\nharness \"Mash tub\" { ambient 5..35 degC, insulation pvc 70 degC }\n"
           "pack B1 { voltage 22..29 V, resistance 10..20 mohm, capacity 40 Ah, discharge 60 A, charge 20 A "
           "}\n"
           "fuse F1 { 20 A, 58 V dc, breaks 4 kA at 58 V dc, curve iso8820-3 }\n"
           "switch S1 { 32 V dc, carries 30 A, makes 60 A, breaks 30 A at 32 V dc }\n"
           "load E1 { 24 V, 12 A, acts-as current, works 18..32 V }\n"
           "route B1.+ (W1 6 mm2, 0.1 m, red) F1 (W2 6 mm2, 0.2 m, red) S1 (W3 " +
           lead +
           ", red) E1 (W4 6 mm2, 0.5 m, black) B1.-\nmode off { others at rest }\nmode on { S1 closed }\n";
}

std::string mended(const std::string& lead) {
    const Folder folder;
    folder.write("tub.loom", tub(lead));
    return run(folder, {"mend", "tub.loom"}).out;
}

}  // namespace

TEST_CASE("a wire of unknown length is bought as such, not as 0 m") {
    const std::string known = mended("0.5 mm2, 1.5 m"), open = mended("0.5 mm2");
    CHECK_THAT(known,
               Contains("instead of 0.5 mm2, 1.5 m") && Contains(" 1.5 m\n") && !Contains("unknown length"));
    CHECK_THAT(open, Contains("instead of 0.5 mm2, length not known") &&
                         Contains(" for 1 wire of unknown length\n") && !Contains(" 0 m"));
}

}  // namespace mend_length_test
