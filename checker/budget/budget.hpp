// What a harness takes from its packs: volts, amperes and watts of everything that draws or gives, mode by
// mode; what is lost on the way; how long each pack lasts in it, and how long it stands with all at rest.
//
// Everything is read off the solved operating points, so that what is given equals what is taken and lost.
// A value that nobody knows makes no number: `needs` names what is missing.
#pragma once
#include <optional>
#include <string>
#include <vector>

#include "checker/circuit/circuit.hpp"
#include "checker/currents/operating_point.hpp"
#include "checker/parts/facts.hpp"

namespace loomward {

// One thing that gives or takes. Of a mode with a profile the mean: over the cycle where it repeats, else of
// the level that stays. Amperes and watts are positive in the direction that its list says.
struct BudgetRow {
    EdgeRole role{};  // trip: own consumption of a BMS, which no wire carries
    PartId part;
    TerminalId terminal;   // of a pin; invalid: the part is meant
    double voltage_V = 0;  // between its terminals, in the interval in which it draws most
    double mean_A = 0;
    double most_A = 0;  // in any interval
    double mean_W = 0;
    std::vector<std::string> needs;  // "power of load E1": then its figures mean nothing
};

// A converter: what goes in, what comes out. The difference is lost in it.
struct ConverterRow {
    BudgetRow input;
    BudgetRow output;
    double lost_W() const { return input.mean_W - output.mean_W; }
};

// How long a pack lasts in a mode.
struct PackTime {
    enum class Way : std::uint8_t {
        runs_down,  // from full to flat
        fills,      // from empty to full, at the current it takes when it is empty
        stands,     // neither
        not_known,
    };
    BudgetRow gives;  // at its terminals; negative: it takes. Own consumption of a BMS is in it.
    Way way = Way::not_known;
    std::optional<Quantity> capacity_Ah;
    double least_h = 0;  // capacity at its lower end / mean current; both 0 where it stands or is not known
    double most_h = 0;
    std::vector<std::string> needs;  // what is missing for the hours
};

struct ModeBudget {
    ModeId mode;        // invalid: everything at rest, which no mode of the file says
    bool known = true;  // false: the mode has no numbers (it contradicts its wiring, or is not solved)
    Corner corner{};    // at which the packs give most; of a mode that charges: pack low
    std::vector<std::string> needs;  // what is missing of draws and packs: then no sum of the mode holds
    bool by_profile = false;         // more than one level
    bool cycle = false;              // which repeat
    std::vector<PackTime> packs;     // by name
    std::vector<BudgetRow> gives;    // chargers, what controllers return, pins that supply
    std::vector<BudgetRow> takes;    // largest first, then by name; nothing that draws nothing
    std::vector<ConverterRow> converters;  // by name
    std::vector<BudgetRow> held;           // cannot be fed: what it takes is what it can get
    double wires_W = 0;                    // lost in wires and joints; not in phase leads
    double contacts_W = 0;                 // in contacts, fuses, battery management, shunts, drivers
    double diodes_W = 0;
    std::vector<std::string> loss_needs;  // what is missing for the three
    // Own consumption that the file leaves out and that counts as nothing: the hours are at most those.
    std::vector<std::string> left_out;

    double given_W() const;   // by packs that give, and `gives`
    double stored_W() const;  // in packs that charge
    double taken_W() const;   // by `takes`
    double converted_W() const;
    double lost_W() const { return wires_W + contacts_W + diodes_W + converted_W(); }
    // Whether the hours are no less than the truth only because something is left out or its loss unknown.
    bool at_most() const { return !left_out.empty() || !loss_needs.empty(); }
};

struct Budget {
    std::vector<ModeBudget> modes;        // those that were solved, in the order of the file
    std::vector<ModeBudget> at_rest;      // each mode of the file with everything at rest; none: such a state
    std::vector<Assumption> assumptions;  // every default and estimate behind the figures
};

// `points`: those of solve_modes over the same circuit. Never fails.
//
// `written`: the harness of the circuit as it was read; what it leaves open makes no number, whatever range the
// points were solved for.
Budget make_budget(Circuit circuit, const std::vector<OperatingPoint>& points, const Harness& written);

// Hours until `capacity_Ah` is used up by levels in a row: amperes, seconds (the last one stays, whatever it
// says). A current below zero fills, up to where it began. Infinite where it never is. t = Q / I, level by
// level.
struct DrawnLevel {
    double current_A = 0;
    double duration_s = 0;
};
double hours_until_empty(double capacity_Ah, const std::vector<DrawnLevel>& levels);

}  // namespace loomward
