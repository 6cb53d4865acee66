#include <deque>

#include "cli/commands.hpp"
#include "cli/examined.hpp"
#include "cli/terminal.hpp"

namespace loomward::cli {
namespace {

ExitCode check_as_text(const Options& options) {
    ExitCode code = ExitCode::fine;
    bool first = true;
    for (const std::string& path : options.files) {
        const Session session = examine(path, {options.mode, options.unknowns});
        if (!session.trouble().empty()) complain(session.trouble());
        const std::string text = session.told(
            Told::findings,
            {colored(options.color), options.assumptions, options.unknowns, options.by_line, options.brief});
        if (!text.empty() && !first) print("\n");
        first = first && text.empty();
        print(text);
        code = worse(code, code_of(session));
    }
    return code;
}

ExitCode check_as_document(const Options& options) {
    ExitCode code = ExitCode::fine;
    std::deque<Session> all;
    std::vector<const Session*> sessions;
    for (const std::string& path : options.files) {
        const Session& session = all.emplace_back(examine(path, {options.mode, options.unknowns}));
        if (!session.trouble().empty()) complain(session.trouble());
        sessions.push_back(&session);
        code = worse(code, code_of(session));
    }
    print(options.sarif ? Session::sarif(sessions) : Session::document(Told::findings, sessions));
    return code;
}

}  // namespace

ExitCode check_files(const Options& options) {
    return options.json || options.sarif ? check_as_document(options) : check_as_text(options);
}

}  // namespace loomward::cli
