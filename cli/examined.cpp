#include "cli/examined.hpp"

#include <fmt/format.h>

#include <deque>

#include "cli/files.hpp"
#include "cli/terminal.hpp"
#include "parser/disk.hpp"

namespace loomward::cli {

Session examine(const std::string& path, const SessionOptions& options) {
    LoadedFile file = load_file(path);
    if (!file.trouble.empty()) return Session::without_text(path, file.trouble, file.help);
    return Session(path, std::move(file.text), disk_reader(), options);
}

ExitCode code_of(const Session& session) {
    if (!session.results()) return ExitCode::wrong;
    return session.errors() ? ExitCode::errors : ExitCode::fine;
}

bool has_results(const Session& session, const std::string& so) {
    if (session.results()) return true;
    complain(!session.trouble().empty() ? session.trouble()
                                        : fmt::format("{} has mistakes, so {}\n{}", session.path(), so,
                                                      session.mistakes_told(false)));
    return false;
}

bool put(const std::string& output, const std::string& bytes) {
    if (output.empty() || output == "-") {
        print(bytes);
        return true;
    }
    const std::string trouble = replace_file(output, bytes);
    if (!trouble.empty()) complain(trouble);
    return trouble.empty();
}

ExitCode tell_each(const Options& options, const std::string& mode, Told what) {
    ExitCode code = ExitCode::fine;
    const bool color = colored(options.color);
    std::deque<Session> all;
    std::vector<const Session*> sessions;
    std::string text;
    for (const std::string& path : options.files) {
        const Session& session = all.emplace_back(examine(path, {mode}));
        if (!session.trouble().empty()) complain(session.trouble());
        sessions.push_back(&session);
        code = worse(code, code_of(session));
        if (options.json) continue;
        if (!text.empty()) text += "\n";
        text += session.told(what, {color});
    }
    print(options.json ? Session::document(what, sessions) : text);
    return code;
}

}  // namespace loomward::cli
