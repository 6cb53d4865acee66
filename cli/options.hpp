// The command line as values.
#pragma once
#include <optional>
#include <string>
#include <vector>

#include "cli/exit_code.hpp"
#include "parser/first/first_harness.hpp"
#include "render/sheet.hpp"

namespace loomward::cli {

enum class Command {
    check,
    draw,
    zones,
    fault,
    budget,
    endurance,
    mend,
    failures,
    write_first,
    report,
    schedules,
    power_up,
    readings,
    hand_over,
    compare,
    spice,
    format,
    explain
};
enum class ColorChoice { automatic, always, never };

struct Options {
    Command command = Command::check;
    std::vector<std::string> files;  // "-" is standard input
    ColorChoice color = ColorChoice::automatic;

    bool sarif = false;        // check
    bool json = false;         // check, zones, fault, budget, endurance, mend, failures
    bool assumptions = false;  // check
    bool unknowns = false;     // check
    bool by_line = false;      // check
    bool brief = false;        // check
    std::string mode;          // check, draw, budget, endurance, failures; empty: every mode

    std::string output;          // draw, report, schedules, power-up, hand-over, spice
    SheetOptions sheet;          // draw
    double dots_per_inch = 150;  // draw, PNG only

    std::string place, against;        // fault
    std::vector<std::string> bridged;  // fault: devices that are taken as bridged

    bool diff = false;         // mend
    bool all_changes = false;  // mend, failures
    std::string mended_file;   // mend: where the changed text goes; empty: nowhere

    std::string of;  // failures: a part or wire; empty: all

    FirstHarness first;  // new; its file is files.front()

    bool tries = false;         // report: changes are tried
    double allowance = 0;       // report, schedules: added to each wire where it is cut, of its length
    std::string readings_file;  // power-up: where a text with blanks for the readings goes; empty: nowhere
    std::string measured;       // readings, report: the text with what the meter showed; empty: none
    std::string run_log;        // readings: a log of a run, with `mode`; empty: none
    std::vector<std::string> logs, log_modes;  // report: logs of runs, and the mode of each
    std::vector<std::string> shorted;          // spice: the place of a short circuit, and what it touches
    bool full_corner = false;                  // spice: the pack full and everything cold, not empty and hot

    bool write = false;       // format
    bool only_check = false;  // format

    std::string rule;        // explain; empty: list them
    bool watched = false;    // explain: hazards against kinds instead
    bool manual = false;     // explain: the manual page instead
    std::string completion;  // explain: a script for this shell instead
    bool plausible = false;  // explain: what physical values usually are instead
};

// `options` is absent where nothing is left to do: help or version was asked for, or the line is wrong. Then
// `out` goes to standard output, `trouble` to standard error, and the program ends with `code`.
struct CommandLine {
    std::optional<Options> options;
    std::string out;
    std::string trouble;
    ExitCode code = ExitCode::fine;
};

CommandLine read_command_line(int argc, const char* const* argv);

}  // namespace loomward::cli
