#include <deque>

#include "cli/commands.hpp"
#include "cli/examined.hpp"
#include "cli/terminal.hpp"
#include "render/text/text.hpp"

namespace loomward::cli {

ExitCode show_zones(const Options& options) {
    ExitCode code = ExitCode::fine;
    const bool color = colored(options.color);
    std::deque<Examined> all;
    std::vector<Outcome> outcomes;
    std::string text;
    for (const std::string& path : options.files) {
        const Examined& examined = all.emplace_back(examine(path, {}));
        if (!examined.trouble.empty()) complain(examined.trouble);
        outcomes.push_back(outcome_of(examined));
        code = worse(code, code_of(examined));
        if (!text.empty()) text += "\n";
        text += examined.results ? zones_text(*examined.results, color) +
                                       verdict_text(*examined.results, examined.path, color)
                                 : unchecked_text(examined, color);
    }
    print(options.json ? zones_json(outcomes) : text);
    return code;
}

}  // namespace loomward::cli
