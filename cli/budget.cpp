#include "checker/budget/budget.hpp"

#include <deque>

#include "cli/commands.hpp"
#include "cli/examined.hpp"
#include "cli/terminal.hpp"
#include "render/text/text.hpp"

namespace loomward::cli {

ExitCode show_budget(const Options& options) {
    ExitCode code = ExitCode::fine;
    const bool color = colored(options.color);
    std::deque<Examined> all;
    std::vector<Outcome> outcomes;
    std::string text;
    for (const std::string& path : options.files) {
        const Examined& examined = all.emplace_back(examine(path, options.mode));
        if (!examined.trouble.empty()) complain(examined.trouble);
        outcomes.push_back(outcome_of(examined));
        code = worse(code, code_of(examined));
        if (options.json) continue;
        if (!text.empty()) text += "\n";
        text += examined.results
                    ? budget_text(*examined.results,
                                  make_budget(examined.results->circuit, examined.results->points,
                                              *examined.results->harness),
                                  color) +
                          verdict_text(*examined.results, examined.path, color)
                    : unchecked_text(examined, color);
    }
    print(options.json ? budget_json(outcomes) : text);
    return code;
}

}  // namespace loomward::cli
