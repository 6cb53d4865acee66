#include "checker/bench/power_up.hpp"

#include <fmt/format.h>

#include "cli/commands.hpp"
#include "cli/examined.hpp"
#include "cli/print_help.hpp"
#include "cli/terminal.hpp"

namespace loomward::cli {

ExitCode write_power_up(const Options& options) {
    const std::string& path = options.files.front();
    if (options.output.ends_with(".pdf")) {
        complain(no_pdf_of("power-up", options.files, options.output));
        return ExitCode::wrong;
    }
    if (options.output != "-" && !options.output.ends_with(".html")) {
        complain(fmt::format("'{}' does not end with .html", options.output));
        return ExitCode::wrong;
    }
    const Session session = examine(path);
    if (!has_results(session, "no sheet was written")) return ExitCode::wrong;
    const PowerUpSheet& sheet = session.power_up();
    const std::string page = session.power_up_page();
    if (!options.readings_file.empty() && !put(options.readings_file, session.blank_readings()))
        return ExitCode::wrong;
    if (!put(options.output, page)) return ExitCode::wrong;
    const std::size_t steps = sheet.steps().size();
    if (options.output != "-")
        print(sheet.barred
                  ? fmt::format(
                        "{}: this harness may not be connected; {} steps, none of them with a pack: {}\n",
                        path, steps, options.output)
                  : fmt::format("{}: {} steps: {}\n", path, steps, options.output));
    return sheet.barred ? ExitCode::errors : ExitCode::fine;
}

}  // namespace loomward::cli
