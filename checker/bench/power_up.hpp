// The sheet for the first power-up: what to do in which order, where to put the probes, what the meter should
// show, and what another reading points to. Computed from the harness alone; every reading is one that
// `read_step` can take of a machine, real or simulated.
//
// Order: never a live step before its dead twin; a fuse before what it feeds; polarity before mating; every
// stop before the drive turns.
#pragma once
#include <optional>
#include <string>
#include <vector>

#include "checker/answers/digest.hpp"
#include "checker/bench/bench_machine.hpp"

namespace loomward {

enum class MeterKind : std::uint8_t {
    look,        // eyes and hands, no reading
    ohms,        // dead
    volts,       // from black to red
    millivolts,  // the same across one piece, at the test current
    amps,        // clamp around the wire `red`, positive in the direction that its route is written
};

struct BenchStep {
    std::size_t number = 0;  // from 1, over the whole sheet
    MeterKind meter{};
    std::string red, black;  // as the file names terminals and wires; empty: none
    NodeId red_node, black_node;
    EdgeId across;  // what lies between the probes, or the wire in the clamp; may be invalid
    std::vector<EdgeId> pieces = {};  // of millivolts: all that lies between the probes
    std::vector<NodeId> others = {};  // of ohms: black goes on each of these; the lowest counts
    bool told_by_part = false;        // what another reading points to stands in the lead of its part
    std::size_t state = 0;            // into PowerUpSheet::states
    std::string title;                // "S6 closed."; short, stands before `how`
    std::string how;                  // what to do besides
    std::string caution;              // stands directly above the step
    std::string expect;               // "U0 - 0.2 to U0 V"
    std::string basis;                // where that comes from
    std::string if_not;               // what another reading points to
    // What is expected, in the unit of the meter (ohm, V, A; millivolts: V at 1 A), with nothing for the
    // meter itself. `most` may be infinite. Of volts and amps: with the packs full; those of a pack at
    // another voltage: expected_at.
    double least = 0, most = 0;
    double sign = 1;          // of amps: -1 where the clamp's arrow stands against the route
    bool live = false;        // a pack is on
    std::string across_text;  // of a row: "W5, red"
    bool row = false;         // one of a table of readings of the same sort
};

struct WarmPlace {
    std::string name, carries, may_carry, warmer;
};

struct BenchPart {
    char letter = 'A';
    std::string title;
    std::string caution;  // before its first step
    std::string lead;     // what holds for all of it
    std::vector<BenchStep> steps;
    std::vector<WarmPlace> warm;
};

struct BarredStep {
    std::string step;                 // "Connect the pack"
    std::vector<std::string> causes;  // what bars it
};

struct PowerUpSheet {
    bool barred = false;  // errors stand: only what needs no pack is in `parts`
    std::vector<BarredStep> barred_steps;
    std::vector<std::string> left_out;  // modes without numbers
    std::vector<std::string> needs;     // meter, clamp, test lead
    std::vector<BenchPart> parts;
    std::vector<BenchState> states;
    std::vector<PartId> packs;
    double test_A = 0;          // of part "first load"; 0: there is none
    double air_degC_least = 0;  // for which the readings are worked out
    double air_degC_most = 40;
    std::vector<const BenchStep*> steps() const;  // of all parts, by number
};

// `results` outlives nothing here: what is kept are names, ids and numbers.
PowerUpSheet power_up_sheet(const Results& results);

// "Connect the pack" where no mode is given, else "Mode drive".
std::string step_title(const Harness& harness, ModeId mode);

// What a meter without error shows of a machine at a step: ohm, V, A. Packs at `charge_share`; `test_A`
// through the pieces of the first load. An open reading is infinite.
double read_step(const BenchMachine& machine, const PowerUpSheet& sheet, const BenchStep& step,
                 double charge_share, double electronics_ohm);

struct ReadingRange {
    double least = 0, most = 0;
};
// What is expected at packs of that charge, and at conductors between these temperatures: by both ends of
// every spread. Nothing is added for the meter.
class ExpectedReadings {
  public:
    ExpectedReadings(const Circuit& circuit, const Facts& facts, double least_degC, double most_degC);
    ReadingRange of(const PowerUpSheet& sheet, const BenchStep& step, double least_share,
                    double most_share) const;
    const BenchMachine& least() const { return least_; }
    const BenchMachine& most() const { return most_; }

  private:
    BenchMachine least_, most_;
    // The same with outputs at the low and the high end of what they may give.
    BenchMachine low_outputs_, high_outputs_;
};

// What a hand meter may be off by at a reading: usual for one of 6000 counts, no source. Ohm: the leads as
// well.
double meter_error(MeterKind meter, double value);

// Whether a reading is what is expected, the meter's own error granted.
bool as_expected(MeterKind meter, const ReadingRange& range, double reading);

}  // namespace loomward
