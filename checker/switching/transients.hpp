// What happens when a mode is entered: what contacts close onto, how far each capacitor has been charged by
// then, what the precharge resistor takes; and how long capacitors stay charged once they are cut off.
// Values only; the rules judge them.
//
// A mode is entered from the one it is `after`, which had lasted the stated time, and that one in turn from
// where it was entered. Without `after`, the contacts that the mode closes by lines of its own are taken as
// open before, the rest as it is in the mode, and everything settled: what nothing else feeds is empty.
// Controllers are taken at rest as a mode is entered: they wait for their supply. Loads, chargers and
// converters do what the mode says.
#pragma once
#include <string_view>
#include <vector>

#include "checker/circuit/circuit.hpp"
#include "checker/currents/operating_point.hpp"
#include "checker/parts/capacitor_banks.hpp"
#include "checker/parts/facts.hpp"

namespace loomward {

// One capacitor (a capacitor part, the input of a controller or converter) as a mode is entered. Voltages
// from its plus to its minus; capacitance at its largest.
struct CapacitorState {
    EdgeId edge;
    double capacitance_F = 0;
    double before_V = 0;   // at that moment
    double settles_V = 0;  // in this mode in the end
    // In the mode this one is entered from:
    double reaches_V = 0;  // where it would settle there
    double needed_s = 0;   // from the start of that mode to the policy's share of settles_V; infinity: never
    double resistance_ohm =
        0;  // it charges through, the other capacitors held; infinity: nothing leads to it
};

// A contact that is closed in this mode and was not before.
struct ClosingContact {
    EdgeId edge;
    double before_V = 0;   // across it while still open
    double current_A = 0;  // in the first moment, capacitors still as they were; signed from -> to
    double load_A = 0;     // of loads alone, those that were dead before with their `inrush`; signed
    double blocked_A = 0;  // the same, motors that say nothing of their start as if blocked
};

struct ModeEntry {
    ModeId mode;
    PartId closed_last;            // valid: no mode closes it, and all else is taken as it is in this one
    bool from_other_pack = false;  // capacitors come full from other packs than feed them now
    Corner corner{};
    ModeId from;                             // invalid: nothing said
    double from_s = 0;                       // how long that had lasted
    std::vector<CapacitorState> capacitors;  // by edge
    std::vector<ClosingContact> closing;
    std::vector<EdgeId> starting;  // loads with an inrush that were dead before
    OperatingPoint moment;         // the first moment; capacitor edges carry what flows into their plus
    OperatingPoint loads;          // the loads alone, as load_A; currents only
};

// A capacitor in a mode that does not feed it, from the highest voltage of any mode on. Loads are not counted
// on: only resistances drain it.
struct Discharge {
    EdgeId edge;
    ModeId mode;
    double capacitance_F = 0;
    double from_V = 0;
    double after_1s_V = 0;
    double after_5s_V = 0;
    double needed_s = 0;  // to the policy's limit for bare live contacts; infinity: never
};

// Heat in a resistor from one charging or discharging, until the capacitors have made 99 % of their way.
struct ResistorPulse {
    EdgeId edge;
    ModeId mode;
    double energy_J = 0;
    double peak_W = 0;
    double lasts_s = 0;
    bool discharging = false;
};

struct Transients {
    std::vector<ModeEntry> entries;  // by mode, run_hot before run_full; those that could be followed
    // The same of modes that change capacitors over from one pack to another: from a full one to one that is
    // empty.
    std::vector<ModeEntry> changed_over;
    // Of parts that no mode closes, though some has them closed: each by itself, in the mildest mode.
    std::vector<ModeEntry> closed_last;
    std::vector<Discharge> discharges;  // by mode
    std::vector<ResistorPulse> pulses;  // by mode
    // In order: too many capacitors move at once there, or no solution was found; nothing is said of them.
    std::vector<ModeId> not_followed;
};

// All modes, or the one named; the modes it is entered from are followed all the same.
Transients follow_transients(const Circuit& circuit, const Facts& facts, std::string_view only_mode = {});

}  // namespace loomward
