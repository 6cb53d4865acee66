#include "cli/commands.hpp"
#include "cli/examined.hpp"
#include "cli/files.hpp"
#include "cli/terminal.hpp"
#include "render/bench/readings_text.hpp"

namespace loomward::cli {

ExitCode compare_readings(const Options& options) {
    const std::string& path = options.files.front();
    const bool color = colored(options.color);
    const Session session = examine(path);
    if (!session.trouble().empty()) complain(session.trouble());
    if (!session.results()) {
        print(session.told(Told::findings, {color}));
        return ExitCode::wrong;
    }
    LoadedFile file = load_file(options.measured);
    if (!file.trouble.empty()) {
        complain(file.help.empty() ? file.trouble : file.trouble + "; " + file.help);
        return ExitCode::wrong;
    }
    const ComparedReadings compared = session.readings(options.measured, std::move(file.text));
    if (!compared.text.mistakes.empty()) {
        print(mistakes_text(compared.text.mistakes, *compared.text.sources, color));
        return ExitCode::wrong;
    }
    const PowerUpSheet& sheet = session.power_up();
    print(options.json
              ? readings_json(compared.report, sheet, path, options.measured, compared.text.blanks)
              : readings_text(compared.report, sheet, path, options.measured, compared.text.blanks, color));
    return compared.as_expected() ? ExitCode::fine : ExitCode::errors;
}

}  // namespace loomward::cli
