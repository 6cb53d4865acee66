// What the papers say of short circuits: of each wire what flows when its end is shorted and what opens
// first, and the hottest that any short makes it. All of it is read off the study that every check makes.
#pragma once
#include <optional>
#include <vector>

#include "checker/faults/fault.hpp"

namespace loomward {

// A wire's end against what lies beside it on the way back, or against a frame; of a wire of which no such
// short is looked at, any other in which its insulation or one of its terminals takes part.
struct WireShort {
    struct End {
        double prospective_A = 0;
        FaultPlace place;
        PartId first;           // opens first; invalid: nothing opens
        double first_s = 0;     // after so long, at the latest
        double standing_A = 0;  // goes on
        double ends_s = 0;      // infinite where it stands
    };
    std::optional<End> most;   // pack full and cold, resistances at their lowest
    std::optional<End> least;  // pack empty and aged, conductors hot
};

// The hottest of all shorts that some device could act on.
struct HottestShort {
    double heat_over_limit =
        0;  // rise over what the insulation stands at the end of a short circuit; 1: at it
    FaultPlace place;
    Corner corner{};
};

struct WireShorts {
    WireShort at_end;
    std::optional<HottestShort> hottest;
};

// By WireId. Runs in the number of outcomes of the survey.
std::vector<WireShorts> wire_shorts(const Circuit& circuit, const FaultSurvey& survey);

}  // namespace loomward
