// One function a command. Each prints what it has to say and returns how it ended.
#pragma once
#include "cli/exit_code.hpp"
#include "cli/options.hpp"

namespace loomward::cli {

ExitCode check_files(const Options& options);
ExitCode draw_sheet(const Options& options);
ExitCode show_zones(const Options& options);
ExitCode tell_fault(const Options& options);
ExitCode show_budget(const Options& options);
ExitCode mend_file(const Options& options);
ExitCode tell_failures(const Options& options);
ExitCode show_endurance(const Options& options);
ExitCode write_first_harness(const Options& options);
ExitCode write_power_up(const Options& options);
ExitCode compare_readings(const Options& options);
ExitCode write_hand_over(const Options& options);
ExitCode compare_revisions(const Options& options);
ExitCode write_spice(const Options& options);
ExitCode write_report(const Options& options);
ExitCode write_schedules(const Options& options);
ExitCode format_files(const Options& options);
ExitCode explain_rules(const Options& options);

}  // namespace loomward::cli
