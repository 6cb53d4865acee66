// Readings that were taken against what they should be: which are not, what that points to, and which joint
// is bad.
//
// Method: set membership. Every piece of the ways of the first load has a smallest and a largest resistance;
// a reading of millivolts at a known current is the sum of its pieces, give or take the meter. A piece
// explains a reading that is too high if some one resistance on top of it puts every reading it is part of
// back into its range. Nothing is accused that is not needed to explain a reading.
#pragma once
#include <optional>
#include <string>
#include <vector>

#include "checker/bench/power_up.hpp"

namespace loomward {

struct TakenReading {
    std::size_t step = 0;        // its number on the sheet
    double value = 0;            // ohm, V, A; infinite: open
    std::optional<double> at_A;  // of millivolts; absent: the current of the sheet
};

struct JudgedReading {
    std::size_t step = 0;
    double value = 0;
    ReadingRange range;  // ohm, V, A; of millivolts at the current that flowed
    enum class Verdict : std::uint8_t { as_expected, low, high } verdict{};
};

// One that explains readings, or several that cannot be told apart.
struct BadJoint {
    std::vector<EdgeId> pieces;
    double least_ohm = 0, most_ohm = 0;  // on top of what the file allows
    std::vector<std::size_t> steps;      // the readings that it explains
    std::vector<std::string> places;     // "the end of W4 at K1.out", as many as cannot be told apart
    std::string next;                    // what to measure next
};

// A measured resistance as a sum of pieces, ohm.
struct PieceSum {
    std::size_t step = 0;  // its number, for BadJoint::steps
    std::vector<EdgeId> pieces;
    double least_ohm = 0, most_ohm = 0;  // what was measured, the meter's error either way
};
// `least_ohm`, `most_ohm`: by EdgeId, what each piece may have.
std::vector<BadJoint> find_bad_joints(const Circuit& circuit, std::vector<PieceSum> sums,
                                      const std::vector<double>& least_ohm,
                                      const std::vector<double>& most_ohm);

struct ReadingsReport {
    std::vector<JudgedReading> judged;  // by number of the step
    std::vector<BadJoint> bad_joints;   // by first step
    std::size_t not_as_expected() const;
};

struct BenchConditions {
    std::optional<double> air_degC;  // absent: as the sheet has it
    std::optional<double> rest_V;    // of the first pack; absent: anything from empty to full
};

// `taken`: steps of this sheet, each at most once.
ReadingsReport judge_readings(const Results& results, const PowerUpSheet& sheet,
                              const std::vector<TakenReading>& taken, const BenchConditions& conditions);

}  // namespace loomward
