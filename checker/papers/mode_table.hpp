// What each part gets in each mode: volts between its terminals and amps through it, over all corners and
// levels of the mode that were solved.
#pragma once
#include <optional>
#include <vector>

#include "checker/heat/endurance.hpp"
#include "checker/results.hpp"

namespace loomward {

struct ModeFigures {
    double least_V = 0, most_V = 0;  // between its terminals, without sign
    double least_A = 0, most_A = 0;  // through it, without sign
};

// A source or what uses a current: load, controller, converter side, charger, coil, pin.
struct ModeRow {
    PartId part;
    TerminalId terminal;  // of a pin; else invalid
    EdgeRole role{};
    std::vector<std::optional<ModeFigures>> modes;  // by ModeId; nullopt: the mode has no numbers
};

// In the order of the file; packs as a whole. A row that carries nothing in any mode is left out.
std::vector<ModeRow> mode_table(const Results& results);

// What comes nearest to its limit in a mode, one of each sort, the worst first.
struct Nearest {
    HeldPart::What what{};
    std::string name;
    double share = 0;  // 1: at its limit
    double lasting_A = 0, worst_A = 0;
    double gives_out_s = 0;  // infinite: never
};
struct ModeLimits {
    ModeId mode;
    std::vector<Nearest> nearest;
};
std::vector<ModeLimits> mode_limits(const std::vector<ModeEndurance>& endurance);

}  // namespace loomward
