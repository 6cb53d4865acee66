#include "checker/bench/power_up.hpp"

#include <fmt/format.h>

#include "cli/commands.hpp"
#include "cli/examined.hpp"
#include "cli/files.hpp"
#include "cli/terminal.hpp"
#include "render/bench/power_up_html.hpp"
#include "render/bench/readings_text.hpp"
#include "render/text/checksum.hpp"

namespace loomward::cli {

ExitCode write_power_up(const Options& options) {
    const std::string& path = options.files.front();
    if (options.output != "-" && !options.output.ends_with(".html")) {
        complain(fmt::format("'{}' does not end with .html", options.output));
        return ExitCode::wrong;
    }
    const Examined examined = examine(path, {});
    if (!examined.results) {
        complain(!examined.trouble.empty()
                     ? examined.trouble
                     : fmt::format("{} has mistakes, so no sheet was written\n{}", path,
                                   mistakes_text(examined.read.mistakes, *examined.read.sources, false)));
        return ExitCode::wrong;
    }
    const Results& results = *examined.results;
    const PowerUpSheet sheet = power_up_sheet(results);
    const std::string page = power_up_html(sheet, results, path, LOOMWARD_VERSION,
                                           sha256_text(examined.read.sources->files.front().text));
    if (!options.readings_file.empty())
        if (const std::string trouble =
                replace_file(options.readings_file, blank_readings_text(sheet, results));
            !trouble.empty()) {
            complain(trouble);
            return ExitCode::wrong;
        }
    if (options.output == "-") {
        print(page);
    } else {
        if (const std::string trouble = replace_file(options.output, page); !trouble.empty()) {
            complain(trouble);
            return ExitCode::wrong;
        }
        const std::size_t steps = sheet.steps().size();
        print(sheet.barred
                  ? fmt::format(
                        "{}: this harness may not be connected; {} steps, none of them with a pack: {}\n",
                        path, steps, options.output)
                  : fmt::format("{}: {} steps: {}\n", path, steps, options.output));
    }
    return sheet.barred ? ExitCode::errors : ExitCode::fine;
}

}  // namespace loomward::cli
