// How a limit is worked out and worded; the published figures themselves are in the published_*_test.cpp.
#include "checker/tables/ampacity.hpp"

#include <catch2/catch.hpp>

#include "checker/tables/conductors.hpp"

namespace ampacity_test {

using namespace loomward;

namespace {

struct Case {
    double area_mm2;
    double class_degC;
    bool aluminium;
    Surroundings surroundings;
    const char* working;
    const char* source;
};

}  // namespace

TEST_CASE("an ampacity tells every step it was worked out by, and from which document", "[ampacity]") {
    const double awg10 = awg_area_mm2(10);
    const Case cases[] = {
        {awg10, 105, false, {30, Wrap::open, 1}, "60 A (10 AWG, 105 degC)", "33 CFR 183.425 Table 5"},
        {awg10,
         105,
         false,
         {50, Wrap::taped, 6},
         "60 A (10 AWG, 105 degC) x 0.856 (50 degC) x 0.6 (6 loaded together)",
         "33 CFR 183.425 Table 5; NFPA 70 Table 310.15(B)(1); 33 CFR 183.425 Table 5 note 2 (seen at second "
         "hand)"},
        {awg10,
         90,
         false,
         {30, Wrap::conduit, 4},
         "40 A (10 AWG, 90 degC, raceway) x 0.8 (4 loaded together)",
         "NFPA 70 Table 310.16; NFPA 70 Table 310.15(C)(1)"},
        {awg10,
         90,
         false,
         {30, Wrap::foamed, 24},
         "55 A (10 AWG, 90 degC) x 0.45 (24 loaded together as 12 circuits) x 0.5 (foamed in)",
         "33 CFR 183.425 Table 5; IEC 60364-5-52 Table B.52.17; IEC 60364-5-52 523.9 (memory)"},
        {awg10,
         60,
         true,
         {30, Wrap::open, 2},
         "40 A (10 AWG, 60 degC) x 0.781 (aluminium)",
         "33 CFR 183.425 Table 5; square root of the resistivity ratio (computed)"},
        {0.5,
         50,
         false,
         {40, Wrap::open, 1},
         "6.07 A (0.5 mm2, 60 degC, at the current density of 18 AWG) x 0.577 (40 degC, conductor limit 50 "
         "degC)",
         "33 CFR 183.425 Table 5; below AWG 18: current density of AWG 18 (computed); NFPA 70 Table "
         "310.15(B)(1)"},
        {16,
         70,
         false,
         {90, Wrap::open, 1},
         "100 A (16 mm2, 70 degC) x 0 (90 degC)",
         "33 CFR 183.425 Table 5; interpolated between rows or classes (computed); NFPA 70 Table "
         "310.15(B)(1)"},
    };
    for (const Case& one : cases) {
        const Ampacity result = ampacity(one.area_mm2, one.class_degC, one.aluminium, one.surroundings);
        CHECK(result.working == one.working);
        CHECK(result.source == one.source);
    }
}

}  // namespace ampacity_test
