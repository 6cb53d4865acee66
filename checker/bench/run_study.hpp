// The log of a run against the mode the machine was in: volts that are lost where they should not be, what
// gets warmer than its current explains, and a limit that held the current down.
#pragma once
#include <optional>
#include <string>
#include <vector>

#include "checker/bench/diagnosis.hpp"
#include "parser/readings/run_log.hpp"

namespace loomward {

// Volts over amps between two places, as a straight line through all rows (least squares): its slope is the
// resistance of the way, whatever the offsets of the meters are.
struct LostVolts {
    std::vector<std::size_t> columns;    // of the log: one of volts, or two whose difference it is
    std::size_t amps = 0;                // the column whose current flows there
    std::string way;                     // "from B1.+ to U1.+", "from B1 to U1 and back"
    double least_ohm = 0, most_ohm = 0;  // measured: twice the standard error and the meters' own either way
    double expected_least_ohm = 0, expected_most_ohm = 0;
    double largest_A = 0;
    enum class Verdict : std::uint8_t { as_expected, low, high } verdict{};
};

struct RunHeat {
    std::size_t column = 0;
    double highest_degC = 0, expected_degC = 0;  // the highest that was logged, and what it may be at most
    bool early = false;                          // warmer than expected at some time
    double early_at_s = 0, early_degC = 0, early_expected_degC = 0;
    bool by_current = false;  // expected from the current that was logged, row by row; else of the mode
};

// The longest stretch of a current that hardly moves, near the top of what was logged.
struct RunCurrent {
    std::size_t column = 0;
    double highest_A = 0;
    double plateau_A = 0, plateau_from_s = 0, plateau_s = 0;  // none: 0 s
    double asked_A = 0;                                       // the most that the mode sends through there
    bool held_down = false;                                   // flat, below what the mode asks
    bool above = false;                                       // more than the mode has for it
    std::vector<std::string> limits;  // what is set or rated to that: "U1 supply-limit 60 A"
};

struct RunReport {
    std::string mode;
    double lasts_s = 0;
    std::vector<LostVolts> volts;
    std::vector<BadJoint> bad_joints;  // their steps are indices into `volts`, from 1
    std::vector<RunHeat> heat;
    std::vector<RunCurrent> currents;
    std::vector<std::string> not_judged;  // what a column cannot be compared with, and why
    bool as_expected() const;
};

struct ComparedRun {
    std::string path;     // of the log
    RunLog log;           // with its mistakes: names that the harness does not have as well
    RunReport report;     // of nothing where there are any
    std::string trouble;  // no such mode, or none said where there are several; empty else
};

// `mode`: the one the machine was in; empty: the only one there is.
ComparedRun compare_with_mode(const Results& results, std::string path, RunLog log, const std::string& mode);

}  // namespace loomward
