// What is taken for what nobody writes down about wires and what is around them, once for all of them. The
// figures are the same for every table the tests compare with (docs/heat.md says how far that reaches).
#pragma once
#include "checker/tables/conductors.hpp"

namespace loomward {

// How thick insulation is, by size of the conductor.
enum class Wall {
    building,  // cross-linked wire of UL 44, type XHHW-2 (memory): 0.76, 1.14, 1.40, 1.65 mm
    thick,     // ISO 6722 thick wall (memory, low confidence), smallest permitted
    thin,      // ISO 6722 thin wall (memory, low confidence), smallest permitted
};

// mm of insulation. Valid 0.05..630 mm2; between the sizes of ISO 6722 straight over the diameter, beyond
// them as at the nearer end.
double insulation_mm(double area_mm2, Wall wall);

struct HeatAssumptions {
    // Of plastic and rubber surfaces 0.90 to 0.95 (handbooks, memory). 0.71 is what free-air wires of NFPA 70
    // Table 310.17 fit best, the median size of all 41 errors: a wire lies near something that radiates back.
    double emissivity = 0.71;
    double insulation_W_mK = 0.19;  // PVC 0.16 to 0.19 (CIBSE Guide A), 0.2 (IEC 60287-2-1, memory)
    // Diameter of a stranded conductor over that of a solid one of the same area: seven strands, 3/sqrt(7).
    double stranding = 1.134;
    // Wires' part of a bundle's cross-section: D = 1.15 d sqrt(N), as long a way round as a string round two,
    // three or seven wires (geometry).
    double bundle_fill = 0.756;
    // Nothing is followed beyond: here `at_temperature` and `dry_air` end.
    double ceiling_degC = 400;

    double tape_mm = 0.3;        // two layers of 0.15 mm (no source)
    double sleeve_gap_mm = 0.5;  // (no source)
    double sleeve_mm = 0.8;      // (no source)
    double conduit_mm = 2;       // wall (no source)
    double conduit_fill = 0.4;   // wires' part of the bore: NFPA 70 chapter 9 Table 1 (memory)
    double foam_mm = 20;         // (no source)
    double foam_W_mK = 0.035;    // handbooks (memory)
};

}  // namespace loomward
