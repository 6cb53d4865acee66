#include <filesystem>

#include "cli/commands.hpp"
#include "cli/examined.hpp"
#include "cli/files.hpp"
#include "cli/terminal.hpp"
#include "render/json/json_mend.hpp"
#include "render/text/line_diff.hpp"
#include "render/text/text_mend.hpp"

namespace loomward::cli {
namespace {

// Whether the new text may be written there; says why not.
bool is_another_file(const Options& options) {
    std::error_code unknown;
    const std::string& old_path = options.files.front();
    if (options.mended_file != old_path &&
        !std::filesystem::equivalent(options.mended_file, old_path, unknown))
        return true;
    complain("mend never writes in place: name another file than '" + old_path + "'");
    return false;
}

}  // namespace

ExitCode mend_file(const Options& options) {
    const std::string& path = options.files.front();
    if (!options.mended_file.empty() && !is_another_file(options)) return ExitCode::wrong;
    const Session session = examine(path);
    if (!session.trouble().empty()) complain(session.trouble());
    if (!session.results()) {
        print(session.told(Told::findings, {colored(options.color)}));
        return code_of(session);
    }
    const Mended& mended = session.mended();
    if (!options.mended_file.empty())
        if (const std::string trouble = replace_file(options.mended_file, mended.text); !trouble.empty()) {
            complain(trouble);
            return ExitCode::wrong;
        }
    print(options.json   ? mended_json(mended, *session.results(), path)
          : options.diff ? line_diff(session.text(), mended.text)
                         : mended_text(mended, *session.results(), path, options.all_changes));
    return mended.errors_after > 0 ? ExitCode::errors : ExitCode::fine;
}

}  // namespace loomward::cli
