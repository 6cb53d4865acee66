#include <deque>

#include "cli/commands.hpp"
#include "cli/examined.hpp"
#include "cli/terminal.hpp"
#include "render/sarif/sarif.hpp"
#include "render/text/text.hpp"

namespace loomward::cli {
namespace {

std::string reading_text(const Examined& examined, const Options& options) {
    const bool color = colored(options.color);
    return examined.results
               ? results_text(*examined.results, examined.path,
                              {color, options.assumptions, options.unknowns, options.by_line, options.brief})
               : unchecked_text(examined, color);
}

ExitCode check_as_text(const Options& options) {
    ExitCode code = ExitCode::fine;
    bool first = true;
    for (const std::string& path : options.files) {
        const Examined examined = examine(path, {options.mode, {}, options.unknowns});
        if (!examined.trouble.empty()) complain(examined.trouble);
        const std::string text = reading_text(examined, options);
        if (!text.empty() && !first) print("\n");
        first = first && text.empty();
        print(text);
        code = worse(code, code_of(examined));
    }
    return code;
}

ExitCode check_as_document(const Options& options) {
    ExitCode code = ExitCode::fine;
    std::deque<Examined> all;
    std::vector<Outcome> outcomes;
    for (const std::string& path : options.files) {
        const Examined& examined = all.emplace_back(examine(path, {options.mode, {}, options.unknowns}));
        if (!examined.trouble.empty()) complain(examined.trouble);
        outcomes.push_back(outcome_of(examined));
        code = worse(code, code_of(examined));
    }
    print(options.sarif ? sarif_text(outcomes, LOOMWARD_VERSION) : outcomes_json(outcomes));
    return code;
}

}  // namespace

ExitCode check_files(const Options& options) {
    return options.json || options.sarif ? check_as_document(options) : check_as_text(options);
}

}  // namespace loomward::cli
