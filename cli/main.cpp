#include <exception>

#include "cli/commands.hpp"
#include "cli/options.hpp"
#include "cli/terminal.hpp"

namespace loomward::cli {
namespace {

ExitCode run(const Options& options) {
    switch (options.command) {
        case Command::check:
            return check_files(options);
        case Command::draw:
            return draw_sheet(options);
        case Command::zones:
            return show_zones(options);
        case Command::fault:
            return tell_fault(options);
        case Command::budget:
            return show_budget(options);
        case Command::mend:
            return mend_file(options);
        case Command::failures:
            return tell_failures(options);
        case Command::endurance:
            return show_endurance(options);
        case Command::write_first:
            return write_first_harness(options);
        case Command::power_up:
            return write_power_up(options);
        case Command::readings:
            return compare_readings(options);
        case Command::report:
            return write_report(options);
        case Command::schedules:
            return write_schedules(options);
        case Command::hand_over:
            return write_hand_over(options);
        case Command::compare:
            return compare_revisions(options);
        case Command::spice:
            return write_spice(options);
        case Command::format:
            return format_files(options);
        case Command::explain:
            return explain_rules(options);
    }
    return ExitCode::internal;
}

ExitCode run(const CommandLine& line) {
    if (line.options) return run(*line.options);
    if (!line.out.empty()) print(line.out);
    if (!line.trouble.empty()) complain(line.trouble);
    return line.code;
}

ExitCode run(int argc, const char* const* argv) {
    try {
        return finish(run(read_command_line(argc, argv)));
    } catch (const std::exception& failure) {
        complain(std::string("internal failure, nothing above is to be relied on: ") + failure.what());
    } catch (...) {
        complain("internal failure, nothing above is to be relied on");
    }
    return ExitCode::internal;
}

}  // namespace
}  // namespace loomward::cli

int main(int argc, char** argv) {
    loomward::cli::hold_standard_streams();
    return static_cast<int>(loomward::cli::run(argc, argv));
}
