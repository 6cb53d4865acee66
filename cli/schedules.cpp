#include <filesystem>

#include "checker/papers/papers.hpp"
#include "cli/commands.hpp"
#include "cli/examined.hpp"
#include "cli/files.hpp"
#include "cli/terminal.hpp"
#include "render/csv/schedules_csv.hpp"
#include "render/text/text.hpp"

namespace loomward::cli {

ExitCode write_schedules(const Options& options) {
    std::vector<double> short_here_A;
    CheckOptions check;
    check.with_faults = [&](const Results& results, const FaultStudy& study) {
        short_here_A = short_facts(results, study).short_here_A;
    };
    const Examined examined = examine(options.files.front(), check);
    if (!examined.trouble.empty()) complain(examined.trouble);
    if (!examined.results) {
        print(unchecked_text(examined, colored(options.color)));
        return code_of(examined);
    }
    std::string trouble = make_folder(options.output);
    const Schedules schedules = schedules_of(*examined.results, options.allowance, short_here_A);
    for (const CsvFile& file : schedules_csv(schedules, *examined.results->harness)) {
        if (!trouble.empty()) break;
        trouble = replace_file((std::filesystem::path(options.output) / file.name).string(), file.text);
    }
    if (!trouble.empty()) {
        complain(trouble);
        return ExitCode::wrong;
    }
    print(verdict_text(*examined.results, examined.path, colored(options.color)));
    return code_of(examined);
}

}  // namespace loomward::cli
