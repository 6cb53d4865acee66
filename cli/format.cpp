#include <fmt/format.h>

#include "cli/commands.hpp"
#include "cli/files.hpp"
#include "cli/terminal.hpp"
#include "parser/read.hpp"
#include "render/text/text.hpp"

namespace loomward::cli {
namespace {

// Puts the new text where it belongs.
ExitCode deliver(const std::string& path, const std::string& before, const std::string& after,
                 const Options& options) {
    if (options.only_check) {
        if (before == after) return ExitCode::fine;
        print(path + "\n");
        return ExitCode::errors;
    }
    if (!options.write) {
        print(after);
        return ExitCode::fine;
    }
    if (before == after) return ExitCode::fine;  // and its time of change stays
    const std::string trouble = replace_file(path, after);
    if (trouble.empty()) return ExitCode::fine;
    complain(trouble);
    return ExitCode::wrong;
}

ExitCode format_file(const std::string& path, const Options& options) {
    const LoadedFile file = load_file(path);
    if (!file.trouble.empty()) {
        complain(file.help.empty() ? file.trouble : file.trouble + "; " + file.help);
        return ExitCode::wrong;
    }
    std::shared_ptr<Sources> sources;
    std::vector<Diagnostic> mistakes;
    const std::optional<std::string> formatted = format_text(path, file.text, sources, mistakes);
    if (formatted) return deliver(path, file.text, *formatted, options);
    complain(fmt::format("{} has mistakes and stays as it is\n{}", path,
                         mistakes_text(mistakes, *sources, false)));
    return ExitCode::wrong;
}

}  // namespace

ExitCode format_files(const Options& options) {
    ExitCode code = ExitCode::fine;
    for (const std::string& path : options.files) code = worse(code, format_file(path, options));
    return code;
}

}  // namespace loomward::cli
