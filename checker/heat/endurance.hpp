// How long every wire, contact, device, pack, body of electronics or a motor, and box stands what the modes
// ask of it, which of them gives out first, and what happens then; and whether the pack is empty before.
//
// Cold: as warm as the hottest ambient of its place; what is in a box, and the box, as that around the box.
// Warm: as the rest of the mode leaves it: of a mode that repeats where its settled cycle comes to the worst
// level, of another one settled at the level that stays. A mode of one level has no rest, and no warm start.
#pragma once
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "checker/circuit/circuit.hpp"
#include "checker/currents/operating_point.hpp"
#include "checker/parts/facts.hpp"

namespace loomward {

struct HeldPart {
    enum class What : std::uint8_t { wire, contact, device, pack, body, box };
    What what{};
    std::string name;  // "W3", "J1.1", "F1"
    WireId wire;       // of both one is valid
    PartId part;       // of a box, neither
    // Temperatures; not of a device, which goes by its time-current band.
    double ambient_degC = 0;
    double limit_degC = 0;
    bool settles = true;     // false: the repeated mode heats it without end; then the peak is nothing
    double peak_degC = 0;    // of its settled course
    double peak_at_s = 0;    // from the start of the mode, or of the settled cycle
    double worst_A = 0;      // its worst level
    double worst_s = 0;      // lasts so long; infinity: it stays
    double from_cold_s = 0;  // the longest that level may be held; infinite: for good
    std::optional<double> from_warm_s;
    double lasting_A = 0;    // that may be held for good
    double published_A = 0;  // of a wire: its published ampacity there, which lasting_A is not above; 0: none
    double gives_out_s = 0;  // of the mode, from cold, again and again where it repeats; infinite: never
    double worst_W = 0;      // of a box: what is lost in it at its worst level
    double lasting_W = 0;    // and what may be for good
    std::string then;        // what happens: "its insulation gets hotter than it stands"

    // How far it is brought: 1 at its limit.
    double share() const;
};

// "wire", "box"
std::string_view what_word(HeldPart::What what);

struct PackFlat {
    PartId pack;
    double after_s = 0;  // from full, at its largest capacity; infinite: never
    bool fills = false;  // full, not empty
};

struct ModeEndurance {
    ModeId mode;
    bool known = true;               // false: the mode has no numbers
    std::vector<HeldPart> parts;     // what gives out first, then by how far it is brought, then by name
    std::vector<PackFlat> packs;     // by name
    std::vector<std::string> needs;  // what is missing of packs: "thermal-resistance or rise of pack B1"

    // Seconds until the first pack is flat.
    double flat_s() const;
};

// `points`: those of solve_modes over the same circuit, in the order of the file. Never fails.
std::vector<ModeEndurance> endurance(const Circuit& circuit, const Facts& facts,
                                     const std::vector<OperatingPoint>& points);

}  // namespace loomward
