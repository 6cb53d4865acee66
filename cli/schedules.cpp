#include <filesystem>

#include "cli/commands.hpp"
#include "cli/examined.hpp"
#include "cli/files.hpp"
#include "cli/terminal.hpp"

namespace loomward::cli {

ExitCode write_schedules(const Options& options) {
    const Session session = examine(options.files.front());
    if (!session.trouble().empty()) complain(session.trouble());
    if (!session.results()) {
        print(session.told(Told::findings, {colored(options.color)}));
        return code_of(session);
    }
    std::string trouble = make_folder(options.output);
    for (const CsvFile& file : session.schedules(options.allowance)) {
        if (!trouble.empty()) break;
        trouble = replace_file((std::filesystem::path(options.output) / file.name).string(), file.text);
    }
    if (!trouble.empty()) {
        complain(trouble);
        return ExitCode::wrong;
    }
    print(session.verdict(colored(options.color)));
    return code_of(session);
}

}  // namespace loomward::cli
