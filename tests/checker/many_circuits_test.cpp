// Harnesses too large to look at every position and every flow: what is left is bounded from above, and no
// position between a drive and its pack is left out.
#include <fmt/format.h>

#include <catch2/catch.hpp>

#include "tests/checker/checking.hpp"

namespace many_circuits_test {

using namespace loomward;
using namespace loomward::testing;

namespace {

// A winch that returns current, two packs, selectors of lamps that have nothing to do with it.
std::string capstan(std::size_t selectors, bool diode) {
    std::string text =
        fmt::format(R"(loom 1
harness "Capstan" {{ ambient 5..30 degC, insulation pvc 70 degC }}
pack B1 {{ voltage 44..56 V, resistance 15..24 mohm, capacity 90 Ah, discharge 90 A, charge 35 A }}
pack B2 {{ voltage 44..56 V, resistance 15..24 mohm, capacity 90 Ah, discharge 90 A, charge 35 A }}
fuse F1 {{ 60 A, 80 V dc, breaks 6 kA at 80 V dc, curve iso8820-5 }}
fuse F2 {{ 60 A, 80 V dc, breaks 6 kA at 80 V dc, curve iso8820-5 }}
controller U1 {{ input 30..70 V, capacitance 10 uF, supply-limit 28 A, phase-peak 55 A, regen 18 A }}
motor M1 {{ leads 3, carries 60 A }}
stud X2
{0}
route B1.+ (W1 25 mm2, 0.1 m, red) F1 (W2 25 mm2, 0.3 m, red) SZ.1
route B2.+ (W3 25 mm2, 0.1 m, red) F2 (W4 25 mm2, 0.3 m, red) {1}SZ.2
route SZ.com (W6 25 mm2, 0.5 m, red) U1.+
route U1.- (W7 25 mm2, 0.5 m, black) X2
route X2 (W8 25 mm2, 0.5 m, black) B1.-
route X2 (W9 25 mm2, 0.5 m, black) B2.-
route U1.U (WU 16 mm2, 0.3 m) M1.U
route U1.V (WV 16 mm2, 0.3 m) M1.V
route U1.W (WW 16 mm2, 0.3 m) M1.W
selector SZ {{ terminals 1 2 com, position off, position one 1 com, position two 2 com, 80 V dc, carries 90 A, breaks 90 A at 80 V dc }}
)",
                    diode ? "diode D2 { 60 A, 200 V }" : "", diode ? "D2 (W5 25 mm2, 0.3 m, red) " : "");
    for (std::size_t i = 0; i < selectors; ++i)
        text += fmt::format(R"(fuse FL{0} {{ 1 A, 80 V dc, breaks 6 kA at 80 V dc, curve iso8820-5 }}
selector T{0} {{ terminals a b com, position off, position up a com, position down b com, 80 V dc, carries 10 A, breaks 10 A at 80 V dc }}
load L{0} {{ 48 V, 5 W, acts-as power, works 40..60 V }}
load N{0} {{ 48 V, 5 W, acts-as power, works 40..60 V }}
route F1.out (WX{0} 25 mm2, 0.03 m, red) FL{0} (WA{0} 2.5 mm2, 1 m, red) T{0}.com
route T{0}.a (WC{0} 2.5 mm2, 1 m, red) L{0} (WB{0} 2.5 mm2, 1 m, black) X2
route T{0}.b (WD{0} 2.5 mm2, 1 m, red) N{0} (WE{0} 2.5 mm2, 1 m, black) X2
)",
                            i);
    return text + "mode off { others at rest }\nmode one { SZ at one, others at rest }\n";
}

// A strip of large feeds that ends near the minus bar, many small ones, and a converter of its own.
std::string market(std::size_t stalls, double minus_mm2) {
    std::string text = R"(loom 1
harness "Night market" { ambient 5..30 degC, insulation pvc 70 degC }
pack B1 { voltage 22..29 V, resistance 15..24 mohm, capacity 180 Ah, discharge 190 A, charge 25 A }
stud X1
stud X2
stud X3
switch S1 { 60 V dc, carries 310 A, makes 310 A, breaks 310 A at 60 V dc }
route B1.+ (W1 120 mm2, 0.1 m, red) S1 (W2 120 mm2, 0.05 m, red) X1
fuse FB { 100 A, 80 V dc, breaks 6 kA at 80 V dc, curve iso8820-5 }
route X1 (W3 120 mm2, 0.03 m, red) FB (W4 120 mm2, 0.5 m, red) X3
)";
    for (int i = 0; i < 3; ++i)
        text += fmt::format(
            "fuse FS{0} {{ 5 A, 80 V dc, breaks 6 kA at 80 V dc, curve iso8820-3 }}\nload EB{0} {{ 24 V, 19 "
            "W, acts-as current }}\nroute X3 (WS{0} 120 mm2, 0.05 m, red) FS{0} (WT{0} 4 mm2, 1 m, red) "
            "EB{0} (WU{0} 4 mm2, 1 m, black) X2\n",
            i);
    for (int k = 0; k < 10; ++k) {
        text += fmt::format(
            "fuse FL{0} {{ 10 A, 80 V dc, breaks 6 kA at 80 V dc, curve iso8820-3 }}\nstud XL{0}\nroute X1 "
            "(WX{0} 120 mm2, 0.03 m, red) FL{0} (WY{0} 4 mm2, 1 m, red) XL{0}\n",
            k);
        for (std::size_t j = 0; j < stalls; ++j)
            text += fmt::format(
                "load L{0}_{1} {{ 24 V, 1 W, acts-as current }}\nroute XL{0} (WA{0}_{1} 4 mm2, 1 m, red) "
                "L{0}_{1} (WB{0}_{1} 4 mm2, 1 m, black) X2\n",
                k, j);
    }
    return text +
           fmt::format(
               R"(converter D1 {{ input 20..30 V, output 12 V 2 A, efficiency 90 %, negative isolated, reverse blocked }}
load ED {{ 12 V, 9 W, acts-as current }}
route FL0.out (WD1 4 mm2, 1 m, red) D1.in+
route D1.in- (WD2 4 mm2, 1 m, black) X2
route D1.out+ (WD3 4 mm2, 0.5 m, red) ED (WD4 4 mm2, 0.5 m, black) D1.out-
route X2 (WM {} mm2, 0.3 m, black) B1.-
mode off {{ others at rest }}
mode on {{ S1 closed, others at rest }}
)",
               minus_mm2);
}

}  // namespace

TEST_CASE("a way over a diode is tried for a drive that gives back, however many selectors there are") {
    for (const std::size_t selectors : {std::size_t{1}, std::size_t{5}, std::size_t{7}}) {
        INFO(selectors);
        CHECK(finding_of(check_text(capstan(selectors, true)), "regeneration-blocked") != nullptr);
        CHECK(finding_of(check_text(capstan(selectors, false)), "regeneration-blocked") == nullptr);
    }
}

TEST_CASE("a main minus lead is held to what touches beside it in a large harness as in a small one") {
    for (const std::size_t stalls : {std::size_t{3}, std::size_t{45}}) {
        INFO(stalls);
        CHECK(finding_of(check_text(market(stalls, 35)), "oversized-fuse", "WM") != nullptr);
        CHECK(finding_of(check_text(market(stalls, 120)), "oversized-fuse", "WM") == nullptr);
    }
}

}  // namespace many_circuits_test
