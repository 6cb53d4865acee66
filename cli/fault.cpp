#include <fmt/format.h>

#include "cli/commands.hpp"
#include "cli/examined.hpp"
#include "cli/terminal.hpp"

namespace loomward::cli {

ExitCode tell_fault(const Options& options) {
    const std::string& path = options.files.front();
    const bool color = colored(options.color);
    const Session session = examine(path);
    if (!session.trouble().empty()) complain(session.trouble());
    if (!session.results()) {
        print(session.mistakes_told(color));
        return ExitCode::wrong;
    }
    const SessionAnswer answer =
        session.fault({options.place, options.against, options.bridged}, options.json, color);
    if (!answer.trouble.empty()) {
        complain(fmt::format("{}: {}", path, answer.trouble));
        return ExitCode::wrong;
    }
    print(answer.text);
    return answer.error ? ExitCode::errors : ExitCode::fine;
}

}  // namespace loomward::cli
